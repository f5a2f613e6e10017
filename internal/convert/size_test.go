package convert_test

import (
	"os"
	"path/filepath"
	"testing"

	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/source"
)

// TestAccountsOfTheDemo: the account of every demo title, the smallest of 20 kB,
// takes less than a fifth of its sources, and the check reads it.
func TestAccountsOfTheDemo(t *testing.T) {
	folders, _ := filepath.Glob("../demo/data/[a-z]*")
	if len(folders) < 3 {
		t.Fatalf("%d titles of the demo", len(folders))
	}
	for _, dir := range folders {
		files, size := volumes(t, dir)
		res, err := convert.Make(files, convert.Defaults())
		if err != nil {
			t.Errorf("%s: %v", dir, err)
			continue
		}
		if len(res.Account)*5 >= size {
			t.Errorf("%s: the account takes %d bytes, the sources %d: must be under a fifth", dir, len(res.Account), size)
		}
		again, _ := volumes(t, dir)
		if r := check.Verify(res.Edition, res.Account, again); !r.OK {
			t.Errorf("%s: not proved: %v", dir, r.Problems)
		}
	}
}

// volumes reads the braille files of a folder.
func volumes(t *testing.T, dir string) (files []*source.File, size int) {
	t.Helper()
	names, _ := filepath.Glob(filepath.Join(dir, "*"))
	for _, n := range names {
		if filepath.Ext(n) == ".txt" {
			continue
		}
		raw, err := os.ReadFile(n)
		if err != nil {
			t.Fatal(err)
		}
		f, err := source.Parse(filepath.Base(n), raw)
		if err != nil {
			t.Fatal(err)
		}
		files, size = append(files, f), size+len(raw)
	}
	return files, size
}
