package convert_test

import (
	"strings"
	"testing"
)

// Paragraphs in cells 3-1 with lists in cells 1-3 right under them, and no blank line
// between: each paragraph and each item is one line of the edition (paragraphs and
// lists: British practice, and Braille Formats 2016, sections 1 and 8; that lists go
// without a blank line: common practice).
func TestListsAmongParagraphs(t *testing.T) {
	s := &houseVolume{width: 32, height: 24}
	s.head = s.right
	var whole []string
	for n := range 24 {
		if n%6 == 0 {
			s.put("")
			s.centre("*apt] " + string(rune('#')) + string(rune('a'+n/6)))
		}
		whole = append(whole, s.para(60+7*(n%5)))
		if n%4 != 3 {
			continue
		}
		whole = append(whole, s.flow(append(s.words(9+n%5), "^!3"), 2, 0))
		for k := range 5 {
			whole = append(whole, s.flow(append(s.words(12+3*k+n%3), "tea4"), 0, 2))
		}
	}
	wholeLines(t, makeOf(t, s.String()), whole)
}

// Verse in cells 5-7 between blank lines: a run of one verse whose lines are all full
// reads as cells 7-5 too, but no verse of the volume begins in cell 7 (cells of verse:
// common practice).
func TestVerseBeginsWhereVerseBegins(t *testing.T) {
	s := &houseVolume{width: 34, height: 25}
	s.head = s.right
	for n := range 40 {
		s.put("")
		for k := range 3 {
			s.flow(append(s.words(5+(n+k)%4), "n"), 4, 6)
		}
	}
	// a verse of full lines only
	s.put("")
	long := []string{"clouds and darkness rememb]ed", "round about him3", "righteousness and judgment are", "the habitation of his", "throne4"}
	for i, l := range long {
		s.put(strings.Repeat(" ", 4+2*(i%2)) + l)
	}
	wholeLines(t, makeOf(t, s.String()), []string{long[0] + " " + long[1], long[2] + " " + long[3]})
}
