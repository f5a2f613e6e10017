package cli

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"continuo/internal/convert"
)

// An interrupt stops make before its files appear: it says so, and nothing is left of
// what was being written.
func TestInterruptedMakeWritesNothing(t *testing.T) {
	dir := t.TempDir()
	paper := filepath.Join(dir, "paper-1.brf")
	if err := os.WriteFile(paper, []byte("  ,! book\n\f  ,x 0 wet4\n\f"), 0o644); err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	for _, at := range []string{"making one book", "writing the edition"} {
		_, err := buildUntil(ctx, []string{paper}, filepath.Join(dir, "out.brf"), false, convert.Defaults(), extra{}, func(stage string) {
			if len(stage) >= len(at) && stage[:len(at)] == at {
				stop()
			}
		})
		if f, ok := err.(*fault); !ok || f.code != Failed || f.what != "stopped by an interrupt" {
			t.Errorf("%s: %v", at, err)
		}
		if names, _ := filepath.Glob(filepath.Join(dir, "*")); len(names) != 1 {
			t.Errorf("%s: left behind: %v", at, names)
		}
		ctx, stop = context.WithCancel(context.Background())
	}
	stop()
}
