package layout

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/source"
)

// settled surveys the numbers of one volume up to the ones that are in no sequence.
func (s *sheet) settled(t *testing.T) (*Volume, *numbers, *[2]map[string]int) {
	v := newVolume(s.file(t, "v1.brf", true))
	v.measure()
	n := v.findNumbers()
	pool([]*numbers{n})
	v.settle(n)
	beside := [2]map[string]int{{}, {}}
	n.addBeside(v, &beside)
	return v, n, &beside
}

// TestCornerRules: what the numbers of each corner are, and why.
func TestCornerRules(t *testing.T) {
	s := newSheet(12, 40, 25)
	for p, pg := range s.pages {
		letter := "" // the second braille page of a print page has the letter a (BRL session 4)
		if p%2 == 1 {
			letter = "a"
		}
		pg[0] = s.corner(s.line(30), letter+num(p/2+7))
		pg[24] = s.corner(s.line(30), num(p+1))
		if p < 3 {
			pg[0] = num(p/2+7) + strings.Repeat(" ", 40-2*len(num(p/2+7))) + num(p/2+7) // at both margins
		}
	}
	_, n, _ := s.settled(t)
	best := n.bestCount()
	for _, c := range []struct {
		slot Slot
		use  Use
		why  string
	}{
		{BottomRight, BraillePage, "the strongest count of the pages"},
		{TopRight, PrintPage, "numbers that never fall"},
		{TopLeft, PrintPage, "the print pages of another corner once more"},
		{BottomLeft, Nothing, "no sequence"},
	} {
		if r := n.corner(key(2*c.slot), best).rule(); r.use != c.use || r.why != c.why {
			t.Errorf("%s: use %d (%s), want %d (%s)", c.slot, r.use, r.why, c.use, c.why)
		}
	}
}

// TestLoneRules: what a number is that stands in no sequence of its volume, and why.
func TestLoneRules(t *testing.T) {
	fill := func(s *sheet, p, i int, left, right string) { s.pages[p][i] = s.corner(left, right) }
	for _, c := range []struct {
		is   outcome
		why  string
		set  func(s *sheet)
		page int
		line int // on the page
	}{
		// A misprint of the number, alone on its line.
		{isSlip, "out of sequence", func(s *sheet) { fill(s, 5, 24, "", num(66)) }, 5, 24},
		// The count wants a number there, three blanks from the text (BRL session 4).
		{isSlip, "out of sequence", func(s *sheet) { fill(s, 5, 24, s.line(30), num(66)) }, 5, 24},
		// A year at the end of line 1, where no page has a number.
		{isText, "neither numbers nor heads stand there", func(s *sheet) { fill(s, 5, 0, s.line(30), num(1851)) }, 5, 0},
		// A year alone on the last line of text, where the page numbers stand (title pages carry one; common practice).
		{isText, "far above them all, as a year is", func(s *sheet) { fill(s, 5, 24, "", num(1851)) }, 5, 24},
		// The number of a section, on a page that has its own.
		{isText, "further in than its corner's numbers", func(s *sheet) { s.pages[5][24] = s.corner("", num(5))[4:] }, 5, 24},
		// The number of a verse whose text stands over the page, in the corner of the front matter's roman print
		// pages (common practice): its page has both of its numbers.
		{isText, "its page has its numbers", func(s *sheet) {
			for p, pg := range s.pages {
				pg[0] = s.corner(s.line(30), num(p/2+97))
				if p < 3 {
					pg[0], pg[24] = s.line(36), s.corner(";"+[]string{"iii", "iv", "v"}[p], num(p+1))
				}
			}
			s.pages[9][24] = s.corner(num(38), num(10))
		}, 9, 24},
		// The transcriber's page 1 (BANA Braille Formats 2011, 2.2.1).
		{isBraille, "a page that the transcriber made", func(s *sheet) { fill(s, 0, 24, "", "t"+num(1)) }, 0, 24},
		// A preliminary page (EBAE; BRL session 3).
		{isBraille, "a preliminary page", func(s *sheet) { fill(s, 1, 24, "", ";ii"); fill(s, 0, 24, "", "") }, 1, 24},
	} {
		s := newSheet(12, 40, 25)
		for p, pg := range s.pages {
			pg[24] = s.corner(s.line(30), num(p+1))
		}
		c.set(s)
		v, n, heads := s.settled(t)
		got := fmt.Sprintf("no number on page %d, line %d", c.page, c.line)
		all := n.loners(v)
		for i := range n.cands {
			if d := &n.cands[i]; n.taken[i] == Nothing && int(d.page) == c.page && d.line == v.Pages[c.page].First+int32(c.line) {
				r := all.evidence(i, heads).rule()
				if got = r.why; r.is != c.is {
					got = fmt.Sprintf("%s, taken for %d", r.why, r.is)
				}
			}
		}
		if got != c.why {
			t.Errorf("%s, want %s", got, c.why)
		}
	}
}

// TestChapterNumberInHead: the number of the chapter stands in the middle of line 1, the page number in
// the outer corner (common practice); neither is a print page.
func TestChapterNumberInHead(t *testing.T) {
	s := newSheet(16, 40, 25)
	for p, pg := range s.pages {
		text := s.centre(num(p/4 + 1))
		pg[0] = s.corner(text, num(p+1))
		if p%2 == 1 {
			pg[0] = num(p+1) + text[len(num(p+1)):]
		}
	}
	v := s.survey(t)
	for p := range v.Pages {
		if pg := &v.Pages[p]; pg.Print != nil || pg.Braille == nil || pg.Braille.Value != p+1 {
			t.Errorf("page %d: braille page %v, print page %v", p+1, pg.Braille, pg.Print)
		}
		if p > 0 && v.Lines[v.Pages[p].First].Role == Text && p%4 > 0 {
			t.Errorf("page %d: %q is left as text", p+1, v.Raw(v.Pages[p].First))
		}
	}
}

// TestItemNumbersEndNoSentence: a list without capitals after its numbers does not tell of a book
// that writes none.
func TestItemNumbersEndNoSentence(t *testing.T) {
	var r running
	r.addSentences([]byte("#a4 wolves #ab4 apples4 ,he saw"))
	if r.sentences != 1 || r.capped != 1 {
		t.Errorf("%d sentences, %d with a capital", r.sentences, r.capped)
	}
}

// TestHyphensWithoutFormFeeds: page numbers between hyphens, as on typed pages (common practice), tell
// where pages begin.
func TestHyphensWithoutFormFeeds(t *testing.T) {
	s := newSheet(12, 36, 24)
	for p, pg := range s.pages {
		pg[0] = s.centre("- " + num(p+1) + " -")
		pg[11], pg[12], pg[13] = "", s.centre(num(p+1)), "" // the number of a poem
	}
	v := Survey([]*source.File{s.file(t, "v1.brf", false)})[0]
	if len(v.Pages) != 12 || v.roles(Number) != 12 {
		t.Errorf("%d pages, %d lines of numbers, want 12", len(v.Pages), v.roles(Number))
	}
}

// TestPreliminaryPagesOnTheOtherSide: left-hand pages have the braille page at the left, right-hand ones the
// print page there and the braille page at the right. The preliminary pages end with a right-hand page
// and the text begins with one, so that they are on the other side of the paper by their count.
func TestPreliminaryPagesOnTheOtherSide(t *testing.T) {
	s := newSheet(24, 38, 26)
	outer(s, 2, func(n int) int { return 40 + n })
	s.pages[2][0] = s.corner("", num(3))
	for p := 3; p < 24; p++ {
		if n := p - 2; n%2 == 0 {
			s.pages[p][0] = num(n)
		} else {
			s.pages[p][0] = s.head(num(40+n+n/2), "", num(n))
		}
	}
	s.pages[1] = append([]string{num(2), s.centre(",special ,symbols"), ""}, s.pages[1][:8]...)
	v := s.survey(t)
	for p, want := range map[int]int{1: 2, 2: 3, 3: 1, 4: 2, 5: 3} {
		if b := v.Pages[p].Braille; b == nil || b.Value != want || v.Lines[v.Pages[p].First].Role != Number {
			t.Errorf("page %d: %s, braille page %v, want a number, %d", p+1, v.Lines[v.Pages[p].First].Role, b, want)
		}
	}
}

// TestSidesOfAVolumeWhosePagesKeepStep: the same corners in three volumes. In the first the print
// comes to the number of the braille page now and then, so that the numbers at the left make one count; in the others the corner at the right has the
// braille pages.
func TestSidesOfAVolumeWhosePagesKeepStep(t *testing.T) {
	first := map[int]int{1: 5, 3: 6, 5: 7, 7: 8, 9: 10, 11: 11, 13: 13, 15: 14} // print pages by braille pages
	var sheets []*sheet
	for k, from := range []int{0, 17, 39} {
		s := newSheet(22, 38, 26)
		if k == 0 {
			s = newSheet(16, 38, 26)
		}
		for p := range s.pages {
			n, print := p+1+from, from+2*p/3
			if k == 0 {
				print = first[n]
			}
			if s.pages[p][0] = s.corner(num(print), num(n)); n%2 == 0 {
				s.pages[p][0] = num(n)
			}
		}
		sheets = append(sheets, s)
	}
	for k, v := range surveyAll(t, sheets...) {
		for p := range v.Pages {
			if b := v.Pages[p].Braille; b == nil || b.Value != p+1+[]int{0, 17, 39}[k] {
				t.Errorf("volume %d, page %d: braille page %v, want %d", k+1, p+1, b, p+1+[]int{0, 17, 39}[k])
			}
		}
	}
}

// TestNumberOfAVerseOnTheOtherSide: right-hand pages have the print page at the left of line 1, left-hand ones
// the braille page alone, beside text (W3C w3c-wai-hc 1997, 0336). On one of these a print page turn parts the number of
// a verse from its text: it stands where a print page would, on the wrong side and lower than the print has come.
func TestNumberOfAVerseOnTheOtherSide(t *testing.T) {
	for _, c := range []struct {
		number int
		want   Role
	}{{13, Text}, {25, Number}} { // the print page of that page is 25
		s := newSheet(24, 32, 25)
		for p := range s.pages {
			if s.pages[p][0] = s.corner(s.line(20), num(p+1)); p%2 == 0 {
				s.pages[p][0] = s.head(num(18+p/2), "*apt] #f", num(p+1))
			}
		}
		s.pages[14][0], s.pages[15][0], s.pages[15][1] = s.head(num(24), "*apt] #f", num(15)), s.corner(num(c.number), num(16)), s.centre("\"3"+num(25))
		v := s.survey(t)
		if i := v.Pages[15].First; v.Lines[i].Role != c.want {
			t.Errorf("%d: %s %q, want %s", c.number, v.Lines[i].Role, v.TextOf(i), c.want)
		}
	}
}

// TestLineNumbersOfDoubleSpacedVerse: every fifth line of verse has its number at the right margin (common practice),
// and the lines stand on every other line of short pages (double spacing, BANA, Braille Formats 2011, 1.1.3), so that
// the numbers are far apart. On the last lines of pages they are line numbers all the same, no print pages.
func TestLineNumbersOfDoubleSpacedVerse(t *testing.T) {
	s := newSheet(28, 27, 21)
	for p := range s.pages {
		s.pages[p][0] = s.head("", ",! ,f]ry", num(p+1))
		for i := 1; i < 21 && p >= 6; i++ {
			if s.pages[p][i] = "  " + s.line(20); i%2 == 0 {
				s.pages[p][i] = ""
			}
		}
	}
	for k, at := range [][2]int{{9, 11}, {10, 15}, {12, 19}, {13, 19}, {17, 7}, {20, 19}, {21, 9}} {
		s.pages[at[0]][at[1]] = s.corner("  "+s.line(14), num(5*k+5))
	}
	v := s.survey(t)
	for p := range v.Pages {
		if pg := &v.Pages[p]; pg.Print != nil || pg.Braille == nil || pg.Braille.Value != p+1 {
			t.Errorf("page %d: print page %v, braille page %v", p+1, pg.Print, pg.Braille)
		}
	}
	for p := 6; p < 28; p++ {
		if i := v.Pages[p].Bottom; v.Lines[i].Right.To > 0 {
			t.Errorf("page %d: a number is cut off %q", p+1, v.Raw(i))
		}
	}
}

// TestNumberBesideAHeadOverItsHeading: the last volume of a title has one page of text. Its print page number stands
// beside the head, which no other page has, over the heading of the same words. Beside a line of text the same
// number is text.
func TestNumberBesideAHeadOverItsHeading(t *testing.T) {
	for _, c := range []struct {
		head string
		want Role
	}{{",*apt] ,five", Head}, {"he sat d[n", Text}} {
		one, two := newSheet(24, 33, 18), newSheet(3, 33, 18)
		for p := range one.pages {
			one.pages[p][0], one.pages[p][17] = one.head("", ",*apt] ,\"o", "a"+num(p/2+7)), one.corner("", num(p+1))
		}
		two.pages[0], two.pages[1] = []string{"", two.centre(",! ,w1!r ,h\\se")}, []string{two.corner("", ";v"), two.centre(",special ,symbols"), "", "99 a/]isk"}
		copy(two.pages[2], []string{two.head("", c.head, "a"+num(46)), two.centre(",*apt] ,five"), ""})
		two.pages[2][17] = two.corner("", num(1))
		v := surveyAll(t, one, two)[1]
		i := v.Pages[2].First
		if got := v.Lines[i].Role; got != c.want || (v.Lines[i].Right.To > 0) != (c.want == Head) {
			t.Errorf("%q: %s, a number cut off %v; want %s", c.head, got, v.Lines[i].Right.To > 0, c.want)
		}
	}
}

// TestNumbersOfAList: the last line of a contents page, the third of its volume, is the third chapter: its number is none of the
// page.
func TestNumbersOfAList(t *testing.T) {
	s := newSheet(20, 38, 25)
	for p := range s.pages {
		s.pages[p][0] = s.head("", ",! ,old ,f]ry", num(p-2))
		if p < 3 {
			copy(s.pages[p], make([]string, 25))
			s.pages[p][0] = s.centre(",! ,old ,f]ry")
		}
	}
	copy(s.pages[2], []string{s.centre(",3t5ts"), ",i                                  #a", ",,ii                                #b", ",,iii                               #i"})
	v := s.survey(t)
	if l := &v.Lines[v.Pages[2].Bottom]; l.Left.To > 0 {
		t.Errorf("%q is cut off", v.Raw(v.Pages[2].Bottom)[:l.Left.To])
	}
}
