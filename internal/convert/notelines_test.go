package convert_test

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/cell"
)

// TestLinesOverNotes: notes at the foot of the page, or where a print page ends, under a line of
// either kind of cell, dots 2-5 with a line sign or without (BANA, Braille Formats 2016, section 16;
// Rules of Unified English Braille 2013, 16.2) or dots 3-6 (codes before UEB, common practice). Their
// marks are numbers in brackets or asterisks (Rules of Unified English Braille 2013, 1.3.3; English
// Braille American Edition, rule IV). The notes go, the lines over them with them, and the paragraphs
// that they interrupt are whole. The same line over text without a mark stays.
func TestLinesOverNotes(t *testing.T) {
	for _, line := range []string{"\"333333", "333333", "------"} {
		for _, mark := range []string{"7%s7", "99%s", "99"} {
			for _, turns := range []bool{false, true} {
				s := hardVolume(1, 1)
				s.put("")
				s.centre(",*apt] #a")
				s.put("")
				var whole []string
				for n := 1; n <= 6; n++ {
					m := strings.ReplaceAll(mark, "%s", string(cell.Number(n)))
					if turns {
						s.turn()
					}
					s.para(30 + n)
					if n == 4 { // a line of the text itself
						s.put(line)
						s.para(20)
					}
					w := append(s.words(46), "h\\se4")
					w = append([]string{"s*ool" + m}, w...)
					lines := wrapped(w, s.width, 2, 0)
					for _, l := range lines[:4] {
						s.put(l)
					}
					s.put(line)
					s.flow([]string{m, "a", "boat", "no", "x" + strings.Repeat("q", n), ")\\t", "a", "sail", "&", "a", "m/", "at", "all4"}, 2, 0)
					if turns {
						s.put(strings.Repeat("-", 36) + string(cell.Number(n+1)))
					} else {
						s.turn()
					}
					for _, l := range lines[4:] {
						s.put(l)
					}
					whole = append(whole, strings.Join(w, " "))
				}
				res, ed := hardBook(t, nil, s.ends(1))
				name := fmt.Sprintf("line %s, mark %s, turns %v", line, mark, turns)
				if n := linksOf(res, book.NoteRef); n != 6 || strings.Count(ed, "\n"+line+"\n") != 1 {
					t.Errorf("%s: %d notes joined, %d lines left\n%s", name, n, strings.Count(ed, "\n"+line+"\n"), ed)
				}
				for _, p := range whole {
					if words := strings.Join(strings.Fields(ed), " "); !turns && !strings.Contains(words, p) {
						t.Errorf("%s: not whole: %q\n%s", name, p, ed)
					}
				}
			}
		}
	}
}

// TestNamesOverNotesOnNarrowPages: notes at the end of the volume begin at cell 7 and run over to
// cell 5 (BANA, Braille Formats 2016, section 16), on pages so narrow that many of their lines
// stand in the middle by chance; the title of each chapter stands in the middle over its notes.
func TestNamesOverNotesOnNarrowPages(t *testing.T) {
	for _, width := range []int{28, 30, 32, 34} {
		var vols []string
		n := 0
		for v := 1; v <= 2; v++ {
			s := hardVolume(v, 2)
			s.width, s.head, s.pages = width, nil, nil
			s.centre(",! ,l;g ,road")
			s.put("")
			s.centre(",9 #b ,volumes")
			s.centre(",volume " + string(cell.Number(v)))
			s.turn()
			titles := [][]string{{",! ,old ,f]ry ,h\\se", ",m>ket ,days", ",b[s & ,oars"}, {",! ,wat]side ,road", ",! ,la/ ,s1son", ",xs ,people"}}[v-1]
			first := n + 1
			for range titles {
				s.chapter(titles[(n-first+1)/3], 4, "boat;9"+string(cell.Number(n+1)), "mill;9"+string(cell.Number(n+2)), "goat;9"+string(cell.Number(n+3)))
				n += 3
			}
			s.turn()
			s.centre(",notes")
			s.put("")
			for k := first; k <= n; k++ {
				if (k-first)%3 == 0 {
					s.put("")
					s.centre(titles[(k-first)/3])
					s.put("")
				}
				for _, w := range [][]string{
					{",! ,f]ry", "was", "built", "x" + strings.Repeat("q", k), "by", "! people", "( ! village1", "& cross$", "a /rait4"},
					{",x", "sank", "at ,mrs4", ",penn's", "l&+", "9", "a gale4"},
					{",so", "he", "said4"},
				}[k%3 : k%3+1] {
					s.flow(append([]string{";9" + string(cell.Number(k))}, w...), 6, 4)
				}
			}
			vols = append(vols, s.ends(v))
		}
		res, ed := hardBook(t, nil, vols...)
		if got := linksOf(res, book.NoteRef); got != n {
			t.Errorf("width %d: %d notes joined, want %d\n%s", width, got, n, ed)
		}
	}
}
