package convert_test

import (
	"slices"
	"strings"
	"testing"

	"continuo/internal/cell"
)

// Page heads without numbers say the first words of the heading of their piece. Each piece begins a page, with its head
// over its heading, which on some pages begins in cell 5 by its length, as stanzas do there (page information lines of
// sections, UK common practice; verse: BANA, Braille Formats 2016, section 13): the heads go, the headings stay.
func TestHeadsOfFirstWordsOverHeadings(t *testing.T) {
	for _, apart := range []bool{true, false} {
		s := hardVolume(1, 1)
		head := ""
		s.head = func(int) string { return strings.Repeat(" ", (s.width-len(head))/2) + head }
		pieces := []string{",clock of ,hollow", ",anne sings to all who waited", ",roads between ,wexcombe", ",lanterns & bells of the hills",
			",orchards & songs from a hill", ",mirrors", ",a ferry crosses to the bank", ",stones near ,ravel"}
		for _, p := range pieces {
			w := strings.Fields(p)
			head = strings.Join(w[:(len(w)+1)/2], " ")
			s.turn()
			if apart {
				s.put("")
			}
			s.centre(p)
			s.put("")
			for range 7 {
				for k := range 4 {
					s.verseLine(4, 3+k%2, map[int]string{3: "4"}[k])
				}
				s.put("")
			}
		}
		s.head = nil
		res, ed := hardBook(t, nil, s.ends(1))
		for _, p := range pieces {
			if n := strings.Count(ed, "    "+p+"\n"); n != 1 {
				t.Errorf("apart %v: the heading %q stands %d times", apart, p, n)
			}
		}
		headsAmong(t, headLines(res.Book), pieces, nil)
		for _, h := range []string{",anne sings to", ",orchards & songs", ",a ferry crosses"} {
			if strings.Contains(ed, h+"\n") {
				t.Errorf("apart %v: the page head %q is left", apart, h)
			}
		}
	}
}

// The year of a source ends its name on a line of its own, at the end of a section of quotations (BANA, Braille Formats
// 2016, section 9): it is no number over the heading behind it, and the entries of the contents lead to the headings.
func TestYearsUnderNamesOverHeadings(t *testing.T) {
	titles := []string{",clocks & a ferry", ",bells of the road", ",stones near ,ravel", ",roads between hills", ",mirrors & a bridge", ",old lanterns"}
	s := hardVolume(1, 1)
	s.head = func(p int) string { return s.right(p) }
	s.centre(",3t5ts")
	s.put("")
	for i, x := range titles {
		s.put(x + " " + string(cell.Number(4+i)))
	}
	s.turn()
	for _, x := range titles {
		if len(s.pages) > 4 {
			s.turn()
		}
		s.put("")
		s.centre(x)
		s.put("")
		for n := range 3 {
			s.para(30 + n)
			s.centre(",rufus ,wr5field1 9 a lr1")
			s.centre("#ahfc")
		}
	}
	res, ed := hardBook(t, nil, s.ends(1))
	if _, heads, _ := joinedTo(res); !slices.Equal(heads, titles) {
		t.Errorf("entries lead to %q\n%s", heads, ed)
	}
}
