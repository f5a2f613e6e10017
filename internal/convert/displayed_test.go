package convert_test

import (
	"fmt"
	"strings"
	"testing"
)

// Quotations whose lines all stand in cell 3 or 5, of two and three lines, between blank lines or right
// among paragraphs in cells 3-1: each is one line of the edition, though none is long enough to tell it
// by itself (displayed text: BANA, Braille Formats 2016, section 9; that all lines of it stand at one
// cell, and that no blank line stands around it: common practice).
func TestDisplayedText(t *testing.T) {
	for _, c := range []struct {
		in    int
		blank bool
	}{{2, true}, {4, true}, {4, false}} {
		t.Run(fmt.Sprint(c.in, c.blank), func(t *testing.T) {
			s := &houseVolume{width: 34, height: 25}
			s.head = s.right
			var whole []string
			for n := range 16 {
				whole = append(whole, s.para(40+9*(n%4)))
				if c.blank {
					s.put("")
				}
				whole = append(whole, s.flow(append(s.words(9+2*(n%3)), "tea4"), c.in, c.in))
				if n%5 == 4 && c.blank {
					s.put(strings.Repeat(" ", 20) + ",ann ,reed")
				}
				if c.blank {
					s.put("")
				}
			}
			wholeLines(t, makeOf(t, s.String()), whole)
		})
	}
}

// Verse whose lines all stand in cell 5, some of them full: each is a line of its own, among displayed
// text in cell 3 too (verse: BANA, Braille Formats 2016, section 13; common practice).
func TestVerseIsNoDisplayedText(t *testing.T) {
	s := &houseVolume{width: 30, height: 25}
	s.head = s.right
	var whole []string
	for n := range 16 {
		whole = append(whole, s.para(40+9*(n%4)))
		s.put("")
		whole = append(whole, s.flow(append(s.words(10+n%3), "tea4"), 2, 2))
		s.put("")
		for k := range 2 + n%2 {
			line := "," + strings.Join(s.words(3+(n+k)%2), " ")
			if n%3 == 0 {
				line = ",it seems a great"
				line += strings.Repeat("o", 26-len(line))
			}
			s.put("    " + line)
			whole = append(whole, line)
		}
		s.put("")
	}
	wholeLines(t, makeOf(t, s.String()), whole)
}

// Items in cells 3-5 right among paragraphs in cells 3-1, whose first lines stand at one cell: an item
// that goes on in cell 5 is one line of the edition (lists: British practice; BANA, Braille Formats
// 2016, section 8; that they step in, without a blank line around them: common practice).
func TestItemsInCellsThreeToFive(t *testing.T) {
	for _, c := range []struct{ width, items, least int }{{30, 3, 2}, {30, 4, 2}, {32, 3, 2}, {34, 4, 3}} {
		t.Run(fmt.Sprint(c), func(t *testing.T) {
			s := &houseVolume{width: c.width, height: 25}
			s.head = s.right
			var whole []string
			for n := range 14 {
				whole = append(whole, s.para(40+9*(n%4)))
				s.put("")
				whole = append(whole, s.flow(append(s.words(9+n%3), "tea4"), 2, 2))
				s.put("")
				whole = append(whole, s.para(20+9*(n%4)))
				for k := range c.items {
					whole = append(whole, s.flow(s.words(c.least+(n+2*k)%6), 2, 4))
				}
			}
			wholeLines(t, makeOf(t, s.String()), whole)
		})
	}
}
