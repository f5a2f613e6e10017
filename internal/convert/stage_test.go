package convert_test

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/cell"
)

// Stage directions stand by themselves in cell 7, runovers too, after speeches that
// begin in cell 1 or cell 3, or after one another (BANA, Braille Formats 2016, section 12,
// from memory; UKAAF B004, appendix K): each is one paragraph, and so is the speech after it.
func TestStageDirectionsByThemselves(t *testing.T) {
	for _, c := range []struct {
		first, run  int
		open, close string
	}{{0, 2, ".<", ".>"}, {2, 0, "\"<", "\">"}, {2, 0, "7", "7"}, {0, 4, ",7", "7'"}} {
		s := &houseVolume{width: 32, height: 22}
		s.head = s.right
		var whole []string
		for n := range 30 {
			whole = append(whole, s.flow(append(append([]string{",hannah4"}, s.words(5+7*n%23)...), "h\\se4"), c.first, c.run))
			if n%5 == 3 { // no direction
				continue
			}
			for k := range 1 + n%2 {
				w := s.words(2 + (3*n+k)%11)
				w[0], w[len(w)-1] = c.open+w[0], w[len(w)-1]+c.close
				whole = append(whole, s.flow(w, 6, 6))
			}
		}
		wholeLines(t, makeOf(t, s.String()), whole)
	}
}

// Letters in a book: address and date far in, each line further in than the one before or
// ending at the margin, the salutation, paragraphs, and closing and signature (BANA, Braille
// Formats 2016, section 12, from memory; common practice). Every line of them stands by itself.
func TestLettersKeepTheirLines(t *testing.T) {
	for name, at := range map[string]func(k, n int) int{
		"steps":     func(k, _ int) int { return 11 + 2*k },
		"right":     func(_, n int) int { return 34 - n },
		"same cell": func(int, int) int { return 16 },
	} {
		for _, first := range []int{0, 2} { // the salutation
			s := &houseVolume{width: 34, height: 24}
			s.head = s.right
			var whole []string
			part := func(lines ...string) {
				for k, l := range lines {
					s.put(strings.Repeat(" ", at(k, len(l))) + l)
				}
				whole = append(whole, lines...)
			}
			for n := range 24 {
				s.put("")
				part("! old mill", "s&y cove", fmt.Sprintf("tues\"d1 june %s", cell.Number(1+n)))
				whole = append(whole, s.flow([]string{"de>e/", "\"m1"}, first, 0))
				for range 3 {
					whole = append(whole, s.flow(append(s.words(12+n*5%17), "h\\se4"), 2, 0))
				}
				part("i rema9 de> sir1", "yr ob$i5t s]vant1", "$w>d m>%")
			}
			t.Run(fmt.Sprint(name, first), func(t *testing.T) { wholeLines(t, makeOf(t, s.String()), whole) })
		}
	}
}
