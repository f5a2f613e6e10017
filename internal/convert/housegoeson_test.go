package convert_test

import "testing"

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
