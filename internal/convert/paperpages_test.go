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

// indexBook is a way in which page numbers are set, and what must come of it.
type indexBook struct {
	name    string
	turns   bool               // print pages are marked, two braille pages each
	shift   int                // page on which the words of an entry stand, less the page that the index names
	crossed bool               // a print page turns in the middle of the page of the fourth entry
	number  func(page int) int // what the index says of a braille page
	text    func(page int) string
	want    string // an entry in the edition
	links   int    // those of the index
	finding string // about the index
}

// words of the entries: one stands on each page, from page 2 on.
var indexed = strings.Fields("anemone bollard cormorant dogfish estuary foghorn gannet halyard ironside jetsam kelpweed lanyard")

// volume sets sixteen pages with a braille page at the right of the head, a
// print page turn of dots 5, 2-5 at the top of every second page (common
// practice in the United Kingdom), and an index.
func (x indexBook) volume() []byte {
	var b strings.Builder
	num := func(n int) string { return string(cell.Number(n)) }
	b.WriteString("\n\n          the old ferry\n\n          by orla penn\n\n           harbour braille press\n\f")
	for p := 1; p <= 16; p++ {
		fmt.Fprintf(&b, "          the old ferry              %s\n", num(p))
		if x.turns && p%2 == 1 && !(x.crossed && p == 5) {
			fmt.Fprintf(&b, "               \"3%s\n", num(40+p/2))
		}
		if p == 1 || p == 9 {
			fmt.Fprintf(&b, "\n              chapter %s\n\n", num(1+p/9))
		}
		for k := range 6 {
			b.WriteString("  the old ferry crossed the river twice\na day and nobody in the village could\nremember a time before it4\n")
			if k == 2 && p >= 2 && p-2 < len(indexed) {
				fmt.Fprintf(&b, "  here is a word on the %s4\n", indexed[p-2])
			}
			if k == 2 && x.text != nil {
				b.WriteString(x.text(p))
			}
			if k == 4 && x.crossed && p == 5 {
				fmt.Fprintf(&b, "               \"3%s\n", num(42))
			}
		}
		b.WriteString("\f")
	}
	if x.number == nil {
		return []byte(b.String())
	}
	fmt.Fprintf(&b, "          the old ferry              %s\n               index\n\n", num(17))
	for i, w := range indexed {
		fmt.Fprintf(&b, "%s1 %s\n", w, num(x.number(i+2)))
	}
	return []byte(b.String())
}

func printPage(p int) int { return 40 + p/2 - (p+1)%2 }

// TestPaperNumbers: numbers of an index, or after "page", that the words beside
// them show to be pages of the paper volumes become print pages where these are
// certain; print pages stay; what cannot be told stays and is told.
func TestPaperNumbers(t *testing.T) {
	paper := func(p int) int { return p }
	refer := func(target func(int) int) func(int) string {
		return func(p int) string {
			if p < 9 || p > 13 {
				return ""
			}
			return fmt.Sprintf("  for the %s and its ways see page\n%s of this book4\n", indexed[p-7], cell.Number(target(p-5)))
		}
	}
	for _, x := range []indexBook{
		{name: "index of braille pages", turns: true, number: paper, want: "dogfish1 #db", links: 12},
		{name: "index of print pages", turns: true, number: printPage, want: "dogfish1 #db", links: 12},
		{name: "a print page turns after the word", turns: true, crossed: true, number: paper, want: "dogfish1 #da", links: 12},
		{name: "no print pages", number: paper, want: "dogfish1 #e", links: 12, finding: "index-pages"},
		{name: "numbers of another edition", turns: true, number: func(p int) int { return p*7 + 100 }, want: "dogfish1 #ace", finding: "index-pages"},
		{name: "text, braille pages", turns: true, text: refer(paper), want: "see page #da of"},
		{name: "text, print pages", turns: true, text: refer(printPage), want: "see page #da of"},
		{name: "text, pages of another book", turns: true, text: refer(func(p int) int { return 17 - p }), want: "see page #i of"},
	} {
		t.Run(x.name, func(t *testing.T) {
			f, err := source.Parse("ferry.brf", x.volume())
			if err != nil {
				t.Fatal(err)
			}
			res, err := convert.Make([]*source.File{f}, convert.Defaults())
			if err != nil {
				t.Fatal(err)
			}
			if rep := check.Verify(res.Edition, res.Account, []*source.File{f}); !rep.OK {
				t.Fatalf("not proved: %v", rep.Problems)
			}
			if got := strings.Join(strings.Fields(string(res.Edition)), " "); !strings.Contains(got, x.want) {
				t.Errorf("the edition has no %q", x.want)
			}
			links := 0
			for _, l := range res.Book.Links {
				if l.Kind == book.CrossRef {
					links++
				}
			}
			finding := ""
			for _, f := range res.Findings {
				if f.ID == "index-pages" {
					finding = f.ID
				}
			}
			if x.number != nil && links != x.links || finding != x.finding {
				t.Errorf("%d links, finding %q; want %d, %q", links, finding, x.links, x.finding)
			}
			if t.Failed() {
				for _, f := range res.Findings {
					t.Log(f.ID, f.Text)
				}
				_, tail, _ := strings.Cut(string(res.Edition), "index")
				t.Logf("%s", tail)
			}
		})
	}
}

// The contents cite braille pages, and line 1 gives the print page on which the text of
// the braille page begins (observed in UK volumes): a chapter that begins a braille page
// gets that print page, one further down a page on which the print page may turn gets none.
func TestPrintPageOfChapterThatBeginsPage(t *testing.T) {
	s := &houseVolume{width: 36, height: 22}
	print := func(p int) int { return 10 + p/2 } // turns within every odd page
	s.head = func(p int) string {
		if p < 3 {
			return ""
		}
		lab := string(cell.Number(print(p)))
		return lab + s.right(p)[len(lab):]
	}
	titles, at := []string{"visitors", "! road h\\se", "frs", "a walk 6! village"}, []int{3, 6, 9, 13}
	s.centre("! old f]ry")
	s.turn()
	s.pages[1] = nil
	s.centre("3t5ts")
	for i, title := range titles {
		lab := string(cell.Number(at[i]))
		s.put(title + " " + strings.Repeat("\"", 34-len(title)-len(lab)) + " " + lab)
	}
	for i, title := range titles {
		for len(s.pages) < at[i] {
			if i > 0 {
				s.para(40)
			}
			if i == 0 || len(s.pages[len(s.pages)-1]) > s.height-8 {
				s.turn()
			}
		}
		if i == 3 {
			for len(s.pages[len(s.pages)-1]) < 8 {
				s.para(20)
			}
			s.put("")
		}
		s.centre(title)
		s.para(40)
	}
	res := makeOf(t, s.String())
	for i, title := range titles[:3] {
		if want := title + " " + string(cell.Number(print(at[i]))); !strings.Contains("\n"+string(res.Edition), "\n"+want+"\n") {
			t.Errorf("no entry %q, but %q", want, lineOf(res, title))
		}
	}
	if got := lineOf(res, titles[3]); strings.Contains(got, "#") {
		t.Errorf("an entry whose print page nobody can know has one: %q", got)
	}
}
