package convert_test

import (
	"fmt"
	"strings"
	"testing"
)

// dividedAtSolidus is wrapped, with words divided behind a solidus where that fits, and how many.
func dividedAtSolidus(words []string, width int) (lines []string, n int) {
	lines = []string{"  " + words[0]}
	for _, w := range words[1:] {
		last := &lines[len(lines)-1]
		i := strings.LastIndex(w, "_/") + 2
		switch {
		case len(*last)+1+len(w) <= width:
			*last += " " + w
		case i > 1 && i < len(w) && len(*last)+1+i <= width:
			*last += " " + w[:i]
			lines = append(lines, w[i:])
			n++
		default:
			lines = append(lines, w)
		}
	}
	return lines, n
}

// A path that ends in a solidus at the end of a line keeps the blank after it (words that end in one stand so
// within lines too); words divided at a solidus are whole again (Rules of Unified English Braille 2013, 7.4.1).
func TestSolidusAtLineEnd(t *testing.T) {
	s := &houseVolume{width: 30, height: 22}
	s.head = func(p int) string { return s.right(p) }
	s.titleAlone()
	var paras []string
	divided := 0
	for n := range 80 {
		w := append(s.words(4+n%9), []string{"_/dev_/", "he_/%e"}[n%2], "came")
		w = append(append(w, s.words(9)...), "h\\se4")
		lines, d := dividedAtSolidus(w, s.width)
		for _, l := range lines {
			s.put(l)
		}
		divided += d
		paras = append(paras, strings.Join(w, " "))
	}
	if divided < 3 {
		t.Fatal("hardly a word is divided")
	}
	s.wholeParas(t, makeOf(t, s.String()), paras)
}

// A letter at the foot of a page beside its number, in a corner that has roman print pages among the
// preliminary ones, is a word of the text where the page has both its numbers.
func TestLetterWordBesideLastNumber(t *testing.T) {
	s := &houseVolume{width: 32, height: 20}
	for p, roman := range []string{"", ";ii", ";iii", ";iv"} {
		s.turn()
		s.centre(",! ,l;g ,road")
		s.para(70)
		pg := &s.pages[len(s.pages)-1]
		*pg = append((*pg)[:min(len(*pg), 19)], fmt.Sprintf("%-29s%3s", roman, "p"+number(p+1)))
	}
	for p := 1; p <= 12; p++ {
		s.turn()
		s.put(strings.Repeat(" ", 32-3) + fmt.Sprintf("%3s", number(40+p)))
		s.para(70)
		pg := &s.pages[len(s.pages)-1]
		*pg = append((*pg)[:min(len(*pg), 19)], strings.Repeat(" ", 29)+fmt.Sprintf("%3s", number(p)))
	}
	pg := s.pages[11]
	last := &pg[len(pg)-1]
	*last = ";i" + (*last)[2:]
	res := makeOf(t, s.String())
	if strings.Contains(string(res.Edition), "---;i\n") || !strings.Contains(string(res.Edition), ";i") {
		t.Errorf("the letter is taken for a print page\n%s", res.Edition)
	}
}
