package convert_test

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/convert"
	"continuo/internal/source"
)

// novelPage is a page of 20 lines with a head on line 1: a title in the middle and a number.
func novelPage(head string, n int, text []string) []string {
	top := strings.Repeat(" ", 12) + head
	num := cell.Label{Value: n}.Cells()
	page := []string{top + strings.Repeat(" ", 38-len(top)-len(num)) + string(num)}
	return append(page, text...)
}

// novelFile joins pages of lines.
func novelFile(pages ...[]string) []byte {
	var b strings.Builder
	for _, p := range pages {
		b.WriteString(strings.Join(p, "\n") + "\n\f")
	}
	return []byte(b.String())
}

// prose is so many short paragraphs, each another.
func prose(from, n int) (out []string) {
	s := houseVolume{width: 38, height: 1 << 20, next: from * 97}
	for range n {
		words := []string{"," + s.word()}
		for range 16 {
			words = append(words, s.word())
		}
		words[len(words)-1] += "4"
		s.flow(words, 2, 0)
	}
	return s.pages[0]
}

func novelMade(t *testing.T, files ...[]byte) *convert.Result {
	t.Helper()
	var list []*source.File
	for i, raw := range files {
		f, err := source.Parse(fmt.Sprintf("v%d.brf", i+1), raw)
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, f)
	}
	res, err := convert.Make(list, convert.Defaults())
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// novelVolume is a volume with the head title on six pages of text.
func novelVolume(head string, front ...[]string) []byte {
	pages := front
	for n := range 6 {
		pages = append(pages, novelPage(head, n+1, prose(n+1, 8)))
	}
	return novelFile(pages...)
}

// TestNovelTitles: a half title stands before the title page (common practice of
// publishers); a subtitle, an author's or a translator's name stands right under the
// title, and heads or the title over the text tell where it ends (BANA, Braille Formats
// 2016, 1.8: the title over the text is whole).
func TestNovelTitles(t *testing.T) {
	centre := func(s string) string { return strings.Repeat(" ", (38-len(s))/2) + s }
	statement := []string{"", centre(",volume #a ( #b")}
	title := func(lines ...string) (out []string) {
		for _, l := range lines {
			out = append(out, centre(l))
		}
		return append(out, statement...)
	}
	for _, c := range []struct {
		what          string
		front         [][]string
		title, author string
	}{
		{"half title", [][]string{{centre(",! ,quiet ,boat")}, title(",! ,quiet ,boat", "", ",a4 ,p5fold")}, ",! ,quiet ,boat", ",a4 ,p5fold"},
		{"half title at the margin", [][]string{{",! ,quiet ,boat"}, append([]string{",! ,quiet ,boat", "", ",a4 ,p5fold"}, statement...)}, ",! ,quiet ,boat", ",a4 ,p5fold"},
		{"bare author", [][]string{title(",! ,quiet ,boat", ",a4 ,p5fold")}, ",! ,quiet ,boat", ",a4 ,p5fold"},
		{"subtitle", [][]string{title(",! ,quiet ,boat", ",a ,tale", ",a4 ,p5fold")}, ",! ,quiet ,boat", ",a4 ,p5fold"},
		{"translator", [][]string{title(",! ,quiet ,boat", "", "by ,a4 ,p5fold", ",translat$ by ,m4 ,hill")}, ",! ,quiet ,boat", "by ,a4 ,p5fold"},
	} {
		res := novelMade(t, novelVolume(",! ,quiet ,boat", c.front...))
		if s := res.Survey.Titles[0]; s.Title != c.title || s.Author != c.author {
			t.Errorf("%s: title %q, author %q", c.what, s.Title, s.Author)
		}
		if ed := string(res.Edition); strings.Contains(ed, ",volume #a") || strings.Contains(ed, "#f") {
			t.Errorf("%s: a statement or a page number is left:\n%.300s", c.what, ed)
		}
	}
}

// TestNovelVolumeList: a list of what stands in which volume is one whatever its heading says.
func TestNovelVolumeList(t *testing.T) {
	front := []string{"             ,! ,quiet ,boat", "", "             by ,a4 ,p5fold", "", "             ,9 #b ,volumes", "               ,volume #a"}
	list := []string{"           ,:at ! ,books ,hold", "               ,volume #a", ",! ,old ,f]ry", ",apples", "               ,volume #b", ",a ,l;g ,box"}
	page := func(s string) []string { return []string{"", "", "             " + s} }
	res := novelMade(t, novelVolume(",! ,quiet ,boat", front, page(",to ,hannah"), page(",old ,song"), page(",to ,ann"), list))
	if ed := string(res.Edition); strings.Contains(ed, "volume #") {
		t.Errorf("a volume is named still:\n%.400s", ed)
	}
}

// TestNovelSignature: a note after its paragraph, cells 7 and 5 (English Braille American
// Edition 1994, rule IV), ends where the next word had room; the closing of a letter stands
// in cell 5 under it.
func TestNovelSignature(t *testing.T) {
	text := append(prose(1, 3), "  ,dear ,ann1 ! boat came;9#a late & we", "went home4",
		"      ;9#a ,it was ! old boat ( ! two", "    bro!rs4", "    ,yours ever1", "    ,hes")
	res := novelMade(t, novelFile([]string{"             ,! ,quiet ,boat", "", "             by ,a4 ,p5fold"},
		novelPage(",! ,quiet ,boat", 1, append(text, prose(2, 3)...)), novelPage(",! ,quiet ,boat", 2, prose(3, 8)), novelPage(",! ,quiet ,boat", 3, prose(4, 8))))
	ed, next := string(res.Edition), strings.Fields(prose(2, 1)[0])
	if sign, after := strings.Index(ed, ",yours ever1"), strings.Index(ed, strings.Join(next[:4], " ")); sign < 0 || after < sign {
		t.Errorf("the closing went with the note: it stands at %d, the paragraph after it at %d", sign, after)
	}
}

// TestNovelMarginHeads: number, name and place of a chapter stand under each other at the
// margin, a blank line before and after (a style without centring, common practice in the
// United Kingdom).
func TestNovelMarginHeads(t *testing.T) {
	var pages [][]string
	pages = append(pages, []string{"             ,! ,quiet ,boat", "", "             by ,a4 ,p5fold"})
	for n := range 5 {
		text := prose(2*n+1, 3)
		text = append(text, "", fmt.Sprintf(",*apt] %s", cell.Label{Value: n + 1}.Cells()), []string{",! ,f]ry", ",apples", ",hannah", ",! ,box", ",goats"}[n], ",f>r[ ,hill", "")
		pages = append(pages, novelPage(",! ,quiet ,boat", n+1, append(text, prose(2*n+2, 3)...)))
	}
	res := novelMade(t, novelFile(pages...))
	heads := 0
	for i := range res.Book.Blocks {
		if res.Book.Blocks[i].Kind == book.Heading && strings.HasPrefix(blockText(res.Book, i), ",*apt] #") {
			heads++
		}
	}
	if heads != 5 {
		t.Errorf("%d of 5 headings are known", heads)
	}
}
