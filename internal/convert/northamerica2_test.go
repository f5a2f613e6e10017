package convert_test

import (
	"slices"
	"strings"
	"testing"

	"continuo/internal/cell"
	"continuo/internal/source"
)

// full sets words as lines that are all as full as they can be, and returns what did
// not fit on the last line that is wanted.
func (s *sheets) full(first, run, lines int) string {
	line := strings.Repeat(" ", first)
	var all []string
	for empty := true; lines > 0; {
		w := strings.Trim(s.take(1)[0], ",8012346")
		if w == "" {
			continue
		}
		if !empty && len(line)+1+len(w) > s.room() {
			s.line(line)
			lines--
			line, empty = strings.Repeat(" ", run), true
			if lines == 0 {
				break
			}
		}
		if !empty {
			line += " "
		}
		line, empty = line+w, false
		all = append(all, w)
	}
	return strings.Join(all, " ")
}

// TestPrintPageEndsAtFoot: print page turns are rows of dots 3-6; a print page that
// ends on the last line or the one before begins a braille page, with its number in
// the corner and no row (BRL session 4, "pages"). So the last line above it is cut short
// in the middle of a sentence, and the lines under it go on: in a paragraph, and in a
// transcriber's note in cells 7-5.
func TestPrintPageEndsAtFoot(t *testing.T) {
	s := newSheets(t)
	s.foot = plainNumber
	s.top = func(page int) string { return string(cell.Number(3*((page-1)/2) + 1 + (page-1)%2*2)) }
	s.pages = [][]string{titleSheet(",i")}
	var want []string
	for k := range 6 {
		for s.page(); s.left() > 14; {
			s.para(2, 0, 18)
		}
		n := string(cell.Number(3*k + 2))
		s.para(2, 0, 10)
		s.line(strings.Repeat("-", naCells-len(n)) + n)
		for s.left() > 5 {
			s.para(2, 0, 9)
		}
		first, run := 2, 0
		if k%2 == 1 {
			first, run = 6, 4
			s.line("      ,'! pr9t page has a map ( ! riv]1")
		} else {
			s.full(first, run, 2)
		}
		s.line(strings.Repeat(" ", run) + "cut")
		s.page()
		rest := s.full(run, run, 2)
		s.line(strings.Repeat(" ", run) + "land & sea" + map[int]string{0: "4", 4: "4,'"}[run])
		want = append(want, rest+" land & sea"+map[int]string{0: "4", 4: "4,'"}[run])
	}
	s.para(2, 0, 20)
	res := madeOf(t, s.file(t, "v1.brf"))
	lines := editionLines(res)
	for _, w := range want {
		if !slices.Contains(lines, w) {
			t.Errorf("no line %q\n%s", w, res.Edition)
			return
		}
	}
}

// TestShortListsOfThreeLevels: items in cells 1, 3 and 5, all runovers in cell 7
// (BANA, Braille Formats 2016, section 8), in lists of which none alone has lines
// enough to tell, some over the top of a page where prose follows.
func TestShortListsOfThreeLevels(t *testing.T) {
	s := numberedSheets(t)
	for k := range 12 {
		s.para(2, 0, 40+3*k)
		if s.left() < 8 && k%3 > 0 {
			s.page()
			s.para(2, 0, 12)
		}
		s.blank()
		s.set(0, 6, ",stores")
		s.para(2, 6, 9+k%4)
		s.para(2, 6, 4)
		s.para(4, 6, 8+k%3)
		s.set(0, 6, ",tools")
		s.para(2, 6, 4+k%2)
		s.para(4, 6, 11)
		s.blank()
	}
	s.para(2, 0, 30)
	s.compare(t, madeOf(t, s.file(t, "v1.brf")))
}

// TestHeadingThatBeginsPages: no running head; text shares line 1 with the print page
// number, and so does the heading "exercises" where it comes to the top of a page or
// begins one in every chapter (BRL session 4, "headingsex"): no head of the pages.
func TestHeadingThatBeginsPages(t *testing.T) {
	for _, always := range []bool{false, true} {
		s := newSheets(t)
		s.foot = plainNumber
		s.top = plainNumber
		s.pages = [][]string{titleSheet(",i")}
		for k := range 6 {
			s.heading(-1, ",*apt] "+string(cell.Number(k+1)))
			for range 9 {
				s.para(2, 0, 38+k)
			}
			if always || k == 1 || k == 4 {
				s.page()
			}
			s.heading(-1, ",ex]cises")
			for _, l := range []string{"a4", "b4", "c4", "d4", "e4"} {
				w := s.take(11)
				s.set(0, 2, append([]string{l}, w...)...)
			}
			s.blank()
		}
		res := madeOf(t, s.file(t, "v1.brf"))
		if n := strings.Count(string(res.Edition), "ex]cises"); n != 6 {
			t.Errorf("always %v: %d of 6 headings\n%s", always, n, res.Edition)
		}
	}
}

// TestOddHeadsOfLongTitle: heads on odd pages only, over text that goes on under them,
// print page numbers on every page; the head is the title without its subtitle and
// colon (BANA, Braille Formats 2016, section 1; odd pages only are common practice).
func TestOddHeadsOfLongTitle(t *testing.T) {
	s := newSheets(t)
	s.foot, s.top = plainNumber, plainNumber
	s.pages = [][]string{{"      ,! ,f]ry ,l$g]3 ,a ,r1d] = ,all", "                ,s1sons", "", "                  by", "             ,hannah ,r[e"}}
	for i, w := range s.words { // capitals everywhere: no sentence is seen to go on under a head
		s.words[i] = "," + strings.TrimLeft(w, ",8")
	}
	for len(s.pages) < 17 {
		if s.head = ""; len(s.pages)%2 == 0 { // of the next page
			s.head = ",! ,f]ry ,l$g]"
		}
		s.para(2, 0, 43)
	}
	res := madeOf(t, s.file(t, "v1.brf"))
	if n := strings.Count(string(res.Edition), ",f]ry ,l$g]\n"); n != 0 {
		t.Errorf("%d heads left\n%s", n, res.Edition)
	}
}

// TestTitleOverTwoLines: page 1 of the text has the full title in place of the running
// head, on two lines (BANA, Braille Formats 2016, 1.8): both stay or both go.
func TestTitleOverTwoLines(t *testing.T) {
	s := newSheets(t)
	s.top = plainNumber
	s.pages = [][]string{{"      ,! ,f]ry ,l$g]3 ,a ,r1d] = ,all", "                ,s1sons", "", "                  by", "             ,hannah ,r[e"}}
	s.page()
	s.line("     ,! ,f]ry ,l$g]3 ,a ,r1d]")
	s.line("            = ,all ,s1sons")
	s.blank()
	for k := range 30 {
		s.para(2, 0, 40)
		s.head = ",! ,f]ry ,l$g]"
		if k%9 == 4 {
			s.heading(-1, ",*apt] "+string(cell.Number(k/9+1)))
		}
	}
	res := madeOf(t, s.file(t, "v1.brf"))
	s.compare(t, res)
	lines := editionLines(res)
	a, b := slices.Contains(lines, ",! ,f]ry ,l$g]3 ,a ,r1d]"), slices.Contains(lines, "= ,all ,s1sons")
	if a != b || slices.Contains(lines, ",! ,f]ry ,l$g]") {
		t.Errorf("half a title or a head is left\n%s", res.Edition)
	}
}

// TestChoicesWithLetters: questions in cell 1, answers in cell 3 that begin with a
// letter and a full stop, c and d among them, which are no roman numbers; runovers in
// cell 5; directions, one sentence in cell 5 that stands in the middle by chance, are
// no heading (BANA, Braille Formats 2016, section 10).
func TestChoicesWithLetters(t *testing.T) {
	s := numberedSheets(t)
	for k := range 5 {
		s.para(2, 0, 50)
		s.blank()
		s.line("     ,*oose ! be/ answ] = ea* \"q4"[1:])
		s.blank()
		for q := range 4 {
			s.set(0, 4, append([]string{string(cell.Number(q+1)) + "4"}, s.take(9+k)...)...)
			for i, l := range []string{"a4", "b4", "c4", "d4"} {
				s.set(2, 4, append([]string{l}, s.take(3+(i*q+k)%6)...)...)
			}
		}
		s.blank()
	}
	s.para(2, 0, 30)
	res := madeOf(t, s.file(t, "v1.brf"))
	s.compare(t, res)
	for h := range headingsOf(res) {
		if strings.Contains(h, "*oose") {
			t.Errorf("directions are a heading\n%s", res.Edition)
		}
	}
}

// TestShortVolumeUnderHeads: line 2 stays clear under the head (BRL session 3), the
// contents page excepted; the volume has eight pages, and paragraphs and speeches go
// over all their tops.
func TestShortVolumeUnderHeads(t *testing.T) {
	s := newSheets(t)
	s.top = plainNumber
	s.pages = [][]string{titleSheet(",i"), {corner("", ";ii"), "                ,3t5ts", "", ",act ,i " + strings.Repeat("\"", 29) + " #a"}}
	for len(s.pages) < 9 {
		if s.room(); len(s.pages[len(s.pages)-1]) == 1 {
			s.line("")
		}
		s.head = ",! ,f]ry ,l$g]"
		s.margin = naCells
		s.para(0, 2, 7+s.next%5)
		if p := s.pages[len(s.pages)-1]; len(p) > 1 && p[1] != "" && len(p) < 12 { // set anew with its clear line
			s.pages[len(s.pages)-1] = append([]string{p[0], ""}, p[1:]...)
		}
	}
	s.compare(t, madeOf(t, s.file(t, "v1.brf")))
}

// TestDateOfLetter: the date of a letter stands with its end at the right margin, the
// salutation at the margin right under it, in no paragraph with it (Instruction Manual
// for Braille Transcribing, 4th edition, 13.10a).
func TestDateOfLetter(t *testing.T) {
	s := numberedSheets(t)
	for k := range 6 {
		if s.left() < 12 {
			s.page()
			s.para(2, 0, 30)
		}
		s.blank()
		s.line(strings.Repeat(" ", 24) + ",f]ry ,h\\se")
		s.line(strings.Repeat(" ", 24) + "#" + string("abcdef"[k]) + " ,m>* #ahga")
		s.set(0, 0, ",my", "de>", ",hannah1")
		for i := range 3 {
			s.para(2, 0, 20+7*i+k)
		}
		s.set(4, 4, ",yr", "uncle1")
	}
	s.compare(t, madeOf(t, s.file(t, "v1.brf")))
}

// TestHeadWithinSentence: the heads of a part that has no heading of the same words
// stand over a clear line, the first of them over text that goes on in a sentence from
// the page before: no heading stands there (common practice).
func TestHeadWithinSentence(t *testing.T) {
	s := newSheets(t)
	s.top = plainNumber
	s.pages = [][]string{titleSheet(",i")}
	for len(s.pages) < 14 {
		if s.head = ",! ,upp] ,riv]"; len(s.pages) > 7 {
			s.head = ",! ,l[] ,riv]"
		}
		w := slices.DeleteFunc(s.take(34), func(w string) bool { return len(w) < 2 })
		for i := range w {
			w[i] = strings.Trim(w[i], ",8012346")
		}
		w = slices.DeleteFunc(w, func(w string) bool { return w == "" })
		w[0] = "," + w[0]
		w[len(w)-1] += "4"
		s.set(2, 0, w...)
	}
	s.close()
	for i, p := range s.pages[1:] { // the clear line takes the place of the last
		s.pages[i+1] = append([]string{p[0], ""}, p[1:]...)
	}
	s.text = false
	res := madeOf(t, s.file(t, "v1.brf"))
	s.compare(t, res)
	if n := strings.Count(string(res.Edition), "] ,riv]\n"); n > 0 {
		t.Errorf("%d heads left\n%s", n, res.Edition)
	}
}

// TestNumberBesideTitle: the title page has its number on line 1, beside the title, of
// which the head of the pages is a copy; the title stays. The contents heading stands at
// the margin, guide dots and the number of the volume after it (English Braille American
// Edition 1994, rule III, 15b): one heading stays, without them.
func TestNumberBesideTitle(t *testing.T) {
	var files []*source.File
	for v, roman := range []string{",i", ",,ii"} {
		s := newSheets(t)
		s.next = 150 * v
		s.top = plainNumber
		s.head = ",! ,f]ry ,l$g]"
		title := titleSheet(roman)
		title[0] = corner(title[0], ";i")
		s.pages = [][]string{title, {corner("", ";ii"), "", ",,3t5ts " + strings.Repeat("\"", 40-17-len(roman)) + " ,volume " + roman, "", ",*apt]" + strings.Repeat(" ", 29) + ",page",
			",*apt] " + string(cell.Number(2*v+1)) + " " + strings.Repeat("\"", 26) + " #a", ",*apt] " + string(cell.Number(2*v+2)) + " " + strings.Repeat("\"", 26) + " #d"}}
		files = append(files, s.twoChapters(t, v))
	}
	res := madeOf(t, files...)
	lines := editionLines(res)
	if lines[0] != ",,! ,,f]ry ,,l$g]" || !slices.Contains(lines, ",,3t5ts") || strings.Count(string(res.Edition), "3t5ts") != 1 || strings.Contains(string(res.Edition), ",volume") {
		t.Errorf("no title, or more than one contents heading\n%s", res.Edition)
	}
}
