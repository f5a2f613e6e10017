package convert_test

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/cell"
)

// verseLine is a line of verse of its own words.
func (s *houseVolume) verseLine(indent, words int, end string) {
	w := s.words(words)
	w[0] = "," + w[0]
	s.put(strings.Repeat(" ", indent) + strings.Join(w, " ") + end)
}

// A hymn book: hymns in cell 5 between blank lines with their numbers, a refrain after each stanza that stands at the top
// of many pages (BANA, Braille Formats 2016, sections 4 and 13): the refrain is text, all hymns are headings.
func TestHymnsWithARefrain(t *testing.T) {
	s := hardVolume(1, 1)
	s.head = func(int) string { return "" }
	for n := 1; n <= 30; n++ {
		s.keep(9)
		s.put("")
		s.put("    ,hymn " + string(cell.Number(n)))
		s.put("")
		for range 4 {
			for k := range 4 {
				s.verseLine(0, 4, map[int]string{3: "4"}[k])
			}
			s.put("")
			s.keep(2)
			s.put("  ,s+ al\\d1 ye hills ( morn+1")
			s.put("  ,s+ al\\d f %ore to %ore4")
			s.put("")
		}
	}
	res, ed := hardBook(t, nil, s.ends(1))
	if n := strings.Count(ed, "ye hills"); n != 120 {
		t.Errorf("%d of 120 refrains are kept", n)
	}
	heads := headingsOf(res)
	for n := 1; n <= 30; n++ {
		if h := ",hymn " + string(cell.Number(n)); !heads[h] {
			t.Errorf("%q is no heading", h)
		}
	}
	if len(heads) != 30 {
		t.Errorf("%d headings: %v", len(heads), heads)
	}
}

// Names and sources in the middle right under what somebody wrote, as attributions of quotations are (BANA, Braille
// Formats 2016, section 9), are no headings, and "in a letter, 1788" numbers no letter.
func TestAttributionsInTheMiddle(t *testing.T) {
	s := hardVolume(1, 1)
	for n := range 40 {
		if n%8 == 0 {
			s.keep(7)
			s.put("")
			s.centre(",on ,h" + strings.Repeat("e", n/8+1) + "dg]1"[:3])
			s.put("")
		}
		s.para(20 + n)
		s.keep(2)
		if n%3 == 0 {
			s.centre(",orla ,penn1 9 a")
			s.centre("lr1 #aghh")
		} else {
			s.centre(",ivo ,mar" + strings.Repeat("k", n%5))
		}
	}
	res, _ := hardBook(t, nil, s.ends(1))
	for h := range headingsOf(res) {
		if !strings.HasPrefix(h, ",on ,") {
			t.Errorf("a name is a heading: %q", h)
		}
	}
	if n := len(headingsOf(res)); n != 5 {
		t.Errorf("%d headings", n)
	}
}

// Sources in the middle right under poems, with blank lines and the next title after them, are no headings.
func TestSourcesUnderPoems(t *testing.T) {
	s := hardVolume(1, 1)
	for n := range 16 {
		s.keep(16)
		s.put("")
		s.centre(fmt.Sprintf(",to a ,%s", s.words(1)[0]))
		s.put("")
		lines := 6 + 3*n%7
		for k := range lines {
			s.verseLine(0, 4, map[int]string{3: "2", lines - 1: "4"}[k])
		}
		s.centre([]string{",f ! ,greek", ",saltm]e1 #ahcc"}[n%2])
	}
	res, ed := hardBook(t, nil, s.ends(1))
	if n := strings.Count(ed, ",f ! ,greek"); n != 8 {
		t.Errorf("%d of 8 sources are kept", n)
	}
	for h := range headingsOf(res) {
		if !strings.HasPrefix(h, ",to a ,") && h != ",! ,l;g ,road" && h != "by ,orla ,penn" {
			t.Errorf("a source is a heading: %q", h)
		}
	}
}

// "The argument" of a book of a poem, in cell 5 between the heading of the book and a paragraph, is a heading by itself
// (BANA, Braille Formats 2016, section 4).
func TestArgumentOfAPoem(t *testing.T) {
	s := hardVolume(1, 1)
	for _, n := range []string{",\"o", ",two"} {
		s.put("")
		s.centre(",book " + n)
		s.put("")
		s.put("    ,! ,>gu;t")
		s.para(40)
		s.put("")
		for k := range 60 {
			s.verseLine(0, 4, map[int]string{3: "4"}[k%4])
		}
	}
	res, _ := hardBook(t, nil, s.ends(1))
	if !headingsOf(res)[",! ,>gu;t"] {
		t.Error("the argument is no heading")
	}
}

// Lines of poems numbered anew in each, every tenth, with a number at the top of pages by chance (BANA, Braille Formats
// 2016, section 15): the numbers are of the text.
func TestLineNumbersCountedAnew(t *testing.T) {
	s := hardVolume(1, 1)
	s.head = func(int) string { return "" }
	numbers := 0
	for range 30 {
		s.keep(6)
		s.put("")
		s.centre(",to " + s.words(1)[0])
		s.put("")
		for k := 1; k <= 23; k++ {
			if w := strings.Join(s.words(4), " "); k%10 == 0 {
				n := string(cell.Number(k))
				s.put("," + w + strings.Repeat(" ", s.width-1-len(w)-len(n)) + n)
				numbers++
			} else {
				s.put("," + w)
			}
		}
	}
	_, ed := hardBook(t, nil, s.ends(1))
	if n := strings.Count(ed, " #aj\n") + strings.Count(ed, " #bj\n"); n != numbers {
		t.Errorf("%d of %d line numbers are kept", n, numbers)
	}
}

// A list of all volumes in the first has page numbers for that volume only (UK paper layout, section 5): the numbers of the
// hymns of the others are their own.
func TestHymnsListedWithoutPages(t *testing.T) {
	var vols []string
	for v := 1; v <= 2; v++ {
		s := hardVolume(v, 2)
		if v == 1 {
			s.centre(",3t5ts")
			s.put("")
			for n := 1; n <= 16; n++ {
				l := ",hymn " + string(cell.Number(n))
				if n <= 8 {
					l += " " + strings.Repeat("\"", 34-len(l)) + " " + string(cell.Number(n))
				}
				s.put(l)
			}
			s.turn()
		}
		for n := 8*v - 7; n <= 8*v; n++ {
			s.put("")
			s.centre(",hymn " + string(cell.Number(n)))
			s.put("")
			for k := range 20 {
				s.verseLine(0, 4, map[int]string{3: "4"}[k%4])
			}
		}
		vols = append(vols, s.ends(v))
	}
	_, ed := hardBook(t, nil, vols...)
	for n := 1; n <= 16; n++ {
		if h := ",hymn " + string(cell.Number(n)); strings.Count(ed, h+"\n") != 2 {
			t.Errorf("%q stands %d times, in the list and over the hymn: 2", h, strings.Count(ed, h+"\n"))
		}
	}
}
