package convert_test

import (
	"strings"
	"testing"

	"continuo/internal/cell"
)

// A recipe a page, each with its name as page head over its name as heading, in cell 5 or at the margin, and the page number
// at the foot: no head stands on two pages, and all go (page information lines of sections: UK common practice; headings in
// cell 5: BANA, Braille Formats 2016, section 4; at the margin: common practice).
func TestHeadsOfRecipesOnOnePage(t *testing.T) {
	for _, in := range []int{4, 0} {
		recipesOnOnePage(t, in)
	}
}

func recipesOnOnePage(t *testing.T, in int) {
	s := &houseVolume{width: 36, height: 24}
	var names []string
	for n, name := range strings.Split(",leek ,s\\p|,oat ,cakes|,apple ,tart|,cold ,rice|,barley ,broth|,plum ,jam|,white ,loaf|,red ,stew", "|") {
		s.turn()
		head := strings.ReplaceAll(name, ",", "")
		s.centre(head)
		s.put(strings.Repeat(" ", in) + name)
		s.put("")
		names = append(names, name)
		for k := range 5 {
			s.put("  " + string(cell.Number(k+2)) + " cups " + s.word())
		}
		s.put("")
		for range 2 + n%2 {
			s.para(25)
		}
		for len(s.pages[n]) < s.height-1 {
			s.put("")
		}
		s.put(string(cell.Number(n + 1)))
	}
	front := &houseVolume{width: 36, height: 24}
	front.titleAlone()
	front.pages = front.pages[:1]
	front.pages = append(front.pages, s.pages...)
	res, ed := hardBook(t, nil, front.ends(1))
	headsAmong(t, headLines(res.Book), names, nil)
	for _, name := range names {
		if strings.Contains(ed, " "+strings.ReplaceAll(name, ",", "")+"\n") {
			t.Errorf("in from the margin %d: the page head over %q is left", in, name)
		}
	}
}
