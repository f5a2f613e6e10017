package triage

import (
	"strings"
	"testing"

	"continuo/internal/convert"
)

// ev is a volume with pages of text from and to, and more evidence.
func ev(from, to int, more ...func(*convert.VolumeSurvey)) convert.VolumeSurvey {
	v := convert.VolumeSurvey{File: "v.brf", Pages: to - from + 3, BodyPage: 2}
	v.Evidence = convert.Evidence{First: from, Last: to, Reached: to, Ended: true, Full: true, Numbered: true, Jump: 1}
	for _, m := range more {
		m(&v)
	}
	return v
}

func gap(page int) func(*convert.VolumeSurvey) {
	return func(v *convert.VolumeSurvey) { v.Evidence.Gaps = []int{page} }
}

func within(prose, full bool) func(*convert.VolumeSurvey) {
	return func(v *convert.VolumeSurvey) {
		e := &v.Evidence
		e.Open, e.Within, e.Ended, e.Prose, e.Full = true, true, false, prose, full
	}
}

func comma(v *convert.VolumeSurvey) {
	v.Evidence.Comma, v.Evidence.Short, v.Evidence.Full, v.Evidence.Ended = true, true, false, false
}

func low(v *convert.VolumeSurvey) { v.Evidence.Short = false }

func tail(t string) func(*convert.VolumeSurvey) {
	return func(v *convert.VolumeSurvey) { v.Evidence.Tail = t }
}

func padded(v *convert.VolumeSurvey) { v.Evidence.Padded = true }

func endLine(v *convert.VolumeSurvey) { v.EndLine = true }

// TestMissingPages: what page numbers between and within volumes and the ends of
// volumes tell, and what is the way of a house and tells nothing.
func TestMissingPages(t *testing.T) {
	type vols = []convert.VolumeSurvey
	for _, c := range []struct {
		what string
		vols vols
		want string
	}{
		{"numbers that run on", vols{ev(1, 20), ev(21, 40), ev(41, 60)}, ""},
		{"ten pages less at the end of the second", vols{ev(1, 20), ev(21, 30), ev(41, 60), ev(61, 80)}, "braille-pages-missing "},
		{"title pages that count", vols{ev(3, 20), ev(22, 40), ev(42, 60), ev(62, 80)}, ""},
		{"title pages that count, ten pages less", vols{ev(3, 20), ev(22, 30), ev(42, 60), ev(62, 80)}, "braille-pages-missing "},
		{"numbers that begin anew", vols{ev(1, 20), ev(1, 10), ev(1, 30)}, ""},
		{"two volumes, the first pages of the second count", vols{ev(1, 20), ev(23, 40)}, ""},
		{"two volumes, the first shorter than the second goes on", vols{ev(1, 10), ev(23, 80)}, "braille-pages-missing "},
		{"two volumes that begin anew after a few pages", vols{ev(1, 2), ev(5, 40)}, ""},
		{"a page missing in one volume", vols{ev(1, 20), ev(1, 20, gap(5)), ev(1, 20)}, "page-missing "},
		{"the same page in three volumes", vols{ev(1, 20, gap(5)), ev(1, 20, gap(5)), ev(1, 20, gap(5))}, ""},
		{"the last volume ends within a sentence of prose", vols{ev(1, 20), ev(1, 9, within(true, false))}, "ends-open "},
		{"or at the foot of a page", vols{ev(1, 20), ev(1, 9, within(false, true))}, "ends-open "},
		{"or in the middle of one, in verse", vols{ev(1, 20), ev(1, 9, within(false, false))}, ""},
		{"or in a comma, with room left on its page", vols{ev(1, 20), ev(1, 9, comma)}, "stops-short "},
		{"or in a comma, low on its page", vols{ev(1, 20), ev(1, 9, comma, low)}, "ends-open "},
		{"files that end in an empty page", vols{ev(1, 20, tail("nff")), ev(1, 20, tail("nff")), ev(1, 20, tail("nff"))}, ""},
		{"all but one", vols{ev(1, 20, tail("nff")), ev(1, 20, tail("nf")), ev(1, 20, tail("nff"))}, "cut-off "},
		{"all but one, which says that it ends", vols{ev(1, 20, tail("nff"), endLine), ev(1, 20, tail("nf"), endLine), ev(1, 20, tail("nff"), endLine)}, ""},
		{"one of four without the last line end", vols{ev(1, 20, tail("nf")), ev(1, 20, tail("f"), within(false, true)), ev(1, 20, tail("nf")), ev(1, 20, tail("nf"))}, "cut-off "},
		{"so the last one, which fills its page by chance", vols{ev(1, 20, tail("nf")), ev(1, 20, tail("nf")), ev(1, 20, tail("nf")), ev(1, 20, tail("f"))}, ""},
		{"one of three that is not filled to a record", vols{ev(1, 20, padded), ev(1, 20), ev(1, 20, padded)}, "cut-off "},
	} {
		got := ""
		for _, s := range append(append(between(c.vols), inside(c.vols)...), ends(c.vols)...) {
			got += s.kind + " "
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q", c.what, got, c.want)
		}
	}
}

// TestCommonWords: "the", "and" and "of" are known contracted or not; in another table they are other cells.
func TestCommonWords(t *testing.T) {
	for line, want := range map[string][3]int{"! rope 0 c\\t & ,! boat (! 8sea": {3, 1, 0}, "the rope was cut and ,the boat of": {2, 1, 1}, "y ezzv d f\\g 5 ,y mzlg . y dpl": {}} {
		b, _ := small(t, line)
		if n := commonWords(b)[0]; n.words < 8 || n.common != want {
			t.Errorf("%s: %d words, %d of the commonest", line, n.words, n.common)
		}
	}
	for _, c := range []struct {
		n    wordCount
		want bool
	}{{wordCount{1000, [3]int{40, 20, 15}, 0}, false}, {wordCount{1000, [3]int{30, 20, 2}, 0}, false}, {wordCount{1000, [3]int{0, 18, 2}, 0}, true}, {wordCount{1000, [3]int{0, 10, 20}, 0}, true}, {wordCount{400, [3]int{}, 0}, false}} {
		if c.n.foreign() != c.want {
			t.Errorf("%v: foreign %v", c.n, !c.want)
		}
	}
}

// TestTwoGrades: one volume is contracted, the other is not; two of one grade are as they should be.
func TestTwoGrades(t *testing.T) {
	short, long := strings.Repeat("! rope (! boat & sea ", 9), strings.Repeat("the rope of the boat and sea ", 9)
	for _, c := range []struct {
		one, two, want string
	}{{short, long, "volume-unlike"}, {short, short, ""}, {long, long, ""}, {short, "the rope and", ""}} {
		b, _ := small(t, c.one)
		o, _ := small(t, c.two)
		b.Files = append(b.Files, o.Files...)
		bl := o.Blocks[0]
		bl.Pieces[0].Vol = 1
		b.Blocks = append(b.Blocks, bl)
		got := ""
		for _, s := range codes(&convert.TitleSurvey{}, b) {
			got = s.kind
		}
		if got != c.want {
			t.Errorf("%.12q and %.12q: %q, want %q", c.one, c.two, got, c.want)
		}
	}
}

// TestOneSeam: volumes that all begin anew within a sentence begin with the name of the chapter that goes on.
func TestOneSeam(t *testing.T) {
	seams := func(n int) (out []sign) {
		for range n {
			out = append(out, look("seam", "a seam"))
		}
		return append(out, look("cut-off", "another sign"))
	}
	for _, c := range [][3]int{{1, 2, 2}, {2, 3, 1}, {2, 9, 3}, {4, 9, 1}} { // seams, volumes, signs left
		if got := oneSeam(seams(c[0]), c[1]); len(got) != c[2] {
			t.Errorf("%d seams in %d volumes: %d signs", c[0], c[1], len(got))
		}
	}
}
