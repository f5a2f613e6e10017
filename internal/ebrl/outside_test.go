package ebrl_test

import (
	"os"
	"path/filepath"
	"testing"

	"continuo/internal/testkit"
)

// TestGoodOutside: EPUBCheck and epubcheck-ts agree that the publication of
// which the mutants are made is good.
func TestGoodOutside(t *testing.T) {
	path := filepath.Join(t.TempDir(), "ferry.ebrl")
	if err := os.WriteFile(path, pack(t, good(), nil), 0o666); err != nil {
		t.Fatal(err)
	}
	for name, run := range map[string]func(string) ([]testkit.EPUBMessage, error){"EPUBCheck": testkit.EPUBCheck, "epubcheck-ts": testkit.EPUBCheckTS} {
		t.Run(name, func(t *testing.T) {
			list, err := run(path)
			if err != nil {
				testkit.Need(t, err)
			}
			for _, m := range list {
				t.Error(m)
			}
		})
	}
}
