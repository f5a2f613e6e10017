package convert_test

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/convert"
)

// gathered sets a few notes, numbered from one, as those of a house at the end of its books stand.
func (s *houseVolume) gathered(n int, tag string) {
	for k := 1; k <= n; k++ {
		s.flow(strings.Fields(fmt.Sprintf(";9%s ,a boat ) no sail & no oars1 as x came to 2 call$ x%s%c4", cell.Number(k), tag, 'a'+k)), 0, 2)
	}
}

// Notes of the whole book stand at the end of its last volume, under the names of its chapters: a preface first, and chapters
// of other volumes after it; a contents list ends the volume (common practice in France, Italy and Spain) or none does. All
// notes are joined.
func TestNotesOfABookWithNamesOfOtherVolumes(t *testing.T) {
	for _, list := range []bool{false, true} {
		one := hardVolume(1, 2)
		one.chapter(",preface", 4, "boat;9#a", "mill;9#b")
		one.chapter(",*apt] #a", 6, "boat;9#a", "mill;9#b")
		one.chapter(",*apt] #b", 6, "boat;9#a", "mill;9#b")
		two := hardVolume(2, 2)
		two.chapter(",*apt] #c", 8, "boat;9#a", "mill;9#b")
		two.turn()
		two.centre(",notes")
		for n, name := range []string{",preface", ",*apt] #a", ",*apt] #b", ",*apt] #c"} {
			two.put("")
			two.centre(name)
			two.gathered(2, string(rune('p'+n)))
		}
		if list {
			two.turn()
			two.put("")
			two.centre(",3t5ts")
			two.put("")
			for _, e := range []string{",preface \"\"\"\"\"\" #a", ",*apt] #a \"\"\"\"\"\" #c", ",*apt] #b \"\"\"\"\"\" #f", ",*apt] #c \"\"\"\"\"\" #ab"} {
				two.put(e)
			}
		}
		res, ed := hardBook(t, nil, one.ends(1), two.ends(2))
		if got := linksOf(res, book.NoteRef); got != 8 {
			t.Errorf("contents list %v: %d notes joined, want 8\n%s", list, got, ed)
		}
	}
}

// Notes at the end of each chapter stand under "notes to" and its name, which takes two lines (notes at the end of a
// chapter: common practice): all are joined, those of a section of the chapter too.
func TestNotesToAChapterWithALongName(t *testing.T) {
	s := hardVolume(1, 1)
	for n, name := range []string{",h[ ! ,old ,f]ry ,came to ,! ,l;g ,road", ",:at ! ,p ( ,! ,v ,?\\<t ( ! ,boats"} {
		w := strings.Fields(name)
		s.put("")
		s.centre(strings.Join(w[:5], " "))
		s.centre(strings.Join(w[5:], " "))
		s.put("")
		s.para(40)
		s.flow(append(s.words(12), "boat;9#a", "h\\se4"), 2, 0)
		s.para(50)
		s.flow(append(s.words(12), "mill;9#b", "h\\se4"), 2, 0)
		s.keep(8)
		s.put("")
		s.put("    ,notes to " + strings.Join(w[:4], " "))
		s.put("    " + strings.Join(w[4:], " "))
		s.put("")
		s.gathered(2, string(rune('p'+n)))
	}
	res, ed := hardBook(t, nil, s.ends(1))
	if got := linksOf(res, book.NoteRef); got != 4 {
		t.Errorf("%d notes joined, want 4\n%s", got, ed)
	}
}

// Headings in cell 5 between blank lines, over paragraphs that are blocks at the margin with a blank line between (a house
// style of the United Kingdom, common practice; cell-5 headings: BANA, Braille Formats 2016, section 4): all are headings.
func TestSideHeadsOverBlockParagraphs(t *testing.T) {
	s := &houseVolume{width: 38, height: 25}
	s.head = s.right
	names := []string{",! ,old ,f]ry", ",b[s & ,oars", ",m>ket ,days", ",! ,la/ ,s1son"}
	for _, name := range names {
		s.keep(6)
		s.put("")
		s.put("    " + name)
		for range 5 {
			s.blockPara(40)
		}
	}
	res, ed := hardBook(t, nil, s.String())
	wantHeadings(t, res, ed, names)
}

// A note at the foot of a page goes on at the foot of the next, under a separation line (BANA, Braille Formats 2016, section
// 16); one of its full lines stands in the middle there by chance. The note is whole and joined.
func TestNoteOverThePageWithALineInTheMiddle(t *testing.T) {
	s := hardVolume(1, 1)
	s.head = s.right
	s.para(60)
	s.flow(append(s.words(12), "boat;9#a", "h\\se4"), 2, 0)
	for len(s.pages[len(s.pages)-1]) < s.height-4 {
		s.para(8)
	}
	s.put("\"333333")
	s.put("      ;9#a ,x 0 a boat ) no sail ^u x")
	s.put("    & no oars at all1 as x came to be")
	s.turn()
	for range 2 {
		s.para(40)
	}
	s.put("\"333333")
	s.put("    known wh5 ! old f]ry cross$ ! w")
	s.put("    wat] twice a day6and back aga9")
	s.put("    throughout ! l;g w9t] ( t ye>4")
	s.turn()
	s.chapter(",! ,l&+", 8)
	res, ed := hardBook(t, nil, s.ends(1))
	if got := linksOf(res, book.NoteRef); got != 1 || strings.Contains(ed, "\"333333\n    known") {
		t.Errorf("%d notes joined, want 1, and the rest of the note with it\n%s", got, ed)
	}
}

// wantHeadings wants each name to be a heading, and returns all headings.
func wantHeadings(t *testing.T, res *convert.Result, ed string, names []string) map[string]bool {
	t.Helper()
	heads := map[string]bool{}
	for i := range res.Book.Blocks {
		if bl := &res.Book.Blocks[i]; bl.Kind == book.Heading {
			heads[strings.TrimSpace(blockLine(res.Book, bl))] = true
		}
	}
	for _, name := range names {
		if !heads[name] {
			t.Errorf("%q is no heading\n%s", name, ed)
		}
	}
	return heads
}
