package convert_test

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/source"
)

// paperVolume sets a volume of eight pages of 24 lines: page head with the
// braille page at the right, a print page turn of dots 5, 2-5 every third page
// at the top, and one in the middle of every page that crossed names (common
// practice in the United Kingdom). Page p of volume v has the word of its own
// rare gives it, and what extra gives it.
func paperVolume(v int, extra map[int]string, crossed map[int]bool) []byte {
	var b strings.Builder
	num := func(n int) string { return string(cell.Number(n)) }
	fmt.Fprintf(&b, "\n\n          ,! ,old ,f]ry\n\n          by ,orla ,penn\n\n           ,9 #b volumes\n             ,volume %s\n\f", num(v))
	for p := 1; p <= 8; p++ {
		fmt.Fprintf(&b, "          ,! ,old ,f]ry              %s\n", num(p))
		if p%3 == 1 {
			fmt.Fprintf(&b, "               \"3%s\n", num(100*v+p))
		}
		if p == 1 {
			fmt.Fprintf(&b, "\n              ,*apt] %s\n\n", num(v))
		}
		for k := range 7 {
			b.WriteString("  ,! old f]ry cross$ ! riv] twice a\n\"d & nobody 9 ! village cd rememb] a\ntime 2fore x4\n")
			if k == 2 {
				fmt.Fprintf(&b, "  ,h]e is ! word %s4\n", rare(v, p))
				b.WriteString(extra[p])
			}
			if k == 4 && crossed[p] {
				fmt.Fprintf(&b, "               \"3%s\n", num(100*v+p))
			}
		}
		b.WriteString("\f")
	}
	if v == 1 {
		b.WriteString("         ,5d ( ,volume #a\n")
	}
	return []byte(b.String())
}

func rare(v, p int) string {
	return strings.Repeat("mnopqrst"[p-1:p], 3) + strings.Repeat("x", v) + "yn"
}

func paperBook(t *testing.T, extra map[int]string, crossed map[int]bool) *convert.Result {
	t.Helper()
	var files []*source.File
	for v := 1; v <= 2; v++ {
		text := extra
		if v == 2 {
			text = nil
		}
		f, err := source.Parse(fmt.Sprintf("ferry%d.brf", v), paperVolume(v, text, crossed))
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, f)
	}
	res, err := convert.Make(files, convert.Defaults())
	if err != nil {
		t.Fatal(err)
	}
	if rep := check.Verify(res.Edition, res.Account, files); !rep.OK {
		t.Fatalf("not proved: %v", rep.Problems)
	}
	return res
}

// TestPaperReferences: a reference to a page of a paper volume becomes one to
// the print page where that is certain; else it stays and is told.
func TestPaperReferences(t *testing.T) {
	w := rare(2, 5)
	none := map[int]bool{}
	for _, c := range []struct {
		name, text string
		crossed    map[int]bool
		want       string // in the edition, single blanks
		changed    int
	}{
		{"on one line", "  ,= " + w + " see volume #b1 page #e4\n", none, "see page #bjd4", 1},
		{"page before volume", "  ,= " + w + " see page #e ( volume #b4\n", none, "see page #bjd4", 1},
		{"in brackets", "  ,! " + w + " \"<see volume #b1 page #e\">4\n", none, "\"<see page #bjd\">4", 1},
		{"over a line end after the volume", "  ,! " + w + " f]ry see volume #b1\npage #e4\n", none, "see page #bjd4", 1},
		{"over a line end within the volume", "  ,! old " + w + " ov] ! see volume\n#b1 page #e4\n", none, "see page #bjd4", 1},
		{"over a line end before the number", "  ,= a " + w + " see volume #b1 page\n#e4\n", none, "see page #bjd4", 1},
		{"a print page turns there", "  ,= " + w + " see volume #b1 page #e4\n", map[int]bool{5: true}, "see volume #b1 page #e4", 0},
		{"no word of it stands there", "  ,= " + rare(2, 6) + " see volume #b1 page #e4\n", none, "see volume #b1 page #e4", 0},
		{"no such page", "  ,= " + w + " see volume #b1 page #ie4\n", none, "see volume #b1 page #ie4", 0},
		{"no such volume", "  ,= " + w + " see volume #i1 page #e4\n", none, "see volume #i1 page #e4", 0},
		{"several pages", "  ,= " + w + " see volume #b1 page #e & #g4\n", none, "see volume #b1 page #e & #g4", 0},
		{"another fails", "  ,= " + w + " see volume #b1 page #e4\n  ,9 volume #f1 page #e is m4\n", none, "see volume #b1 page #e4", 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			res := paperBook(t, map[int]string{3: c.text}, c.crossed)
			if got := strings.Join(strings.Fields(string(res.Edition)), " "); !strings.Contains(strings.ToLower(got), c.want) {
				t.Errorf("the edition has no %q", c.want)
			}
			changed, told, links := 0, 0, 0
			for _, f := range res.Findings {
				switch f.ID {
				case "page-reference-changed":
					changed++
				case "page-reference":
					told++
				}
			}
			for _, l := range res.Book.Links {
				if l.Kind == book.CrossRef {
					links++
				}
			}
			if changed != c.changed || changed == 0 && told == 0 || links != c.changed {
				t.Errorf("%d changed, %d told, %d links; want %d changed", changed, told, links, c.changed)
			}
		})
	}
}
