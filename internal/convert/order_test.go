package convert_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/source"
)

// threeVolumes sets a title in three volumes, each with its title page and the
// story going on.
func threeVolumes(tb testing.TB) []*source.File {
	tb.Helper()
	var out []*source.File
	next := 0
	for n := 1; n <= 3; n++ {
		p := newPaper(tb, "uk", "ueb", 0)
		p.next = next
		p.pages[0] = append(p.pages[0], "", p.centred(",9 #c ,volumes"), p.centred(fmt.Sprintf(",volume #%c", 'a'+n-1)))
		p.newPage()
		p.text(80)
		p.put("")
		p.put(p.centred(fmt.Sprintf(",5d ( ,volume #%c", 'a'+n-1)))
		next = p.next
		f, err := source.Parse(fmt.Sprintf("v%d.brf", n), p.bytes())
		if err != nil {
			tb.Fatal(err)
		}
		out = append(out, f)
	}
	return out
}

// TestAnyOrder: the order in which files are given does not matter, nor does
// an earlier run: the same bytes under all settings.
func TestAnyOrder(t *testing.T) {
	f := threeVolumes(t)
	for _, width := range []int{-1, 0, 1, 12, 20, 38, 60} {
		for _, blank := range []string{"none", "sparse"} {
			for _, markers := range []string{"keep", "drop"} {
				o := convert.Defaults()
				o.Width, o.Blank, o.EndMarkers = width, blank, markers
				var first *convert.Result
				for _, k := range [][3]int{{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}} {
					res, err := convert.Make([]*source.File{f[k[0]], f[k[1]], f[k[2]]}, o)
					if err != nil {
						t.Fatal(err)
					}
					if first == nil {
						first = res
					}
					if !bytes.Equal(res.Edition, first.Edition) || !bytes.Equal(res.Account, first.Account) {
						t.Errorf("width %d, blank lines %s, end markers %s, files %v: other bytes", width, blank, markers, k)
					}
				}
				if rep := check.Verify(first.Edition, first.Account, f); !rep.OK {
					t.Errorf("width %d, blank lines %s, end markers %s: %v", width, blank, markers, rep.Problems)
				}
			}
		}
	}
}

// TestVolumesBecomeOne: three volumes of a story are the story once, with no
// title page, end line or page number between them.
func TestVolumesBecomeOne(t *testing.T) {
	o := convert.Defaults()
	o.Width = 0
	files := threeVolumes(t)
	res, err := convert.Make(files, o)
	if err != nil {
		t.Fatal(err)
	}
	_, text, _ := strings.Cut(string(res.Edition), "\r\n\r\n")
	got := strings.Fields(text)
	words := story(t, "ueb")
	for i, w := range got {
		if w != words[i%len(words)] {
			t.Fatalf("word %d is %q, want %q: %q", i, w, words[i%len(words)], strings.Join(got[max(0, i-5):min(len(got), i+12)], " "))
		}
	}
	if len(got) < 1200 {
		t.Errorf("only %d words", len(got))
	}
}
