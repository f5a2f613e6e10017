package convert_test

import (
	"fmt"
	"strings"
	"testing"
)

// blockPara sets a block paragraph of n words with a blank line before it.
func (s *houseVolume) blockPara(n int) string {
	s.put("")
	return s.flow(append(s.words(n), "h\\se4"), 0, 0)
}

// Paragraphs are blocks at the margin with a blank line between, and nothing is centred (a house style of the United
// Kingdom for readers who find indents hard, common practice): headings of sections stand between blank lines at the
// margin too. Short paragraphs that end in a stop are none, nor is one that lost its stop where others did.
func TestHeadingsAmongBlockParagraphs(t *testing.T) {
	volume := func(heads bool) *houseVolume {
		s := &houseVolume{width: 34, height: 24}
		s.head = s.right
		for n := range 30 {
			if heads && n%4 == 1 {
				s.put("")
				s.put(fmt.Sprintf("! %s and %s", s.word(), s.word()))
			}
			s.blockPara(30 + n%7)
			if n%3 == 0 {
				s.put("")
				s.put(strings.Join(s.words(3), " ") + "4")
			}
		}
		s.put("")
		s.put("! wat] rose")
		s.blockPara(30)
		return s
	}
	if got := headingsOf(makeOf(t, volume(true).String())); len(got) != 9 || !got["! wat] rose"] {
		t.Errorf("headings %v, want 9 with the last", got)
	}
	if got := headingsOf(makeOf(t, volume(false).String())); len(got) != 0 {
		t.Errorf("headings %v, want none", got)
	}
}

// A list whose items, with bullets or without a mark, have parts with letters: items begin in cell 1 and run over in
// cell 3, parts in cell 3 and run over in cell 5 (lists whose runovers stand two cells further in than each item,
// British practice). Every item and part is one line of the edition, though some fill their lines.
func TestItemsWithLetteredParts(t *testing.T) {
	for _, mark := range []string{"99 ", "", "a4 "} {
		s := &houseVolume{width: 30, height: 25}
		s.head = s.right
		var whole []string
		for n := range 12 {
			for k := range 4 {
				m := mark
				if mark == "a4 " {
					m = string(rune('a'+k)) + "4 "
				}
				whole = append(whole, s.flow(append([]string{m + s.word()}, append(s.words(8+(n+k)%6), "tea4")...), 0, 2))
				for p := range 2 {
					whole = append(whole, s.flow(append([]string{string(rune('a'+p)) + "4 " + s.word()}, append(s.words(7+(n+p)%5), "tea4")...), 2, 4))
				}
			}
			s.put("")
		}
		t.Run(mark, func(t *testing.T) { wholeLines(t, makeOf(t, s.String()), whole) })
	}
}

// The line that says that the volume ends stands before the page of its notes, which are made up last (common
// practice in the United Kingdom). It is left out as any other, and the paragraph that it stands under goes on
// in the next volume.
func TestEndOfVolumeBeforeItsNotes(t *testing.T) {
	one, two := bookVolume(1, "volume \"o ( two"), bookVolume(2, "volume two ( two")
	for _, s := range []*houseVolume{one, two} {
		s.centre("*apt] " + map[*houseVolume]string{one: "\"o", two: "two"}[s])
		for n := range 14 {
			w := s.words(40)
			if n%6 == 3 {
				w[20] += fmt.Sprintf("99%s", []string{"#a", "#b", "#c"}[n/6])
			}
			s.flow(append(w, "h\\se4"), 2, 0)
		}
		s.put("")
		s.put("")
		s.centre("5d ( volume " + map[*houseVolume]string{one: "\"o", two: "two"}[s])
		s.turn()
		s.centre("notes")
		for n := range 3 {
			s.flow(append([]string{"99" + []string{"#a", "#b", "#c"}[n]}, append(s.words(12), "tea4")...), 0, 2)
		}
	}
	ed := string(makeOf(t, one.String(), two.String()).Edition)
	textCounts(t, ed, map[string]int{"5d ( volume \"o": 0})
}
