package convert_test

import (
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/cell"
)

// headLines lists the lines of headings of an edition.
func headLines(b *book.Book) (out []string) {
	for _, bl := range b.Blocks {
		if bl.Kind == book.Heading {
			p := bl.Pieces[0]
			if p.Vol < 0 && len(bl.Pieces) > 1 { // the name of its book
				p = bl.Pieces[1]
			}
			out = append(out, string(b.Text(p)))
		}
	}
	return out
}

// Contents lists under a heading in other words, with guide dots of dots 2-5 or of dot 3
// (common practice), in every volume: one list, without the numbers of braille pages.
func TestContentsUnderOtherWords(t *testing.T) {
	for _, guide := range []string{"3", "'", "\""} {
		vol := func(n int) *houseVolume {
			s := &houseVolume{width: 34, height: 24, next: n * 71}
			s.head = func(p int) string {
				if p < 3 {
					return ""
				}
				return s.right(p - 2)
			}
			s.turn()
			for _, l := range []string{"", "", "! l;g ferry", "", "by anna lee", "", "in two volumes", "volume " + []string{"", "one", "two"}[n]} {
				s.centre(l)
			}
			s.turn()
			s.centre("all t is \"h")
			names := [][]string{{"! quay", "! barge", "! l&+"}, {"! /orm", "! light", "! end (! ferry"}}[n-1]
			for i, name := range names {
				line := name + " "
				s.put(line + strings.Repeat(guide, 30-len(line)) + " #" + string("aei"[i]))
			}
			s.turn()
			for i, name := range names {
				if i > 0 {
					for len(s.pages) < 3+4*i {
						s.para(40)
					}
					s.turn()
				}
				s.centre(name)
				for range 6 {
					s.para(40)
				}
			}
			return s
		}
		res := makeOf(t, vol(1).String(), vol(2).String())
		list := string(res.Edition)
		if strings.Contains(list, strings.Repeat(guide, 3)) || strings.Contains(list, "#e") {
			t.Errorf("guide %q: guide dots or page numbers stand in the edition\n%.600s", guide, list)
		}
		if n := strings.Count(list, "! barge\n"); n != 2 {
			t.Errorf("guide %q: the entry and its heading stand %d times\n%.600s", guide, n, list)
		}
		if n := linksOf(res, book.ListRef); n != 6 {
			t.Errorf("guide %q: %d entries lead to headings, want 6", guide, n)
		}
	}
}

// Lines that stand in the middle by chance and are no headings: the full first line of a
// paragraph in cell 4 (common practice), a transcriber's note in its signs (Rules of Unified
// English Braille 2013, 3.27), the name under a verse at cell 5 (BANA, Braille Formats 2016,
// displayed material and attributions), two lines of a verse as unlike as can be.
func TestLinesInTheMiddleByChance(t *testing.T) {
	s := &houseVolume{width: 40, height: 25}
	s.head = func(p int) string { return s.right(p) }
	para := func(n int) { s.flow(append(s.words(n), "h\\se4"), 3, 0) }
	for c := range 6 {
		s.turn()
		s.centre("*apt] #" + string("abcdef"[c]))
		s.put("")
		s.put("   ,he _h n set a foot on ! quay s9ce")
		s.put("?irteen ye>s 2f t4")
		para(60)
		s.put("")
		s.put("    ,:at w9d is ? t blows so c1")
		s.put("    ! boats >e home & ! lamps >e l4")
		s.put("        ,flora ,dew t5nant")
		s.put("")
		para(50)
		s.put("      @.<,! map is left \\4@.>")
		para(80)
	}
	res := makeOf(t, s.String())
	for _, h := range headLines(res.Book) {
		if !strings.HasPrefix(h, "*apt] ") {
			t.Errorf("%q is a heading", h)
		}
	}
	if l := lineOf(res, "?irteen ye>s"); !strings.HasPrefix(l, ",he _h n set") {
		t.Errorf("the paragraph is cut: %q", l)
	}
}

// Sections have numbers alone on their line in cell 5. One at the top of a left page that has
// no page number may be the number that the page would have (page numbers on right-hand pages
// only: common practice in the United Kingdom); it stands at the column of no page number and
// is text.
func TestSectionNumberWhereAPageNumberIsDue(t *testing.T) {
	s := &houseVolume{width: 30, height: 20}
	s.head = func(p int) string {
		if p%2 == 0 {
			return "    #b"
		}
		return s.right(p)
	}
	for len(s.pages) < 21 {
		s.para(37)
	}
	for i := range s.pages {
		if i%2 == 1 && i != 1 {
			s.pages[i] = s.pages[i][1:]
		}
	}
	res := makeOf(t, s.String())
	if n := strings.Count(string(res.Edition), "#b\n"); n != 1 {
		t.Errorf("the number of the section stands %d times\n%s", n, res.Edition)
	}
}

// Page numbers between hyphens, alone in the middle (common practice, from typed pages), and
// one page number that was written without its number sign (a slip of the hand), in the middle of the
// volume or on its last page.
func TestPageNumbersAsTyped(t *testing.T) {
	for _, form := range []struct{ name, before, after string }{{"between hyphens", "- ", " -"}, {"close hyphens", "-", "-"}, {"bare", "", ""}} {
		for _, slip := range []int{12, 24} {
			s := &houseVolume{width: 30, height: 20}
			letters := string(cell.Number(slip))[1:]
			s.head = func(p int) string {
				l := string(cell.Number(p))
				if p == slip {
					l = letters
				}
				l = form.before + l + form.after
				if form.before == "" {
					return strings.Repeat(" ", 30-len(l)) + l
				}
				return strings.Repeat(" ", (30-len(l))/2) + l
			}
			var paras []string
			for len(s.pages) < 24 {
				paras = append(paras, s.para(41))
			}
			res := makeOf(t, s.String())
			if e := string(res.Edition); strings.Contains(e, "#") || strings.Contains(e, "- "+letters) || strings.Contains(e, letters+" -") || strings.Contains(e, " "+letters+" ") {
				t.Errorf("%s, page %d: page numbers stand in the edition\n%s", form.name, slip, e)
			}
			s.wholeParas(t, res, paras)
		}
	}
}

// Heads at the margin of the last line, or at the right of line 1, with the page number at
// the other end (common practice): the heading of the chapter, on every page.
func TestHeadsAtTheMargin(t *testing.T) {
	for _, foot := range []bool{true, false} {
		s := &houseVolume{width: 32, height: 20}
		names := []string{"! wat]gate", "! barge", "a l;g ni<t", "! f]ry l&+"}
		var paras []string
		name := func(p int) string { return names[min((p-1)/6, len(names)-1)] }
		for p := 1; p <= 24; p++ {
			s.turn()
			l := string(cell.Number(p))
			if !foot {
				s.put(l + strings.Repeat(" ", 32-len(l)-len(name(p))) + name(p))
			}
			if p%6 == 1 {
				s.centre(name(p))
			}
			for len(s.pages[p-1]) < 13 {
				paras = append(paras, s.para(17))
			}
			for foot && len(s.pages[p-1]) < 19 {
				s.put("")
			}
			if foot {
				s.put(name(p) + strings.Repeat(" ", 32-len(l)-len(name(p))) + l)
			}
		}
		res := makeOf(t, s.String())
		for _, n := range names {
			if k := strings.Count(string(res.Edition), n); k != 1 {
				t.Errorf("foot %v: %q stands %d times, want once\n%s", foot, n, k, res.Edition)
			}
		}
		s.wholeParas(t, res, paras)
	}
}

// Starts and ends of volumes in other words (common practice): preliminary pages without a
// volume statement, the statement under the title above the text, the heading of the chapter
// again where a sentence goes on, a short last line, "volume 1 ends". Nothing of it parts the sentence.
func TestVolumesThatPartASentence(t *testing.T) {
	for _, c := range []struct {
		name               string
		statement          bool
		before, above, end []string // above the text of every volume, above that of the second, under that of the first
	}{
		{name: "no statement anywhere", end: []string{"", "volume \"o 5ds"}},
		{name: "title and statement above the text", statement: true, before: []string{"! l;g ferry", "VOLUME", "333333333333"}, end: []string{"", "5d ( volume \"o"}},
		{name: "heading again", statement: true, above: []string{"! wat]gate", ""}},
	} {
		vol := func(n int) *houseVolume {
			s := &houseVolume{width: 34, height: 22, next: n * 1000}
			s.head = func(p int) string {
				if p < 3 {
					return ""
				}
				return s.right(p - 2)
			}
			s.turn()
			for _, l := range []string{"", "", "! l;g ferry", "", "by anna lee", "", "quay books", ""} {
				s.centre(l)
			}
			if c.statement {
				s.centre("volume " + []string{"", "\"o", "two"}[n] + " ( two")
			}
			s.turn()
			s.centre("ab ? book")
			s.put("  x 0 writt5 on a barge 9 a w9t] t")
			s.put("nobody rememb]s n[4")
			s.turn()
			for _, l := range c.before {
				if l == "VOLUME" {
					l = "volume " + []string{"", "\"o", "two"}[n]
				}
				s.centre(l)
			}
			if n == 1 {
				s.centre("! wat]gate")
			} else {
				for _, l := range c.above {
					s.centre(l)
				}
				s.put("slipp$ \\ ( ! h>b\\r 2f d1wn4")
			}
			for range 24 {
				s.para(45)
			}
			if n == 1 {
				s.put("  ! man went d[n to ! boat & e")
				for _, l := range c.end {
					s.centre(l)
				}
			}
			return s
		}
		res := makeOf(t, vol(1).String(), vol(2).String())
		if l := lineOf(res, "slipp$ \\ ("); !strings.HasPrefix(l, "! man went") {
			t.Errorf("%s: the sentence is parted: %q\n%s", c.name, l, res.Edition)
		}
		if n := strings.Count(string(res.Edition), "nobody rememb]s"); n != 1 {
			t.Errorf("%s: the preliminary page stands %d times", c.name, n)
		}
		if n := strings.Count(string(res.Edition), "! wat]gate"); n != 1 {
			t.Errorf("%s: the heading stands %d times", c.name, n)
		}
		if strings.Contains(string(res.Edition), "volume \"o") {
			t.Errorf("%s: a volume is named in the edition", c.name)
		}
	}
}

// Headings at the margin, a blank line before and after or none after, in volumes of one or two
// chapters (a style without centring of some producers in the United Kingdom, common practice). The
// names of two speakers at the margin, again and again, are none.
func TestHeadingsAtTheMargin(t *testing.T) {
	for _, c := range []struct {
		names []string
		heads bool
	}{
		{[]string{",! wat]gate", ",*apt] two", ",a l;g ni<t", ",! barge hand", ",no\"h to g", ",! l& 2l[", ",a new pilot", ",h>b\\r li<ts"}, true},
		{[]string{",hannah", ",! f]ryman", ",hannah", ",! f]ryman", ",hannah", ",! f]ryman", ",hannah", ",! f]ryman"}, false},
	} {
		s := &houseVolume{width: 34, height: 22}
		s.head = func(p int) string { return s.right(p) }
		for i, n := range c.names {
			if i > 0 && len(s.pages[len(s.pages)-1]) > 16 { // no heading at the foot
				s.turn()
			} else if i > 0 {
				s.put("")
			}
			s.put(n)
			if i%2 == 0 {
				s.put("")
			}
			for range 5 {
				s.para(43)
			}
		}
		res := makeOf(t, s.String())
		got := strings.Join(headLines(res.Book), "\n") + "\n"
		for _, n := range c.names {
			if is := strings.Contains("\n"+got, "\n"+n+"\n"); is != c.heads {
				t.Errorf("%q is a heading: %v, want %v", n, is, c.heads)
			}
		}
	}
}

// Sections under headings in cell 5 with a blank line after them too (common practice).
func TestSectionHeadingsWithABlankLineAfter(t *testing.T) {
	s := &houseVolume{width: 34, height: 22}
	s.head = func(p int) string { return s.right(p) }
	names := []string{",wat]gate", ",boats", ",ni<t work", ",! barge"}
	for _, n := range names {
		s.put("")
		s.put("    " + n)
		s.put("")
		for range 4 {
			s.para(40)
		}
	}
	got := strings.Join(headLines(makeOf(t, s.String()).Book), "\n")
	for _, n := range names {
		if !strings.Contains(got, n) {
			t.Errorf("%q is no heading", n)
		}
	}
}

// The name under a verse whose last line is full is no runover of it (BANA, Braille Formats
// 2016, attributions; common practice).
func TestNameUnderAVerse(t *testing.T) {
	s := &houseVolume{width: 34, height: 22}
	s.head = func(p int) string { return s.right(p) }
	for range 4 {
		s.para(50)
		s.put("")
		s.put("  ,\"! 0 a man :o k a boat")
		s.put("  & tarr$ x when ! wat] rose4")
		s.put("      ,josiah ,p5fold")
		s.put("")
	}
	res := makeOf(t, s.String())
	if n := strings.Count(string(res.Edition), "wat] rose4 ,josiah"); n > 0 {
		t.Errorf("the name goes on the verse\n%s", res.Edition)
	}
}

// Page numbers stand at the foot; numbers of sections in cell 5 that happen to stand on line 1 are
// in no corner (common practice).
func TestSectionNumbersOnLineOne(t *testing.T) {
	s := &houseVolume{width: 32, height: 20}
	k := 0
	for p := 1; p <= 24; p++ {
		s.turn()
		if p%5 == 0 {
			k++
			s.put("    #" + string("abcd"[k-1]))
		}
		for len(s.pages[p-1]) < 15 {
			s.para(17)
		}
		for len(s.pages[p-1]) < 19 {
			s.put("")
		}
		s.put(s.right(p))
	}
	e := string(makeOf(t, s.String()).Edition)
	for _, n := range []string{"#a\n", "#b\n", "#c\n", "#d\n"} {
		if strings.Count(e, n) != 1 {
			t.Errorf("the section %q stands %d times, want once", n, strings.Count(e, n))
		}
	}
}
