package convert_test

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/cell"
)

// Notes at the end of the volume begin at cell 7 with a raised number and run over to cell 5 (Rules of Unified English
// Braille 2013, 3.18; BANA, Braille Formats 2016, section 16); numbers and names of the chapters stand over them at cell 5.
// Short notes and names stand in the middle by chance on a narrow page. All are joined, and no note is a heading.
func TestNumberedNamesOverNotesOfAVolume(t *testing.T) {
	s := hardVolume(1, 1)
	s.width = 32
	s.head = s.right
	n := 0
	names := []string{",! 4tant ,/airs", ",! ,gre5 ,m1d[", ",! ,l;g ,road"}
	for c, name := range names {
		n += 2
		s.chapter(string(cell.Number(c+1))+" "+name, 8, "boat;9"+string(cell.Number(n-1)), "mill;9"+string(cell.Number(n)))
	}
	s.turn()
	s.centre(",notes")
	for c, name := range names {
		s.put("")
		s.put("    " + string(cell.Number(c+1)) + " " + name)
		s.put("")
		s.put("      ;9" + string(cell.Number(2*c+1)) + " ,he %ook 8 h1d4")
		s.flow(strings.Fields(";9"+string(cell.Number(2*c+2))+" ,a boat ) no sail & no oars1 as it came to be called x"+string("abc"[c])+"4"), 6, 4)
	}
	res, ed := hardBook(t, nil, s.ends(1))
	if got := linksOf(res, book.NoteRef); got != 6 {
		t.Errorf("%d notes joined, want 6\n%s", got, ed)
	}
	for i := range res.Book.Blocks {
		if bl := &res.Book.Blocks[i]; bl.Kind == book.Heading && strings.Contains(blockLine(res.Book, bl), ";9") {
			t.Errorf("a note is a heading: %q", blockLine(res.Book, bl))
		}
	}
}

// The line that says that the volume ends stands right under the text, and the notes of the last page at its foot,
// under a separation line (BANA, Braille Formats 2016, section 16): they are joined. Pages with nothing but their heads
// between a reference and its note do not count.
func TestNotesUnderTheEndOfAVolume(t *testing.T) {
	for _, blank := range []int{0, 6} {
		var vols []string
		for v := 1; v <= 2; v++ {
			s := hardVolume(v, 2)
			s.head = s.right
			s.chapter(",*apt] "+string(cell.Number(v)), 8, "boat;9#a")
			for range blank {
				s.turn()
			}
			s.put("\"333333")
			s.flow(strings.Fields(";9#a ,a boat ) no sail & no oars1 x came x"+string("abc"[v])+"4"), 0, 2)
			s.turn()
			s.chapter(",! ,l&+", 5, "boat", "boat", "boat", "mill;9#b")
			s.put("")
			s.centre(",5d ( ,volume " + string(cell.Number(v)))
			for len(s.pages[len(s.pages)-1]) < s.height-2 {
				s.put("")
			}
			s.put("\"333333")
			s.put(fmt.Sprintf(";9#b ,a mill ) no sails x%c4", 'd'+v))
			vols = append(vols, s.String())
		}
		res, ed := hardBook(t, nil, vols...)
		if got := linksOf(res, book.NoteRef); got != 4 {
			t.Errorf("%d blank pages: %d notes joined, want 4\n%s", blank, got, ed)
		}
	}
}

// The notes of a chapter stand under a heading, numbers in round brackets as English Braille American Edition writes them
// (rule IV). A short one stands in the middle by chance and belongs to them as the others do.
func TestShortNoteOfAChapter(t *testing.T) {
	s := hardVolume(1, 1)
	for c := 1; c <= 3; c++ {
		s.chapter(",*apt] "+string(cell.Number(c)), 24, "boat7#a7", "mill7#b7", "road7#c7")
		s.put("")
		s.put("    ,notes")
		s.put("      7#a7 ,he lik$ x [n4")
		s.put("      7#b7 ,oh6 c]ta9ly1 sd ,!")
		s.put("    of ! f]ry1 & he said no more4")
		s.put("      7#c7 ,no4")
	}
	res, ed := hardBook(t, nil, s.ends(1))
	if got := linksOf(res, book.NoteRef); got != 9 {
		t.Errorf("%d notes joined, want 9\n%s", got, ed)
	}
}

// The last page of the last volume says who has the rights, under a heading (common practice: what stands at the back of
// the print book stays there). The volume holds nothing else, and the page is no preliminary matter of it.
func TestRightsOnTheLastPage(t *testing.T) {
	one := hardVolume(1, 2)
	for c := 1; c <= 4; c++ {
		one.chapter(",*apt] "+string(cell.Number(c)), 8)
	}
	two := hardVolume(2, 2)
	two.turn()
	two.turn()
	two.centre(",copy\"r")
	two.put(",copy\"r #bjaa 0,orla ,penn")
	two.put(",all \"rs res]v$4")
	two.put("")
	two.centre(",,! ,,5d")
	_, ed := hardBook(t, nil, one.ends(1), two.String())
	inOrder(t, ed, ",*apt] #d\n", ",copy\"r\n", ",copy\"r #bjaa", ",all \"rs res]v$4", ",,! ,,5d")
}

// Notes stand at the end of a chapter (BANA, Braille Formats 2016, section 16). The name of the next chapter, with a
// number before it or under it, begins over the page or at the margin, and no note stands so: its text stays where it is.
func TestChapterUnderNotesOfAChapter(t *testing.T) {
	for _, set := range []struct{ indent, turn, first, second string }{
		{"    ", "turn", ",,ii", ",! ,gre5 ,m1d["}, {"    ", "turn", ",! ,gre5 ,m1d[", "0,abel ,t>n"}, {"", "", "#b4 ,! ,gre5 ,m1d[", ""},
		{"", "turn", ",! ,gre5 ,m1d[", "by ,abel ,t>n"},
	} {
		s := hardVolume(1, 1)
		s.head = s.right
		s.chapter(",! ,4tant ,/airs", 6, "boat;9#a", "mill;9#b")
		s.put("")
		s.centre(",notes")
		s.flow(strings.Fields(";9#a ,a boat ) no sail & no oars1 as x came to be c%$ ever after6"), 2, 0)
		s.flow(strings.Fields(";9#b ,a mill x %ook 9 ! w9d4"), 2, 0)
		if s.put(""); set.turn != "" {
			s.turn()
		}
		s.put(set.indent + set.first)
		if set.second != "" {
			s.put(set.indent + set.second)
		} else {
			s.put("")
		}
		for i := range 8 {
			s.flow(append(s.words(40+i), "te/c"+string("abcdefgh"[i])+"4"), 2, 0)
		}
		res, ed := hardBook(t, nil, s.ends(1))
		inOrder(t, ed, set.first, "te/ca4", "te/ch4", ",a boat )", ",a mill x")
		if got := linksOf(res, book.NoteRef); got != 2 {
			t.Errorf("%d notes joined, want 2\n%s", got, ed)
		}
	}
}

// Notes begin with their number alone, which is raised in the text only (Rules of Unified English Braille 2013, 6.5.2), and
// have no line to part them from it: at the foot of their page, as paragraphs are set, or after their paragraph at cell 7
// (English Braille American Edition 1994, rule IV; common practice). Numbers that nothing refers to are no notes.
func TestNotesWithBareNumbers(t *testing.T) {
	for _, c := range []struct{ foot, refers bool }{{true, true}, {false, true}, {true, false}} {
		s := &houseVolume{width: 38, height: 24}
		s.head = func(p int) string { return s.right(p) }
		s.titleAlone()
		n := 0
		for page := range 12 {
			for len(s.pages[len(s.pages)-1]) < 16 {
				s.para(30 + page)
			}
			n++
			ref := "boat"
			if c.refers {
				ref += ";9" + string(cell.Number(n))
			}
			s.flow(append(append(s.words(9), ref, "9", "!", "r1ds"), "h\\se4"), 2, 0)
			note := append(append([]string{string(cell.Number(n)), ",a"}, s.words(12)...), "boat"+string("abcdefghijkl"[page])+"4")
			if c.foot {
				s.flow(note, 2, 0)
				s.turn()
			} else {
				s.flow(note, 6, 4)
				s.para(20)
			}
		}
		want := 0
		if c.refers {
			want = 12
		}
		if got := linksOf(makeOf(t, s.String()), book.NoteRef); got != want {
			t.Errorf("%+v: %d notes joined, want %d", c, got, want)
		}
	}
}

// Notes stand after their paragraph, from cell 7 and runovers in cell 5 (English Braille American Edition, rule IV). One ends
// the page with a full line; at cell 5 of the next page stand the number and name of a chapter, the place and date of a letter
// over its salutation, or verse: none goes on the note.
func TestNoMatterOverThePageGoesOnANote(t *testing.T) {
	for name, over := range map[string][]string{
		"heading": {",,vi", ",! ,o!r ,boat", "", ",he left ! f]ry & w5t by road to ! h\\se4"},
		"letter":  {",! ,nor? ,road1 #b ,decemb]4", "~~,de> ,c\\s9 ,maud1", "~~~~,he left ! f]ry & w5t by road4"},
		"verse":   {",o give ?anks unto ! ,l", "= he is gd3", "= 8 m]cy 5dure? ev]4", "", ",he left ! f]ry & w5t by road to ! h\\se4"},
	} {
		t.Run(name, func(t *testing.T) {
			s := hardVolume(1, 1)
			note := func(n int) {
				w := s.words(30)
				w[9] += "99" + string(cell.Number(n))
				s.flow(append(w, "h\\se4"), 2, 0)
				s.put("      99" + string(cell.Number(n)) + " ,n[ ! boat )\\t sail & oars4")
			}
			for n := 1; n < 9; n++ {
				note(n)
				s.put("")
			}
			for len(s.pages[len(s.pages)-1]) < s.height-4 {
				s.para(6)
			}
			s.flow(strings.Fields("old f]ry cross$ ! riv] twice a day99#i & c ag4"), 2, 0)
			s.put("      99#i ,= )\\t sail x c n 2 boat4")
			s.turn()
			for n, l := range over {
				if n > 0 && strings.HasPrefix(l, "~") || l == "" {
					s.put(strings.ReplaceAll(l, "~", " "))
				} else if n > 0 && over[n-1] == "" {
					s.put(l)
				} else {
					s.put("    " + l)
				}
			}
			s.put("  ,x 0 l;g1 & n \"o spoke4")
			s.para(40)
			res, _ := hardBook(t, nil, s.ends(1))
			for i := range res.Book.Blocks {
				bl := &res.Book.Blocks[i]
				if line := blockLine(res.Book, bl); bl.Part == book.NotesPart && strings.Contains(line, strings.TrimLeft(over[0], "~")) {
					t.Errorf("among the notes: %q", line)
				}
			}
		})
	}
}

// A note stands after its paragraph within a letter, which ends right under it: the closing line at the cell of the note's
// runovers, the name far further in. They are text.
func TestLetterEndsUnderANote(t *testing.T) {
	s := hardVolume(1, 1)
	for n := 1; n < 6; n++ {
		w := s.words(30)
		w[9] += "99" + string(cell.Number(n))
		s.flow(append(w, "h\\se4"), 2, 0)
		s.put("      99" + string(cell.Number(n)) + " ,& he 0 t1*+ 9 ! f]ry &")
		s.put("    ! h\\se at ! f>!r end ( ? road4 ,z4")
		s.put("    ,) love to all at home1")
		s.put("                      ,he/]")
		s.put("")
	}
	res, _ := hardBook(t, nil, s.ends(1))
	for i := range res.Book.Blocks {
		bl := &res.Book.Blocks[i]
		if line := blockLine(res.Book, bl); bl.Part == book.NotesPart && strings.Contains(line, "love to all") {
			t.Errorf("among the notes: %q", line)
		}
	}
	if n := linksOf(res, book.NoteRef); n != 5 {
		t.Errorf("%d notes joined, want 5", n)
	}
}
