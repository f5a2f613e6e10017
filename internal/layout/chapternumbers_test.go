package layout

import (
	"strings"
	"testing"
)

// chapterHeads is a book with the title on line 1 of right-hand pages and the number of the chapter on that of
// left-hand pages (common practice), which head sets beside the page number. A chapter of some pages begins
// with its number after a blank line, in the middle or at the margin.
func chapterHeads(pages, long int, margin bool, head func(s *sheet, p int, text string) string) (s *sheet, furniture map[string]bool) {
	s, furniture = newSheet(pages, 34, 22), map[string]bool{}
	chapter := 0
	for p, pg := range s.pages {
		text := "! quiet flood"
		if p%2 == 1 {
			text = num(chapter)
		}
		pg[0] = head(s, p, text)
		if p%long == 0 {
			chapter++
			if pg[4], pg[5], pg[6] = s.line(30)+"4", "", num(chapter); !margin {
				pg[6] = s.centre(num(chapter))
			}
		}
		pg[1], pg[21] = "  "+s.line(30), s.line(30)+"4" // no sentence goes on over pages
		furniture[strings.TrimRight(pg[0], " ")] = true
	}
	return s, furniture
}

// atRight sets a head at the right end of line 1, the page number at the left.
func atRight(s *sheet, p int, text string) string { return s.head(num(p+1), "", text) }

// TestChapterNumbersInHeads: the number of a chapter in the head of left-hand pages is no print page, though
// it never falls, where the chapters begin with it; print page turns within the text (dot 5, dots 2-5 and the
// number; W3C w3c-wai-hc 1997, 0306) may tell others.
func TestChapterNumbersInHeads(t *testing.T) {
	for k := range 4 {
		turns, margin, pages := k%2 == 1, k/2 == 1, 24
		if turns {
			pages = 12 // two chapters in the heads
		}
		s, furniture := chapterHeads(pages, 5, margin, atRight)
		if turns {
			for p := 0; p < pages; p += 3 {
				s.pages[p][13] = s.line(12) + " \"3" + num(40+p) + " " + s.line(12)
			}
		}
		v := s.survey(t)
		for p := range v.Pages {
			if l := v.Pages[p].Print; l != nil {
				t.Errorf("turns %t, margin %t: page %d has the print page %d", turns, margin, p+1, l.Value)
			}
		}
		whole(t, v, furniture)
	}
}

// TestPrintPagesOverChapters: print pages at the end of line 1 stay when chapters have numbers, also those
// of a book whose first chapters have the numbers of pages by chance.
func TestPrintPagesOverChapters(t *testing.T) {
	s, _ := chapterHeads(24, 5, false, atRight)
	for p, pg := range s.pages {
		pg[0] = s.head(num(p+1), "", num(p*2/3+1))
	}
	v := s.survey(t)
	if v.Slots[TopRight] != PrintPage {
		t.Errorf("the corner at the right carries %d, want print pages", v.Slots[TopRight])
	}
}

// TestNumberHeadsOfMarginHeadings: the number of a chapter in the middle of line 1, beside that of the print
// page, is a head on the first page too that has it, where the chapters begin with their numbers at the margin.
func TestNumberHeadsOfMarginHeadings(t *testing.T) {
	s, _ := chapterHeads(48, 8, true, func(s *sheet, p int, text string) string { return s.head("", text, num(p+61)) })
	v := s.survey(t)
	for p := 1; p < len(v.Pages); p += 2 {
		if l := &v.Lines[v.Pages[p].Top]; l.Role != Head {
			t.Errorf("page %d: %q is %s, want head", p+1, v.Raw(v.Pages[p].Top), l.Role)
		}
	}
}
