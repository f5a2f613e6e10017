package convert_test

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/cell"
)

// notes sets a heading of notes and a note of each of the numbers first to last.
func (s *houseVolume) notes(first, last int, tag string) {
	s.put("")
	s.centre(",notes")
	for n := first; n <= last; n++ {
		s.flow([]string{string(cell.Number(n)), "a", "boat", "no", fmt.Sprint("x", tag, strings.Repeat("q", n)), ")\\t", "sail", "at", "all", "t", "ye>", "& ev]", "s9ce4"}, 2, 0)
	}
}

// TestNotesNamedByTitles: notes at the end of chapters that have titles and no numbers, and
// sections that look as the chapters do; in the one book each chapter's notes stand under
// its title, for their numbers begin anew. Without a contents list too (notes at the end of a
// chapter: common practice; headings in the middle, sections too: UK paper layout, a house's
// manual of the 1990s).
func TestNotesNamedByTitles(t *testing.T) {
	titles := [][]string{{",! ,old ,f]ry", ",b[s & oars", ",! ,v (! ,l&+"}, {",! ,wat]side & xs ,people", ",m>ket ,days", ",! ,la/ ,s1son"}}
	sections := []string{",how x 2gan", ",:at 2came ( x"}
	for _, contents := range []bool{false, true} {
		var vols []string
		for v, list := range titles {
			s := hardVolume(v+1, len(titles))
			if contents {
				s.centre(",3t5ts")
				for k, x := range list {
					l := x + " " + strings.Repeat("\"", 30-len(x))
					s.put(l + " " + string(cell.Number(3+2*k)))
				}
				s.centre("333333333333")
				s.turn()
			}
			for k, x := range list {
				s.chapter(x, 4, "boat;9#a")
				for n, y := range sections {
					s.chapter(y, 3, "mill;9"+string(cell.Number(n+2)))
				}
				s.notes(1, 3, fmt.Sprint(string(rune('a'+v)), string(rune('a'+k))))
			}
			vols = append(vols, s.ends(v+1))
		}
		res, ed := hardBook(t, nil, vols...)
		if n := linksOf(res, book.NoteRef); n != 18 {
			t.Errorf("contents %v: %d notes joined, want 18\n%s", contents, n, ed)
		}
		at := strings.Index(ed, ",notes\n")
		if at < 0 {
			t.Fatalf("contents %v: no notes\n%s", contents, ed)
		}
		var want []string
		for v, list := range titles {
			for k, x := range list {
				want = append(want, "    "+x+"\n", fmt.Sprint("no x", string(rune('a'+v)), string(rune('a'+k)), "q )"))
			}
		}
		inOrder(t, ed[at:], want...)
	}
}

// TestNotesOfAChapterOverTwoVolumes: the second chapter goes on in the second volume, at whose end its notes stand;
// the text of that volume refers to none of them (notes at the end of chapters: common practice).
func TestNotesOfAChapterOverTwoVolumes(t *testing.T) {
	one, two := hardVolume(1, 2), hardVolume(2, 2)
	one.chapter(",*apt] #a", 5, "boat;9#a", "mill;9#b")
	one.notes(1, 2, "a")
	one.chapter(",*apt] #b", 5, "boat;9#a", "mill;9#b")
	for i := range 4 {
		two.flow(append(two.words(40+i), "h\\se4"), 2, 0)
	}
	two.notes(1, 2, "b")
	res, ed := hardBook(t, nil, one.ends(1), two.ends(2))
	if n := linksOf(res, book.NoteRef); n != 4 {
		t.Errorf("%d notes joined, want 4\n%s", n, ed)
	}
}

// TestNotesBeforeAnIndex: the notes of every chapter stand under a heading, and an index after the last: in the
// one book the notes stand under that heading once (common practice: notes at the end of chapters).
func TestNotesBeforeAnIndex(t *testing.T) {
	s := hardVolume(1, 1)
	for c := 1; c <= 3; c++ {
		s.chapter(",*apt] "+string(cell.Number(c)), 5, "boat;9#a", "mill;9#b")
		s.notes(1, 2, string(rune('a'+c)))
	}
	s.turn()
	s.centre(",9dex")
	s.put("")
	for k := range 16 {
		s.put(fmt.Sprintf(",item%c1 %s", 'a'+k, string(cell.Number(k+1))))
	}
	res, ed := hardBook(t, nil, s.String())
	if n := linksOf(res, book.NoteRef); n != 6 || strings.Count(ed, ",notes\n") != 1 {
		t.Errorf("%d notes joined, %d headings of notes\n%s", n, strings.Count(ed, ",notes\n"), ed)
	}
}

// TestTurnUnderNotesHeading: the print page turns right under the heading of a chapter's notes
// (BANA, Braille Formats 2016, section 1.11: the turn stands where it falls). The heading of later
// notes goes all the same, and the proof sees the notes under it.
func TestTurnUnderNotesHeading(t *testing.T) {
	for _, turn := range []func(n int) string{
		func(n int) string { return fmt.Sprintf("%38s", "\"3"+string(cell.Number(n))+strings.Repeat(" ", 16)) },
		func(n int) string {
			l := string(cell.Number(n))
			return strings.Repeat("-", 38-len(l)) + l
		},
	} {
		var vols []string
		for v := 1; v <= 2; v++ {
			s := hardVolume(v, 2)
			for k := 1; k <= 3; k++ {
				c := 3*(v-1) + k
				s.chapter(",*apt] "+string(cell.Number(c)), 5, "boat;9#a", "mill;9#b")
				s.put(turn(3*c - 1))
				s.para(30)
				s.put("")
				s.centre(",notes")
				s.put(turn(3 * c))
				for n := 1; n <= 2; n++ {
					s.flow([]string{string(cell.Number(n)), "a", "boat", "no", fmt.Sprint("x", string(rune('a'+c)), strings.Repeat("q", n)), ")\\t", "sail4"}, 2, 0)
				}
			}
			vols = append(vols, s.ends(v))
		}
		res, ed := hardBook(t, nil, vols...)
		if n := linksOf(res, book.NoteRef); n != 12 || strings.Count(ed, ",notes\n") != 1 {
			t.Errorf("%d notes joined, %d headings\n%s", n, strings.Count(ed, ",notes\n"), ed)
		}
	}
}

// TestNotesHeadingOnPagesWithoutHeads: heads stand on right-hand pages only (UK paper layout, W3C
// w3c-wai-hc 1997, 0306), and the notes of several chapters begin left-hand pages: their heading on
// line 1 is no head.
func TestNotesHeadingOnPagesWithoutHeads(t *testing.T) {
	var vols []string
	for v := 1; v <= 3; v++ {
		s := hardVolume(v, 3)
		s.pages[len(s.pages)-1] = nil
		head := s.head
		s.head = nil
		turn := func() {
			s.turn()
			if p := len(s.pages); p%2 == 1 {
				s.put(head(p))
			}
		}
		fill := func(n int) {
			for len(s.pages[len(s.pages)-1])+n > s.height {
				turn()
			}
		}
		for k := 1; k <= 3; k++ {
			c := 3*(v-1) + k
			turn()
			if len(s.pages)%2 == 0 {
				turn()
			}
			s.centre(",*apt] " + string(cell.Number(c)))
			s.put("")
			for i := range 4 {
				w := s.words(30)
				if i == 1 {
					w[7] = "boat;9#a"
				}
				fill(7)
				s.flow(append(w, "h\\se4"), 2, 0)
			}
			turn()
			s.centre(",notes")
			s.put("")
			s.flow([]string{"#a", "a", "boat", "no", "x" + string(rune('a'+c)), ")\\t", "sail4"}, 2, 0)
		}
		vols = append(vols, s.ends(v))
	}
	res, ed := hardBook(t, nil, vols...)
	if n := linksOf(res, book.NoteRef); n != 9 || strings.Count(ed, ",notes\n") != 1 {
		t.Errorf("%d notes joined, %d headings\n%s", n, strings.Count(ed, ",notes\n"), ed)
	}
}

// TestRestOfANoteAtTheFoot: a note has no room at the foot of its page and goes on, without a mark, under the separation line
// at the foot of the next, where another note stands (BANA, Braille Formats 2016, section 16): it is one note.
func TestRestOfANoteAtTheFoot(t *testing.T) {
	s := &houseVolume{width: 34, height: 22}
	s.head = func(p int) string { return s.right(p) }
	s.titleAlone()
	s.centre(",*apt] ,\"o")
	s.put("")
	for range 2 {
		s.para(20)
	}
	fill := func(to int) {
		for len(s.pages[len(s.pages)-1]) < to {
			s.put(strings.Join(s.words(4), " ") + " " + strings.Repeat("a", 6))
		}
	}
	note := strings.Fields(";9#a " + strings.Join(s.words(60), " ") + " note4")
	lines := wrapped(note, s.width, 0, 2)
	fill(s.height - 6)
	s.put("  ,! f]ry;9#a cross$ ! riv]4")
	s.put("\"333333")
	for _, l := range lines[:4] {
		s.put(l)
	}
	fill(s.height - len(lines) + 4 - 3)
	s.put("  ,! boat;9#b 0 old4")
	s.put("\"333333")
	for _, l := range lines[4:] {
		s.put(l)
	}
	s.put(";9#b ,a small boat ( wood4")
	fill(s.height)
	s.para(60)
	res := makeOf(t, s.String())
	if got := lineOf(res, ";9#a "+strings.Join(note[1:4], " ")); strings.Join(strings.Fields(got), " ") != strings.Join(note, " ") {
		t.Errorf("the note is %q, want %q", got, strings.Join(note, " "))
	}
	if n := linksOf(res, book.NoteRef); n != 2 {
		t.Errorf("%d notes are joined, want 2", n)
	}
}
