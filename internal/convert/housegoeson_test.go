package convert_test

import (
	"strings"
	"testing"

	"continuo/internal/cell"
)

// A volume ends within a chapter and says so in a sentence over two lines; the next
// repeats the heading of the chapter with "(continued)" under the title (common
// practice). Neither stands in the edition, and the chapter goes on.
func TestChapterGoesOnInTheNextVolume(t *testing.T) {
	head := func(s *houseVolume, n string) {
		s.put("")
		s.centre("! ri$")
		s.put("")
		s.centre("9 two volumes")
		s.centre("volume " + n)
		s.turn()
	}
	one := &houseVolume{width: 26, height: 20}
	head(one, "\"o")
	one.head = one.right
	for _, h := range []string{"*apt] \"o", "*apt] two"} {
		one.centre(h)
		one.centre("! l;g road")
		for range 12 {
			one.para(40)
		}
	}
	one.put("")
	one.centre("! /ory 3t9ues 9")
	one.centre("volume two")
	two := &houseVolume{width: 26, height: 20, next: 300}
	head(two, "two")
	two.head = two.right
	two.centre("! ri$")
	two.centre("*apt] two")
	two.centre("! l;g road 73t9u$7")
	for range 12 {
		two.para(40)
	}
	two.centre("*apt] ?ree")
	for range 12 {
		two.para(40)
	}
	ed := string(makeOf(t, one.String(), two.String()).Edition)
	for text, want := range map[string]int{"73t9u$7": 0, "/ory 3t9ues": 0, "! l;g road": 2, "*apt] two": 1, "*apt] ?ree": 1} {
		if n := strings.Count(ed, text); n != want {
			t.Errorf("%q stands %d times in the edition, want %d", text, n, want)
		}
	}
}

// textCounts fails unless the edition of volumes has each text so many times.
func textCounts(t *testing.T, ed string, want map[string]int) {
	t.Helper()
	for text, n := range want {
		if got := strings.Count(ed, text); got != n {
			t.Errorf("%q stands %d times in the edition, want %d", text, got, n)
		}
	}
}

// bookVolume is a volume with a title page that says which it is, and the title above
// its text.
func bookVolume(n int, says ...string) *houseVolume {
	s := &houseVolume{width: 30, height: 22, next: 211 * n}
	s.put("")
	s.centre("! ri$")
	s.put("")
	s.centre("0jo marl[")
	s.put("")
	for _, l := range says {
		s.centre(l)
	}
	s.turn()
	s.head = s.right
	return s
}

// The volumes of a book are called books or parts on their title pages, with how many
// there are, and at their ends (every volume says which it is, UKAAF B004 section 4; the
// words are common practice). Neither stands in the edition. Where the text itself has a
// heading of that name and no extent is said, the lines are the book's own.
func TestVolumesCalledByAnotherWord(t *testing.T) {
	for _, c := range []struct {
		says, end, heading string
		left               int // of the lines at the end
	}{
		{"book %s ( #b", "5d ( book %s", "*apt] ", 0},
		{"\"p %s", "5d ( \"p %s", "*apt] ", 0},
		{"book %s", "5d ( book %s", "book ", 2},
	} {
		var vols []string
		for n := 1; n <= 2; n++ {
			num := string(cell.Number(n))
			s := bookVolume(n, strings.Replace(c.says, "%s", num, 1))
			s.centre(c.heading + num)
			for range 12 {
				s.para(40)
			}
			s.put("")
			s.centre(strings.Replace(c.end, "%s", num, 1))
			vols = append(vols, s.String())
		}
		end, _, _ := strings.Cut(c.end, "%s")
		textCounts(t, string(makeOf(t, vols...).Edition), map[string]int{end: c.left, " ( #b": 0})
	}
}

// The headings that a later volume repeats above its text, over one line or more, stand
// in the edition once: the part that goes on, and the chapter "(continued)", with the
// word on a line of its own. What stands at the end about the next volume goes too
// (common practice), and the broken sentence is whole.
func TestPartAndChapterGoOn(t *testing.T) {
	one, two := bookVolume(1, "volume #a"), bookVolume(2, "volume #b")
	one.centre("\"p #a")
	one.centre("! harb\\r")
	one.centre("*apt] #a")
	one.centre("a l;g [ter 0! riv]")
	for range 12 {
		one.para(40)
	}
	one.flow(append(one.words(17), "s"), 2, 0)
	one.centre("5d ( volume #a")
	one.centre("n[ r1d volume #b")
	two.centre("\"p #a")
	two.centre("! harb\\r")
	two.centre("*apt] #a")
	two.centre("a l;g [ter 0! riv]")
	two.centre("73t9u$7")
	two.put("")
	two.flow(append([]string{"?r[n"}, two.words(40)...), 0, 0)
	two.centre("*apt] #b")
	for range 12 {
		two.para(40)
	}
	textCounts(t, string(makeOf(t, one.String(), two.String()).Edition), map[string]int{"73t9u$7": 0, "! harb\\r": 1, "*apt] #a": 1, "*apt] #b": 1, "a l;g [ter": 1, "5d (": 0, "r1d volume": 0, " s ?r[n ": 1})
}

// Paragraphs at the margin with a blank line between, which the top of a page takes
// (common practice): where one line closes a speech and the next opens another, another
// person speaks.
func TestOtherSpeakerAtThePageTop(t *testing.T) {
	s := &houseVolume{width: 30, height: 12}
	s.head = s.right
	for range 30 {
		s.flow(s.words(25), 0, 0)
		s.put("")
	}
	s.turn()
	for len(s.pages[len(s.pages)-1]) < s.height-2 {
		s.put("")
	}
	s.put("8!n y w p]suade hm n 6g")
	s.put("away 9 ! boat f ? v old f]ry40")
	s.put("8p]sua.n is n at -m& 9 a h\\se")
	s.put("z small z ?is10 sd hannah4")
	for range 10 {
		s.put("")
		s.flow(s.words(25), 0, 0)
	}
	wholeLines(t, makeOf(t, s.String()), []string{"8p]sua.n is n at -m& 9 a h\\se z small z ?is10 sd hannah4"})
}
