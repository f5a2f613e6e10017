package convert_test

import (
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/cell"
)

// laterVolume begins the first or the second of two volumes: their title page, and page numbers on line 1.
func laterVolume(vol, height int) *houseVolume {
	s := &houseVolume{width: 38, height: height, next: 700 * vol}
	s.head = func(p int) string { return s.right(p) }
	s.put("")
	s.centre("! l;g road")
	s.put("")
	s.centre("volume " + []string{"\"o", "two"}[vol])
	s.turn()
	return s
}

// The contents list of volume 1 names the pieces of both volumes, those of volume 1 with their braille pages; it fills its
// page and goes on over the next, after a few entries without numbers or within an entry, the rest of which stands in the middle by
// chance. Volume 2 lists its own pieces again (lists of the whole book: UKAAF, Guiding Principles 2016, appendix H;
// runovers of entries further in than all entries: BANA, Braille Formats 2016, section 2). It is one list, and has each
// entry once.
func TestContentsOfLaterVolumesOverPages(t *testing.T) {
	for _, c := range []struct {
		name  string
		first int // entries of the first volume
		lines int // of the list's first page
	}{
		{"after three entries without numbers", 13, 18},
		{"within an entry without a number", 15, 18},
		{"within the last entry with a number", 15, 17},
	} {
		t.Run(c.name, func(t *testing.T) {
			var titles []string
			for k := range c.first + 9 {
				e := "a song ( " + houseWords[2*k] + " & " + houseWords[2*k+1]
				if k == c.first-1 || k == c.first {
					e = "a ballad ( " + houseWords[k] + " mill & ( ! quiet gold5 road t led "
				}
				titles = append(titles, strings.TrimSpace(e))
			}
			lines := func(k, page int) (out []string) {
				for n, l := range cutLines(titles[k], 30, 26) {
					out = append(out, strings.Repeat(" ", 2+4*min(n, 1))+l)
				}
				last := len(out) - 1
				if out[last] += " "; page > 0 {
					out[last] += strings.Repeat("\"", 33-len(out[last])) + " " + string(cell.Number(page))
				}
				return out
			}
			var vols []string
			for vol := range 2 {
				s := laterVolume(vol, c.lines+3)
				s.centre("3t5ts")
				s.put("")
				from, to := 0, c.first
				if vol == 1 {
					from, to = c.first, len(titles)
				}
				for k := from; k < len(titles); k++ {
					page := 0
					if k < to {
						page = k - from + 4
					}
					for _, l := range lines(k, page) {
						s.put(strings.TrimRight(l, " "))
					}
				}
				for k := from; k < to; k++ {
					s.turn()
					s.put("")
					for _, l := range cutLines(titles[k], 30, 30) {
						s.centre(l)
					}
					s.put("")
					s.para(40)
				}
				vols = append(vols, s.String())
			}
			res := makeOf(t, vols...)
			if n := linksOf(res, book.ListRef); n != len(titles) {
				t.Errorf("%d entries joined, want %d", n, len(titles))
			}
			for _, e := range titles {
				if n := strings.Count(strings.Join(strings.Fields(string(res.Edition)), " "), e); n > 2 {
					t.Errorf("%q stands %d times\n%s", e, n, res.Edition[:min(len(res.Edition), 2500)])
				}
			}
		})
	}
}

// Volume 1 ends within a word of chapter six, some lines under a date in the middle; volume 2 begins with the chapter's heading
// again, over the rest of that word (common practice). The headings of chapters stand at the margin. The word is whole
// again, and the heading stands once in the text.
func TestChapterGoesOnWithinAWordUnderADate(t *testing.T) {
	var vols []string
	for vol := range 2 {
		s := laterVolume(vol, 25)
		if vol == 1 {
			s.centre("six")
			s.flow(append([]string{"y>d1"}, append(s.words(40), "h\\se4")...), 0, 0)
			s.para(120)
		}
		for _, chapter := range [][]string{{"f\\r", "five", "six"}, {"sev5", "ei<t"}}[vol] {
			s.put("")
			s.put(chapter)
			s.put("")
			for range 8 {
				s.para(60)
			}
		}
		if vol == 0 {
			s.put("")
			s.centre("#bb janu>y")
			s.flow(append(s.words(60), "p\\ltry-"), 2, 0)
		}
		vols = append(vols, s.String())
	}
	ed := string(makeOf(t, vols...).Edition)
	if n := strings.Count(ed, "\n    six\n") + strings.Count(ed, "\nsix\n"); n != 1 || !strings.Contains(strings.Join(strings.Fields(ed), " "), "p\\ltry-y>d1") {
		t.Errorf("the heading stands %d times\n%s", n, ed[strings.Index(ed, "#bb janu>y"):])
	}
}
