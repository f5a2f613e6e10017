package convert_test

import (
	"strings"
	"testing"

	"continuo/internal/cell"
)

// Hymns under numbers in the middle, their tunes at cell 7, in numbered stanzas whose lines step in by turns, some first lines so
// short that the next word had room, and names with years under them at cell 11 (hymns and attributions: BANA, Braille Formats
// 2016, sections 9 and 13; common practice). All lines are short of the width of the paper. The numbers are headings; stanzas and names are none.
func TestStanzasThatStepInUnderNumbers(t *testing.T) {
	s := &houseVolume{width: 40, height: 25}
	s.head = func(p int) string { return s.right(p) }
	s.centre(",ev5+")
	var want, not []string
	names := []string{",isaac ,f>r[", ",anne ,pell[1 #ahaa", ",hannah ,quill1 #agbj", ",jo ,penn", ",samuel ,oakes1 #ahcd"}
	for n := range 15 {
		s.keep(9)
		s.put("")
		s.centre(string(cell.Number(n + 13)))
		s.put("      ,melcombe ,c4,m4")
		for st := 1; st <= 3; st++ {
			s.put("")
			first := string(cell.Number(st)) + "4 ," + strings.Join(s.words(2+(n+st)%3), " ")
			not = append(not, first)
			s.put(first)
			second, third := "  ,"+strings.Join(s.words(3), " "), ","+strings.Join(s.words(4), " ")
			for (n+st)%3 == 0 && len(second) < 29 {
				second, third = second+" "+s.word(), ",c>p5t]s "+s.word()
			}
			s.put(second)
			s.put(third)
			s.put("  ," + strings.Join(s.words(3), " ") + "4")
		}
		s.put("")
		s.put("          " + names[n%len(names)])
		want = append(want, string(cell.Number(n+13)))
	}
	headsAmong(t, headLines(makeOf(t, s.String()).Book), want, append(not, names...))
}
