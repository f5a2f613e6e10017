package convert_test

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/cell"
)

// Stanzas on narrow paper, most of whose lines run over, some stepping in to the cell of the
// runovers: by themselves few of them tell how their lines hang together, those near them do
// (verse in cells 1-3 or 3-5, a blank line between stanzas; BANA, Braille Formats 2016,
// section 13; UKAAF B004, appendix J).
func TestStanzasOnNarrowPaper(t *testing.T) {
	for _, c := range []struct{ width, first, run int }{{28, 0, 2}, {32, 2, 4}, {30, 0, 4}} {
		t.Run(fmt.Sprint(c), func(t *testing.T) {
			s := &houseVolume{width: c.width, height: 24}
			s.head = s.right
			var whole []string
			for n := range 30 {
				if k := len(s.pages); k == 0 || len(s.pages[k-1]) > 18 { // no heading is left at the foot
					s.turn()
				}
				s.put("")
				s.centre("hymn " + string(cell.Number(n+1)))
				for st := range 3 + n%3 {
					s.put("")
					steps := (n*3+st)%5 == 0
					for l := range 2 + (n+st)%4 {
						if steps && l%2 == 1 {
							whole = append(whole, s.flow(s.words(2), c.run, c.run))
							continue
						}
						whole = append(whole, s.flow(s.words(map[bool]int{false: 5 + (n*5+st*3+l*7)%5, true: 2}[steps]), c.first, c.run))
					}
				}
			}
			wholeLines(t, makeOf(t, s.String()), whole)
		})
	}
}

// A list in cells 1-3 and questions with lettered parts, in one run with the paragraphs before
// and after them, no blank line between (common practice): that numbered items step in and
// out is no sign of verse.
func TestListBeforeExercises(t *testing.T) {
	s := &houseVolume{width: 34, height: 25}
	s.head = s.right
	var whole []string
	for n := range 16 {
		whole = append(whole, s.para(30), s.para(40))
		s.put("")
		for k := range 3 {
			whole = append(whole, s.flow(append(s.words(8+(n+5*k)%9), s.word()), 0, 2))
		}
		for k := range 2 {
			whole = append(whole, s.flow(append(s.words(20+(3*n+k)%17), "h\\se4"), 2, 0))
		}
		s.centre("questions")
		for q := range 4 {
			whole = append(whole, s.flow(append([]string{string(cell.Number(q + 1))}, append(s.words(3+(n+3*q)%8), "h\\se4")...), 0, 2))
			for _, p := range []string{"7a7", "7;b7", "7;c7"}[:1+(n+q)%3] {
				whole = append(whole, s.flow([]string{p, s.word(), s.word() + "4"}, 2, 4))
			}
		}
	}
	wholeLines(t, makeOf(t, s.String()), whole)
}

// A table stands single-spaced on pages of double-spaced text (BANA, Braille Formats 2016,
// section 1, and common practice): the lines of the text above and below it are one paragraph
// all the same, and its rows stand one below another.
func TestTableInDoubleSpacedText(t *testing.T) {
	s := &houseVolume{width: 36, height: 24}
	page := []string{}
	flush := func() {
		n := string(cell.Number(len(s.pages) + 1))
		for len(page) < s.height-1 {
			page = append(page, "")
		}
		s.pages = append(s.pages, append(page, strings.Repeat(" ", s.width-len(n))+n))
		page = nil
	}
	var whole []string
	put := func(blank bool, lines ...string) {
		for _, l := range lines {
			if len(page)+1 > s.height-2 {
				flush()
			}
			if page = append(page, l); blank {
				page = append(page, "")
			}
		}
	}
	for n := range 60 {
		h := &houseVolume{width: s.width, height: 99, next: n * 37}
		whole = append(whole, h.para(25+n%20))
		put(true, h.pages[0]...)
		if n%6 == 5 {
			if len(page) > s.height-7 {
				flush()
			}
			put(false, "t[n   mills  f>ms", "l9don #ab    #cd", "qr;y  #cj    #ea", "w5t   #b     #dg", "")
			whole = append(whole, "qr;y  #cj    #ea")
		}
	}
	flush()
	res := makeOf(t, s.String())
	wholeLines(t, res, whole)
	if strings.Contains(string(res.Edition), "\n\nqr;y") {
		t.Error("the rows of a table are set apart")
	}
}

// Entries in cells 1-3 that end no sentence and fill their lines, paragraphs in cells 3-1
// between them: no entry opens with a small letter where all others open with a capital (common practice).
func TestParagraphsAmongEntries(t *testing.T) {
	s := &houseVolume{width: 32, height: 26}
	s.head = s.right
	var whole []string
	for n := range 40 {
		whole = append(whole, s.flow(append([]string{",,h\\se", ";n"}, s.words(9+n%13)...), 0, 2))
		if n%3 == 2 {
			whole = append(whole, s.flow(append(append([]string{",f", ":at"}, s.words(24+n%9)...), "h\\se4"), 2, 0))
		}
	}
	wholeLines(t, makeOf(t, s.String()), whole)
}

// Verse whose second lines step in to the cell at which runovers stand too: every line opens
// with a capital, no runover does (common practice).
func TestSteppedVerseByItsCapitals(t *testing.T) {
	s := &houseVolume{width: 32, height: 25}
	s.head = s.right
	var whole []string
	for n := range 24 {
		s.put("")
		s.centre("," + s.word() + " ," + s.word())
		for st := range 3 {
			if k := len(s.pages); len(s.pages[k-1]) > s.height-9 {
				s.turn()
			}
			s.put("")
			for l := range 4 {
				w := s.words(4 + (n*5+st*3+l*7)%5)
				w[0], w[len(w)-1] = ","+w[0], w[len(w)-1]+"1"
				whole = append(whole, s.flow(w, l%2*2, 2))
			}
		}
	}
	wholeLines(t, makeOf(t, s.String()), whole)
}

// Stage directions in brackets that begin at the cell of the runovers of speeches, some after
// a full line that ends a sentence (English Braille American Edition 1994, appendix A, section
// 8; common practice): each is a line of its own, and so is the speech before it.
func TestStageDirectionsAtTheCellOfRunovers(t *testing.T) {
	for _, in := range [][2]string{{".<", ".>"}, {"7", "7"}} {
		s := &houseVolume{width: 34, height: 24}
		s.head = s.right
		var whole []string
		for n := range 60 {
			whole = append(whole, s.flow(append(append([]string{",hannah4"}, s.words(3+7*n%23)...), "h\\se4"), 0, 4))
			if n%3 == 1 {
				whole = append(whole, s.flow([]string{in[0] + "5t]", s.word(), "dropp$4" + in[1]}, 4, 4))
			}
		}
		wholeLines(t, makeOf(t, s.String()), whole)
	}
}

// Numbered steps with their runovers in cell 3, one of which, a full line, begins a page and a
// sentence: the number of the next step at the margin is no second line of a paragraph (BANA,
// Braille Formats 2016, section 8).
func TestStepsOverAPageTurn(t *testing.T) {
	s := &houseVolume{width: 34, height: 24}
	s.head = s.right
	var whole []string
	for range 8 {
		s.put("")
		for k := range 2 {
			whole = append(whole, s.flow([]string{string(cell.Number(k + 1)), "two", "cups", s.word(), "6"}, 0, 2))
		}
		s.put("")
		whole = append(whole, s.flow(append([]string{"#a4"}, append(s.words(9), "h\\se4")...), 0, 2))
		for len(s.pages[len(s.pages)-1]) < s.height-1 {
			whole = append(whole, s.flow([]string{"#b4", s.word(), s.word() + "4"}, 0, 2))
		}
		s.put("#c4 ,! old f]ry cross$ ! riv]s4")
		s.put("  ,nobody 9 ! village cd rememb4")
		whole = append(whole, "#c4 ,! old f]ry cross$ ! riv]s4 ,nobody 9 ! village cd rememb4")
		whole = append(whole, s.flow(append([]string{"#d4"}, append(s.words(7), "h\\se4")...), 0, 2))
		s.put("")
		whole = append(whole, s.para(50))
	}
	wholeLines(t, makeOf(t, s.String()), whole)
}
