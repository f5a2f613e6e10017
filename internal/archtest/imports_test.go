package archtest

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// levels lists the packages from the bottom to the top. A package imports only
// packages of levels below its own. A new package must be given its place here
// and in docs/architecture.md.
var levels = [][]string{
	{"internal/lazy", "internal/safename"},
	{"internal/cell", "internal/diag", "internal/atomicfile", "internal/tomlpos", "internal/plaintext", "internal/ebrl"},
	{"internal/catalogue"},
	{"internal/source", "internal/english", "internal/louis", "internal/meta"},
	{"internal/decide"},
	{"internal/profile", "internal/book", "internal/layout", "internal/ride", "internal/decidefile"},
	{"internal/write"},
	{"internal/account", "internal/structure"},
	{"internal/assemble", "internal/write/brf", "internal/write/ebraille", "internal/check", "internal/finders"},
	{"internal/convert", "internal/write/text", "internal/write/html", "internal/write/pef"},
	{"internal/triage"},
	{"internal/batch", "internal/shelf"},
	{"internal/learn"},
	{"internal/desk"},
	{"internal/demo"},
	{"internal/cli"},
	{"cmd/continuo"},
}

// only lists packages that may import these of the project and no others.
var only = map[string][]string{
	"internal/cell":    {},
	"internal/ebrl":    {},
	"internal/english": {"internal/cell"},
	"internal/check":   {"internal/cell", "internal/source"},
}

// inMemory lists the packages of a conversion, and what they must not import:
// a conversion touches no disk, clock, network or random source.
var (
	inMemory = []string{"internal/cell", "internal/english", "internal/layout", "internal/structure", "internal/book", "internal/account", "internal/assemble", "internal/write", "internal/write/brf", "internal/write/text", "internal/write/html", "internal/write/pef",
		"internal/write/ebraille", "internal/finders", "internal/ride", "internal/convert", "internal/decide"}
	outside = []string{"os", "os/exec", "time", "net", "net/http", "math/rand", "math/rand/v2", "crypto/rand", "path/filepath", "io/ioutil"}
)

const module = "continuo/"

// imports reads what the files of the project import, tests left out.
func imports(t *testing.T) map[string]map[string][]string {
	t.Helper()
	root := filepath.Join("..", "..")
	out := map[string]map[string][]string{}
	err := filepath.WalkDir(root, func(name string, e fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, _ := filepath.Rel(root, name)
		if e.IsDir() && (strings.HasPrefix(e.Name(), ".") && rel != "." || e.Name() == "testdata" || rel == "bench") {
			return filepath.SkipDir
		}
		if e.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
			return nil
		}
		f, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		dir := path.Dir(filepath.ToSlash(rel))
		if out[dir] == nil {
			out[dir] = map[string][]string{}
		}
		for _, im := range f.Imports {
			s, _ := strconv.Unquote(im.Path.Value)
			out[dir][s] = append(out[dir][s], filepath.ToSlash(rel))
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// free reports whether a package stands outside the order: test helpers, and
// programs that make files for the project.
func free(dir string) bool {
	return dir == "internal/testkit" || strings.HasPrefix(dir, "internal/testkit/") || dir == "internal/archtest" || strings.HasSuffix(dir, "/gen") || dir == "bench" || strings.HasPrefix(dir, "bench/")
}

func TestImportsPointDownward(t *testing.T) {
	level := map[string]int{}
	for i, names := range levels {
		for _, n := range names {
			level[n] = i
		}
	}
	for dir, list := range imports(t) {
		if free(dir) {
			continue
		}
		own, known := level[dir]
		if !known {
			t.Errorf("%s has no place in the order of packages", dir)
			continue
		}
		for im, files := range list {
			name, ours := strings.CutPrefix(im, module)
			if !ours {
				continue
			}
			if l, ok := level[name]; !ok || l >= own {
				t.Errorf("%s: %s may not import %s", files[0], dir, name)
			}
		}
	}
}

func TestNarrowImports(t *testing.T) {
	all := imports(t)
	for dir, allowed := range only {
		if all[dir] == nil {
			t.Errorf("no package %s", dir)
		}
		for im, files := range all[dir] {
			if name, ours := strings.CutPrefix(im, module); ours && !contains(allowed, name) {
				t.Errorf("%s: %s may import of the project only %v, not %s", files[0], dir, allowed, name)
			}
		}
	}
	for dir, list := range all {
		if files := list[module+"internal/testkit"]; files != nil && !free(dir) {
			t.Errorf("%s: the press is for tests only", files[0])
		}
	}
}

func TestConversionStaysInMemory(t *testing.T) {
	all := imports(t)
	for _, dir := range inMemory {
		for _, im := range outside {
			if files := all[dir][im]; files != nil {
				t.Errorf("%s: %s imports %s: a conversion touches no disk, clock or random source", files[0], dir, im)
			}
		}
	}
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}
