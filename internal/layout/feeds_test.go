package layout

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"continuo/internal/source"
)

// Form feeds that are missing in some places, in a whole volume, or in one volume of a
// title are counted over public files of many producers; that lines are counted from the
// top of the sheet is BRL session 3; pages of 24 or 26 lines stand among those of 25 in
// the published BANA samples.

// merge takes the form feeds after pages away, counted from 0.
func (s *sheet) merge(pages ...int) {
	slices.Sort(pages)
	for _, p := range slices.Backward(pages) {
		s.pages[p] = append(slices.Clone(s.pages[p]), s.pages[p+1]...)
		s.pages = slices.Delete(s.pages, p+1, p+2)
	}
}

// headed puts heads on line 1 of a sheet's pages: on all or on odd ones, numbers at
// the right; or numbers at the foot beside text.
func headed(s *sheet, style string) *sheet {
	h := s.height
	for p := range s.pages {
		n := num(p + 1)
		switch {
		case style == "all" || style == "odd" && p%2 == 0:
			s.pages[p][0] = s.head("", "! l;g f]ry", n)
		case style == "foot":
			s.pages[p][h-1] = s.corner(s.line(s.width-8), n)
		case style == "number":
			s.pages[p][h-1] = s.corner("", n)
		}
	}
	return s
}

// TestMissingFormFeeds: pages whose form feeds are missing are found by the numbers in
// their corners and the height of the paper, and their heads and numbers are no text.
func TestMissingFormFeeds(t *testing.T) {
	for _, style := range []string{"all", "odd", "foot", "number"} {
		for _, lost := range [][]int{{9}, {4, 5, 11}, {0, 1, 2, 3, 4, 5, 6, 7}} {
			for _, width := range []int{20, 38} {
				s := headed(newSheet(24, width, 25), style)
				s.merge(lost...)
				v := s.survey(t)
				heads, numbers := map[string]int{"all": 24, "odd": 12}[style], map[string]int{"number": 24}[style]
				if len(v.Pages) != 24 || v.roles(Head) != heads || v.roles(Number) != numbers {
					t.Errorf("%s, width %d, without the feeds after %v: %d pages, %d heads, %d numbers; want 24, %d, %d", style, width, lost, len(v.Pages), v.roles(Head), v.roles(Number), heads, numbers)
				}
				if style == "foot" {
					for p := range v.Pages {
						if b := v.Pages[p].Braille; b == nil || b.Value != p+1 {
							t.Errorf("without the feeds after %v: page %d has number %v", lost, p+1, b)
						}
					}
				}
			}
		}
	}
}

// TestMissingFormFeedOfShortPages: where blank lines at the end of pages are left out, two
// short pages may be shorter together than the paper; the number that the next page wants
// and the head tell.
func TestMissingFormFeedOfShortPages(t *testing.T) {
	s := headed(newSheet(20, 34, 26), "all")
	for _, p := range []int{3, 4, 9, 15} {
		s.pages[p] = s.pages[p][:9]
	}
	s.merge(3, 9)
	v := s.survey(t)
	if len(v.Pages) != 20 || v.roles(Head) != 20 {
		t.Errorf("%d pages, %d heads, want 20 of each", len(v.Pages), v.roles(Head))
	}
}

// TestUnfedPageOfTheHeightOfAnother: two short pages of a volume whose other pages are all of one
// height make one of that height; the number that is missing stands alone on a line within it.
func TestUnfedPageOfTheHeightOfAnother(t *testing.T) {
	s := newSheet(24, 38, 25)
	for p := range s.pages {
		s.pages[p][0] = s.corner("", num(p+1))
	}
	s.pages[4], s.pages[5] = s.pages[4][:14], s.pages[5][:11]
	s.merge(4)
	v := s.survey(t)
	if len(v.Pages) != 24 || v.roles(Number) != 24 {
		t.Errorf("%d pages, %d numbers, want 24 of each", len(v.Pages), v.roles(Number))
	}
}

// TestVolumeWithoutFormFeeds: a volume without form feeds and numbers has the paper of the
// title's other volumes.
func TestVolumeWithoutFormFeeds(t *testing.T) {
	one, two := newSheet(12, 30, 22), newSheet(12, 30, 22)
	v := Survey([]*source.File{one.file(t, "v1.brf", true), two.file(t, "v2.brf", false)})[1]
	if len(v.Pages) != 12 || v.Height != 22 || !v.Divided {
		t.Errorf("%d pages of %d lines, want 12 of 22", len(v.Pages), v.Height)
	}
}

// TestLongPagesStayWhole: a page a line longer than the others, a page of a table whose
// columns end in numbers, and one of a contents list with the number that would follow, are
// one page each.
func TestLongPagesStayWhole(t *testing.T) {
	s := headed(newSheet(16, 38, 25), "all")
	s.pages[3] = append(s.pages[3], s.line(38))
	s.pages[12], s.pages[14] = s.pages[12][:12], s.pages[14][:9] // after a page that lacks its number
	s.pages[13][0] = s.line(38)
	for i := 1; i < 25; i++ {
		s.pages[6][i] = s.corner(s.line(20), num(i))
		s.pages[9][i] = s.corner(fmt.Sprint(s.line(20), " \"\"\""), num(3+i))
	}
	v := s.survey(t)
	if len(v.Pages) != 16 || v.roles(Head) != 15 || v.roles(Number) != 0 {
		t.Errorf("%d pages, %d heads, %d numbers, want 16, 15, 0", len(v.Pages), v.roles(Head), v.roles(Number))
	}
}

// TestNumbersAtTheFootWithoutFormFeeds: in a volume without form feeds one page is a line
// longer than the others, so that most numbers stand where those of line 1 would; the
// first pages and the last number tell that they are at the foot.
func TestNumbersAtTheFootWithoutFormFeeds(t *testing.T) {
	s := headed(newSheet(30, 38, 25), "foot")
	s.pages[3] = append([]string{s.line(38)}, s.pages[3]...)
	v := Survey([]*source.File{s.file(t, "v1.brf", false)})[0]
	if len(v.Pages) != 30 || v.Slots[BottomRight] != BraillePage {
		t.Fatalf("%d pages, the corner at the foot has %v", len(v.Pages), v.Slots[BottomRight])
	}
	for p := range v.Pages {
		if b := v.Pages[p].Braille; b == nil || b.Value != p+1 {
			t.Errorf("page %d has number %v", p+1, b)
		}
	}
}

// TestFeedsOfOtherCounts: the form feed between two pages is missing where the head stands
// beside a print page number, the pages of a short volume are longer than those of the
// others, preliminary pages are numbered in roman, or the number of the volume comes to
// stand before the page numbers of the text.
func TestFeedsOfOtherCounts(t *testing.T) {
	print := newSheet(20, 40, 25)
	for p := 1; p < 20; p++ {
		print.pages[p][0] = print.centre("! l;g f]ry")
		if p >= 4 {
			print.pages[p][0], print.pages[p][24] = print.head("", "! l;g f]ry", num(80+p/2)), print.corner("", num(p-3))
		}
	}
	print.pages[4][1] = print.centre("! l;g f]ry")
	print.merge(2, 3)

	long := newSheet(5, 38, 28)
	for p := 1; p < 5; p++ {
		long.pages[p][27] = long.corner("", num(p+1))
	}
	long.merge(1)
	other := headed(newSheet(20, 38, 22), "number")

	roman, digit := newSheet(20, 38, 27), newSheet(20, 38, 27)
	for p := 1; p < 20; p++ {
		roman.pages[p][0], digit.pages[p][0] = roman.head("", "", num(p-3)), digit.head("", "", "5"+num(p+1))
		if p < 4 {
			roman.pages[p][0] = roman.corner("", strings.Fields("ii iii iv")[p-1])
		}
	}
	digit.pages[1][0] = digit.corner("", num(2))
	for _, s := range []*sheet{roman, digit} {
		s.pages[0], s.pages[1] = s.pages[0][:13], s.pages[1][:6]
		s.pages[3], s.pages[8] = s.pages[3][:11], s.pages[8][:20]
		s.merge(0)
	}
	for name, c := range map[string]struct {
		sheets []*sheet
		pages  int
	}{
		"a print page":  {[]*sheet{print}, 20},
		"longer paper":  {[]*sheet{long, other}, 5},
		"roman numbers": {[]*sheet{roman}, 20},
		"volume digit":  {[]*sheet{digit}, 20},
	} {
		if v := surveyAll(t, c.sheets...)[0]; len(v.Pages) != c.pages || v.Pages[1].First == 0 {
			t.Errorf("%s: %d pages, want %d", name, len(v.Pages), c.pages)
		} else if name == "a print page" && !strings.Contains(string(v.Raw(v.Pages[4].First)), num(82)) {
			t.Errorf("%s: page 5 begins with %q", name, v.Raw(v.Pages[4].First))
		}
	}
}

// TestLongPagesWithNumbersInOuterCorners: a page two lines longer than the others is one page,
// though the print page number at the left of the next page (UK, W3C w3c-wai-hc 1997,
// 0306) is the one that the count would want after another page.
func TestLongPagesWithNumbersInOuterCorners(t *testing.T) {
	s := newSheet(24, 38, 24)
	outer(s, 1, func(n int) int { return 6 + n/2 })
	s.pages[7] = append(s.pages[7], "", s.line(12))
	for _, p := range []int{3, 10, 17, 20} { // blank lines at the end of pages are left out
		s.pages[p] = s.pages[p][:15]
	}
	v := s.survey(t)
	for p := range v.Pages {
		if b := v.Pages[p].Braille; p > 0 && (b == nil || b.Value != p+1) {
			t.Errorf("page %d has number %v", p+1, b)
		}
	}
	if len(v.Pages) != 24 {
		t.Errorf("%d pages, want 24", len(v.Pages))
	}
}

// TestMissingFormFeedBeforeAFullPage: of a short page and a full one without a form feed
// between them the second ends in the head, which stands on the last line of the paper.
func TestMissingFormFeedBeforeAFullPage(t *testing.T) {
	s := newSheet(24, 32, 19)
	for p := 1; p < 24; p++ {
		if s.pages[p][18] = s.corner("", num(p+1)); p%2 == 0 {
			s.pages[p][18] = s.head("", "! w1!r h\\se", num(p+1))
		}
	}
	s.pages[1] = append([]string{s.centre(",special ,symbols"), ".=\"9 a/]isk", ".=_/ solidus", ".=@.< op5+ note sign"}, nil...)
	s.pages[2] = append(append([]string{s.centre(",g5]al ,3t5ts")}, s.pages[2][:14]...), "", "", "", s.centre("! w1!r h\\se"))
	for _, p := range []int{5, 9, 15, 20} {
		s.pages[p] = s.pages[p][:11]
	}
	s.merge(1)
	v := s.survey(t)
	if len(v.Pages) != 24 || v.Pages[2].Last-v.Pages[2].First != 19 {
		t.Errorf("%d pages, the third of %d lines, want 24 and 19", len(v.Pages), v.Pages[2].Last-v.Pages[2].First)
	}
}

// TestMissingFormFeedUnderATitlePage: the title page is a line shorter than the paper and has no form feed, so that the
// first line of the text seems to be its last. It stands at the margin, all lines of the title page in the middle, and
// a full page begins with it (title pages are centred: W3C w3c-wai-hc 1997; common practice).
func TestMissingFormFeedUnderATitlePage(t *testing.T) {
	for _, short := range []int{1, 2, 5} {
		s := newSheet(24, 32, 22)
		for p := range s.pages {
			s.pages[p][21] = s.centre(num(p + 1))
		}
		s.pages[0] = make([]string, 22-short)
		for k, i := range []int{1, 4, 8, 12, 16, 21 - short} {
			s.pages[0][i] = s.centre([]string{",! ,w1!r ,h\\se", ",tobias ,wr5field", ",volume #b", ",h>b\\r ,brl ,press", ",saltm]e #bjja", ",all \"rs res]v$"}[k])
		}
		s.merge(0)
		if v := s.survey(t); len(v.Pages) != 24 || v.Pages[1].First != int32(22-short) {
			t.Errorf("title page %d lines short: %d pages, the second from line %d, want 24 and %d", short, len(v.Pages), v.Pages[1].First, 22-short)
		}
	}
}

// TestNumbersWhereThoseOfTheOthersAre: a volume without form feeds whose page numbers could be
// those of line 1 as well (its last page has none) has them at the foot, under heads, as the
// volumes with form feeds do.
func TestNumbersWhereThoseOfTheOthersAre(t *testing.T) {
	footed := func(pages int) *sheet {
		s := newSheet(pages, 38, 25)
		for p := 1; p < pages; p++ {
			s.pages[p][0], s.pages[p][24] = s.centre("! l;g f]ry"), s.corner("", num(p+1))
		}
		return s
	}
	bare := footed(13)
	bare.pages[0] = bare.pages[0][:24]
	bare.pages[12] = bare.pages[12][:24]
	v := Survey([]*source.File{footed(30).file(t, "v1.brf", true), bare.file(t, "v2.brf", false)})[1]
	if len(v.Pages) != 13 || v.roles(Head) != 12 || v.roles(Number) != 11 {
		t.Errorf("%d pages, %d heads, %d numbers, want 13, 12, 11", len(v.Pages), v.roles(Head), v.roles(Number))
	}
}

// TestTranscribersPagesWithoutFormFeeds: a volume of preliminary matter without form feeds, on paper two
// lines longer than that of the others. Its pages have t or p before their number, each a count of its
// own, and stand among each other (BANA, Braille Formats 2011, 2.2.1; 1997, rule 1).
func TestTranscribersPagesWithoutFormFeeds(t *testing.T) {
	front, text := newSheet(5, 32, 27), newSheet(20, 32, 25)
	for p, n := range []string{";t#a", ";t#b", ";p#a", ";t#c", ";t#d"} {
		front.pages[p] = make([]string, 27)
		front.pages[p][0], front.pages[p][2], front.pages[p][26] = front.centre(",special ,symbols"), "99 a/]isk", front.corner("", n)
	}
	for p := range text.pages {
		text.pages[p][24] = text.corner("", num(p+1))
	}
	v := Survey([]*source.File{front.file(t, "v1.brf", false), text.file(t, "v2.brf", false)})[0]
	if len(v.Pages) != 5 || v.roles(Number) != 5 {
		t.Errorf("%d pages, %d numbers, want 5 of each", len(v.Pages), v.roles(Number))
	}
}

// TestFeedsOfShortPreliminaryPages: form feeds are missing between preliminary pages whose blank lines at
// the end are left out. A page without any line follows them, or the first page of the text, which has no
// number, and its second one.
func TestFeedsOfShortPreliminaryPages(t *testing.T) {
	blank := newSheet(20, 38, 25)
	for p := 1; p < 20; p++ {
		if blank.pages[p][0] = blank.corner("", num(p+1)); p > 2 {
			blank.pages[p][0] = blank.corner("", num(p+2)) // after page 4, of which nothing is left
		}
	}
	blank.pages[0], blank.pages[1], blank.pages[2] = blank.pages[0][:21], blank.pages[1][:6], blank.pages[2][:6]
	for _, p := range []int{6, 12, 13, 14} {
		blank.pages[p] = blank.pages[p][:20]
	}
	blank.merge(1)

	roman := newSheet(20, 32, 18)
	for p := 1; p < 20; p++ {
		if roman.pages[p][0] = roman.corner("", num(p-3)); p < 4 {
			roman.pages[p][0] = roman.corner("", strings.Fields("ii iii iv")[p-1])
		} else if p%2 == 0 {
			roman.pages[p][0] = roman.head("", "! l;g tide", num(p-3))
		}
	}
	copy(roman.pages[4], []string{roman.centre(",! ,l;g ,tide"), roman.centre(",*apt] #a"), ""})
	roman.pages[2], roman.pages[3] = roman.pages[2][:10], roman.pages[3][:5]
	for _, p := range []int{1, 8, 14} {
		roman.pages[p] = roman.pages[p][:7]
	}
	roman.merge(2, 3, 4)
	for name, s := range map[string]*sheet{"blank page": blank, "roman numbers": roman} {
		numbers := map[string]int{"blank page": 19, "roman numbers": 11}[name]
		if v := s.survey(t); len(v.Pages) != 20 || v.roles(Number) != numbers {
			t.Errorf("%s: %d pages, %d numbers, want 20 and %d", name, len(v.Pages), v.roles(Number), numbers)
		}
	}
}

// TestLineOneIsNoPage: a page has its number in the corner of the last line, and on line 1 a short form of the title
// beside the print page, over a row with the same number (BANA, Braille Formats 2016, 1.11.6). With a line too many
// it is one page: line 1 is none by itself.
func TestLineOneIsNoPage(t *testing.T) {
	s := newSheet(17, 29, 24)
	for p := 2; p < 17; p++ {
		s.pages[p][0], s.pages[p][23] = s.head("", ",,,! f]ryman (", strings.Repeat("a", 1-p%2)+num(p/2+20)), s.corner(num(p/2+20), num(p+40))
	}
	s.pages[0], s.pages[1] = s.pages[0][:9], append(s.pages[1][:8], s.corner("", ";ii"))
	s.pages[15][0], s.pages[15][1] = s.head("", ",,,! f]ryman (", num(27)), strings.Repeat("-", 26)+num(27)
	s.pages[15] = append(s.pages[15], "")
	s.pages[16] = []string{"", "", "", ""}
	if v := s.survey(t); v.Pages[15].Last-v.Pages[15].First != 25 {
		t.Errorf("the page has %d lines, want 25", v.Pages[15].Last-v.Pages[15].First)
	}
}

// TestFeedsOfAVolumeOnItsOwnPaper: a short volume of preliminary matter is on paper a line shorter than that of the
// others, and two of its form feeds are missing: three pages are to the line three times as long as the others.
func TestFeedsOfAVolumeOnItsOwnPaper(t *testing.T) {
	front, text := newSheet(5, 32, 17), newSheet(20, 32, 18)
	for p := range front.pages {
		front.pages[p] = append([]string{"", "", "", front.centre("! l;g f]ry"), front.centre("99 a/]isk")}, make([]string, 12)...)
	}
	front.pages[2][0], front.pages[2][1] = front.centre("! l;g f]ry"), front.centre("special symbols")
	for p := range text.pages {
		if text.pages[p][0] = text.line(32); p%2 == 0 {
			text.pages[p][0] = text.head(num(p/2+5), "! l;g f]ry", num(p+1))
		}
	}
	front.merge(1, 2)
	v := surveyAll(t, front, text)[0]
	for p := range v.Pages {
		if n := v.Pages[p].Last - v.Pages[p].First; len(v.Pages) != 5 || n != 17 {
			t.Errorf("page %d of %d: %d lines, want 17", p+1, len(v.Pages), n)
		}
	}
}

// TestFeedBetweenPagesWithHeadsAndRomanNumbers: two short preliminary pages without a form feed between them. Their
// numbers are roman ones without a letter sign, beside the head that all pages have.
func TestFeedBetweenPagesWithHeadsAndRomanNumbers(t *testing.T) {
	s := newSheet(24, 38, 26)
	for p := 1; p < 24; p++ {
		n := num(p - 3)
		if p < 4 {
			n = strings.Fields("ii iii iv")[p-1]
		}
		s.pages[p][0] = s.head("", "n9e doors to !", n)
	}
	s.pages[0], s.pages[1], s.pages[2] = s.pages[0][:21], s.pages[1][:6], s.pages[2][:9]
	for _, p := range []int{7, 12, 15, 20} {
		s.pages[p] = s.pages[p][:20]
	}
	s.merge(1)
	if v := s.survey(t); len(v.Pages) != 24 || v.roles(Head) != 23 {
		t.Errorf("%d pages, %d heads, want 24 and 23", len(v.Pages), v.roles(Head))
	}
}
