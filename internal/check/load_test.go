package check

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestFiles(t *testing.T) {
	dir := t.TempDir()
	put := func(name string, data []byte) {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	x := sea()
	ed, acc, _ := x.sealed(t)
	put("tale.brf", ed)
	put("tale.brf"+AccountSuffix, acc)
	for _, s := range x.sources {
		put(s.name, []byte(s.text))
	}
	edition := filepath.Join(dir, "tale.brf")
	rep, skipped, err := Files(edition, []string{dir}) // the edition stands among its sources
	if err != nil || !rep.OK || len(skipped) != 2 {
		t.Fatalf("%v %v\n%s", err, skipped, show(rep))
	}
	if f := rep.Figures; f.Files != 2 || f.Pages != 6 || f.Keep+f.Move+f.Swap+sumOf(f.Out) != f.Sources || f.Out["head"] == 0 || f.Printed != len(x.edition) {
		t.Errorf("figures %+v", f)
	}
	for name, damage := range map[string]func() error{
		"edition": func() error { return os.Remove(edition) },
		"account": func() error { return os.Remove(edition + AccountSuffix) },
	} {
		if err := damage(); err != nil {
			t.Fatal(err)
		}
		if _, _, err := Files(edition, []string{dir}); err == nil || !strings.Contains(err.Error(), "tale.brf") {
			t.Errorf("no %s: %v", name, err)
		}
		put("tale.brf", ed)
		put("tale.brf"+AccountSuffix, acc)
	}
	if _, _, err := Files(edition, []string{filepath.Join(dir, "gone")}); err == nil {
		t.Error("no sources, and no error")
	}
	if _, _, err := Files(dir, []string{dir}); err == nil {
		t.Error("the edition is a folder, and no error")
	}
}

func sumOf(m map[string]int64) (n int64) {
	for _, v := range m {
		n += v
	}
	return n
}

func TestProblemWording(t *testing.T) {
	for want, p := range map[string]Problem{
		`"v1.brf" page 2 line 3, edition line 4, account line 5: lost`: {Source: "v1.brf", Page: 2, Line: 3, Edition: 4, Account: 5, What: "lost"},
		`"v1.brf": lost`: {Source: "v1.brf", What: "lost"},
		`lost`:           {What: "lost"},
	} {
		if got := p.String(); got != want {
			t.Errorf("got %s, want %s", got, want)
		}
	}
}
