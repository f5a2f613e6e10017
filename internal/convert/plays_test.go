package convert_test

import (
	"fmt"
	"strings"
	"testing"
)

// playPages sets plays of three acts of two scenes each, under their titles and the lists of their characters, with
// acts in the middle and scenes at cell 5 (BANA, Braille Formats 2016, section 14; common practice). Page heads
// name the play and the act, or nothing but numbers stand on line 1. Every play, and with again every act, begins a page.
func playPages(plays []string, heads bool, height int) string {
	s := hardVolume(1, 1)
	s.height = height
	head := ""
	s.head = func(p int) string {
		if !heads || p == 1 || head == "" {
			return s.right(p)
		}
		h := strings.Repeat(" ", (s.width-len(head))/2) + head
		return h + s.right(p)[len(h):]
	}
	for _, play := range plays {
		head = play
		if heads {
			s.turn()
			s.pages[len(s.pages)-1][0] = strings.Repeat(" ", (s.width-len(play))/2) + play
		} else {
			s.turn()
		}
		s.centre(play)
		s.put("")
		s.put("    ,\"*s 9 ! ,play")
		for _, who := range []string{",,ivo1 a c\\s9", ",,$ith1 a s]vant", ",,flora1 ! mayor"} {
			s.put(who)
		}
		for act := range 3 {
			s.put("")
			s.centre(fmt.Sprintf(",act #%c", 'a'+act))
			if heads {
				head = play + fmt.Sprintf(" ,act #%c", 'a'+act)
			}
			for scene := range 2 {
				s.put("")
				s.put(fmt.Sprintf("    ,sc5e #%c", 'a'+scene))
				for n := range 14 {
					s.flow(append(append([]string{[]string{",,ivo", ",,$ith", ",,flora"}[n%3], ",x"}, s.words(20+n)...), "h\\se4"), 0, 2)
				}
			}
		}
	}
	return s.String()
}

// Acts and scenes numbered anew in every play carry its name, where the list of characters stands between
// the title and the first act, or where the heads name play and act. Acts stand under no scene.
func TestPlaysOfOneBook(t *testing.T) {
	plays := []string{",! ,gold5 ,m1d[", ",n[ ,doors", ",a ,w9t] ,tale"}
	for _, heads := range []bool{false, true} {
		_, ed := hardBook(t, nil, playPages(plays, heads, 26))
		for _, play := range plays {
			for act := 'a'; act <= 'c'; act++ {
				for _, want := range []string{fmt.Sprintf("%s ,act #%c\n", play, act), fmt.Sprintf("%s ,act #%c ,sc5e #b\n", play, act)} {
					if n := strings.Count(ed, want); n != 1 {
						t.Errorf("heads %v: %q stands %d times, want once", heads, want, n)
					}
				}
			}
		}
		if strings.Contains(ed, ",sc5e #b ,act") || strings.Contains(ed, ",sc5e #a ,act") {
			t.Errorf("heads %v: an act under a scene", heads)
		}
	}
}
