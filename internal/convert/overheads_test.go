package convert_test

import (
	"strings"
	"testing"
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
