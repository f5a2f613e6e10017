package layout

import (
	"strings"
	"testing"

	"continuo/internal/english"
	"continuo/internal/source"
)

// TestPartGoesOn: the name of a part above text in the next volume is a head, when
// the volume before breaks off in that part and the next part's heading stands on
// the same page; where the volume before ends with the part before, it is the
// heading (BRL session 3: a part that goes on, common practice for its head).
func TestPartGoesOn(t *testing.T) {
	for _, c := range []struct {
		last string // the last heading of the first volume
		want Role
	}{{",*apt] #d", Head}, {",*apt] #c", Text}} {
		one, two := newSheet(9, 38, 25), newSheet(9, 38, 25)
		one.pages[6][4], one.pages[6][5], one.pages[6][6] = "", one.centre(c.last), ""
		for i := range 8 {
			two.pages[0][i] = "  #" + string(rune('b'+i)) + " ,& ! f]ry cross$ ! riv]"
		}
		two.pages[0][0] = two.centre(",*apt] #d")
		two.pages[0][9], two.pages[0][10], two.pages[0][11] = "", two.centre(",*apt] #e"), ""
		for p := 1; p < 9; p++ {
			two.pages[p][0] = two.centre(",*apt] #e")
		}
		for p := 7; p < 9; p++ {
			one.pages[p][0] = one.centre(c.last)
		}
		title := func(s *sheet, n string) {
			s.pages = append([][]string{{"", s.centre("! f]ry l$g]"), "", s.centre("volume " + n)}}, s.pages...)
		}
		title(one, "\"o")
		title(two, "two")
		v := SurveyWith([]*source.File{one.file(t, "v1.brf", true), two.file(t, "v2.brf", true)}, english.Words{})[1]
		if got := v.Lines[v.Pages[1].First].Role; got != c.want {
			t.Errorf("%s ends the volume before: %s, want %s", c.last, got, c.want)
		}
	}
}

// TestVerseNumberAlone: a number in cell 3 that stands alone on line 1 is no page
// number where page numbers begin in cell 1; nor is the end of a line of verse in cell
// 7, the word table, where they end in the last cell. They stay.
func TestVerseNumberAlone(t *testing.T) {
	s := newSheet(12, 38, 26)
	for p := range s.pages {
		s.pages[p][0] = s.head(num(p/2+1), "! f]ry l$g]", num(p+1))
	}
	s.pages[5][0], s.pages[7][0] = "      ta#4", "  #ad"
	v := s.survey(t)
	for p, want := range map[int]string{5: "ta#4", 7: "#ad"} {
		if l := v.Pages[p].First; v.Lines[l].Role != Text || string(v.TextOf(l)) != want {
			t.Errorf("%s %q, want text %q", v.Lines[l].Role, v.TextOf(l), want)
		}
	}
}

// TestWidthOfShortVolume: a short volume of an index has the width of the long
// ones, though no number at the right margin tells it.
func TestWidthOfShortVolume(t *testing.T) {
	long, short := newSheet(20, 38, 26), newSheet(2, 24, 26)
	for p := range long.pages {
		long.pages[p][25] = num(p + 1)
		for i := range 25 {
			long.pages[p][i] += strings.Repeat("e", 38-len(long.pages[p][i]))
		}
	}
	vols := Survey([]*source.File{long.file(t, "v1.brf", true), short.file(t, "v2.brf", true)})
	if vols[1].Width != 38 {
		t.Errorf("%d cells, want 38", vols[1].Width)
	}
}

// TestHeadOverItself: a line 1 that names a part is a head when the heading of that
// part stands further down on its page; when that of the next one stands there,
// it is the heading of a short part.
func TestHeadOverItself(t *testing.T) {
	for _, c := range []struct {
		below string
		want  Role
	}{{",*apt] #d", Head}, {",*apt] #e", Text}} {
		s := newSheet(9, 38, 25)
		for p := 1; p < 9; p++ {
			s.pages[p][0] = s.centre(",*apt] #" + string(rune('c'+p/4)))
		}
		s.pages[1][1], s.pages[1][2], s.pages[1][3] = "", s.centre(",*apt] #c"), ""
		s.pages[4][6], s.pages[4][7], s.pages[4][8] = "", s.centre(c.below), ""
		for p := 5; p < 9; p++ {
			s.pages[p][0] = s.centre(c.below)
		}
		v := s.survey(t)
		if got := v.Lines[v.Pages[4].First].Role; got != c.want {
			t.Errorf("over %s: %s, want %s", c.below, got, c.want)
		}
	}
}
