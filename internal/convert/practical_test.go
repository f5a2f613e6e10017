package convert_test

import (
	"strings"
	"testing"

	"continuo/internal/book"
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

// Notes after their paragraph, at cell 7 with runovers at cell 5 (English Braille American Edition, rule IV), begin with the bare
// number of a raised mark, in a book whose chapters begin with a number and a full stop too, in the middle, at the margin or in cell 5 (common practice).
func TestBareNotesAndNumberedChapters(t *testing.T) {
	for _, c := range []struct{ where, mark string }{{"in the middle", "boat;9"}, {"at the margin", "99"}, {"long", "99"}} {
		s := hardVolume(1, 1)
		n := 0
		for chapter, name := range []string{",hills", ",the ,ferry", ",market ,towns", ",rivers", ",home"} {
			s.put("")
			switch head := string(cell.Number(chapter+1)) + "4 " + name; c.where {
			case "at the margin":
				s.put(head)
			case "long":
				s.put("    " + head + " & back to ,row")
			default:
				s.centre(head)
			}
			s.put("")
			for k := range 3 {
				n++
				s.flow(append(append(s.words(20+k), c.mark+string(cell.Number(n))), append(s.words(15), "wood4")...), 2, 0)
				s.flow(append([]string{string(cell.Number(n)), ",as", "told"}, append(s.words(12+k), "hill4")...), 6, 4)
				s.para(30)
			}
		}
		res, _ := hardBook(t, nil, s.ends(1))
		if got := linksOf(res, book.NoteRef); got != n {
			t.Errorf("%s: %d notes joined, want %d", c.where, got, n)
		}
	}
}

// A chapter whose name takes two lines at the margin begins the page after the notes of the one before, which begin at the margin
// with their marks and run over at cell 3 (notes at the end of chapters: common practice): it is none of them.
func TestChapterAtTheMarginUnderNotes(t *testing.T) {
	s := hardVolume(1, 1)
	last := ""
	for n := range 5 {
		if n > 0 {
			s.turn()
		}
		for _, l := range []string{",section " + string(cell.Number(n+1)) + "3 ,from ,maps to ,journeys", ",and back again to the ,rivers"} {
			s.put(l)
		}
		s.put("")
		last = s.para(30 + n)
		s.flow(append(append(s.words(8), "boat;9#a"), append(s.words(12), "wood4")...), 2, 0)
		s.put("")
		s.centre(",notes")
		s.flow(append([]string{";9#a", ",as", "told"}, append(s.words(14), "hill4")...), 0, 2)
	}
	_, ed := hardBook(t, nil, s.ends(1))
	if text, notes := strings.Index(ed, last), strings.Index(ed, "\n;9#a ,as"); text < 0 || notes < text {
		t.Errorf("the text of the last chapter is at %d, the notes begin at %d", text, notes)
	}
}

// Heads of chapters stand in the middle at the foot of right-hand pages beside the number, but for those that are too long for
// it (UK practice: heads on right-hand pages): the few that there are go.
func TestFewHeadsAtTheFoot(t *testing.T) {
	p := &houseVolume{width: 34, height: 18}
	for _, name := range []string{",the ,long ,road to the ,hollow ,hills", ",market ,day", ",how a ,ferry came to ,wexcombe ,end", ",the ,book of all the ,old ,bridges"} {
		p.put("")
		p.put("    " + name)
		p.put("")
		for k := range 5 {
			p.flow(append([]string{",at", "dawn"}, append(p.words(40+k), "wood4")...), 2, 0)
		}
	}
	s := &houseVolume{width: 34, height: 20}
	s.titleAlone()
	s.pages = s.pages[:1]
	head := ""
	for n, pg := range p.pages {
		no := string(cell.Number(n + 1))
		foot := strings.Repeat(" ", 34-len(no)) + no
		if n%2 == 1 && head != "" && len(head) <= 18 {
			at := (34 - len(head)) / 2
			foot = foot[:at] + head + foot[at+len(head):]
		}
		for _, l := range pg {
			if name, ok := strings.CutPrefix(l, "    ,"); ok {
				head = strings.ReplaceAll(name, ",", "")
			}
		}
		for len(pg) < 19 {
			pg = append(pg, "")
		}
		s.pages = append(s.pages, append(pg, foot))
	}
	_, ed := hardBook(t, nil, s.String())
	if !strings.Contains(s.String(), " market day") || strings.Contains(ed, "market day") {
		t.Errorf("the page head is left, or the paper has none:\n%s\n%s", s.String(), ed)
	}
}

// A print page turn in the middle of line 1 that shares it with the braille page number, as text does, is no page head (the
// indicator alone on its line: W3C w3c-wai-hc 1997, 0306; text beside the number: BRL session 4).
func TestTurnBesideTheNumber(t *testing.T) {
	s := hardVolume(1, 1)
	s.head = nil
	s.pages = s.pages[:1]
	p := &houseVolume{width: s.width, height: s.height - 1}
	for n := range 30 {
		p.flow(append([]string{",at", "dawn"}, append(p.words(40+n), "wood4")...), 2, 0)
	}
	turns := 0
	for n, pg := range p.pages {
		top := strings.TrimRight(s.right(n+2), " ")
		switch n % 4 {
		case 0:
			top = "           ! l;g road" + s.right(n + 2)[21:]
		case 1, 2:
			turns++
			top = "                 \"3" + string(cell.Number(turns+11))
			top += s.right(n + 2)[len(top):]
		}
		s.pages = append(s.pages, append([]string{top}, pg...))
	}
	_, ed := hardBook(t, nil, s.ends(1))
	if n := strings.Count(ed, "\"3#"); n != turns || turns < 4 {
		t.Errorf("%d of %d print page turns are shown", n, turns)
	}
}

// Parts of recipes under a word at the margin, "method", on line 1 of many pages of one volume and within pages of the others:
// no page head (common practice of recipe books).
func TestWordsOfPartsAtTheTopOfPages(t *testing.T) {
	var vols []string
	for n := 1; n <= 2; n++ {
		s := &houseVolume{width: 32, height: 20, next: 100 * n}
		s.put("")
		s.centre(",plain ,cooking")
		s.put("")
		s.centre(",volume " + string(cell.Number(n)))
		for k := range 9 {
			s.turn()
			s.put("    ,leek ,s\\p " + string(cell.Number(10*n+k)))
			for i := range 7 {
				s.put(string(cell.Number(i+2)) + " cups " + s.word())
			}
			if n == 2 {
				s.turn()
			} else {
				s.put("")
			}
			s.put(",me?od")
			for i := 1; i <= 3; i++ {
				s.flow(append([]string{string(cell.Number(i)) + "4", ",heat"}, append(s.words(5+i), "pan4")...), 0, 4)
			}
		}
		vols = append(vols, s.ends(n))
	}
	_, ed := hardBook(t, nil, vols...)
	if n := strings.Count(ed, ",me?od\n"); n != 18 {
		t.Errorf("\"method\" stands %d times, want 18", n)
	}
}

// A chapter with a number at the margin, between blank lines, comes after the notes of the one before, which begin at the margin
// with raised numbers: it is none of them (notes at the end of chapters: common practice).
func TestNumberedChapterAtTheMarginAfterNotes(t *testing.T) {
	s := hardVolume(1, 1)
	n := 0
	for c, name := range []string{",hills and ,ferries", ",the ,old ,bridge", ",markets", ",the ,way ,home"} {
		s.put("")
		s.put(string(cell.Number(c+1)) + "4 " + name)
		s.put("")
		for k := 1; k <= 2; k++ {
			n++
			s.flow(append(append(s.words(20+k), "boat;9"+string(cell.Number(k))), append(s.words(15), "wood4")...), 2, 0)
			s.para(40)
		}
		s.put("")
		s.centre(",notes")
		for k := 1; k <= 2; k++ {
			s.flow(append([]string{";9" + string(cell.Number(k)), ",as", "told"}, append(s.words(12+k), "hill4")...), 0, 2)
		}
	}
	res, _ := hardBook(t, nil, s.ends(1))
	if got := linksOf(res, book.NoteRef); got != n {
		t.Errorf("%d notes joined, want %d", got, n)
	}
}

// Two recipes have a name of two lines in capitals at the top of a page, beside the number, whose first lines are alike: the
// passage of capitals goes on in the second (Rules of Unified English Braille 2013, 8.5), so the first is no page head.
func TestCapitalsOverTwoLinesBesideTheNumber(t *testing.T) {
	s := hardVolume(1, 1)
	for n, rest := range []string{"potatoes & lemon,'", "raisins & lemon,'"} {
		for k := range 4 {
			s.turn()
			for len(s.pages[len(s.pages)-1]) < s.height-4 {
				s.para(30 + n + k)
			}
		}
		s.turn()
		line := "       ,,,cold pepper salad )"
		s.pages[len(s.pages)-1] = []string{line + s.right(len(s.pages))[len(line):]}
		s.centre(rest)
		s.put("")
		s.para(60)
	}
	_, ed := hardBook(t, nil, s.ends(1))
	if n := strings.Count(ed, ",,,cold pepper salad )"); n != 2 {
		t.Errorf("the first line of the names stands %d times, want 2", n)
	}
}
