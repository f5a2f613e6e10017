package cli

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"continuo/internal/write/ebraille"
)

// failing is a set of files that cannot be written.
type failing struct{ err error }

func (f failing) Commit() error { return f.err }

// A folder is there whole, in place of the old one, or everything is as it was
// before; no folder of another name stays.
func TestFolderWholeOrNotAtAll(t *testing.T) {
	read := func(dir string) string {
		var out []string
		filepath.WalkDir(dir, func(p string, d os.DirEntry, err error) error {
			if !d.IsDir() {
				data, _ := os.ReadFile(p)
				rel, _ := filepath.Rel(dir, p)
				out = append(out, filepath.ToSlash(rel)+"="+string(data))
			}
			return err
		})
		return strings.Join(out, " ")
	}
	files := func(text string) []ebraille.File {
		return []ebraille.File{{Name: "b/c.xhtml", Data: []byte(text)}, {Name: "package.opf", Data: []byte(text)}}
	}
	for _, old := range []string{"", "old"} {
		for _, fault := range []error{nil, errors.New("no room")} {
			dir := t.TempDir()
			at := filepath.Join(dir, "x-ebraille")
			was := ""
			if old != "" {
				m := made{siblings: []sibling{{path: at, files: files(old)}}}
				if err := m.commit(failing{}); err != nil {
					t.Fatal(err)
				}
				was = "x-ebraille/b/c.xhtml=old x-ebraille/package.opf=old"
				if sum, err := pathSum(at); err != nil || sum != sumFiles(files(old)) {
					t.Errorf("the sum of the folder is %s, %v", sum, err)
				}
			}
			m := made{siblings: []sibling{{path: at, files: files("new")}}}
			err := m.commit(failing{fault})
			want := was
			if fault == nil {
				want = "x-ebraille/b/c.xhtml=new x-ebraille/package.opf=new"
			}
			if !errors.Is(err, fault) || read(dir) != want {
				t.Errorf("old %q, fault %v: error %v, left %q", old, fault, err, read(dir))
			}
			if list, _ := os.ReadDir(dir); len(list) > 1 {
				t.Errorf("old %q, fault %v: %v stay", old, fault, list)
			}
		}
	}
}
