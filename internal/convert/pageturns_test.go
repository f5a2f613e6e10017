package convert_test

import (
	"strings"
	"testing"

	"continuo/internal/cell"
)

// item is n words of the story that begin with a capital and end a sentence.
func (s *sheets) item(n int) []string {
	for c := s.words[s.next%len(s.words)][0]; c < 'a' || c > 'z'; c = s.words[s.next%len(s.words)][0] {
		s.next++
	}
	w := s.take(n)
	w[0] = "," + w[0]
	w[n-1] = strings.TrimRight(w[n-1], "1234") + "4"
	return w
}

// fill sets paragraphs down to the end of a page but for so many lines.
func (s *sheets) fill(left int) {
	for s.left() > left+4 {
		s.para(2, 0, 25)
	}
	for s.left() > left {
		s.set(2, 0, s.item(3)...)
	}
}

// fullLine is words that fill w cells but for two at most; no other would have had room.
func (s *sheets) fullLine(w int) []string {
	for {
		line, at := s.item(1), s.next
		line[0] = strings.TrimRight(line[0], "1234")
		for len(strings.Join(line, " ")) < w-2 {
			line = append(line, strings.TrimRight(s.take(1)[0], "1234"))
		}
		if len(strings.Join(line, " ")) <= w {
			return line
		}
		s.next = at
	}
}

// fillUp sets paragraphs down to the end of a page, the last line full.
func (s *sheets) fillUp() {
	s.fill(1)
	w := s.fullLine(31)
	w[len(w)-1] += "4"
	s.set(2, 0, w...)
}

// TestListsAtPageTurns: the blank line before a list, or after it, goes with the turn
// of the page (BANA, Braille Formats 2016, section 8); the first item at the top of a
// page does not go on the paragraph of the page before, nor the first paragraph the list.
func TestListsAtPageTurns(t *testing.T) {
	levels := func(s *sheets) {
		s.set(0, 6, strings.TrimRight(s.item(1)[0], "4"))
		s.set(2, 6, append(s.fullLine(37), s.take(5)...)...)
		s.set(4, 6, s.item(3)...)
		s.set(0, 6, strings.TrimRight(s.item(1)[0], "4"))
		s.set(2, 6, s.item(3)...)
		s.set(4, 6, append(s.fullLine(35), s.take(5)...)...)
	}
	for name, list := range map[string]func(s *sheets){
		"short items": func(s *sheets) {
			for range 5 {
				s.set(0, 2, s.item(3)...)
			}
		},
		"items": func(s *sheets) {
			for k := range 5 {
				s.set(0, 2, s.item(3+8*(k%2))...)
			}
		},
		"levels": levels,
	} {
		t.Run("after prose, "+name, func(t *testing.T) {
			s := numberedSheets(t)
			for k := range 4 {
				s.page()
				s.para(2, 0, 30+k)
				s.fillUp()
				list(s)
				s.blank()
			}
			s.compare(t, madeOf(t, s.file(t, "v1.brf")))
		})
		t.Run("before prose, "+name, func(t *testing.T) {
			s := numberedSheets(t)
			for k := range 8 {
				s.page()
				s.para(2, 0, 30+k)
				s.fill(12)
				s.blank()
				list(s)
				for s.left() > 0 && s.left() < naLines {
					s.set(0, 2, s.item(2)...)
				}
				s.para(2, 0, 40)
			}
			s.compare(t, madeOf(t, s.file(t, "v1.brf")))
		})
	}
}

// TestDirectionsAtPageTurns: directions in cell 5 end a page, and the exercises begin
// the next without a blank line; every choice, numbered or lettered, is an item of its
// own though the line before it is full (BANA, Braille Formats 2016, section 10).
func TestDirectionsAtPageTurns(t *testing.T) {
	s := numberedSheets(t)
	for k := range 8 {
		s.page()
		s.para(2, 0, 30+k)
		s.fill(3)
		s.blank()
		s.set(4, 4, append(s.fullLine(36), s.item(2)...)...)
		for q := range 3 {
			s.set(0, 4, append([]string{string(cell.Number(q+1)) + "4"}, s.item(6+q)...)...)
			for _, c := range "abc" {
				s.set(2, 4, append([]string{string(c) + "4"}, s.item(3+k%4)...)...)
			}
		}
		s.blank()
	}
	s.compare(t, madeOf(t, s.file(t, "v1.brf")))
}

// TestIndexAfterFullLines: in an index an entry that ends in a page number has ended,
// though its line was full, and the last number of an entry that goes on at the top of
// a page is no page number (BANA, Braille Formats 2016, section 22).
func TestIndexAfterFullLines(t *testing.T) {
	s := numberedSheets(t)
	for range 12 {
		s.para(2, 0, 60)
	}
	s.page()
	s.line("                 ,9dex")
	s.line("")
	for k := range 60 {
		word := string(rune('a'+k/3)) + string(rune('a'+k%3*7)) + "lt+"
		if k%3 == 1 {
			s.set(0, 6, word)
			s.set(2, 6, "! names ( ! farms1", "#f1", "#ah1", "#aj1", "#bj1", string(cell.Number(25+k)))
			s.set(2, 6, "us$ = ! old mills1", "#f1", "#ah1", "#ai1", "#ca")
		} else {
			s.set(0, 6, word+"1", "#ab1", "#ca")
		}
		if k%3 == 2 {
			s.blank()
		}
	}
	s.compare(t, madeOf(t, s.file(t, "v1.brf")))
}

// TestVerseOfFullLines: four lines that each begin with a capital are verse, though
// every one of them is full by chance (BANA, Braille Formats 2016, section 13).
func TestVerseOfFullLines(t *testing.T) {
	s := numberedSheets(t)
	for range 6 {
		s.para(2, 0, 70)
	}
	s.page()
	s.para(2, 0, 70)
	s.blank()
	for range 4 {
		s.set(0, 2, s.fullLine(40)...)
	}
	s.blank()
	s.para(2, 0, 70)
	s.compare(t, madeOf(t, s.file(t, "v1.brf")))
}

// TestFewLineNumbers: a short poem has two line numbers at the margin, and all its lines
// are kept short by their width; runovers in cell 3 are runovers (BANA, Braille Formats
// 2016, sections 13 and 15).
func TestFewLineNumbers(t *testing.T) {
	s := numberedSheets(t)
	for range 6 {
		s.para(2, 0, 70)
	}
	s.page()
	s.heading(-1, ",! ,m>ket")
	s.want = nil
	for n := range 11 {
		words := append(s.fullLine(33), s.take(2)...)
		words[0] = "," + strings.TrimLeft(words[0], ",")
		s.margin = naCells - 5
		s.set(0, 2, words...)
		if s.margin = naCells; n%5 == 4 {
			p := s.pages[len(s.pages)-1]
			num := string(cell.Number(n + 1))
			p[len(p)-1] = corner(p[len(p)-1], num)
			s.want[len(s.want)-1] += " " + num
		}
	}
	res := madeOf(t, s.file(t, "v1.brf"))
	for _, l := range editionLines(res) {
		for k, w := range s.want {
			if strings.Join(strings.Fields(l), " ") == w {
				s.want = append(s.want[:k], s.want[k+1:]...)
				break
			}
		}
	}
	if len(s.want) > 0 {
		t.Errorf("no lines %q\n%s", s.want, res.Edition)
	}
}

// TestHeadingsOverExercises: a heading in cell 5 over numbered exercises, with blank lines
// before and after it, is a heading where three stand so (BANA, Braille Formats 2016,
// sections 4 and 10).
func TestHeadingsOverExercises(t *testing.T) {
	s := numberedSheets(t)
	for range 3 {
		s.para(2, 0, 70)
		s.para(2, 0, 40)
		if s.left() < 8 {
			s.page()
			s.para(2, 0, 40)
		}
		s.heading(4, ",= ,4cus.n")
		s.blank()
		for q := range 2 {
			s.set(0, 4, append([]string{string(cell.Number(q+1)) + "4"}, s.item(12)...)...)
		}
		s.blank()
	}
	res := madeOf(t, s.file(t, "v1.brf"))
	s.compare(t, res)
	if have := headingsOf(res); !have[",= ,4cus.n"] {
		t.Errorf("headings: %v", have)
	}
}

// TestDirectionsInBrackets: stage directions in brackets that fill more than a line are one
// block, also where their lines all begin in cell 5 and stand in the middle by chance
// (English Braille American Edition 1994, appendix A, section 8; BANA, Braille Formats
// 2016, section 13).
func TestDirectionsInBrackets(t *testing.T) {
	s := numberedSheets(t)
	for k := range 8 {
		s.set(0, 2, append([]string{",hannah4"}, s.item(20+k)...)...)
		s.set(0, 2, append([]string{",s*ool4"}, s.item(14+k)...)...)
		if s.left() < 4 {
			s.page()
		}
		w := append(s.fullLine(30+k%3), s.take(3+k%2)...)
		w[0], w[len(w)-1] = "7"+w[0], strings.TrimRight(w[len(w)-1], "1234")+"47"
		s.set(4, 4-2*(k%2), w...)
	}
	s.compare(t, madeOf(t, s.file(t, "v1.brf")))
}
