package convert_test

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/cell"
	"continuo/internal/diag"
)

// A volume begins within a chapter, and repeats its heading with "(continued)" beside
// it, under it, or under the title and a rule (common practice); the heading may take
// several lines. It does not stand in the edition, and the chapter goes on. A chapter
// whose title ends in the word is none.
func TestHeadingThatGoesOnAtTheStartOfAVolume(t *testing.T) {
	for _, c := range []struct {
		name, again string // lines at the start of volume 2
		stays       bool
	}{
		{"beside it", ",*apt] ,two|,! ,long ,road \"<3t9u$\">", false},
		{"under it", ",*apt] ,two|,! ,long ,road|\"<3t9u$\">", false},
		{"under the title", ",! ,l;g ,road|333333333333|,*apt] ,two|,! ,long ,road|\"<3t9u$\">", false},
		{"bare, under it", ",*apt] ,two|,! ,long ,road|3t9u$", false},
		{"its own title", ",! ,long ,road 3t9u$", true},
		{"no heading before", ",*apt] ,n9e \"<3t9u$\">", true},
	} {
		one := hardVolume(1, 2)
		one.chapter(",*apt] ,\"o", 12)
		one.put("")
		one.centre(",*apt] ,two")
		one.centre(",! ,long ,road")
		for range 12 {
			one.para(40)
		}
		two := hardVolume(2, 2)
		lines := strings.Split(c.again, "|")
		for _, l := range lines {
			two.centre(l)
		}
		for range 12 {
			two.para(40)
		}
		two.chapter(",*apt] ,?ree", 12)
		_, ed := hardBook(t, nil, one.ends(1), two.ends(2))
		last := lines[len(lines)-1]
		if got := strings.Contains(ed, last+"\n"); got != c.stays {
			t.Errorf("%s: %q in the edition: %v, want %v", c.name, last, got, c.stays)
		}
		if n := strings.Count(ed, ",*apt] ,two"); n != 1 {
			t.Errorf("%s: the heading stands %d times", c.name, n)
		}
	}
}

// Notes under a heading at the end of each chapter, all with the same sign (Rules of
// Unified English Braille 2013, 3.3; common practice), are told apart by their order
// alone. The last stands near its reference; a print page turns within another. All go
// to the end, whole, in order, none to the paragraph of another's reference.
func TestNotesOfAChapterWithOneSign(t *testing.T) {
	s := hardVolume(1, 1)
	var want []string
	for ch := 1; ch <= 3; ch++ {
		s.chapter(",*apt] "+[]string{",\"o", ",two", ",?ree"}[ch-1], 12, "ri$\"9", "ri$", "ri$\"9", "ri$", "ri$", "ri$", "ri$", "ri$", "ri$", "ri$", "ri$", "h\\se\"9")
		s.put("")
		s.centre(",notes")
		for n := range 3 {
			text := fmt.Sprintf("\"9 ,! %s z b a m9d", strings.Repeat("x", ch+n*3))
			if n == 1 {
				s.put("  " + text)
				s.centre("\"3#" + string("abc"[ch-1]))
				s.put("( ! l& n%;s _c$4")
			} else {
				s.put("  " + text + "4")
			}
			want = append(want, text)
		}
	}
	res, ed := hardBook(t, nil, s.ends(1))
	end := strings.LastIndex(ed, "h\\se4\n")
	if end < 0 {
		t.Fatal("no text")
	}
	inOrder(t, ed[end:], want...)
	if n := strings.Count(ed, "( ! l& n%;s _c$4"); n != 3 {
		t.Errorf("%d ends of notes, want 3", n)
	}
	for _, f := range res.Findings {
		if f.Severity == diag.Look {
			t.Errorf("finding: %+v", f)
		}
	}
}

// Entries of contents lists over three lines and more, kept short of the column of
// numbers, in a general contents of two pages and in the lists of the volumes (UK paper
// layout: a general contents names volumes, the lists have braille pages). One list of
// whole entries is left, and nothing that stands nowhere is called a repeat.
func TestEntriesOverManyLines(t *testing.T) {
	titles := [2][]string{
		{",9 ,: a ,kettle|,meets an ,ev5+|0,dor?y ,quill", ",a ,f]ry 0! ,old|,nei<b\\r 0,! ,bri*|0,dor?y ,quill"},
		{",( ,g>d5s & ,j\\rneys|,2y ! ,gr1t ,sea|0,eliza ,m>%", ",p>cels = ,any|,p>ticul>|0,jane ,penn"},
	}
	list := func(s *houseVolume, from []string, page int) {
		for n, e := range from {
			lines := strings.Split(e, "|")
			for k, l := range lines {
				in := strings.Repeat(" ", 2*min(k, 1)) + l
				if k == len(lines)-1 && page > 0 {
					in += " " + strings.Repeat("-", 34-len(in)-2) + " #" + string(rune('b'+n+page))
				}
				s.put(in)
			}
		}
	}
	var vols []string
	for v := range 2 {
		s := hardVolume(v+1, 2)
		if v == 0 {
			s.centre(",g5]al ,3t5ts")
			s.centre(",volume ,\"o")
			list(s, titles[0], 0)
			s.turn()
			s.centre(",3t5ts")
			s.centre(",volume ,two")
			list(s, titles[1], 0)
			s.centre("333333333333")
			s.turn()
		}
		s.centre(",3t5ts")
		s.put(strings.Repeat(" ", 33) + ",page")
		list(s, titles[v], 1)
		s.centre("333333333333")
		s.turn()
		for _, e := range titles[v] {
			s.part(e, 14)
		}
		vols = append(vols, s.ends(v+1))
	}
	_, ed := hardBook(t, nil, vols...)
	for _, from := range titles {
		for _, e := range from {
			if whole := "\n" + strings.ReplaceAll(e, "|", " ") + "\n"; strings.Count(ed, whole) != 1 {
				t.Errorf("%d entries %q, want 1\n%s", strings.Count(ed, whole), whole, ed[:min(len(ed), 1500)])
			}
		}
	}
	if strings.Contains(ed, "g5]al") {
		t.Error("the general contents stands in the edition")
	}
}

// A contents list without numbers, in the first volume for all of them, goes on over two
// pages; headings of two lines stand in it on one, a colon between. Each entry is one.
func TestListWithoutNumbersForAllVolumes(t *testing.T) {
	var list []string
	for n := 1; n <= 30; n++ {
		list = append(list, fmt.Sprintf(",*apt] %s|,! ,%s ,road", numberCells(n), strings.Repeat("x", n%12+2)))
	}
	var vols []string
	for v := range 3 {
		s := hardVolume(v+1, 3)
		if v == 0 {
			s.centre(",3t5ts")
			s.put("")
			for _, e := range list {
				s.put(strings.ReplaceAll(e, "|", "3 "))
			}
			s.turn()
		}
		for _, e := range list[10*v : 10*v+10] {
			s.part(e, 4)
		}
		vols = append(vols, s.ends(v+1))
	}
	_, ed := hardBook(t, nil, vols...)
	for _, e := range list {
		if l := "\n" + strings.ReplaceAll(e, "|", "3 ") + "\n"; strings.Count(ed, l) != 1 {
			t.Errorf("%d lines %q, want 1", strings.Count(ed, l), l)
		}
	}
}

func numberCells(n int) string { return "#" + string(cell.Number(n))[1:] }

// Line 1 has the print page at the left, the braille page at the right; turns are marked
// in the text (W3C w3c-wai-hc 1997, 0306 and 0312). The first heading of each volume
// stands on the print page that the first page says, and a list of braille pages becomes
// one of print pages, for these entries too.
func TestPrintPageOfTheFirstHeadingOfAVolume(t *testing.T) {
	print := 1
	var vols, want []string
	for v := range 3 {
		s := hardVolume(v+1, 3)
		name := func(n int) string { return ",*apt] " + numberCells(2*v+n+1) }
		s.centre(",3t5ts")
		s.put(strings.Repeat(" ", 28) + ",brl page")
		s.put(name(0) + " ------------------------ #a")
		s.put(name(1) + " ------------------------ #d")
		s.centre("333333333333")
		body := 2
		s.head = func(p int) string {
			l, r := numberCells(print), numberCells(p-body)
			return l + strings.Repeat(" ", s.width-len(l)-len(r)) + r
		}
		s.turn()
		for ch := range 2 {
			if ch == 1 {
				for len(s.pages) < body+4 {
					s.para(40)
				}
			}
			s.centre(name(ch))
			want = append(want, fmt.Sprintf("%s %s", name(ch), numberCells(print)))
			for range 8 {
				s.para(40)
				print++
				s.centre("\"3" + numberCells(print))
				s.para(40)
			}
		}
		vols = append(vols, s.ends(v+1))
	}
	_, ed := hardBook(t, nil, vols...)
	for _, w := range want {
		if strings.Count(ed, "\n"+w+"\n") != 1 {
			t.Errorf("no entry %q\n%s", w, ed[:700])
		}
	}
}

// Words and verse numbers that stand alone on the last line of a few pages are text: the
// word I reads like a Roman page number, a verse number like an Arabic one, but line 1 of
// every page has the numbers (W3C w3c-wai-hc 1997, 0306).
func TestLoneWordsAtTheFootAreText(t *testing.T) {
	for _, lone := range []string{",i", ",x", "  #ab"} {
		s := hardVolume(1, 1)
		s.head = func(p int) string {
			l, r := numberCells(p/2+1), numberCells(p)
			return l + strings.Repeat(" ", s.width-len(l)-len(r)) + r
		}
		n := 0
		for p := range 40 {
			s.turn()
			for len(s.pages[len(s.pages)-1]) < s.height-1 {
				s.put("  " + strings.Join(s.words(4), " "))
			}
			if p%9 == 4 {
				s.put(lone)
				n++
			}
		}
		_, ed := hardBook(t, nil, s.ends(1))
		if got := strings.Count(strings.ReplaceAll(ed, "\n", " ")+" ", " "+strings.TrimSpace(lone)+" "); got != n {
			t.Errorf("%q stands %d times, want %d", lone, got, n)
		}
	}
}

// A note in cells 7 and 5 after its paragraph (English Braille American Edition 1994, rule
// IV, section 22; BANA Braille Formats 2016, section 16), in which the print page turns or
// a page ends after a sentence: it goes to the end whole.
func TestNoteAfterItsParagraphOverATurn(t *testing.T) {
	for _, middle := range []string{"turn", "sentence"} {
		s := hardVolume(1, 1)
		for n := 1; n <= 9; n++ {
			w := s.words(50)
			w[20] += ";9" + numberCells(n)
			s.flow(append(w, "h\\se4"), 2, 0)
			first := "      ;9" + numberCells(n) + " ,! f/ "
			switch middle {
			case "turn":
				s.put(first + "m9d ( ! f]ry z")
				s.put(strings.Repeat("-", 38-2) + numberCells(n+1))
			case "sentence":
				for len(s.pages[len(s.pages)-1]) != s.height-1 {
					s.put("  " + strings.Join(s.words(3), " "))
				}
				s.put(first + "m9d ( ! f]ry n[ _lc4")
			}
			s.put("    ,trave" + string(rune('a'+n)) + "+ a1t]noon4")
		}
		for range 5 {
			s.para(40)
		}
		_, ed := hardBook(t, nil, s.ends(1))
		for n := 1; n <= 9; n++ {
			at, rest := strings.Index(ed, ";9"+numberCells(n)+" ,! f/"), ",trave"+string(rune('a'+n))
			if line, _, _ := strings.Cut(ed[max(at, 0):], "\n"); at < 0 || !strings.Contains(line, rest) {
				t.Errorf("%s: note %d is not whole: %q", middle, n, line)
			}
		}
	}
}

// A volume that is there twice is left out once, with notes at the ends of volumes too,
// and the edition is proved.
func TestVolumeTwiceWithNotes(t *testing.T) {
	var vols []string
	for v := range 3 {
		s := hardVolume(v+1, 3)
		s.chapter(",*apt] "+numberCells(v+1), 9, "boat;9#a", "boat;9#b")
		s.put("")
		s.centre(",notes")
		s.put("")
		s.put("  #a ,! f/ " + strings.Repeat("x", v+2) + "4")
		s.put("  #b ,! o!r " + strings.Repeat("x", v+2) + "4")
		vols = append(vols, s.ends(v+1))
	}
	for again := range vols {
		_, ed := hardBook(t, nil, append(vols[:3:3], vols[again])...)
		if n := strings.Count(ed, "\n    ,notes\n"); n != 1 {
			t.Errorf("volume %d twice: %d headings of notes", again+1, n)
		}
	}
}

// Volumes of a few pages, the line with the title, the print page at its left and the
// braille page at its right on odd pages only, none on the pages before the text (W3C
// w3c-wai-hc 1997, 0306; UKAAF Guiding Principles 2016, sections 6 and 7). No volume has
// numbers enough for a sequence; together they tell.
func TestHeadsOnOddPagesOfSmallVolumes(t *testing.T) {
	var vols []string
	for v := range 8 {
		s := hardVolume(v+1, 8)
		s.head = func(p int) string {
			if p%2 == 1 || p < 2 {
				return ""
			}
			l, r, mid := numberCells(v+2+p/4), numberCells(p-1), "! l;g road"
			if p == 2 {
				mid = ""
			}
			return l + strings.Repeat(" ", 14-len(l)) + mid + strings.Repeat(" ", s.width-14-len(mid)-len(r)) + r
		}
		s.pages = s.pages[:1]
		for len(s.pages) < 4 {
			s.turn()
			last := len(s.pages) - 1
			if s.pages[last][0] == "" {
				s.pages[last] = nil
			}
			for len(s.pages[last]) < s.height {
				s.put(strings.Join(s.words(6), " "))
			}
		}
		vols = append(vols, s.String())
	}
	_, ed := hardBook(t, nil, vols...)
	if n := strings.Count(ed, "! l;g road"); n != 0 {
		t.Errorf("%d heads are left", n)
	}
	for _, l := range strings.Split(ed, "\n") {
		if strings.HasPrefix(l, "#") || strings.Contains(l, "  #") {
			t.Errorf("a page number is left: %q", l)
		}
	}
}

// A short rule parts scenes of the text, and stands before the end of a volume too: it
// stays. A rule that frames the statement of the title page goes with the end of the
// volume.
func TestSceneBreakBeforeTheEndOfAVolume(t *testing.T) {
	for rule, want := range map[string]int{"33333": 9, "333333333333": 8} {
		var vols []string
		for v := range 2 {
			s := hardVolume(v+1, 2)
			for range 4 {
				s.para(40)
				s.put("")
				s.centre(rule)
				s.put("")
				s.para(40)
			}
			if v == 0 {
				s.put("")
				s.centre(rule)
			}
			vols = append(vols, s.ends(v+1))
		}
		_, ed := hardBook(t, nil, vols...)
		_, text, _ := strings.Cut(ed, "brl $i;n")
		if n := strings.Count(text, "    "+rule+"\n"); n != want {
			t.Errorf("%s: %d rules in the text, want %d\n%s", rule, n, want, text[:400])
		}
	}
}

// Exercises: questions numbered at the margin with runovers in cell 3, their parts with
// letters in cell 3 and runovers in cell 5 (common practice; Rules of Unified English
// Braille 2013, 7.1, and the brackets of the codes before it). Each question and part is
// one line of an edition without a width, and none goes on another.
func TestQuestionsWithPartsAndTheirRunovers(t *testing.T) {
	for _, br := range [][2]string{{"\"<", "\">"}, {"7", "7"}} {
		s := hardVolume(1, 1)
		s.chapter(",*apt] ,\"o", 6)
		s.put("")
		s.centre(",ex]cises")
		var want []string
		add := func(first int, w ...string) { want = append(want, s.flow(w, first, first+2)) }
		for n := 1; n <= 9; n++ {
			add(0, append([]string{numberCells(n), ",expla9"}, append(s.words(3+n), "_!8")...)...)
			for k := range n % 4 {
				add(2, append([]string{br[0] + ";" + string(rune('a'+k)) + br[1], ",f9d"}, append(s.words(4+3*k), "_c4")...)...)
			}
		}
		s.put("")
		for range 6 {
			s.para(40)
		}
		_, ed := hardBook(t, nil, s.ends(1))
		lines := map[string]bool{}
		for _, l := range strings.Split(ed, "\n") {
			lines[strings.TrimSpace(l)] = true
		}
		for _, w := range want {
			if !lines[w] {
				t.Errorf("not one line: %q", w)
			}
		}
	}
}

// The title stands above the first heading of the text without a blank line (UK paper
// layout: the title repeated at the start of the text). They are two headings.
func TestTitleAboveTheFirstHeading(t *testing.T) {
	s := hardVolume(1, 1)
	s.centre(",! ,l;g ,road")
	for n := 1; n <= 3; n++ {
		s.centre(",*apt] " + numberCells(n))
		for range 9 {
			s.para(40)
		}
	}
	_, ed := hardBook(t, nil, s.ends(1))
	inOrder(t, ed[strings.Index(ed, "brl $i;n"):], "\n\n    ,! ,l;g ,road\n\n    ,*apt] #a\n  ", "\n    ,*apt] #b\n  ")
}

// Steps of recipes that say the same end at the top of a page now and then, beside the
// number there: the words close the sentence of the page before, and are no head.
func TestRepeatedStepsAtPageTops(t *testing.T) {
	s := hardVolume(1, 1)
	s.head = nil
	n := 0
	for p := 2; p < 14; p++ {
		s.turn()
		num := numberCells(p)
		switch {
		case p%4 == 3:
			top := "is se5 ( x4"
			s.put(top + strings.Repeat(" ", s.width-len(top)-len(num)) + num)
			n++
		default:
			top := "! fl\\r" + strings.Join(s.words(2), " ")
			s.put(top + strings.Repeat(" ", s.width-len(top)-len(num)) + num)
		}
		for len(s.pages[len(s.pages)-1]) < s.height-2 {
			s.put("  #" + string(rune('a'+p%9)) + "4 ,/ir " + strings.Join(s.words(3), " ") + "4")
		}
		s.put("  #i4 ,rub ! butt] 9 ) cold f+]s")
		s.put("until no?+")
	}
	_, ed := hardBook(t, nil, s.String())
	if got := strings.Count(ed, "is se5 ( x4"); got != n {
		t.Errorf("the words stand %d times, want %d", got, n)
	}
}

// part is a heading, lines of it parted by bars, over paragraphs.
func (s *houseVolume) part(heading string, paras int) {
	s.put("")
	for _, l := range strings.Split(heading, "|") {
		s.centre(l)
	}
	s.put("")
	for range paras {
		s.para(40)
	}
}

// A print page turn stands within a centred line near the end of a volume (the indicator
// and its number, W3C w3c-wai-hc 1997, 0306): the page information lines of the next volume
// name the same print page, and it turns once.
func TestPrintPageTurnInACentredLine(t *testing.T) {
	print := 1
	volume := func(n int) *houseVolume {
		s := hardVolume(n, 2)
		plain := s.head
		s.head = func(p int) string {
			h := plain(p)
			if p > 1 {
				label := string(cell.Number(print))
				h = label + h[len(label):]
			}
			return h
		}
		s.chapter(fmt.Sprint(",*apt] ", string(cell.Number(n))), 12)
		return s
	}
	one := volume(1)
	one.put("")
	print = 2
	one.centre(",! riv] \"3 #b & ! h\\se")
	one.put("")
	one.para(40)
	two := volume(2)
	_, ed := hardBook(t, nil, one.ends(1), two.ends(2))
	if n := strings.Count(ed, "\"3#b") + strings.Count(ed, "\"3 #b"); n != 1 {
		t.Errorf("the turn to print page 2 stands %d times", n)
	}
}

// The title stands again above the text of a later volume, under the name of the chapter that goes on
// there (common practice: the head of the page before the title). Both go.
func TestTitleUnderThePartThatGoesOn(t *testing.T) {
	one := hardVolume(1, 2)
	one.chapter(",*apt] ,\"o", 12)
	one.put("")
	one.centre(",*apt] ,two")
	for range 12 {
		one.para(40)
	}
	two := hardVolume(2, 2)
	two.centre(",*apt] ,two")
	two.centre(",! ,l;g ,road")
	two.put("")
	for range 12 {
		two.para(40)
	}
	_, ed := hardBook(t, nil, one.ends(1), two.ends(2))
	if n, c := strings.Count(ed, ",! ,l;g ,road"), strings.Count(ed, ",*apt] ,two"); n != 1 || c != 1 {
		t.Errorf("the title stands %d times, the chapter %d times; want 1 of each", n, c)
	}
}

// Volumes that call themselves parts ("part 1 of 2") after a preliminary volume, which is
// none (UKAAF B004, section 4: every volume says which it is; the word, common practice):
// the statements and the lines at the ends go, as those of volumes do.
func TestPartsAfterAPreliminaryVolume(t *testing.T) {
	front := &houseVolume{width: 38, height: 26, head: func(int) string { return "" }}
	for _, l := range []string{"", ",! ,l;g ,road", "", "by ,orla ,penn", "", ",preliminary ,volume"} {
		if l == "" {
			front.put("")
			continue
		}
		front.centre(l)
	}
	front.turn()
	front.para(40)
	vols := []string{front.String()}
	for n, first := range []string{",*apt] ,\"o", ",*apt] ,two"} {
		p := &houseVolume{width: 38, height: 26, head: hardVolume(n+1, 1).head, next: 1000 * (n + 1)}
		p.put("")
		p.centre(",! ,l;g ,road")
		p.put("")
		p.centre("by ,orla ,penn")
		p.put("")
		p.centre(",\"p " + string(cell.Number(n+1)) + " ( #b")
		p.turn()
		p.chapter(first, 9)
		p.put("")
		p.centre(",5d ( ,\"p " + string(cell.Number(n+1)))
		vols = append(vols, p.String())
	}
	_, ed := hardBook(t, nil, vols...)
	if strings.Contains(ed, ",\"p #") {
		t.Errorf("a statement or an end is left:\n%s", ed[:600])
	}
}

// A volume begins within a sentence, under the title once more, and the print page turns after its first
// word (UK practice: the turn stands on its own line at the exact place). The word is "by", as on the title
// page; with no author under it, it is text. With the author it goes, as the title does.
func TestWordOfTheTitlePageAtTheStartOfAVolume(t *testing.T) {
	for _, c := range []struct {
		under string
		stays bool
	}{{"ri$ x cd 2 rea*$ on foot h\\se4", true}, {",orla ,penn", false}} {
		start := func(n int) *houseVolume {
			s := hardVolume(n, 2)
			s.pages[0][4] = s.pages[0][2] // "by" alone on its line
			s.pages[0] = append(append([]string{}, s.pages[0][:4]...), append([]string{strings.Repeat(" ", 18) + "by", strings.Repeat(" ", 14) + ",orla ,penn"}, s.pages[0][5:]...)...)
			return s
		}
		one, two := start(1), start(2)
		one.chapter(",*apt] ,\"o", 12)
		one.flow(append(one.words(40), "&", "!", "riv]"), 2, 0)
		two.centre(",! ,l;g ,road")
		if c.stays {
			two.put("by")
			two.centre("\"3#ab")
			two.put(c.under)
		} else {
			two.centre("by")
			two.centre(c.under)
		}
		for range 12 {
			two.para(40)
		}
		_, ed := hardBook(t, nil, one.ends(1), two.ends(2))
		if got := strings.Contains(ed, "riv] by"); got != c.stays {
			t.Errorf("over %q: \"by\" in the text %v, want %v", c.under, got, c.stays)
		}
		if n := strings.Count(ed, ",orla ,penn"); n != 1 {
			t.Errorf("over %q: the author stands %d times", c.under, n)
		}
	}
}

// Volumes that are called parts say which of how many they are (common practice; UKAAF B004, section 4), on a page
// after the title page that had no room for it, alone or under the rest of its lines, or on the title page, in one
// volume off the middle. The line and the rules beside it are no text, in no volume, and the parts are put in
// their order; a heading of that name over text stays.
func TestPartOfTheBookOnThePageAfterTheTitle(t *testing.T) {
	for _, c := range []struct {
		name, over string
		stays      int
	}{{"alone", "", 0}, {"under the rest of the title page", ",saltm]e", 0}, {"on the title page", "", 0}, {"a heading", "", 3}} {
		vols := make([]string, 3)
		for n := 1; n <= 3; n++ {
			s := hardVolume(n, 1)
			s.pages = s.pages[:1]
			if c.name != "on the title page" {
				s.turn()
			}
			part := ",\"p " + string(cell.Number(n)) + " ( #c"
			if c.stays > 0 {
				part = ",\"p " + string(cell.Number(n))
			}
			s.put("")
			if c.over != "" {
				s.centre(c.over)
			}
			s.centre("333333333333")
			if s.centre(part); n == 1 && c.name == "on the title page" {
				s.pages[0][len(s.pages[0])-1] = "      " + part
			}
			s.centre("333333333333")
			if c.stays == 0 {
				s.turn()
			}
			s.chapter(",*apt] "+[]string{",\"o", ",two", ",?ree"}[n-1], 14)
			vols[3-n] = s.String() // the last first
		}
		_, ed := hardBook(t, nil, vols...)
		if n := strings.Count(ed, ",\"p #"); n != c.stays {
			t.Errorf("%s: %d lines name a part, want %d\n%.900s", c.name, n, c.stays, ed)
		}
		if c.stays == 0 && strings.Index(ed, ",*apt] ,\"o") > strings.Index(ed, ",*apt] ,?ree") {
			t.Errorf("%s: the parts are not in their order", c.name)
		}
	}
}
