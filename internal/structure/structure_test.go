package structure_test

import (
	"strings"
	"testing"

	"continuo/internal/layout"
	"continuo/internal/source"
	"continuo/internal/structure"
)

// TestIsRule: separators and end markers of both countries (12 cells of dots
// 2-5; Rules of Unified English Braille 2013, 16.2: line mode with dot 5
// before it, corners of boxes; BANA sample files: box lines) against words.
func TestIsRule(t *testing.T) {
	for _, c := range []struct {
		text string
		want bool
	}{
		{"333333333333", true},
		{`"333333333333`, true},
		{`"33333333333'`, true},
		{`"31111111111`, true},
		{"11111111", true},
		{"----------", true},
		{strings.Repeat("7", 40), true},
		{strings.Repeat("g", 40), true},
		{strings.Repeat("=", 30), true},
		{"99 99 99", true},
		{`"9 "9 "9`, true},
		{"", false},
		{"333", false},
		{`"3`, false},
		{"xx", false},
		{"aaaa", false},
		{"333333 x", false},
		{`"33333 "333 "3`, false},
		{"99 x 99", false},
		{`"3#ab`, false},
		{"-------------------------------------#bb", false},
	} {
		if got := structure.IsRule([]byte(c.text)); got != c.want {
			t.Errorf("%q: rule %v, want %v", c.text, got, c.want)
		}
	}
}

// read reads pages, "\f" between them, as a volume.
func read(t *testing.T, pages ...string) *structure.Volume {
	t.Helper()
	f, err := source.Parse("v1.brf", []byte(strings.Join(pages, "\f")+"\f"))
	if err != nil {
		t.Fatal(err)
	}
	return structure.Read(layout.Survey([]*source.File{f})[0], 0)
}

// TestStatement: which volume, of how many: as digits, words and roman
// numbers, in both orders (UK sample: extent first, own volume below).
func TestStatement(t *testing.T) {
	for _, c := range []struct {
		lines      string
		number, of int
	}{
		{",9 #c ,volumes/,volume #b", 2, 3},
		{",9 ,?ree ,volumes/,volume ,two", 2, 3},
		{"9 ?ree volumes/volume two", 2, 3},
		{",9 #d ,volumes/,volume ,,ii", 2, 4},
		{",volume #b ( #c", 2, 3},
		{",volume #b of #c", 2, 3},
		{`,9 ,"o ,volume`, 0, 1},
		{",in ,three ,volumes/,volume ,two", 2, 3},
		{"333333333333/9 two volumes/volume \"o/333333333333", 1, 2},
	} {
		page := "\n\n            ,! ,f]ry ,l$g]\n\n"
		for _, l := range strings.Split(c.lines, "/") {
			page += strings.Repeat(" ", (38-len(l))/2) + l + "\n"
		}
		text := strings.Repeat("  ,! old f]ry cross$ ! riv] twice a\n\"d & nobody 9 ! village cd rememb] a\n", 11)
		v := read(t, page, text, text, text)
		if v.Number != c.number || v.Of != c.of {
			t.Errorf("%s: volume %d of %d, want %d of %d", c.lines, v.Number, v.Of, c.number, c.of)
		}
		if v.Title[1]-v.Title[0] != 1+strings.Count(c.lines, "/")+1 || v.BodyPage != 1 {
			t.Errorf("%s: title page units %v, text from page %d", c.lines, v.Title, v.BodyPage+1)
		}
	}
}

// TestStatementOfPrelims: a preliminary volume whose statement stands on the page
// after the title, under the number of volumes.
func TestStatementOfPrelims(t *testing.T) {
	v := read(t, "\n\n        ,a ,w9t] at ,saltm]e\n         by ,he/] ,quillf1!r\n", "\n        ,,9 ,,?ree ,,volumes\n         ,prelim9>y ,volume\n\n\n",
		"\n      ,=! keep]s ( e small li<t\n", "          ,special ,symbols\n\n99 a/]isk\n_/ solidus\n", "            ,g5]al ,3t5ts\n\n  ,? brl $i;n is divid$ z foll[s & n\n             ,volume ,\"o\n,*apt] ,\"o\n,*apt] ,two\n")
	if !v.Prelim || v.Of != 3 {
		t.Errorf("preliminary %v, of %d volumes", v.Prelim, v.Of)
	}
}
