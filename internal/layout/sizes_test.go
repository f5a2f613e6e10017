package layout

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// set puts the heads and numbers of a style on a sheet of pages: what is furniture, by
// its lines, and how many pages have a line of heads and numbers, or a number on a line
// of text.
func (s *sheet) set(style string, section func(p int) string) (furniture map[string]bool, lines, shared int) {
	furniture = map[string]bool{}
	h := s.height
	at := func(p, i int, text string) {
		s.pages[p][i] = text
		furniture[text] = true
		lines++
	}
	for p := range s.pages {
		n, head := num(p+1), section(p)
		switch style {
		case "all":
			at(p, 0, s.head("", head, n))
		case "print":
			at(p, 0, s.head(num(40+p/3), head, n))
		case "odd":
			if p%2 == 0 {
				at(p, 0, s.head("", head, n))
			}
		case "middle":
			at(p, h-1, s.centre(n))
		case "foot":
			at(p, h-1, s.corner("", n))
		case "shared":
			s.pages[p][h-1] = s.corner(s.line(s.width-3-len(n)), n)
			furniture[s.pages[p][h-1]] = true
			shared++
		case "literary": // head on line 1, number at the foot
			at(p, h-1, s.corner("", n))
			if head != "" && p > 0 { // a title page carries none
				at(p, 0, s.centre(head))
			}
		}
	}
	return furniture, lines, shared
}

var styles = []string{"all", "print", "odd", "middle", "foot", "shared", "literary"}

// judge compares a survey with what was set.
func (s *sheet) judge(t *testing.T, what string, v *Volume, furniture map[string]bool, lines, shared int) {
	t.Helper()
	got, cut := v.roles(Head)+v.roles(Number), 0
	for i := range v.Lines {
		if l := &v.Lines[i]; l.Role == Text && (l.Left.To > 0 || l.Right.To > 0) {
			cut++
		}
	}
	if got != lines || cut != shared {
		t.Errorf("%s: %d lines of heads and numbers, %d numbers cut off; want %d, %d", what, got, cut, lines, shared)
	}
	whole(t, v, furniture)
}

// TestPageSizes: paper from 18 to 42 cells and 15 to 30 lines (usual are 28 to 40 cells and
// 21 to 28 lines; BANA samples, UKAAF B009 1.2; hand-made paper is smaller), numbers in
// every place where they stand.
func TestPageSizes(t *testing.T) {
	for _, w := range []int{18, 24, 33, 42} {
		for _, h := range []int{15, 22, 30} {
			for _, style := range styles {
				s := newSheet(20, w, h)
				furniture, lines, shared := s.set(style, func(int) string { return "! f]ry" })
				s.judge(t, fmt.Sprintf("%s, %d cells, %d lines", style, w, h), s.survey(t), furniture, lines, shared)
			}
		}
	}
}

// TestHeadsOfSomeSections: heads name the section and change with it, and some sections have
// none (running heads are an agency's choice; BANA, Braille Formats 2011, 1.7).
func TestHeadsOfSomeSections(t *testing.T) {
	sections := []string{"", "! l&+", "! upp] riv]", "a /ove", "", "! l;g w9t]"}
	for _, style := range styles {
		s := newSheet(48, 38, 26)
		furniture, lines, shared := s.set(style, func(p int) string { return sections[p/8] })
		s.judge(t, style, s.survey(t), furniture, lines, shared)
	}
}

// TestDamagedPages: the lower or upper half of a page is missing, a line stands twice, two
// pages are changed over, a cell of a head is another one. Text stays text, and heads are heads.
func TestDamagedPages(t *testing.T) {
	damages := map[string]func(s *sheet, at int){
		"lower half": func(s *sheet, at int) { s.pages[at] = s.pages[at][:s.height/2] },
		"upper half": func(s *sheet, at int) { s.pages[at] = s.pages[at][s.height/2:] },
		"line twice": func(s *sheet, at int) { s.pages[at] = slices.Insert(s.pages[at], 7, s.pages[at][7]) },
		"changed over": func(s *sheet, at int) {
			s.pages[at], s.pages[at+1] = s.pages[at+1], s.pages[at]
		},
		"cell of the head": func(s *sheet, at int) {
			s.pages[at][0] = strings.Replace(s.pages[at][0], "f]", "f9", 1)
		},
		"blank page": func(s *sheet, at int) {
			s.pages = slices.Insert(s.pages, at, []string{"", "", ""})
		},
		"cell of the number": func(s *sheet, at int) {
			for _, i := range []int{0, s.height - 1} {
				if k := strings.LastIndex(s.pages[at][i], num(at+1)); k > 0 && k+len(num(at+1)) == len(s.pages[at][i]) {
					s.pages[at][i] = s.pages[at][i][:len(s.pages[at][i])-1] + "j"
				}
			}
		},
	}
	for what, damage := range damages {
		for _, style := range styles {
			for _, at := range []int{6, 11} {
				s := newSheet(24, 36, 25)
				furniture, _, _ := s.set(style, func(int) string { return "! old f]ry" })
				damage(s, at)
				lines, shared := 0, 0
				for _, pg := range s.pages {
					for _, i := range []int{0, len(pg) - 1} {
						if l := pg[i]; furniture[l] || strings.Contains(l, "f9ry") || strings.HasSuffix(l, "j") && strings.Contains(l, "#") {
							furniture[l] = true
							if style == "shared" {
								shared++
							} else {
								lines++
							}
						}
					}
				}
				s.judge(t, fmt.Sprint(what, ", ", style, ", page ", at+1), s.survey(t), furniture, lines, shared)
			}
		}
	}
}

// TestPaperOfEachVolume: the volumes of a title are set on different paper (an agency
// changed its paper, or a volume was made anew).
func TestPaperOfEachVolume(t *testing.T) {
	for _, style := range styles {
		var sheets []*sheet
		var want [3][2]int
		furniture := map[string]bool{}
		for k, size := range [][2]int{{38, 26}, {32, 22}, {40, 25}} {
			s := newSheet(14, size[0], size[1])
			f, lines, shared := s.set(style, func(int) string { return "! f]ry l$g]" })
			for l := range f {
				furniture[l] = true
			}
			want[k] = [2]int{lines, shared}
			sheets = append(sheets, s)
		}
		for k, v := range surveyAll(t, sheets...) {
			sheets[k].judge(t, fmt.Sprint(style, ", volume ", k+1), v, furniture, want[k][0], want[k][1])
		}
	}
}
