package convert_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/demo"
	"continuo/internal/source"
)

func widths(blank string, w int) convert.Options {
	o := convert.Defaults()
	o.Width, o.Blank = w, blank
	return o
}

// unmarked are the settings of an edition without end markers.
func unmarked() convert.Options {
	o := widths("sparse", 32)
	o.EndMarkers = "drop"
	return o
}

// End markers are in some title of the demo, so that the test above them means
// something.
func TestAgainDropsEndMarkers(t *testing.T) {
	dropped := 0
	for _, title := range demo.Titles {
		files := demoFiles(t, title)
		keep, err := convert.Make(files, widths("sparse", 32))
		if err != nil {
			t.Fatal(err)
		}
		drop, err := convert.Make(files, unmarked())
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(keep.Edition, drop.Edition) {
			dropped++
		}
	}
	if dropped == 0 {
		t.Error("no title of the demo has end markers")
	}
}

// An edition that is converted again is, byte for byte, the one that the volumes
// give with the same settings, whatever its own width was; and it is proved
// against the edition before it.
func TestAgainIsAsFromTheVolumes(t *testing.T) {
	for _, title := range demo.Titles {
		files := demoFiles(t, title)
		for _, old := range []convert.Options{widths("sparse", 40), widths("sparse", 12), widths("sparse", 0), widths("none", 17)} {
			first, err := convert.Make(files, old)
			if err != nil {
				t.Fatal(err)
			}
			f, err := source.Parse(old.Name, first.Edition)
			if err != nil {
				t.Fatal(err)
			}
			for _, next := range []convert.Options{widths("sparse", 0), widths("sparse", 20), widths("none", 32), unmarked()} {
				what := fmt.Sprintf("%s from %d %s to %d %s", title.Folder, old.Width, old.Blank, next.Width, next.Blank)
				want, err := convert.Make(files, next)
				if err != nil {
					t.Fatal(err)
				}
				got, err := convert.Again(convert.Edition{File: f, Account: first.Account, AccountName: "a"}, next)
				if err != nil {
					t.Errorf("%s: %v", what, err)
					continue
				}
				if !bytes.Equal(want.Edition, got.Edition) {
					t.Errorf("%s: not as from the volumes: %s", what, cmp.Diff(strings.Split(string(want.Edition), "\r\n"), strings.Split(string(got.Edition), "\r\n")))
				}
				if len(want.Book.Turns) != len(got.Book.Turns) || len(want.Book.Links) != len(got.Book.Links) {
					t.Errorf("%s: %d turns and %d links, want %d and %d", what, len(got.Book.Turns), len(got.Book.Links), len(want.Book.Turns), len(want.Book.Links))
				}
				if rep := check.Verify(got.Edition, got.Account, []*source.File{f}); !rep.OK {
					t.Errorf("%s: not proved: %v", what, rep.Problems[:min(3, len(rep.Problems))])
				}
			}
		}
	}
}

// The page "finding your way" of an edition is written anew, with the strings of
// the new edition: what comes is what the volumes give, and is proved.
func TestAgainWritesTheWayAnew(t *testing.T) {
	for _, title := range demo.Titles {
		files := demoFiles(t, title)
		for _, where := range []string{"front", "end"} {
			old := convert.Defaults()
			old.Profile.Way = where
			first, err := convert.Make(files, old)
			if err != nil {
				t.Fatal(err)
			}
			f, err := source.Parse("a.brf", first.Edition)
			if err != nil {
				t.Fatal(err)
			}
			next := old
			next.Width = 20
			want, err := convert.Make(files, next)
			if err != nil {
				t.Fatal(err)
			}
			next.Profile.Way = "none" // a profile is not asked for again
			got, err := convert.Again(convert.Edition{File: f, Account: first.Account, AccountName: "a"}, next)
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(want.Edition, got.Edition) {
				t.Errorf("%s, %s: not as from the volumes: %s", title.Folder, where, cmp.Diff(strings.Split(string(want.Edition), "\r\n"), strings.Split(string(got.Edition), "\r\n")))
			}
			if rep := check.Verify(got.Edition, got.Account, []*source.File{f}); !rep.OK {
				t.Errorf("%s, %s: not proved: %v", title.Folder, where, rep.Problems[:min(3, len(rep.Problems))])
			}
			if first.Stats.LeftBy["way"] != 0 || got.Stats.LeftBy["way"] == 0 {
				t.Errorf("%s, %s: left out for the page %v", title.Folder, where, got.Stats.LeftBy)
			}
		}
	}
}

// An account that does not fit its edition, or was tampered with, is refused.
func TestAgainRefuses(t *testing.T) {
	first, err := convert.Make(demoFiles(t, demo.Titles[0]), convert.Defaults())
	if err != nil {
		t.Fatal(err)
	}
	f, _ := source.Parse("x.brf", first.Edition)
	other, _ := source.Parse("x.brf", append([]byte("a"), first.Edition...))
	for name, e := range map[string]convert.Edition{
		"changed edition": {File: other, Account: first.Account},
		"changed account": {File: f, Account: bytes.Replace(first.Account, []byte(`"width":`), []byte(`"width":1`), 1)},
		"cut account":     {File: f, Account: first.Account[:len(first.Account)/2]},
		"no account":      {File: f, Account: []byte{}},
	} {
		if _, err := convert.Again(e, convert.Defaults()); err == nil || !strings.Contains(err.Error(), `"x.brf": `) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
