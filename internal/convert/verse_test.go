package convert_test

import (
	"fmt"
	"testing"
)

// Stanzas on narrow paper, most of whose lines run over, some stepping in to the cell of the
// runovers: by themselves few of them tell how their lines hang together, those near them do
// (verse in cells 1-3 or 3-5, a blank line between stanzas; BANA, Braille Formats 2016,
// section 13; UKAAF B004, appendix J).
func TestStanzasOnNarrowPaper(t *testing.T) {
	for _, c := range []struct{ width, first, run int }{{28, 0, 2}, {32, 2, 4}, {30, 0, 4}, {25, 2, 6}} {
		t.Run(fmt.Sprint(c), func(t *testing.T) {
			s := &houseVolume{width: c.width, height: 24}
			s.head = s.right
			var whole []string
			for n := range 30 {
				s.put("")
				s.centre("hymn " + fmt.Sprint(n+1)[:1])
				for st := range 3 + n%3 {
					s.put("")
					for l := range 3 + (n+st)%4 {
						w := s.words(5 + (n*5+st*3+l*7)%5)
						whole = append(whole, s.flow(w, c.first, c.run))
					}
				}
			}
			wholeLines(t, makeOf(t, s.String()), whole)
		})
	}
}
