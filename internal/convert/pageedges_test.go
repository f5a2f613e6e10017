package convert_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// A paragraph quotes one thing after another, and the second begins its line after the first
// closed the one before (quotation marks: Rules of Unified English Braille 2013, 7.6; cells 3-1:
// BANA, Braille Formats 2016, section 1): it is one paragraph.
func TestRemarksInOneParagraph(t *testing.T) {
	s := &houseVolume{width: 34, height: 25}
	s.head = s.right
	var paras []string
	for n := range 12 {
		paras = append(paras, s.para(30+7*(n%4)))
		if n%3 == 1 {
			paras = append(paras, s.flow(strings.Fields(",peter wrote d[n ! old words 8,price ( wool40 8,goat &"+strings.Repeat(" boat", n%2)+" apples40 8,names80 & no m4"), 2, 0))
			paras = append(paras, s.flow(strings.Fields(",peter wrote d[n ! old words 8,pr (wool40 8,goats ( ! l& 2l[40 & no m4"), 2, 0))
		}
	}
	s.wholeParas(t, makeOf(t, s.String()), paras)
}

// A list in cells 1-3 begins at the top of a page after paragraphs in cells 3-1 or block paragraphs,
// or such paragraphs after the list: the blank line between them went with the page turn (lists:
// BANA, Braille Formats 2016, section 8; common practice).
func TestOtherTextAtPageTurn(t *testing.T) {
	for _, block := range []bool{false, true} {
		for _, list := range []bool{false, true} {
			t.Run(fmt.Sprint(block, list), func(t *testing.T) { otherTextAtPageTurn(t, block, list) })
		}
	}
}

func otherTextAtPageTurn(t *testing.T, block, listSecond bool) {
	s := &houseVolume{width: 32, height: 22}
	s.head = s.right
	first := 2
	if block {
		first = 0
	}
	var whole []string
	text := func() {
		whole = append(whole, s.flow(append(s.words(31), "h\\se4"), first, 0))
	}
	items := func() {
		for k := range 9 {
			whole = append(whole, s.flow(append(s.words(6+3*(k%3)), "tea4"), 0, 2))
		}
	}
	parts := []func(){text, items}
	if !listSecond {
		parts = []func(){items, text}
	}
	for range 8 {
		s.turn()
		for range 2 {
			whole = append(whole, s.flow(append(s.words(40), "tea4"), first, 0))
			s.put("")
		}
		parts[0]()
		s.turn()
		parts[1]()
		s.put("")
		whole = append(whole, s.flow(append(s.words(40), "tea4"), first, 0))
	}
	wholeLines(t, makeOf(t, s.String()), whole)
}

// A letter in a book of block paragraphs: under its address and its opening words the text is
// a paragraph, with names at the starts of lines too (letters: BANA, Braille Formats 2016, section
// 12, from memory; block paragraphs: British practice).
func TestLetterAmongBlockParagraphs(t *testing.T) {
	s := &houseVolume{width: 30, height: 27}
	s.head = s.right
	var whole []string
	for n := range 10 {
		whole = append(whole, s.flow(append(s.words(30+5*(n%3)), "tea4"), 0, 0))
		s.put("")
		if n%3 != 1 {
			continue
		}
		s.put("    ,hexby")
		s.put("    #bg ,octob] #aiac")
		s.put(",de> ,odette1")
		whole = append(whole, s.flow(strings.Fields(",hannah did n want to sell ! old f]ry ,boat ,a ,boat ,b1 ,boat ,c1 ,boat ,d & ,boat ,e1 ,boat ,f1 ,boat ,g & ,boat ,h4"), 0, 0))
		s.put("")
	}
	wholeLines(t, makeOf(t, s.String()), whole)
}

// Stage directions in brackets in cells 7-5 among speeches in cells 1-3 of which few run over:
// each is a line of the edition (English Braille American Edition 1994, appendix A, section 8;
// common practice).
func TestDirectionsAmongSpeeches(t *testing.T) {
	s := &houseVolume{width: 36, height: 25}
	s.head = s.right
	var whole []string
	for n := range 18 {
		if n%6 == 0 {
			s.put("")
			s.centre(",sc5e " + []string{",\"o", ",two", ",?ree"}[n/6])
			s.put("")
		}
		whole = append(whole, s.flow(strings.Fields("\"<,a bell is he>d2 nobody on ! /age seems to notice x4\">"), 6, 4))
		for k := range 2 {
			w := append([]string{[]string{",,anna4", ",,b5n4"}[k], ",all"}, s.words(3+(n*5+k)%7)...)
			whole = append(whole, s.flow(append(w, ",hannah4"), 0, 2))
		}
	}
	wholeLines(t, makeOf(t, s.String()), whole)
}

// Headings in cell 5 that run over at cell 5, broken some cells short of the margin, over text,
// over displayed text in cells 7-5, and over a heading in cell 7 with a blank line between
// (BANA, Braille Formats 2016, sections 4 and 9); a stage direction in brackets that stands as they
// do is none.
func TestSideHeadingsOverOtherText(t *testing.T) {
	s := &houseVolume{width: 38, height: 25}
	s.head = s.right
	var heads []string
	head := func(in int, lines ...string) {
		if n := len(s.pages); n > 0 && len(s.pages[n-1]) > s.height-7 {
			s.turn() // no heading ends a page
		}
		s.put("")
		for _, l := range lines {
			s.put(strings.Repeat(" ", in) + l)
		}
		heads = append(heads, lines...)
	}
	for n := range 12 {
		name := ",! " + s.word() + " ,boat"
		switch n % 4 {
		case 0, 1:
			head(4, ",( ! l;g ,boat ( "+s.word()+" & h[ x", "came to ,"+s.word()+" 9 ! 5d")
		case 2:
			head(4, name)
			s.flow(append([]string{",all"}, append(s.words(30), "tea4")...), 6, 4)
			s.put("")
		case 3:
			head(4, name)
			head(6, ",no\"h to "+s.word())
		}
		for range 3 {
			s.para(40)
		}
	}
	s.put("")
	s.put("    .<,5t] ,hannah4.>")
	s.para(40)
	got := headLines(makeOf(t, s.String()).Book)
	for _, h := range heads {
		if !slices.Contains(got, h) {
			t.Errorf("%q is no heading", h)
		}
	}
	if slices.Contains(got, ".<,5t] ,hannah4.>") {
		t.Error("a stage direction is a heading")
	}
}

// A heading over two lines in the middle, one a cell to the right where they cannot stand in the
// middle to the cell, with the text right under it (both sides are met: common practice), and
// chapters after the close of a letter, whose two lines are headings.
func TestHeadingsOverTwoLines(t *testing.T) {
	s := &houseVolume{width: 30, height: 25}
	s.head = s.right
	centre := func(t string) { s.put(strings.Repeat(" ", (s.width-len(t)+1)/2) + t) }
	var heads []string
	for n := range 6 {
		one, two := ",( ! holl[ "+s.word()+" & h[ x", "came ag "+s.word()
		s.put("")
		centre(one)
		centre(two)
		heads = append(heads, one, two)
		for range 3 {
			s.para(40)
		}
		s.put("    ,yrs fai?;lly1")
		s.put("      ,mabel ,gorse")
		s.put("")
		chapter, title := ",*apt] #"+string(rune('a'+n)), ",! "+s.word()+" ,boat"
		centre(chapter)
		centre(title)
		s.put("")
		heads = append(heads, chapter, title)
		s.put(strings.Repeat(" ", 14) + "#g ,lane")
		s.put(strings.Repeat(" ", 14) + ",hexby")
		for range 3 {
			s.para(40)
		}
	}
	got := headLines(makeOf(t, s.String()).Book)
	for _, h := range heads {
		if !slices.Contains(got, h) {
			t.Errorf("%q is no heading", h)
		}
	}
}

// Running heads that are the number of the chapter in roman, beside the number of the braille page
// (heads by chapter: UK practice): they go, from every page.
func TestRunningHeadsOfRomanNumbers(t *testing.T) {
	s := &houseVolume{width: 36, height: 22}
	part := ""
	s.head = func(p int) string {
		if part == "" {
			return s.right(p)
		}
		left := strings.Repeat(" ", (s.width-len(part))/2) + part
		return left + s.right(p)[len(left):]
	}
	for _, n := range []string{",i", ",,ii", ",,iii", ",,iv"} {
		part = ""
		s.turn()
		s.centre(n)
		s.put("")
		s.para(40)
		part = n
		for range 12 {
			s.para(60)
		}
	}
	ed := "\n" + string(makeOf(t, s.String()).Edition)
	for n, l := range strings.Split(ed, "\n") {
		if strings.TrimSpace(l) == ",,iii" && strings.Count(ed, ",,iii") > 1 {
			t.Fatalf("line %d of the edition is a running head", n)
		}
	}
}

// Line 1 of right-hand pages holds the title as a running head, that of left-hand pages text (UK
// practice; W3C w3c-wai-hc 1997, 0336): a heading in cell 5 with the first words of the title stays.
func TestHeadingWithTheWordsOfTheHead(t *testing.T) {
	text := &houseVolume{width: 36, height: 1000}
	for n := range 60 {
		text.para(30 + 7*(n%5))
	}
	lines := text.pages[0]
	s := &houseVolume{width: 36, height: 22}
	for p := range 15 {
		s.turn()
		if p%2 == 0 {
			s.centre(",! ,mirror ( ,glimm]+")
		}
		if p == 5 || p == 9 {
			s.put("    ,! ,mirror")
			for lines[0][:2] != "  " { // the paragraph under it
				lines = lines[1:]
			}
		}
		for len(s.pages[p]) < s.height-1 {
			s.put(lines[0])
			lines = lines[1:]
		}
		s.put(s.right(p + 1))
	}
	if n := strings.Count(string(makeOf(t, s.String()).Edition), ",! ,mirror\n"); n != 2 {
		t.Errorf("the heading stands %d times in the edition, want 2", n)
	}
}

// A paragraph in cells 3-1 right after lines of verse that step in and out, without a blank line
// between, in a book without capitals: it is one paragraph (extracts set off by indents alone, and
// braille without capitals: British practice).
func TestParagraphRightAfterVerse(t *testing.T) {
	s := &houseVolume{width: 36, height: 25}
	s.head = s.right
	var whole []string
	for n := range 12 {
		for k := range 2 {
			whole = append(whole, s.flow(append(s.words(30+7*((n+k)%4)), "h\\se4"), 2, 0))
		}
		s.put("")
		for k := range 8 {
			line := strings.Join(s.words(3), " ")
			s.put(strings.Repeat(" ", 2*(k%2)) + line)
			whole = append(whole, line)
		}
		whole = append(whole, s.flow(append(s.words(45), "h\\se4"), 2, 0))
		s.put("")
	}
	wholeLines(t, makeOf(t, s.String()), whole)
}

// Items with numbers and stops whose runovers begin with a number of the text: "10 years", "5000
// years" (lists: BANA, Braille Formats 2016, section 8; numbers without a stop: common practice).
func TestRunoverThatBeginsWithANumber(t *testing.T) {
	s := &houseVolume{width: 30, height: 25}
	s.head = s.right
	var whole []string
	for n := range 10 {
		s.para(40)
		s.put("")
		for k := range 4 {
			w := strings.Fields("#" + string(rune('a'+k)) + "4 ,hannah kept ! old f]ry")
			if k%3 == n%3 {
				w = append(w, "#ejjj", "ye>s1", "twice", "a", "day", "&", "more4")
			} else {
				w = append(w, "boat4")
			}
			whole = append(whole, s.flow(w, 0, 6))
			whole = append(whole, s.flow(append([]string{"a4", ",beside"}, append(s.words(5+(n+k)%4), "boat4")...), 2, 6))
		}
		s.put("")
	}
	wholeLines(t, makeOf(t, s.String()), whole)
}

// Verse in cells 5 and 7, some of whose lines stand in the middle by chance, and the close of a
// letter: none of them is a heading (verse: BANA, Braille Formats 2016, section 13; letters:
// section 12, from memory).
func TestVerseAndClosesAreNoHeadings(t *testing.T) {
	s := &houseVolume{width: 38, height: 25}
	s.head = s.right
	verse := []string{",b ,i 0 \"! & ,i saw :at y did1", ",i saw x ) my [n two eyes4", ",s y c wipe (f t gr92", ",x's all be5 a pack ( lies6"}
	for n := range 10 {
		s.para(40)
		s.para(50)
		if n%2 == 0 {
			s.put("")
			for k, l := range verse {
				s.put(strings.Repeat(" ", 4+2*(k%2)) + l)
			}
			s.put("")
		} else {
			s.put(strings.Repeat(" ", 10) + ",yr a6ec;nate bro!r1")
			s.put(strings.Repeat(" ", 12) + ",cor9")
			s.put("")
			s.centre(",*apt] #" + string(rune('a'+n/2)))
			s.put("")
		}
	}
	for _, h := range headLines(makeOf(t, s.String()).Book) {
		if !strings.HasPrefix(h, ",*apt]") {
			t.Errorf("%q is a heading", h)
		}
	}
}

// A blank line stands under the running head of every page of the text but not of the preliminary
// pages, which are numbered in roman (English Braille American Edition 1994, rule III; line 2 kept
// clear: common practice): an item that goes on under a head is whole.
func TestItemsGoOnUnderHeads(t *testing.T) {
	s := &houseVolume{width: 38, height: 22}
	front := 4
	s.head = func(p int) string {
		if p <= front {
			l := []string{"", ";ii", ";iii", ";iv"}[p-1]
			return strings.Repeat(" ", s.width-len(l)) + l
		}
		return "        ,! ,l;g ,road" + s.right(p - front)[21:]
	}
	s.turn()
	s.centre(",! ,l;g ,road")
	for range 3 {
		s.turn()
		s.centre(",= ,hannah")
	}
	var whole []string
	for n := range 60 {
		w := append(s.words(14+n%9), "tea4")
		for i := 0; i < len(w); {
			if m := len(s.pages); len(s.pages[m-1]) >= s.height || m <= front {
				s.turn()
				s.put("")
			}
			line := strings.Repeat(" ", 2*min(i, 1))
			for ; i < len(w) && len(line)+1+len(w[i]) <= s.width; i++ {
				line += strings.Repeat(" ", min(len(strings.TrimSpace(line)), 1)) + w[i]
			}
			s.put(line)
		}
		whole = append(whole, strings.Join(w, " "))
	}
	wholeLines(t, makeOf(t, s.String()), whole)
}

// The one chapter of a volume begins at the margin beside the page number, and the pages after repeat its name in
// the middle without a capital as running heads (heads in the middle: BANA, Braille Formats 2016,
// 1.7; headings at the margin: common practice): the heading stays, the heads go.
func TestHeadingAtTheMarginWhereHeadsStandInTheMiddle(t *testing.T) {
	s := &houseVolume{width: 36, height: 22}
	part, opens := "", false
	s.head = func(p int) string {
		left := strings.Repeat(" ", (s.width-len(part))/2) + part
		if opens {
			left = "," + part
		}
		opens = false
		return left + s.right(p)[len(left):]
	}
	part, opens = "?ree", true
	s.turn()
	s.put("")
	for range 24 {
		s.para(60)
	}
	ed := "\n" + string(makeOf(t, s.String()).Edition)
	if strings.Contains(ed, "\n?ree\n") || strings.Count(strings.ReplaceAll(ed, " ", ""), "\n,?ree\n") != 1 {
		t.Error("the heading does not stand once, without its heads")
	}
}

// A chapter and a section of the same name, each at the top of a page with no head: both stay
// (a head stands on three pages at least; a heading has a blank line under it: BANA, Braille Formats 2016,
// section 4).
func TestSameHeadingAtTheTopOfTwoPages(t *testing.T) {
	s := &houseVolume{width: 40, height: 25}
	s.head = func(p int) string { return "" }
	for p := range 24 {
		s.pages = append(s.pages, nil)
		if p == 9 || p == 13 {
			s.centre(",home")
			s.put("")
		}
		for len(s.pages[p]) < s.height-7 {
			s.para(12)
		}
		if p == 6 {
			s.put("")
			s.centre(",home")
			s.put("")
		}
		for len(s.pages[p]) < s.height-2 {
			s.put("  ," + strings.Join(s.words(5), " ") + "4")
		}
		if p != 8 && p != 12 {
			s.put("  ," + strings.Join(s.words(4), " ") + "4")
		} else {
			s.put("")
		}
		s.put(s.right(p + 1))
	}
	if n := strings.Count(string(makeOf(t, s.String()).Edition), ",home"); n != 3 {
		t.Errorf("the heading stands %d times in the edition, want 3", n)
	}
}
