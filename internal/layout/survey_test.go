package layout

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/cell"
	"continuo/internal/source"
)

// sheet is a small hand-made volume: pages of running text on which a test
// puts heads, numbers and turns.
type sheet struct {
	width, height int
	pages         [][]string
	words         int
}

var storyWords = strings.Fields("! old f]ry cross$ riv] twice a day nobody 9 village cd rememb] hannah kept ledger boat small h\\se beside landing wrote d[n w1!r hei<t wat] names apples bundles wool goat did n want /& still people rest stranger came road long box arm ask$ price look$ while rather wait until wind dropp$")

// line is running text of at most n cells and more than n-8.
func (s *sheet) line(n int) string {
	out := ""
	for k := 0; k < 99; k++ {
		w := storyWords[(s.words*7+k)%len(storyWords)]
		if len(out)+1+len(w) > n {
			break
		}
		out = strings.TrimSpace(out + " " + w)
	}
	s.words++
	return out
}

// newSheet makes pages full of text; every fifth line begins a paragraph.
func newSheet(pages, width, height int) *sheet {
	s := &sheet{width: width, height: height}
	for range pages {
		var pg []string
		for i := range height {
			if i%5 == 2 {
				pg = append(pg, "  "+s.line(width-2))
			} else {
				pg = append(pg, s.line(width))
			}
		}
		s.pages = append(s.pages, pg)
	}
	return s
}

func (s *sheet) corner(text, number string) string {
	return text + strings.Repeat(" ", s.width-len(text)-len(number)) + number
}

func (s *sheet) centre(text string) string {
	return strings.Repeat(" ", (s.width-len(text))/2) + text
}

// head is a page information line: left label, centred text, right label.
func (s *sheet) head(left, text, right string) string {
	h := s.centre(text)
	if text == "" {
		h = ""
	}
	if left != "" {
		h = left + strings.Repeat(" ", max(0, len(h)-len(left)))[:max(0, len(h)-len(left)-len(text))] + text
	}
	return s.corner(h, right)
}

func (s *sheet) file(t testing.TB, name string, feeds bool) *source.File {
	t.Helper()
	var b strings.Builder
	for _, pg := range s.pages {
		for _, l := range pg {
			b.WriteString(strings.TrimRight(l, " ") + "\n")
		}
		if feeds {
			b.WriteString("\f")
		}
	}
	f, err := source.Parse(name, []byte(b.String()))
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func (s *sheet) survey(t testing.TB) *Volume {
	t.Helper()
	return Survey([]*source.File{s.file(t, "v1.brf", true)})[0]
}

func num(n int) string { return string(cell.Number(n)) }

// roles counts the lines of a role that satisfy which.
func (v *Volume) roles(r Role) (n int) {
	for i := range v.Lines {
		if v.Lines[i].Role == r {
			n++
		}
	}
	return n
}

// whole fails when a line of running text lost a cell: all lines but those in
// furniture must be text from their first cell to their last.
func whole(t *testing.T, v *Volume, furniture map[string]bool) {
	t.Helper()
	for i := range v.Lines {
		raw := string(v.Raw(int32(i)))
		if furniture[raw] || raw == "" {
			continue
		}
		if v.Lines[i].Role != Text || string(v.TextOf(int32(i))) != strings.TrimLeft(raw, " ") {
			t.Errorf("page %d line %d is text, but is surveyed as %s %q: %q", v.PageOf[i]+1, i-int(v.Pages[v.PageOf[i]].First)+1, v.Lines[i].Role, v.TextOf(int32(i)), raw)
		}
	}
}

// TestCorners puts the braille page number in each corner, alone on its line
// and beside text after three blanks (BRL session 4: at least three).
func TestCorners(t *testing.T) {
	for slot := TopLeft; slot < NSlots; slot++ {
		for _, shared := range []bool{false, true} {
			if shared && (slot == TopCentre || slot == BottomCentre || slot == TopLeft || slot == BottomLeft) {
				continue // text beside a number stands to its left only
			}
			t.Run(fmt.Sprint(slot, " shared ", shared), func(t *testing.T) {
				s := newSheet(12, 38, 26)
				furniture := map[string]bool{}
				for p := range s.pages {
					k := 0
					if slot >= BottomLeft {
						k = s.height - 1
					}
					n := num(p + 1)
					l := n
					switch slot {
					case TopCentre, BottomCentre:
						l = s.centre(n)
					case TopRight, BottomRight:
						l = s.corner("", n)
						if shared {
							l = s.corner(s.line(s.width-3-len(n)), n)
						}
					}
					s.pages[p][k] = l
					furniture[l] = true
				}
				v := s.survey(t)
				if v.Slots[slot] != BraillePage {
					t.Errorf("slots: %v", v.Slots)
				}
				for p := range v.Pages {
					if b := v.Pages[p].Braille; b == nil || b.Value != p+1 {
						t.Errorf("page %d: braille page %v", p+1, b)
					}
				}
				for i := range v.Lines {
					raw := string(v.Raw(int32(i)))
					switch got := string(v.TextOf(int32(i))); {
					case !furniture[raw]:
					case shared && (v.Lines[i].Role != Text || got != strings.TrimSpace(raw[:strings.LastIndex(raw, "#")])):
						t.Errorf("shared line: %s %q of %q", v.Lines[i].Role, got, raw)
					case !shared && v.Lines[i].Role != Number:
						t.Errorf("number alone: %s %q", v.Lines[i].Role, raw)
					}
				}
				whole(t, v, furniture)
			})
		}
	}
}

// TestOddPagesOnly: page information lines on odd pages only; line 1 of the
// other pages is text (W3C w3c-wai-hc 1997, 0336).
func TestOddPagesOnly(t *testing.T) {
	s := newSheet(14, 38, 26)
	furniture := map[string]bool{}
	for p := 0; p < 14; p += 2 {
		s.pages[p][0] = s.head("", "! f]ry l$g]", num(p+1))
		furniture[s.pages[p][0]] = true
	}
	v := s.survey(t)
	if !v.OddOnly {
		t.Error("odd pages only is not told")
	}
	if n := v.roles(Head) + v.roles(Number); n != 7 {
		t.Errorf("%d heads, want 7", n)
	}
	whole(t, v, furniture)
}

// TestHeads: heads are matched by likeness. From the published sample files of
// both countries: shortened, misspelt on some pages, other capitals than the
// heading, changing by chapter.
func TestHeads(t *testing.T) {
	for _, c := range []struct {
		name string
		head func(p int) string
	}{
		{"the same", func(int) string { return ",! ,f]ry ,l$g]" }},
		{"misspelt on a page", func(p int) string { return []string{",! ,f]ry ,l$g]", ",! ,f]ryx ,l$g]"}[min(1, p/7*7%2)] }},
		{"misspelt on four pages", func(p int) string {
			if p >= 4 && p < 8 {
				return ",! ,f]ry ,lx$g]"
			}
			return ",! ,f]ry ,l$g]"
		}},
		{"other capitals on some pages", func(p int) string {
			if p%3 == 1 {
				return "! f]ry l$g]"
			}
			return ",! ,f]ry ,l$g]"
		}},
		{"changing by chapter", func(p int) string {
			return []string{",*apt] ,\"o", ",! ,old ,boat", ",village ,names"}[p/5]
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := newSheet(14, 38, 26)
			furniture := map[string]bool{}
			for p := range s.pages {
				s.pages[p][0] = s.head("", c.head(p), num(p+1))
				if p == 0 || c.head(p) != c.head(p-1) {
					s.pages[p][1] = s.centre(c.head(p)) // the heading itself stays
				}
				furniture[s.pages[p][0]] = true
			}
			v := s.survey(t)
			if n := v.roles(Head); n != 14 {
				for i := range v.Lines {
					if raw := string(v.Raw(int32(i))); furniture[raw] && v.Lines[i].Role != Head {
						t.Errorf("page %d: %s %q", v.PageOf[i]+1, v.Lines[i].Role, raw)
					}
				}
				t.Errorf("%d heads, want 14", n)
			}
			whole(t, v, furniture)
		})
	}
}

// TestSequences: the labels that number pages, each page's own.
func TestSequences(t *testing.T) {
	for _, c := range []struct {
		name   string
		labels string
	}{
		{"from 1", "#a #b #c #d #e #f #g #h #i #aj #aa #ab"},
		{"goes on from an earlier volume", "#ade #adf #adg #adh #adi #aej #aea #aeb #aec"},
		{"restarts after preliminary pages", "#a #b #c #d #a #b #c #d #e #f #g #h"},
		{"t and p pages (BANA Braille Formats 2011, 2.2.1)", "t#a t#b p#a p#b p#c #a #b #c #d #e #f"},
		{"roman preliminary pages (BRL session 3)", ";i ;ii ;iii ;iv #a #b #c #d #e #f #g"},
		{"volume digit before the number", "1#a 1#b 1#c 1#d 1#e 1#f 1#g 1#h"},
	} {
		t.Run(c.name, func(t *testing.T) {
			labels := strings.Fields(c.labels)
			s := newSheet(len(labels), 40, 25)
			furniture := map[string]bool{}
			for p, l := range labels {
				s.pages[p][24] = s.corner(s.line(30), l)
				furniture[s.pages[p][24]] = true
			}
			v := s.survey(t)
			for p, l := range labels {
				want, _ := cell.ParseLabel([]byte(l))
				if b := v.Pages[p].Braille; b == nil || b.Value != want.Value || b.Roman != want.Roman || b.Prefix != want.Prefix {
					t.Errorf("page %d: %v, want %s", p+1, b, l)
				}
			}
			whole(t, v, furniture)
		})
	}
}

// TestPrintAndBraille tells the two numbers apart by their sequences: the
// print page repeats with letters, jumps, or is a range (BRL session 4; UK
// sample: first and last print page at the left of line 1).
func TestPrintAndBraille(t *testing.T) {
	for _, c := range []struct {
		name         string
		print        string
		left, bottom bool
	}{
		{"North America: continuation letters", "#c a#c b#c #d a#d #e #f a#f b#f c#f #g a#g", false, true},
		{"UK: ranges", "#bb #bb-#bc #bc #bc #bd-#be #be #be #bf #bg-#bh #bh #bi #bi", true, false},
		{"UK: repeats", "#bb #bb #bc #bc #bc #bd #be #be #bf #bg #bh #bh", true, false},
		{"roman, then arabic", ";iv a;iv ;v ;vi #a a#a #b a#b b#b #c #d a#d", false, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			labels := strings.Fields(c.print)
			s := newSheet(len(labels), 40, 25)
			furniture := map[string]bool{}
			for p, l := range labels {
				last := num(p + 1)
				if c.left {
					s.pages[p][0] = s.head(l, "! f]ry l$g]", last)
				} else {
					s.pages[p][0] = s.head("", "! f]ry l$g]", l)
					s.pages[p][24] = s.corner(s.line(30), last)
					furniture[s.pages[p][24]] = true
				}
				furniture[s.pages[p][0]] = true
			}
			v := s.survey(t)
			for p, l := range labels {
				want, _ := cell.ParseLabel([]byte(l))
				if b := v.Pages[p].Braille; b == nil || b.Value != p+1 {
					t.Errorf("page %d: braille page %v", p+1, b)
				}
				if b := v.Pages[p].Print; b == nil || b.Value != want.Value || b.Last != want.Last || b.Roman != want.Roman {
					t.Errorf("page %d: print page %v, want %s", p+1, b, l)
				}
			}
			if n := v.roles(Head); n != len(labels) {
				t.Errorf("%d heads, want %d", n, len(labels))
			}
			whole(t, v, furniture)
		})
	}
}

// TestPrintPagesThatKeepStep: print pages as long as braille pages count these as well as braille pages do;
// the turns in the text tell them (UK: the print page on line 1 at the left of right-hand pages, the braille page at
// the right, dot 5 and dots 2-5 at the turn; W3C w3c-wai-hc 1997, 0306 and 0336).
func TestPrintPagesThatKeepStep(t *testing.T) {
	for _, mark := range []string{"\"3 ", "\"3", "---"} {
		s := newSheet(14, 38, 26)
		for p, pg := range s.pages {
			if p%2 == 0 {
				pg[0] = s.head(num(p+8), "! f]ry l$g]", num(p+1))
			}
			turn := mark + num(p+9)
			if mark == "---" {
				turn = strings.Repeat("-", 38-len(num(p+9))) + num(p+9)
			}
			pg[12] = turn
		}
		v := s.survey(t)
		for p := 0; p < 14; p += 2 {
			if b, r := v.Pages[p].Braille, v.Pages[p].Print; b == nil || r == nil || b.Value != p+1 || r.Value != p+8 {
				t.Errorf("%q: page %d: braille page %v, print page %v", mark, p+1, b, r)
			}
		}
	}
}

// TestAlternatingCorners: numbers at the right of odd and the left of even
// pages are one sequence.
func TestAlternatingCorners(t *testing.T) {
	s := newSheet(12, 38, 26)
	furniture := map[string]bool{}
	for p := range s.pages {
		s.pages[p][0] = num(p + 1)
		if p%2 == 0 {
			s.pages[p][0] = s.corner("", num(p+1))
		}
		furniture[s.pages[p][0]] = true
	}
	v := s.survey(t)
	for p := range v.Pages {
		if b := v.Pages[p].Braille; b == nil || b.Value != p+1 {
			t.Errorf("page %d: braille page %v", p+1, b)
		}
	}
	if n := v.roles(Number); n != 12 {
		t.Errorf("%d number lines, want 12", n)
	}
	whole(t, v, furniture)
}

// TestNoFormFeeds finds the page height where numbers recur.
func TestNoFormFeeds(t *testing.T) {
	for _, height := range []int{22, 25, 26, 28} {
		for _, bottom := range []bool{false, true} {
			s := newSheet(12, 38, height)
			for p := range s.pages {
				if bottom {
					s.pages[p][height-1] = s.corner(s.line(30), num(p+1))
				} else {
					s.pages[p][0] = s.head("", "! f]ry l$g]", num(p+1))
				}
			}
			v := Survey([]*source.File{s.file(t, "v1.brf", false)})[0]
			if !v.Divided || len(v.Pages) != 12 || v.Height != height {
				t.Errorf("height %d, at the bottom %v: divided %v, %d pages of %d lines", height, bottom, v.Divided, len(v.Pages), v.Height)
				continue
			}
			for p := range v.Pages {
				if b := v.Pages[p].Braille; b == nil || b.Value != p+1 {
					t.Errorf("height %d page %d: braille page %v", height, p+1, b)
				}
			}
		}
	}
}

// TestNoPageNumber: numbers at line ends that are no page numbers. A year, an
// entry of a contents list with its guide dots (sample files: the only false
// hit on line 1 of 135 pages was one), a chapter heading.
func TestNoPageNumber(t *testing.T) {
	s := newSheet(14, 40, 25)
	furniture := map[string]bool{}
	for p := range s.pages {
		s.pages[p][24] = s.corner(s.line(30), num(p+1))
		furniture[s.pages[p][24]] = true
	}
	s.pages[3][0] = s.line(33) + " #aiei"
	s.pages[5][0] = s.corner(s.line(20)+" "+strings.Repeat(`"`, 39-len(s.line(20))-8), " #ab")
	s.pages[7][0] = s.centre(",*apt] #c")
	s.pages[9][24] = s.line(33) + " #bj"
	delete(furniture, s.pages[9][24])
	v := s.survey(t)
	for _, at := range [][2]int{{3, 0}, {5, 0}, {7, 0}, {9, 24}} {
		i := v.Pages[at[0]].First + int32(at[1])
		if got, raw := string(v.TextOf(i)), strings.TrimSpace(string(v.Raw(i))); v.Lines[i].Role != Text || got != raw {
			t.Errorf("page %d: %s %q of %q", at[0]+1, v.Lines[i].Role, got, raw)
		}
	}
	whole(t, v, furniture)
}

// TestDoubleSpacing: every second line is blank; a table among them is set
// single-spaced (BANA Braille Formats 2011, 1.1.3; sample files).
func TestDoubleSpacing(t *testing.T) {
	s := newSheet(10, 38, 26)
	for p, pg := range s.pages {
		pg[0] = s.head("", "! f]ry l$g]", num(p+1))
		for k := 2; k < len(pg); k += 2 {
			if p != 6 {
				pg[k] = ""
			}
		}
	}
	s.pages[2][13] = "" // a blank line that the text means: three blanks together
	v := s.survey(t)
	if !v.Double {
		t.Error("not told as double-spaced")
	}
	for p := range v.Pages {
		if v.Pages[p].Double != (p != 6) {
			t.Errorf("page %d: double %v", p+1, v.Pages[p].Double)
		}
	}
	empty := 0
	for i := v.Pages[2].First + 11; i < v.Pages[2].First+16; i++ {
		if v.Lines[i].Role == Empty {
			empty++
		}
	}
	if empty < 1 {
		t.Error("page 3: no blank line is left where the text has one")
	}
}

// TestHeadsAreNoLevel: heads in the middle beside the page number at the foot of right-hand pages
// begin at one cell by chance, and make no indent of the text (UK practice: the page number in
// the last line, the chapter's title beside it; common practice).
func TestHeadsAreNoLevel(t *testing.T) {
	s := newSheet(14, 38, 26)
	for p := 0; p < len(s.pages); p += 2 {
		s.pages[p][25] = s.corner(strings.Repeat(" ", 8)+[]string{",! ,wr;g ,bell", ",an ,old ,promise", ",! ,blue ,door"}[p/2%3], num(p+1))
	}
	if v := s.survey(t); v.level[8] {
		t.Error("cell 9 is told as an indent of the text")
	}
}

// TestLineLongerThanPaper: one line that is longer than all others, as slips make it, does not
// widen the paper that running text fills (lines longer than the page: real-files, common practice).
func TestLineLongerThanPaper(t *testing.T) {
	for _, pages := range []int{12, 20, 60} {
		s := newSheet(pages, 38, 26)
		for p, pg := range s.pages {
			pg[0] = num(p+1) + s.centre("! f]ry l$g]")[4:] // no number at the right tells the width
		}
		s.pages[3][9] += " slipp$ 9"
		if v := s.survey(t); v.Width > 38 || v.TextWidth > 38 {
			t.Errorf("%d pages: width %d, of text %d, want 38", pages, v.Width, v.TextWidth)
		}
	}
}

// TestTurnBesideNumber: a print page turn on line 1 of a page, a row of dots 3-6 and its number, has the braille
// page number of that line beside it, hard against its own where the row takes all the room (the row
// fills the line; BRL session 4).
func TestTurnBesideNumber(t *testing.T) {
	for _, between := range []string{"", "   "} {
		s := newSheet(12, 40, 25)
		for p := range s.pages {
			s.pages[p][0] = s.corner(s.line(30), num(p+1))
		}
		for _, p := range []int{4, 8} {
			end := num(70+p) + between + num(p+1)
			s.pages[p][0] = strings.Repeat("-", 40-len(end)) + end
		}
		s.pages[9][24] = strings.Repeat("-", 37) + num(79)
		v := s.survey(t)
		for _, p := range []int{4, 8} {
			l, n := &v.Lines[v.Pages[p].First], v.Pages[p].Braille
			if l.Role != Turn || l.Label == nil || l.Label.Value != 70+p || n == nil || n.Value != p+1 {
				t.Errorf("page %d: %q is %s, label %v, page number %v", p+1, v.Raw(v.Pages[p].First), l.Role, l.Label, n)
			}
		}
	}
}

// TestTurns marks print page turns of both countries and nothing else: a short
// row of dots 3-6 under a title, and dot 5, dots 2-5 without a label, are none
// (Rules of Unified English Braille 2013, 16.2; sample files).
func TestTurns(t *testing.T) {
	s := newSheet(8, 40, 25)
	for p := range s.pages {
		s.pages[p][24] = s.corner(s.line(30), num(p+1))
	}
	set := map[int]string{4: strings.Repeat("-", 37) + "#bd", 9: strings.Repeat("-", 40), 12: s.centre(`"3#be`), 15: s.centre(`"3 ;iv`), 18: s.line(20) + ` "3#bf ` + s.line(12)}
	for k, l := range set {
		s.pages[3][k] = l
	}
	no := map[int]string{4: "-------", 9: `"33333333`, 12: `"3    "3   "3`, 15: s.centre(`"33333333333`), 18: "---- " + s.line(20)}
	for k, l := range no {
		s.pages[5][k] = l
	}
	v := s.survey(t)
	for k, l := range set {
		i := v.Pages[3].First + int32(k)
		if inline := k == 18; !inline && v.Lines[i].Role != Turn || inline && len(v.Inline[i]) != 1 {
			t.Errorf("no turn: %q", l)
		}
	}
	for k, l := range no {
		if i := v.Pages[5].First + int32(k); v.Lines[i].Role != Text || len(v.Inline[i]) > 0 {
			t.Errorf("%s, want text: %q", v.Lines[i].Role, l)
		}
	}
	if v.Rows != 1 || v.Marks != 3 {
		t.Errorf("%d rows and %d marks, want 1 and 3", v.Rows, v.Marks)
	}
}
