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

// Headings in cell 5 that leave six cells at the right margin, the most that they may take, over paragraphs whose first word
// had room beside them (BANA, Braille Formats 2016, section 4).
func TestLongSideHeads(t *testing.T) {
	s := hardVolume(1, 1)
	s.width = 40
	var names []string
	for n, name := range []string{",how ,stones ,grow to ,walls", ",bells & ,towers of ,rowland", ",old ,roads", ",how ,rivers ,became ,towers", ",gardens", ",the ,ferry ,at ,hollow ,end"} {
		names = append(names, name)
		s.put("")
		s.put("    " + name)
		for range 3 {
			s.flow(append([]string{",at", "dawn"}, s.words(30+n)...), 2, 0)
		}
	}
	res, _ := hardBook(t, nil, s.ends(1))
	headsAmong(t, headLines(res.Book), names, nil)
}

// "Exercises" in cell 7 over each list of exercises, with no blank line under it; the items begin in cell 3, with a number and
// a closing bracket (exercises: BANA, Braille Formats 2016, section 10; other numbers than with a full stop: common practice).
func TestHeadsOverNumberedItems(t *testing.T) {
	s := hardVolume(1, 1)
	for n := range 5 {
		s.put("")
		s.centre(",lesson " + string(cell.Number(n+1)))
		s.put("")
		for k := range 2 {
			s.para(40 + n + k)
		}
		s.put("")
		s.put("      ,ex]cises")
		for k := 1; k <= 4; k++ {
			s.flow(append([]string{string(cell.Number(k)) + "\">"}, s.words(8+k)...), 2, 4)
		}
		s.flow(append([]string{"\"<a\">"}, s.words(9)...), 4, 6)
	}
	res, _ := hardBook(t, nil, s.ends(1))
	n := 0
	for _, h := range headLines(res.Book) {
		n += strings.Count(h, ",ex]cises")
	}
	if n != 5 {
		t.Errorf("%d headings over exercises, want 5", n)
	}
}

// Headings with the number of their section at the margin, as long as the line or over two lines (common practice of handbooks).
func TestLongNumberedHeadsAtTheMargin(t *testing.T) {
	s := hardVolume(1, 1)
	var names []string
	for n := range 3 {
		for k, name := range []string{",voices & ,families of ,row", ",from ,towers to ,islands & ,on to |,hollow ,rivers", ",gardens"} {
			lines := strings.Split("#"+string(rune('a'+n))+"4"+string(rune('a'+k))+" "+name, "|")
			names = append(names, lines...)
			s.put("")
			for _, l := range lines {
				s.put(strings.TrimRight(l, " "))
			}
			for range 2 {
				s.flow(append([]string{",on", "monday"}, s.words(30+n)...), 2, 0)
			}
		}
	}
	for i := range names {
		names[i] = strings.TrimRight(names[i], " ")
	}
	res, _ := hardBook(t, nil, s.ends(1))
	headsAmong(t, headLines(res.Book), names, nil)
}
