package ebrl_test

import (
	"errors"
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
			var missing testkit.Missing
			switch {
			case errors.As(err, &missing) && os.Getenv("CONTINUO_REQUIRE_OUTSIDE") != "1":
				t.Skipf("NOT CHECKED: %v", err)
			case err != nil:
				t.Fatal(err)
			}
			for _, m := range list {
				t.Error(m)
			}
		})
	}
}
