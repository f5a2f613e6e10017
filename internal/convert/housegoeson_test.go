package convert_test

import (
	"strings"
	"testing"
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
