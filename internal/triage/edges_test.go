package triage

import (
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/source"
)

// small makes a book of one file: each line a block of its own, "head " before those that
// are left out as page heads, "H " before headings; a form feed begins a page.
func small(t *testing.T, lines ...string) (*book.Book, [][]int32) {
	t.Helper()
	f, err := source.Parse("v.brf", []byte(strings.NewReplacer("head ", "", "H ", "", "N99", "99").Replace(strings.Join(lines, "\r\n"))+"\r\n"))
	if err != nil {
		t.Fatal(err)
	}
	b := book.NewBook([]*source.File{f})
	why := b.Why(book.Reason{Class: "head", Why: "page head"})
	b.Width = 30
	for i, l := range lines {
		if l = strings.TrimPrefix(l, "\f"); l == "" {
			continue
		}
		at := f.Lines[i]
		switch p := (book.Piece{Line: int32(i), To: int32(at.End - at.Start)}); {
		case strings.HasPrefix(l, "head "):
			b.Out[0][i] = why
		case strings.HasPrefix(l, "N99"):
			b.Blocks = append(b.Blocks, book.Block{Kind: book.Para, Form: book.Note, Pieces: []book.Piece{p}})
		case strings.HasPrefix(l, "H "):
			p.From = int32(len(f.Text(i)) - len(strings.TrimLeft(string(f.Text(i)), " ")))
			b.Blocks = append(b.Blocks, book.Block{Kind: book.Heading, Pieces: []book.Piece{p}})
		default:
			b.Blocks = append(b.Blocks, book.Block{Kind: book.Para, Pieces: []book.Piece{p}})
		}
	}
	var pages []int32
	for _, p := range f.Pages {
		pages = append(pages, p.First)
	}
	return b, [][]int32{pages}
}

// TestEdges: what stands at the edges of pages as page heads and page numbers do, and what
// was left out there as a page head and may be text.
func TestEdges(t *testing.T) {
	const title = "! bell \"u ! wat]"
	for _, c := range []struct {
		what  string
		lines []string
		want  string
	}{
		{"text alone", []string{"H *apt] #a", "  ! rope 0 c\\t1", "\f& ! h\\se 0 dry4"}, ""},
		{"a number set off at the top of a page", []string{"  ! rope 0 c\\t1", "\f& ! h\\se 0 dry4         #bc", "  n[4"}, "head-left"},
		{"every fifth line of a poem has its number", []string{"  ! rope 0 c\\t1", "\f& ! h\\se 0 dry4         #be", "  n[4"}, ""},
		{"the title with a slip at the top of a page", []string{"  ! rope 0 c\\t1", "\f! bell \"u ! wta]", "& ! h\\se 0 dry4"}, "head-left"},
		{"a head on one page that ends as a sentence does", []string{"head " + title, "  ! rope 0 =", "\fhead ever4", "  n[4"}, "head-or-text"},
		{"heads", []string{"head " + title, "  ! rope 0 =", "\fhead " + title, "  n[4"}, ""},
		{"the title with a rule under it, over a heading", []string{"head " + title, "333333333333", "H *apt] #a", "  n[4"}, ""},
		{"its first words so", []string{"head ! bell \"u !", "333333333333", "H *apt] #a", "  n[4"}, "head-or-text"},
		{"a head over a heading", []string{"head " + title, "H *apt] #a", "  n[4"}, ""},
	} {
		b, pages := small(t, c.lines...)
		edge := edges(b, pages)
		var got []string
		for _, list := range [][]sign{numberAtEdge(b, edge), titleSlip(b, title, edge, headsOut(b, edges(b, pages))), headEndsSentence(b), headOverRule(b, title)} {
			for _, s := range list {
				got = append(got, s.kind)
			}
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("%s: %q, want %q", c.what, got, c.want)
		}
	}
}

// TestHeadingTwice: page heads that were kept for headings, and headings that are alike.
func TestHeadingTwice(t *testing.T) {
	for _, c := range []struct {
		what  string
		lines []string
		want  bool
	}{
		{"headings", []string{"H *apt] #a", "  ! rope 0 =", "\fH *apt] #b", "  n[4"}, false},
		{"the heading before it at the top of a page", []string{"H ,9dex", "an*or1 #c", "bell1 #d", "\fH ,9dex", "log1 #d"}, true},
		{"within a page", []string{"H ,9dex", "an*or1 #c", "H ,9dex", "log1 #d"}, false},
		{"within a page, as a head that was left out", []string{"head ,9dex", "H ,9dex", "an*or1 #c", "H ,9dex", "log1 #d"}, true},
		{"but for a capital sign", []string{"H ,:at ,0 ,left", "  ! rope", "\fH :at 0 left", "  n[4"}, true},
		{"another heading between, of the same words", []string{"head ,half ,a ,loaf", "H *apt] #a", "H ,half ,a ,loaf", "  ! rope", "H *apt] #b", "H ,half ,a ,loaf", "  n[4"}, false},
		{"a half title and the title", []string{"H ! bell \"u ! wat]", "\fH ! bell \"u ! wat]", "  0,old ,m>y", "  n[4"}, false},         // common practice: the half title is alone on its page
		{"a side heading", []string{"H ,anna", "  ! rope", "\fH     ,anna", "  n[4"}, false},                                             // Braille Formats 2016, section 4: cell-5 headings are none
		{"over notes", []string{"H ,half ,a ,loaf", "  ! rope", "\fH ,half ,a ,loaf", "N99#a n[4"}, false},                               // common practice: notes under the names of chapters
		{"three times within pages", []string{"  b", "H ,anna", "  a", "H ,anna", "  a", "H ,anna", "  a", "\fH ,anna", "  n[4"}, false}, // a name that comes again and again
		{"without its number, broken off", []string{"H ,,iii ,! ,tool3 ,:at ,x ,is", "  ! rope", "\fH ,! ,tool3 ,:at", "n[4"}, true},
		{"the same words with another number", []string{"H ,*apt] #a4 ,! ,road", "  ! rope", "\fH ,*apt] #b4 ,! ,road", "  n[4"}, false},
		{"the beginning of the next heading", []string{"  ! rope", "\fH ! road 6!", "H *apt] #a", "H ,! ,road 6! ,sea", "  n[4"}, true},
		{"the first line of two, the second another", []string{"H ,pray]s at ,sea at", "H ,qu5by", "  ! rope", "\fH ,pray]s at ,sea at", "H ,saltm]e", "  n[4"}, false},
	} {
		b, pages := small(t, c.lines...)
		if got := len(headingTwice(b, "! bell \"u ! wat]", edges(b, pages), headsOut(b, edges(b, pages)))) > 0; got != c.want {
			t.Errorf("%s: %v", c.what, got)
		}
	}
}

// TestHeadingGoesOn: the chapter that goes on is named where a later volume begins; at the top of a page within
// it the same words may be a page head.
func TestHeadingGoesOn(t *testing.T) {
	for _, c := range []struct {
		what  string
		lines []string // from the second on they are of the second volume
		want  bool
	}{
		{"where the volume begins", []string{"H *apt] #c", "  ! rope", "H *apt] #c", "n[4"}, false},
		{"after text of it", []string{"H *apt] #c", "  ! rope", "  n[4", "\fH *apt] #c", "n[4"}, true},
	} {
		b, pages := small(t, c.lines...)
		b.Files = append(b.Files, b.Files[0])
		for i := range b.Blocks[2:] {
			b.Blocks[i+2].Pieces[0].Vol = 1
		}
		e := edges(b, pages)
		e.lines, e.pages = append(e.lines, e.lines[0]), append(e.pages, e.pages[0])
		if got := len(headingTwice(b, "! bell \"u ! wat]", e, &outHeads{})) > 0; got != c.want {
			t.Errorf("%s: %v", c.what, got)
		}
	}
}

// TestTitleOverVolume: the title over the text of the first volume is the book's own (UK
// practice, common practice); again over that of a later one it was left.
func TestTitleOverVolume(t *testing.T) {
	for _, c := range []struct {
		what  string
		lines []string // "2 " begins the second volume
		want  bool
	}{
		{"over the first", []string{"H ! bell \"u", "H ! wat]", "  ! rope", "2 H *apt] #b", "  n[4"}, false},
		{"over the second", []string{"H *apt] #a", "  ! rope", "2 H ! bell \"u ! wat]", "  n[4"}, true},
		{"on two lines", []string{"H *apt] #a", "  ! rope", "2 H ! bell \"u", "H ! wat]", "  n[4"}, true},
		{"a chapter that begins as it does", []string{"H *apt] #a", "  ! rope", "2 H ! bell \"u", "  n[4"}, false},
	} {
		plain := make([]string, len(c.lines))
		for i, l := range c.lines {
			plain[i] = strings.TrimPrefix(l, "2 ")
		}
		b, _ := small(t, plain...)
		b.Files = append(b.Files, b.Files[0])
		vol := int32(0)
		for i, l := range c.lines {
			if strings.HasPrefix(l, "2 ") {
				vol = 1
			}
			b.Blocks[i].Pieces[0].Vol = vol
		}
		if got := len(titleOverVolume(b, "! bell \"u ! wat]")) > 0; got != c.want {
			t.Errorf("%s: %v", c.what, got)
		}
	}
}

// TestNumberLeft: a page number alone among the entries of a contents list, and a chapter
// that is called by its number alone.
func TestNumberLeft(t *testing.T) {
	for _, c := range []struct {
		line string
		to   int32 // cells of the entry
		want int
	}{
		{"#c", 2, 1},
		{"#c \"\"\"\"\"\"\"\"\"\"\"\" #bd", 2, 0},
	} {
		b, _ := small(t, c.line)
		b.Blocks[0].Kind, b.Blocks[0].Pieces[0].To = book.Entry, c.to
		if got := len(numberLeft(b, 100)); got != c.want {
			t.Errorf("%q: %d", c.line, got)
		}
	}
}

// TestHeadOrText: text that says what page heads say, and where the heads are certain: four of
// them, or the heading before all of them, which no structure word told.
func TestHeadOrText(t *testing.T) {
	for _, c := range []struct {
		what  string
		lines []string
		want  bool
	}{
		{"a refrain within a page", []string{"head ! bell goes d[n", "  n[4", "s+ =! ! bell", "! bell goes d[n", "  n[4"}, true},
		{"four heads", []string{"head ! bell goes d[n", "  n[4", "s+ =! ! bell", "! bell goes d[n", "  n[4", "\fhead ! bell goes d[n", "  n[4", "\fhead ! bell goes d[n", "  n[4", "\fhead ! bell goes d[n", "  n[4"}, false},
		{"the heading before them", []string{"  n[4", "       ! bell goes d[n", "  n[4", "\fhead ! bell goes d[n", "  n[4"}, false},
	} {
		b, pages := small(t, c.lines...)
		if got := len(headOrText(b, "! rope", edges(b, pages), headsOut(b, edges(b, pages)))) > 0; got != c.want {
			t.Errorf("%s: %v", c.what, got)
		}
	}
}

// TestHeadAtEdge: a head that fills its line stays in the text with its number (page information line:
// BANA, Braille Formats 2016, 1.8); a number behind other words is text.
func TestHeadAtEdge(t *testing.T) {
	for _, c := range []struct {
		line string
		want int
	}{
		{",! ,holl[ ,/aircase #ad", 1}, {",! ,holl[ ,/aircase", 0}, {"he >riv$ at ! f]ry on #ad", 0},
	} {
		b, pages := small(t, "H ,! ,holl[ ,/aircase", "  ! rope 0 c\\t1", c.line, "\f& ! h\\se 0 dry4")
		if got := len(headAtEdge(b, edges(b, pages))); got != c.want {
			t.Errorf("%q: %d", c.line, got)
		}
	}
}

// TestListedBeforeText: a chapter that the contents list names among the preliminary matter of
// a later volume, and a foreword of the first.
func TestListedBeforeText(t *testing.T) {
	for vol, want := range []int{0, 1} {
		b, _ := small(t, "*apt] six", "H *apt] six")
		b.Files = append(b.Files, b.Files[0])
		b.Blocks[0].Kind, b.Blocks[1].Part, b.Blocks[1].Pieces[0].Vol = book.Entry, book.Prelims, int32(vol)
		b.Links = []book.Link{{Kind: book.ListRef, Block: 0, Target: 1}}
		if got := len(listedBeforeText(b)); got != want {
			t.Errorf("in volume %d: %d", vol, got)
		}
	}
}
