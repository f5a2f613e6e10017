package layout

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/english"
	"continuo/internal/source"
)

// linesOf is line 1 or the last line of each page, as it was surveyed.
func linesOf(v *Volume, top bool) (out []string) {
	for p := range v.Pages {
		i := v.Pages[p].Bottom
		if top {
			i = v.Pages[p].Top
		}
		out = append(out, fmt.Sprintf("%s %s", v.Lines[i].Role, v.TextOf(i)))
	}
	return out
}

func surveyAll(t *testing.T, sheets ...*sheet) []*Volume {
	t.Helper()
	var files []*source.File
	for i, s := range sheets {
		files = append(files, s.file(t, fmt.Sprintf("v%d.brf", i+1), true))
	}
	return SurveyWith(files, english.Words{})
}

// TestSignsBesideNumber: what shares the last line with the page number, three
// blanks off (BRL session 4), is text, if it is nothing but signs or one letter too.
// In EBAE @7 is the last line of a verse by chance: accent sign and the cells of a
// bracket; ;i is the letter i, and a roman number only where numbers stand; dcv is
// the shortform of deceive (RUEB 10.9).
func TestSignsBesideNumber(t *testing.T) {
	for _, text := range []string{"  @7", ";i", "  ,i", "  ;x", "dcv"} {
		s := newSheet(14, 38, 25)
		for p := range s.pages {
			s.pages[p][24] = s.corner(s.line(30), num(p+1))
		}
		s.pages[6][24] = s.corner(text, num(7))
		v := s.survey(t)
		if got, want := linesOf(v, false)[6], "text "+strings.TrimSpace(text); got != want {
			t.Errorf("%q beside a number: %q, want %q", text, got, want)
		}
		if b := v.Pages[6].Braille; b == nil || b.Value != 7 {
			t.Errorf("%q: the number beside it is %v, want 7", text, b)
		}
	}
}

// outer puts braille page numbers at the outer corners of line 1, print pages at
// the left of right-hand pages (UK: print page at the left, W3C w3c-wai-hc 1997,
// 0306), from page first on.
func outer(s *sheet, first int, print func(n int) int) {
	for p := first; p < len(s.pages); p++ {
		n := p - first + 2
		if n%2 == 0 {
			s.pages[p][0] = s.head(num(n), "! f]ry l$g]", "")
		} else {
			s.pages[p][0] = s.head(num(print(n)), "! f]ry l$g]", num(n))
		}
	}
}

// TestOuterCornersOfVolumes: the pages without a number at the front of a volume
// say which of its pages are right-hand ones; volumes agree by their numbers, not by
// the count of their pages. Print pages that keep step with the braille pages are
// none of these: those at the right are.
func TestOuterCornersOfVolumes(t *testing.T) {
	for _, step := range [][2]int{{1, 1}, {2, 2}, {1, 2}} { // print pages: one on two braille pages, or in step
		one, two := newSheet(24, 38, 26), newSheet(11, 38, 26)
		outer(one, 4, func(n int) int { return 5 + n*step[0]/2 })
		outer(two, 3, func(n int) int { return 20 + n*step[1]/2 })
		for k, v := range surveyAll(t, one, two) {
			first, base := 4-k, 5+15*k
			for p := first; p < len(v.Pages); p++ {
				n, pg := p-first+2, &v.Pages[p]
				if pg.Braille == nil || pg.Braille.Value != n {
					t.Errorf("step %v, volume %d, page %d: braille page %v, want %d", step, k+1, p+1, pg.Braille, n)
				}
				if n%2 == 1 && (pg.Print == nil || pg.Print.Value != base+n*step[k]/2) || n%2 == 0 && pg.Print != nil {
					t.Errorf("step %v, volume %d, page %d: print page %v", step, k+1, p+1, pg.Print)
				}
			}
		}
	}
}

// TestOneNumberAtTheOuterCorner: a preliminary volume has one number, at the left of its
// second page. Where left-hand pages of the title have the braille page there, it is
// no print page.
func TestOneNumberAtTheOuterCorner(t *testing.T) {
	front, one := newSheet(2, 38, 26), newSheet(18, 38, 26)
	front.pages[1][0] = num(2)
	outer(one, 1, func(n int) int { return 5 + n/4 })
	v := surveyAll(t, front, one)[0]
	if pg := v.Pages[1]; pg.Print != nil || pg.Braille == nil || pg.Braille.Value != 2 {
		t.Errorf("print page %v, braille page %v, want none and 2", pg.Print, pg.Braille)
	}
}

// TestHeadOfALastShortVolume: on the last page of a short volume a head stands between the
// two numbers; no other page of it has the one at the right, and other pages of the
// title have both there (UK page information line).
func TestHeadOfALastShortVolume(t *testing.T) {
	one, two := newSheet(16, 38, 26), newSheet(4, 38, 26)
	for p := 2; p < 16; p++ {
		one.pages[p][0] = one.head(num(p/2), "! f]ry l$g]", num(p+1))
	}
	two.pages[1][0] = two.head("", "", "ii")
	two.pages[2][0] = two.centre(",9dex")
	two.pages[3][0] = two.head(num(8), ",9dex", num(2))
	v := surveyAll(t, one, two)[1]
	if got := linesOf(v, true)[3]; got != "head 9dex" && got != "head ,9dex" {
		t.Errorf("%q, want the head", got)
	}
}

// TestHeadsThatAreNeverAlike: where each chapter is a page or two, and heads stand on
// right-hand pages (W3C w3c-wai-hc 1997, 0306), no head is like another one. They repeat
// the last heading before them.
func TestHeadsThatAreNeverAlike(t *testing.T) {
	s := newSheet(36, 38, 26)
	for p := range s.pages {
		if p%2 == 0 {
			s.pages[p][0] = s.head("", ",,*apt] "+num(p/2+1), num(p+1))
		} else if p < 34 {
			s.pages[p][10], s.pages[p][11], s.pages[p][12] = "", s.centre(",,*apt] "+num(p/2+2)), ""
		}
	}
	v := s.survey(t)
	for p := 2; p < 36; p += 2 {
		if got := linesOf(v, true)[p]; !strings.HasPrefix(got, "head ") {
			t.Errorf("page %d: %q, want a head", p+1, got)
		}
	}
}

// verse fills pages with lines in cells 5 and 9, short on narrow paper: many of them
// stand in the middle by chance.
func verse(s *sheet, from int) {
	for p := range s.pages {
		for i := from; i < s.height; i++ {
			if (i+p)%3 == 0 {
				s.pages[p][i] = "    " + s.line(s.width-4-(i*5+p)%9)
			} else {
				s.pages[p][i] = "        " + s.line(s.width-8-(i*7+p*3)%12)
			}
		}
	}
}

// TestVerseAtTheFoot: a line of verse that stands in the middle of the last line of
// its page, and elsewhere within a page, is no head at the foot, though heads stand
// there on right-hand pages (common practice).
func TestVerseAtTheFoot(t *testing.T) {
	s := newSheet(24, 29, 26)
	verse(s, 1)
	line := "    ,a stranger did n"
	for p := range s.pages {
		s.pages[p][0] = s.corner("", num(p+1))
		if p%8 == 1 {
			s.pages[p][9], s.pages[p][10], s.pages[p][11] = "", s.centre(fmt.Sprint(",*apt] ", num(p/8+1))), ""
		}
		if p%2 == 0 && p > 0 {
			s.pages[p][25] = s.centre(fmt.Sprint("*apt] ", num((p-1)/8+1)))
		}
	}
	s.pages[9][25], s.pages[17][13] = line, line
	v := s.survey(t)
	if got, want := linesOf(v, false)[9], "text "+strings.TrimSpace(line); got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got := linesOf(v, false)[10]; got != "head *apt] #b" {
		t.Errorf("%q, want the head", got)
	}
}

// TestDoubleSpacedVerseAtTheFoot: as before, in double line spacing (BRL session 4): the
// blank line over each line of verse sets none of them apart.
func TestDoubleSpacedVerseAtTheFoot(t *testing.T) {
	s := newSheet(30, 29, 26)
	verse(s, 1)
	line := "      ,a /rang] did n4"
	for p := range s.pages {
		s.pages[p][0] = s.corner("", num(p+1))
		for i := 2; i < 25; i += 2 {
			s.pages[p][i] = ""
		}
		if p%8 == 1 {
			s.pages[p][9], s.pages[p][10], s.pages[p][11] = "", s.centre(fmt.Sprint(",*apt] ", num(p/8+1))), ""
		}
		if p%2 == 0 && p > 0 {
			s.pages[p][25] = s.centre(fmt.Sprint("*apt] ", num((p-1)/8+1)))
		}
	}
	s.pages[9][25], s.pages[18][13] = line, line
	s.pages[9][23], s.pages[18][15] = "      "+s.line(20), "      "+s.line(20)
	v := s.survey(t)
	if !v.Pages[9].Double {
		t.Fatal("the page is not double-spaced")
	}
	if got, want := linesOf(v, false)[9], "text "+strings.TrimSpace(line); got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got := linesOf(v, false)[10]; got != "head *apt] #b" {
		t.Errorf("%q, want the head", got)
	}
}

// TestRefrainOnLine1: a refrain on line 1, beside the number, comes again two lines
// further on. It is no head over its own heading: lines of the stanza begin where it does.
func TestRefrainOnLine1(t *testing.T) {
	s := newSheet(20, 38, 27)
	verse(s, 1)
	for p := range s.pages {
		s.pages[p][0] = s.head(num(p/2+3), "! f]ry l$g]", num(p+1))
		if p%2 == 1 {
			s.pages[p][0] = s.corner("    "+s.line(26), num(p+1))
		}
	}
	pg := s.pages[11]
	pg[0] = s.corner("    he is _! help & _! %ield4", num(12))
	pg[1], pg[2], pg[3] = "    ,people ( ! riv]1 still want$3", "    he is _! help & _! %ield4", ""
	v := s.survey(t)
	if got := linesOf(v, true)[11]; got != "text he is _! help & _! %ield4" {
		t.Errorf("%q, want the text", got)
	}
}

// TestShortHeadOverItsHeading: heads without a number, shortened (UK: a shortened title,
// sample C), stand on line 1 of every page, over the heading of their part where it
// begins at the top.
func TestShortHeadOverItsHeading(t *testing.T) {
	s := newSheet(18, 40, 25)
	for p := range s.pages {
		s.pages[p][24] = s.corner(s.line(30), num(p+1))
		s.pages[p][0] = s.centre("! road to")
		if p > 8 {
			s.pages[p][0] = s.centre("sil;e on")
		}
	}
	s.pages[1][6], s.pages[1][7], s.pages[1][8] = "", s.centre(",! ,road to ,market"), ""
	s.pages[8][0], s.pages[8][1], s.pages[8][2], s.pages[8][3] = s.centre("sil;e on"), s.centre(",*apt] #i"), s.centre(",sil;e on ,market ,quay"), ""
	for p := 9; p < 18; p++ { // no like head after it
		s.pages[p][0] = s.centre("! old f]ry")
	}
	s.pages[9][0], s.pages[9][1], s.pages[9][2] = s.centre("! old f]ry"), s.centre(",! ,old ,f]ry ,h\\se"), ""
	v := s.survey(t)
	if got := linesOf(v, true)[8]; got != "head sil;e on" {
		t.Errorf("%q, want the head", got)
	}
	s.pages[8][0] = s.centre("sil;e no") // a slip in it
	if got := linesOf(s.survey(t), true)[8]; got != "head sil;e no" {
		t.Errorf("%q, want the head", got)
	}
}

// TestHeadInASentence: a page of the next volume has the head of its part on line 1
// without a number (print pages that go on without one), in the middle of a
// sentence: no heading parts a sentence. A slip in a running head does not hide it
// there either.
func TestHeadInASentence(t *testing.T) {
	one, two := newSheet(20, 35, 26), newSheet(20, 35, 26)
	for k, s := range []*sheet{one, two} {
		for p := range s.pages {
			n := 1 + (20*k+p+2)/5
			s.pages[p][0] = s.head("", fmt.Sprint(",*apt] ", num(n)), num(30+10*k+p/2))
			s.pages[p][25] = s.corner("", num(p+1))
			if (p+2)%5 == 0 {
				s.pages[p][6], s.pages[p][7], s.pages[p][8] = "", s.centre(fmt.Sprint(",*apt] ", num(n))), ""
				s.pages[p][0] = s.corner("", num(30+10*k+p/2))
			}
			s.pages[p][24], s.pages[p][1] = s.line(34), s.line(35)
		}
	}
	two.pages[2][0] = two.centre(",*apt] #e")
	for k, s := range []*sheet{one, two} {
		s.pages = append([][]string{{"", s.centre("! f]ry l$g]"), "", s.centre("volume " + num(k+1))}}, s.pages...)
	}
	v := surveyAll(t, one, two)[1]
	if got := linesOf(v, true)[3]; !strings.HasPrefix(got, "head ") {
		t.Errorf("%q, want a head", got)
	}
	two.pages[3][2] = two.line(35)            // and the text goes on in cell 1 (BRL session 4)
	two.pages[3][1] = strings.Repeat("-", 35) // the turn to a print page without a number (BANA Braille Formats 2016, 1.11)
	if got := linesOf(surveyAll(t, one, two)[1], true)[3]; !strings.HasPrefix(got, "head ") {
		t.Errorf("over a print page turn: %q, want a head", got)
	}
}

// TestFootHeadOfAShortPart: an index has two pages at the end of its volume; its heading stands
// in the middle of a line without a blank line before it (tight headings), and its head stands
// at the foot of one page, far below the text.
func TestFootHeadOfAShortPart(t *testing.T) {
	s := newSheet(18, 38, 26)
	for p := range s.pages {
		s.pages[p][0] = s.corner("", num(p+1))
		if p%2 == 0 && p > 0 {
			s.pages[p][25] = s.centre(fmt.Sprint("*apt] ", num((p-1)/8+1)))
		}
		if p%8 == 1 {
			s.pages[p][9], s.pages[p][10], s.pages[p][11] = "", s.centre(fmt.Sprint(",*apt] ", num(p/8+1))), ""
		}
	}
	s.pages[15][9], s.pages[15][10] = "h]4", s.centre(",9dex")
	for i := 11; i < 26; i++ {
		s.pages[15][i] = fmt.Sprintf("%s1 #c1 #ie", storyWords[i])
	}
	s.pages[16] = append(s.pages[16][:7:7], make([]string, 19)...)
	s.pages[16][25] = s.centre("9dex")
	s.pages = s.pages[:17]
	if got := linesOf(s.survey(t), false)[16]; got != "head 9dex" {
		t.Errorf("%q, want the head", got)
	}
	for i := range 25 { // a full page: no line is blank above it
		s.pages[16][i] = fmt.Sprintf("%s1 #c1 #ie", storyWords[i])
	}
	if got := linesOf(s.survey(t), false)[16]; got != "head 9dex" {
		t.Errorf("on a full page: %q, want the head", got)
	}
}

// TestHalfOfTheTitle: the first line of a title of two lines is the head of all pages, from
// the preliminary pages on. On the first page of the text it is no title: that has the
// full title (BANA Braille Formats 2016, 1.8).
func TestHalfOfTheTitle(t *testing.T) {
	for _, c := range []struct{ under, want string }{{"", "head lrs f a"}, {",,quiet ,,%ore", "text ,,lrs ,,f ,a"}} {
		s := newSheet(16, 32, 25)
		for p := range s.pages {
			s.pages[p][0] = s.centre(",,lrs ,,f ,a")
			s.pages[p][24] = s.corner(s.line(24), num(p-2))
			if p < 3 {
				s.pages[p] = []string{s.centre(",,lrs ,,f ,a"), "", s.centre(",special ,symbols"), "", "99 a/]isk", strings.Repeat(" ", 29) + ";ii"}
			}
		}
		s.pages[0] = []string{"", s.centre(",,lrs ,,f ,a"), s.centre(",,quiet ,,%ore"), "", s.centre("by hannah r[e")}
		s.pages[3][1], s.pages[3][2], s.pages[3][3] = "", s.centre(",*apt] #a"), ""
		if c.under != "" {
			s.pages[3][1], s.pages[3][2], s.pages[3][3], s.pages[3][4] = s.centre(c.under), "", s.centre(",*apt] #a"), ""
		}
		if got := linesOf(s.survey(t), true)[3]; got != c.want && Normal([]byte(got)) != Normal([]byte(c.want)) {
			t.Errorf("%q under it: %q, want %q", c.under, got, c.want)
		}
	}
}

// TestRunningHeadWithASlip: in a short last volume the running head stands twice, once with a
// slip of two letters, beside the numbers of right-hand pages; on left-hand pages text
// shares the line (W3C w3c-wai-hc 1997, 0306: heads on right-hand pages).
func TestRunningHeadWithASlip(t *testing.T) {
	one, two := newSheet(20, 32, 20), newSheet(8, 32, 20)
	for _, s := range []*sheet{one, two} {
		for p := range s.pages {
			s.pages[p][0] = s.corner(s.line(22), num(p+1))
			if p%2 == 0 && p > 0 {
				s.pages[p][0] = s.head("", "! f]ry l$g]s", num(p+1))
			}
		}
		s.pages[0] = []string{"", s.centre(",! ,f]ry ,l$g]s"), "", s.centre(",by ,hannah ,r[e")}
	}
	two.pages[2][0], two.pages[4][0] = two.centre(",*apt] #d"), two.head("", "! f]ry l$]gs", num(5))
	v := surveyAll(t, one, two)[1]
	if got := linesOf(v, true)[4]; got != "head ! f]ry l$]gs" {
		t.Errorf("%q, want the head", got)
	}
}

// TestFirstChapterGoesOn: the head of chapter 1 on page after page is no heading again,
// though verse in the middle of the last lines looks like the name of a book.
func TestFirstChapterGoesOn(t *testing.T) {
	s := newSheet(20, 40, 25)
	for p := range s.pages {
		for i := range s.pages[p] {
			s.pages[p][i] = "  ," + s.line(34)
			if i%3 > 0 {
				s.pages[p][i] = "      " + s.line(30-(i+p)%5)
			}
		}
		n := 1 + p/7
		s.pages[p][0] = s.centre(fmt.Sprint("*apt] ", num(n)))
		if p%7 == 0 {
			s.pages[p][0], s.pages[p][1], s.pages[p][2] = s.centre(",! f]ry l$g]"), s.centre(fmt.Sprint(",*apt] ", num(n))), ""
		}
		s.pages[p][24] = s.corner("      ! people ( ! riv] rest", num(p+1))
		s.pages[p][23] = "      " + strings.Repeat("w", 28)
	}
	s.pages[3][24] = s.corner("      their council1 the man of", num(4))
	v := s.survey(t)
	for p := 1; p < 7; p++ {
		if got := linesOf(v, true)[p]; got != "head *apt] #a" {
			t.Errorf("page %d: %q, want the head", p+1, got)
		}
	}
}

// TestHeadWithoutLeftNumber: the same head with the number at the right alone is that of its
// part too: it says what the last heading before the page says.
func TestHeadWithoutLeftNumber(t *testing.T) {
	one, two := newSheet(16, 40, 25), newSheet(4, 40, 25)
	for p := 1; p < 16; p++ {
		one.pages[p][0] = one.head("", ",*apt] #c", num(p+1))
	}
	two.pages[1] = []string{two.corner("", ";ii"), two.centre(",3t5ts"), "", ",9dex                                 #a"}
	two.pages[2][0] = two.centre(",9dex")
	two.pages[3][0] = two.head("", "9dex", num(2))
	if got := linesOf(surveyAll(t, one, two)[1], true)[3]; got != "head 9dex" {
		t.Errorf("%q, want the head", got)
	}
}

// TestVolumeDigitIsNoPrintPage: a last volume has three numbers at the foot, two of them
// with the digit of the volume (numbers counted over public files: 1#fa). In the other
// volumes of the title braille pages stand there.
func TestVolumeDigitIsNoPrintPage(t *testing.T) {
	one, two := newSheet(16, 38, 21), newSheet(4, 38, 21)
	for p := 2; p < 16; p++ {
		one.pages[p][20] = one.corner("", "1"+num(p+1))
	}
	for p, n := range map[int]string{1: num(2), 2: "2" + num(3), 3: "2" + num(4)} {
		two.pages[p][20] = two.corner("", n)
	}
	v := surveyAll(t, one, two)[1]
	for p := range v.Pages {
		if v.Pages[p].Print != nil {
			t.Errorf("page %d has print page %v", p+1, v.Pages[p].Print)
		}
	}
}

// TestTitleOverTwoLinesOfDoubleSpacing: the whole title stands above the text on its first
// page, over two lines, and its first line is the head of the others (BANA, Braille Formats
// 2016, 1.8), in double-spaced text as in any other.
func TestTitleOverTwoLinesOfDoubleSpacing(t *testing.T) {
	s := newSheet(20, 26, 18)
	for p := range s.pages {
		for i := 1; i < 18; i += 2 {
			s.pages[p][i] = ""
		}
		if p%2 == 0 && p != 6 {
			s.pages[p][0] = s.head("", ",,! ,,glass", num(p+1))
		}
	}
	s.pages[0] = []string{"", "", s.centre(",,! ,,glass"), s.centre(",,or*>d"), "", "", s.centre(",by"), s.centre(",orla ,f5nimore")}
	s.pages[2] = append(s.pages[2][:1], s.centre(",f/ publi%$ by"))
	s.pages[4] = append(s.pages[4][:1], s.centre(",transcrib]'s ,notes"))
	for _, p := range []int{1, 3, 5} {
		s.pages[p] = []string{s.centre(",special ,symbols")}
	}
	s.pages[6][0], s.pages[6][2], s.pages[6][4] = s.centre(",,! ,,glass"), s.centre(",,or*>d"), s.centre("333333333333")
	if got := linesOf(s.survey(t), true)[6]; got != "text ,,! ,,glass" {
		t.Errorf("%q, want text", got)
	}
}

// TestTitleUnderANumberAlone: a transcriber's page number stands alone above the title
// (t1; BANA, Braille Formats 2011, 2.2.1). The title that stands above the text once more
// is text, and the head of the other pages.
func TestTitleUnderANumberAlone(t *testing.T) {
	s := newSheet(16, 35, 28)
	s.pages[0] = []string{s.corner("", "t#a"), "", s.centre(",! ,lant]n ,keep]s"), s.centre(",by"), s.centre(",ivo ,p5hallock")}
	s.pages[1][0], s.pages[1][1] = s.corner("", "t#b"), s.centre(",special ,symbols")
	s.pages[2][0], s.pages[2][1], s.pages[2][2] = s.centre(",! ,lant]n ,keep]s"), "", s.centre("333333333333")
	for p := 3; p < 16; p++ {
		s.pages[p][0] = s.head("", "! lant]n keep]s", num(p-1))
	}
	if got := linesOf(s.survey(t), true)[2]; got != "text ,! ,lant]n ,keep]s" {
		t.Errorf("%q, want text", got)
	}
}

// TestHeadingOverAParagraphWithoutCapitals: in a book without capitals (British braille
// before 2000) the first words of a chapter look like those of any line. A chapter's heading
// on the first page of a volume's text is no head, after preliminary pages that end in
// no full stop.
func TestHeadingOverAParagraphWithoutCapitals(t *testing.T) {
	one, two := newSheet(16, 38, 26), newSheet(16, 38, 26)
	for k, s := range []*sheet{one, two} {
		for p := range s.pages {
			s.pages[p][25] = s.head(num(p+1), "*apt] "+num(4+k), num(100+16*k+p))
		}
		s.pages[0], s.pages[1] = []string{"", "", s.centre("! l;g f]ry"), s.centre("volume " + num(k+1))}, []string{s.centre("special symbols"), "", "99 a/]isk"}
		s.pages[2][0], s.pages[2][1] = s.centre("*apt] "+num(4+k)), ""
	}
	if got := linesOf(surveyAll(t, one, two)[1], true)[2]; got != "text *apt] #e" {
		t.Errorf("%q, want the heading", got)
	}
}

// TestHeadOverAPlate: on pages of print pages without numbers (plates) the running head
// has no number beside it (BANA, Braille Formats 2016, 1.11.6); over the heading of its
// chapter, which has the chapter's title too, and over a lower heading it is a head all
// the same.
func TestHeadOverAPlate(t *testing.T) {
	s := newSheet(30, 38, 26)
	for p := range s.pages {
		n := 1 + p/10
		s.pages[p][0] = s.head("", fmt.Sprint(",*apt] ", num(n)), num(30+p/2))
		s.pages[p][25] = s.corner("", num(p+1))
		if p%10 == 0 {
			s.pages[p][1], s.pages[p][2], s.pages[p][3] = "", s.centre(fmt.Sprint(",*apt] ", num(n), "3 ,! ,m", strings.Repeat("i", n), "ll")), ""
		}
	}
	s.pages[10][0], s.pages[14][0] = s.centre(",*apt] #b"), s.centre(",*apt] #b")
	s.pages[14][1], s.pages[14][2] = "", "    ,:1t & ,rye"
	for p, l := range linesOf(s.survey(t), true) {
		if (p == 10 || p == 14) && l != "head *apt] #b" && l != "head ,*apt] #b" {
			t.Errorf("page %d: %q, want the head", p+1, l)
		}
	}
}

// TestNumbersOfVolumeThree: the digit of volume 3 stands before the number sign, in the
// middle of the foot (3#a; numbers counted over public files), and print page turns within
// the pages have dot 5 before dots 2-5 (W3C w3c-wai-hc 1997, 0312): those at the foot are
// page numbers.
func TestNumbersOfVolumeThree(t *testing.T) {
	s := newSheet(16, 38, 26)
	for p := range s.pages {
		s.pages[p][25] = s.centre("3" + num(p+1))
		s.pages[p][9] = s.centre("\"3" + num(40+p))
	}
	v := s.survey(t)
	if n := v.roles(Number); n != 16 || v.Marks != 16 {
		t.Errorf("%d lines of page numbers, %d print page turns, want 16 of each", n, v.Marks)
	}
}

// TestRefrainAtTheFoot: the second line of a refrain, at the indent of runovers, is the
// last line of page after page by chance (common practice of verse: runovers in cell 5
// or 7); no head stands so.
func TestRefrainAtTheFoot(t *testing.T) {
	s := newSheet(18, 30, 22)
	for p := range s.pages {
		for i := 0; i < 22; i += 2 {
			s.pages[p][i] = s.line(27)
			s.pages[p][i+1] = strings.Repeat(" ", 6) + s.line(5+i%3)
		}
		if p%3 == 0 {
			s.pages[p][21] = "      = ev]3"
		}
	}
	if v := s.survey(t); v.roles(Head) != 0 {
		t.Errorf("%d lines of verse are taken for heads", v.roles(Head))
	}
}

// TestTitleOverARow: line 1 of the first page of the text has the title, as all pages have
// it for their head, but with a row under it: it is the title above the text (BANA, Braille
// Formats 2016, 1.8).
func TestTitleOverARow(t *testing.T) {
	s := newSheet(20, 38, 25)
	s.pages[0] = []string{"", "", s.head("", "! l;g f]ry", ""), "", s.head("", "0ann l>k", "")}
	for p := 1; p < len(s.pages); p++ {
		s.pages[p][0] = s.head("", "! l;g f]ry", "")
		s.pages[p][24] = s.corner(s.line(28), num(p))
	}
	s.pages[1][1] = s.head("", "333333333333", "")
	v := s.survey(t)
	if got := v.Lines[v.Pages[1].Top].Role; got != Text {
		t.Errorf("the title above the text is %s", got)
	}
	if got := v.Lines[v.Pages[2].Top].Role; got != Head {
		t.Errorf("the head of the next page is %s", got)
	}
}

// TestOuterCornersOfAShortVolume: in a last volume of six pages with numbers, the print
// pages keep step with the braille pages; the other volumes tell which they are.
func TestOuterCornersOfAShortVolume(t *testing.T) {
	one, two := newSheet(24, 38, 26), newSheet(10, 38, 26)
	outer(one, 4, func(n int) int { return 5 + n/3 })
	outer(two, 3, func(n int) int { return 73 + n })
	two.pages[3][0] = two.line(38)
	v := surveyAll(t, one, two)[1]
	for p := 4; p < len(v.Pages); p++ {
		n, pg := p-3+2, &v.Pages[p]
		if pg.Braille == nil || pg.Braille.Value != n {
			t.Errorf("page %d: braille page %v, want %d", p+1, pg.Braille, n)
		}
		if n%2 == 1 && (pg.Print == nil || pg.Print.Value != 73+n) {
			t.Errorf("page %d: print page %v, want %d", p+1, pg.Print, 73+n)
		}
	}
}

// TestLoneHeadWithinASentence: heads stand on odd pages beside the number, and text is on
// line 1 of the others; one page of a volume has the head of a chapter that began in the
// volume before, with a sentence that goes on under it.
func TestLoneHeadWithinASentence(t *testing.T) {
	volume := func(heads ...string) *sheet {
		s := newSheet(40, 38, 26)
		for p := range s.pages {
			for i := range s.pages[p] {
				s.pages[p][i] = s.line(16) + "4 ,& " + s.line(17)
			}
			if p%2 == 0 {
				s.pages[p][0] = s.head("", heads[min(p/2, len(heads)-1)], num(p+1))
			}
		}
		return s
	}
	one, two := volume("*apt] \"o"), volume("", "", "*apt] two", "*apt] five")
	one.pages[39][12], one.pages[39][13], one.pages[39][14] = "", one.centre("*apt] two"), ""
	v := surveyAll(t, one, two)[1]
	if got, want := linesOf(v, true)[4], "head *apt] two"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// TestOtherRomanNumbersAreNotAlike: one letter more makes xviii of xvii, as a slip would;
// headings that differ so name other chapters, and the second is no head of the first.
func TestOtherRomanNumbersAreNotAlike(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want bool
	}{
		{"xvii", "xviii", false},
		{";xvii", ";xviii", false},
		{"*apt] xxiii", "*apt] xxviii", false},
		{"! l;g f]ry", "! l;g f]yr", true},
		{"harb\\r", "habr\\r", true},
	} {
		if got := Alike(c.a, c.b); got != c.want {
			t.Errorf("%q and %q alike: %v, want %v", c.a, c.b, got, c.want)
		}
	}
}

// TestWordIAtTheFoot: a page with its braille page number on line 1 ends in the word I, in
// capitals or not, alone on the last line: no number of a preliminary page.
func TestWordIAtTheFoot(t *testing.T) {
	for _, word := range []string{",i", ";i"} {
		s := newSheet(16, 34, 25)
		for p := 2; p < len(s.pages); p++ {
			s.pages[p][0] = s.head("", "! l;g f]ry", num(p-1))
		}
		s.pages[2][24] = word
		v := s.survey(t)
		if got, want := linesOf(v, false)[2], "text "+word; got != want {
			t.Errorf("%q, want %q", got, want)
		}
		if b := v.Pages[2].Braille; b == nil || b.Roman || b.Value != 1 {
			t.Errorf("%q: the page has number %v, want 1", word, b)
		}
	}
}

// TestSameWordsBesideNumbers: text shares line 1 with the page numbers (BRL session 4), and
// on three pages of fourteen it is the same words by chance, at the margin: no heads.
func TestSameWordsBesideNumbers(t *testing.T) {
	s := newSheet(14, 32, 25)
	for p := range s.pages {
		text := s.line(22)
		if p%4 == 1 {
			text = "! re/ ( :at is"
		}
		s.pages[p][0] = s.corner(text, num(p+1))
	}
	if v := s.survey(t); v.roles(Head) != 0 {
		t.Errorf("%d lines of text are taken for heads", v.roles(Head))
	}
}

// TestRefrainBesideNumbers: the line of a refrain stands on the last line of two pages, and runs over there
// since the page number takes its room (three blanks before it, BRL session 4). It is a line of the text
// however many heads stand at the foot of other pages: within pages lines begin with its words.
func TestRefrainBesideNumbers(t *testing.T) {
	s := newSheet(27, 38, 20)
	for p := range s.pages {
		if s.pages[p][19] = s.head("", "a li<t on ! wat]", num(p+1)); p > 15 {
			s.pages[p][19] = s.corner("    "+s.line(20), num(p+1))
		}
		for i := range 19 {
			if p > 15 {
				s.pages[p][i] = "    ,& he " + s.line(24)
			}
		}
	}
	for _, p := range []int{20, 24} {
		s.pages[p][19], s.pages[p+1][0] = s.corner("    for his m]cy 5dure? for", num(p+1)), "        ev]4"
		for i := 3; i < 17; i += 4 {
			s.pages[p][i] = "    for his m]cy 5dure? for ev]4"
		}
	}
	v := s.survey(t)
	for _, p := range []int{20, 24} {
		if got := linesOf(v, false)[p]; got != "text for his m]cy 5dure? for" {
			t.Errorf("page %d: %q, want the text", p+1, got)
		}
	}
}

// TestDedicationThatEndsInTheTitle: on a page of its own before the text stands a dedication whose second line
// says the words of the title; its first line is like no head and no heading, and is none.
func TestDedicationThatEndsInTheTitle(t *testing.T) {
	s := newSheet(20, 32, 25)
	for p := range s.pages {
		s.pages[p][0] = s.head("", ",greywat]", num(p-1))
	}
	s.pages[0] = []string{"", s.centre(",greywat]"), "", s.centre("by ,hannah ,r[e")}
	s.pages[1] = []string{s.centre(",= ,lettice & all at"), s.centre(",greywat]")}
	if got := linesOf(s.survey(t), true)[1]; got != "text ,= ,lettice & all at" {
		t.Errorf("%q, want the dedication", got)
	}
}

// TestSpeakersAtTheMargin: in a play a speaker's name at the margin may begin a page beside its number, and some of them a scene
// (BANA, Braille Formats 2016, section 14): no heads.
func TestSpeakersAtTheMargin(t *testing.T) {
	who := strings.Fields(",rosal9d ,celia ,orl&o ,tou*/ ,corin ,silvius ,phebe ,audrey ,adam ,d5nis ,*>les ,jaques ,ami5s ,oliv]")
	s := newSheet(20, 38, 25)
	for p, pg := range s.pages {
		for i := range pg {
			if pg[i] = "  " + s.line(30); i%3 == 0 {
				pg[i] = who[(p*3+i/3)%len(who)]
			}
		}
		pg[0] = s.corner(pg[0], num(p+1))
		pg[11], pg[12], pg[13], pg[14] = "", s.centre(",sc5e "+num(p+1)), "", who[(p+1)*3%len(who)]
	}
	for p, l := range linesOf(s.survey(t), true) {
		if p > 0 && !strings.HasPrefix(l, "text") {
			t.Errorf("page %d: %q", p+1, l)
		}
	}
}

// TestTitleHeadsPreliminaryPages: the title stands in the middle of line 1 of two preliminary pages, numbered at the foot,
// and on no page of the text but over its beginning: there it stays, as on the title page.
func TestTitleHeadsPreliminaryPages(t *testing.T) {
	s := newSheet(16, 38, 25)
	title := s.centre(",! ,l;g ,tide")
	for p := range s.pages {
		s.pages[p][24] = s.corner("", num(p-2))
	}
	blank := func(p int, lines ...string) {
		copy(s.pages[p][:24], make([]string, 24))
		copy(s.pages[p], lines)
	}
	blank(0, "", title, "", s.centre("by"), s.centre(",he/] ,quill"))
	s.pages[0][24] = ""
	blank(1, title, "", "", "     ,=! keep]s ( e small li<t", "     :o wait =! boats 6-e home")
	blank(2, title, s.centre(",special ,symbols"), "", "_/ solidus", "99 a/]isk")
	s.pages[1][24], s.pages[2][24] = s.corner("", ";ii"), s.corner("", ";iii")
	s.pages[3][0], s.pages[3][1] = title, ""
	got := linesOf(surveyAll(t, s)[0], true)
	for p, want := range []string{"", "head ", "head ", "text "} {
		if p > 0 && !strings.HasPrefix(got[p], want) {
			t.Errorf("page %d: %q, want %q", p+1, got[p], want)
		}
	}
}
