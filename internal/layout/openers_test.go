package layout

import (
	"fmt"
	"strings"
	"testing"
)

// letters sets a book of letters, each on a new page under the line head(n), with page
// numbers at the foot: full pages of text and a page left unfilled.
func lettersBook(count int, head func(n int) string) *sheet {
	s := newSheet(3*count+1, 38, 25)
	for k := range count {
		first := s.pages[3*k+1]
		first[0], first[1] = s.centre(head(k+1)), s.centre("ferry house")
		for i := 9; i < 24; i++ {
			s.pages[3*k+3][i] = ""
		}
	}
	for p := range s.pages {
		s.pages[p][24] = s.corner("", num(p+1))
	}
	return s
}

// TestHeadingsThatBeginPages: each letter begins on a new page, under the same words as
// others, or under its number in roman. The pages before are left unfilled: these lines
// are no running heads and no page numbers (common practice; a running head stands over
// text that goes on, W3C w3c-wai-hc 1997, 0306).
func TestHeadingsThatBeginPages(t *testing.T) {
	for name, head := range map[string]func(n int) string{
		"the same words": func(int) string { return ",to his ,mother" },
		"roman numbers":  func(n int) string { return ",," + strings.Fields("i ii iii iv v vi vii viii")[n-1] },
	} {
		s := lettersBook(8, head)
		v := s.survey(t)
		for k := range 8 {
			p := 3*k + 1
			if got, want := linesOf(v, true)[p], "text "+head(k+1); got != want {
				t.Errorf("%s, page %d: %q, want %q", name, p+1, got, want)
			}
			if b := v.Pages[p].Braille; b == nil || b.Value != p+1 || v.Pages[p].Print != nil {
				t.Errorf("%s, page %d: braille page %v, print page %v", name, p+1, b, v.Pages[p].Print)
			}
		}
	}
}

// TestHeadingsBesideNumbersThatBeginPages: the same where the headings share line 1 with the print
// page number (BANA, Braille Formats 2016, 1.8), one word apart from each other.
func TestHeadingsBesideNumbersThatBeginPages(t *testing.T) {
	words := strings.Fields("ferry orchard ferry window ferry orchard window ferry")
	head := func(n int) string { return ",to ! ,master ( ! ," + words[n] }
	s := lettersBook(8, func(int) string { return "" })
	for p := 1; p < len(s.pages); p++ {
		if first := s.pages[p]; (p-1)%3 == 0 {
			first[0], first[1] = s.head("", head((p-1)/3), num(p+8)), ""
		} else {
			first[0] = first[0][:min(len(first[0]), 30)] // text shares line 1 with the number
			first[0] += strings.Repeat(" ", 38-len(first[0])-len(num(p+8))) + num(p+8)
		}
	}
	v := s.survey(t)
	for k := range 8 {
		p := 3*k + 1
		if got, want := linesOf(v, true)[p], "text "+head(k); got != want {
			t.Errorf("page %d: %q, want %q", p+1, got, want)
		}
	}
}

// TestHeadsOverPartsThatBeginPages: each hymn begins a page, under the head of its book beside the page number, right under it
// or not: the head begins nothing.
func TestHeadsOverPartsThatBeginPages(t *testing.T) {
	words := strings.Fields("ferry ferry ferry ferry orchard orchard orchard orchard")
	for _, part := range []string{"    ,hymn #", "    ,*apt] #"} {
		s := lettersBook(8, func(int) string { return "" })
		for p := 1; p < len(s.pages); p++ {
			if first := s.pages[p]; (p-1)%3 == 0 {
				k := (p - 1) / 3
				first[0], first[1], first[2] = s.head("", ",songs ( ! ,"+words[k], num(p+8)), part+string(rune('a'+k)), ""
			} else {
				first[0] = first[0][:min(len(first[0]), 30)]
				first[0] += strings.Repeat(" ", 38-len(first[0])-len(num(p+8))) + num(p+8)
			}
		}
		v, left := s.survey(t), 0
		for p, l := range linesOf(v, true) {
			if p > 1 && (p-1)%3 == 0 && strings.HasPrefix(l, "text ") {
				left++
			}
		}
		if left > 1 { // the first of each is the heading, for all that the book says
			t.Errorf("%q: %d heads are text", part, left)
		}
	}
}

// TestChapterNumbersAsHeadsAtTheFoot: the running head names the chapter, by its roman number
// (W3C w3c-wai-hc 1997, 0336), on the last line beside the page number: a page that it ends with blank
// lines over it is left unfilled all the same, and the number on the next one no page number.
func TestChapterNumbersAsHeadsAtTheFoot(t *testing.T) {
	roman := strings.Fields(";i ;ii ;iii ;iv ;v ;vi ;vii ;viii")
	s := lettersBook(8, func(n int) string { return roman[n-1] })
	for p := range s.pages {
		s.pages[p][23], s.pages[p][24] = "", s.head("", roman[max(0, p-1)/3], num(p+1))
	}
	v := s.survey(t)
	for k := range 8 {
		p := 3*k + 1
		if got, want := linesOf(v, true)[p], "text "+roman[k]; got != want || v.Pages[p].Print != nil {
			t.Errorf("page %d: %q, want %q; print page %v", p+1, got, want, v.Pages[p].Print)
		}
	}
}

// TestChapterNumbersInACorner: the running head at the right of line 1 is the roman number of the
// chapter (common practice), which stands over it in the middle of a line; roman print page numbers
// in that corner have no such line.
func TestChapterNumbersInACorner(t *testing.T) {
	roman := strings.Fields("i ii iii iv v vi vii viii")
	for _, headings := range []bool{true, false} {
		s := newSheet(25, 38, 25)
		for p := 1; p < len(s.pages); p++ {
			k := (p - 1) / 3
			if s.pages[p][0] = num(p+1) + strings.Repeat(" ", 34-len(num(p+1))-len(roman[k])) + ";" + roman[k]; headings && p%3 == 1 {
				s.pages[p][0], s.pages[p][3], s.pages[p][4], s.pages[p][5] = num(p+1), "", s.centre(",,"+roman[k]), ""
			}
		}
		v := s.survey(t)
		prints := 0
		for p := range v.Pages {
			if v.Pages[p].Print != nil {
				prints++
			}
			if b := v.Pages[p].Braille; p > 0 && (b == nil || b.Value != p+1) {
				t.Errorf("headings %v, page %d: braille page %v", headings, p+1, b)
			}
		}
		if (prints == 0) != headings {
			t.Errorf("headings %v: %d print pages", headings, prints)
		}
	}
}

// TestLettersOfADictionary: heads at the foot name the letter of the entries (common practice);
// C and D read like the roman numbers 100 and 500 and are no print pages.
func TestLettersOfADictionary(t *testing.T) {
	s := newSheet(25, 38, 25)
	for p := 1; p < len(s.pages); p++ {
		s.pages[p][24] = s.head(";"+string("abcd"[(p-1)/6]), "", num(p+1))
	}
	for p, pg := range s.survey(t).Pages {
		if pg.Print != nil {
			t.Errorf("page %d: print page %v", p+1, pg.Print)
		}
	}
}

// TestRunningHeadOverShortPages: the same words over text that goes on are a running
// head, though some of its pages follow unfilled ones.
func TestRunningHeadOverShortPages(t *testing.T) {
	s := lettersBook(8, func(n int) string { return fmt.Sprint("letter ", string(rune('a'+n))) })
	for p := 1; p < len(s.pages); p++ {
		s.pages[p][0] = s.centre(",letters home")
	}
	v := s.survey(t)
	for p := 2; p < len(v.Pages); p++ {
		if got := linesOf(v, true)[p]; !strings.HasPrefix(got, "head ") {
			t.Errorf("page %d: %q, want a head", p+1, got)
		}
	}
}

// TestFewNumbersInTheMiddle: the numbers of chapters stand alone on line 1 of three pages of
// a volume, two of them after full pages. Page numbers are on more pages.
func TestFewNumbersInTheMiddle(t *testing.T) {
	s := newSheet(40, 32, 24)
	for p := range s.pages {
		if p%2 == 0 {
			s.pages[p][0] = s.head("", "! l;g f]ry", num(p+1))
		}
	}
	for k, p := range []int{9, 19, 31} {
		s.pages[p][0], s.pages[p][1], s.pages[p][2] = s.centre(num(19+k)), "", "  "+s.line(30)
	}
	v := s.survey(t)
	for k, p := range []int{9, 19, 31} {
		if got, want := linesOf(v, true)[p], "text "+num(19+k); got != want {
			t.Errorf("page %d: %q, want %q", p+1, got, want)
		}
	}
}

// TestRomanNumbersOverHeadings: the roman numbers of chapters stand alone on line 1 of new pages, over
// headings of one line or two, two of them after full pages: no print page numbers.
func TestRomanNumbersOverHeadings(t *testing.T) {
	s := newSheet(32, 40, 25)
	for p := range s.pages {
		s.pages[p][24] = s.corner("", num(p+1))
	}
	for k, p := range []int{6, 13, 20} {
		s.pages[p][0], s.pages[p][1], s.pages[p][2] = s.centre([]string{",i", ",,ii", ",,iii"}[k]), s.centre(",! ,riv] & ! ,f]ry"), ""
		for i := 8; k == 0 && i < 24; i++ {
			s.pages[p-1][i] = ""
		}
	}
	s.pages[20][2], s.pages[20][3] = s.centre(",af ,h>ve/"), ""
	v := s.survey(t)
	for p := range v.Pages {
		if v.Pages[p].Print != nil {
			t.Errorf("page %d: print page %v", p+1, v.Pages[p].Print)
		}
	}
}

// TestHeadsOfAnotherVolumeOpenNothing: over the notes at a volume's end, which have no print page, the head of the
// last chapter stands without a number, once after a page with room (BANA, Braille Formats 2016, 1.11.6). In the
// next volume the same head stands beside numbers: it begins nothing.
func TestHeadsOfAnotherVolumeOpenNothing(t *testing.T) {
	for _, c := range []struct {
		again bool
		want  Role
	}{{true, Head}, {false, Text}} {
		one, two := newSheet(16, 35, 28), newSheet(16, 35, 28)
		for k, s := range []*sheet{one, two} {
			for p := range s.pages {
				chapter := []string{",*apt] #ag", ",*apt] #ah"}[k]
				if k == 1 && (p > 6 || !c.again) {
					chapter = ",*apt] #ai"
				}
				s.pages[p][0], s.pages[p][27] = s.head("", chapter, num(p/2+20*k+9)), s.corner("", num(p+1))
			}
		}
		copy(one.pages[13][20:], []string{"", one.centre(",*apt] #ah"), "", "", "", "", ""})
		for p := 14; p < 16; p++ {
			one.pages[p][0] = one.centre(",*apt] #ah")
		}
		copy(one.pages[14][1:], []string{one.centre(",notes"), "", "  #be ,& :5 !y 7 come to !"})
		one.pages[15][1] = "  #bf ,& !y answ]$ !m1 & sd1"
		v := surveyAll(t, one, two)[0]
		for _, p := range []int{14, 15} {
			if got := v.Lines[v.Pages[p].First].Role; got != c.want {
				t.Errorf("again in the next volume %v: page %d: %s, want %s", c.again, p+1, got, c.want)
			}
		}
	}
}

// TestRomanNumbersOfPieces: in a short book of verse every piece begins a page with its roman number and its heading
// under that. The numbers count the pages by chance, and are no print pages.
func TestRomanNumbersOfPieces(t *testing.T) {
	s := newSheet(7, 38, 24)
	for p := range s.pages {
		for i := 14 - p%3; i < 24; i++ {
			s.pages[p][i] = ""
		}
		s.pages[p][23] = s.centre(num(p + 1))
		if p >= 2 && p != 5 {
			s.pages[p][0], s.pages[p][1], s.pages[p][2] = s.centre(";,,"+[]string{2: "ii", 3: "iii", 4: "iv", 6: "v"}[p]), s.centre(",a ,song"), ""
		}
	}
	v := s.survey(t)
	for p := range v.Pages {
		if v.Pages[p].Print != nil {
			t.Errorf("page %d: print page %v", p+1, v.Pages[p].Print)
		}
	}
}
