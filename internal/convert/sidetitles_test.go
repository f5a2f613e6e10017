package convert_test

import (
	"strings"
	"testing"
)

// Chapters in cell 5 or at the margin, number and title on lines of their own with a blank line
// between (common practice): both lines are of the heading, with capitals and in braille without
// them (British braille before 1997, common practice).
func TestNumberAndTitleApart(t *testing.T) {
	for _, indent := range []string{"    ", ""} {
		for _, small := range []bool{false, true} {
			s := &houseVolume{width: 34, height: 22}
			s.head = func(p int) string { return s.right(p) }
			names := [][2]string{{",*apt] ,\"o", ",! wat]gate"}, {",*apt] ,two", ",a l;g ni<t"}, {",*apt] ,?ree", ",no\"h to g"}, {",*apt] ,f\\r", ",! l& 2l["}, {",*apt] ,five", ",h>b\\r li<ts"}}
			for _, n := range names {
				if small {
					n[0], n[1] = strings.ReplaceAll(n[0], ",", ""), strings.ReplaceAll(n[1], ",", "")
				}
				s.put("")
				s.put(indent + n[0])
				s.put("")
				s.put(indent + n[1])
				for range 5 {
					s.para(43)
				}
			}
			text := s.String()
			if small {
				text = strings.ReplaceAll(text, ",", "")
			}
			got := "\n" + strings.Join(headLines(makeOf(t, text).Book), "\n") + "\n"
			for _, n := range names {
				for _, x := range n {
					if small {
						x = strings.ReplaceAll(x, ",", "")
					}
					if !strings.Contains(got, "\n"+x+"\n") {
						t.Errorf("indent %d, without capitals %v: %q is no heading", len(indent), small, x)
					}
				}
			}
		}
	}
}

// A title and its author on two lines, both in the middle to the cell, the first too long for
// the second's first word: one heading, no line with a runover (common practice).
func TestTitleOverItsAuthor(t *testing.T) {
	s := &houseVolume{width: 34, height: 22}
	s.head = func(p int) string { return s.right(p) }
	names := []string{",a h>b\\r l&+ = josiah", "0josiah ,p5fold"}
	s.put("")
	for _, n := range names {
		s.centre(n)
	}
	s.put("")
	for range 5 {
		s.para(43)
	}
	got := "\n" + strings.Join(headLines(makeOf(t, s.String()).Book), "\n") + "\n"
	for _, x := range names {
		if !strings.Contains(got, "\n"+x+"\n") {
			t.Errorf("%q is no heading: %q", x, got)
		}
	}
}

// Rows of a list at the margin over a paragraph are no headings (common practice).
func TestShortRowsAreNoHeadings(t *testing.T) {
	s := &houseVolume{width: 34, height: 22}
	s.head = func(p int) string { return s.right(p) }
	rows := []string{"#ebf;g lamps", "#bib;g ropes", "#hgg;g oil", "#eh;g nails", "#gjb;g oars", "#beh;g sails"}
	for i := 0; i < len(rows); i += 2 {
		s.put("")
		s.put(rows[i])
		s.put(rows[i+1])
		s.put("")
		for range 4 {
			s.para(43)
		}
	}
	if got := headLines(makeOf(t, s.String()).Book); len(got) > 0 {
		t.Errorf("headings %q, want none", got)
	}
}

// Two headings at the margin over two lines, too few to tell by themselves: the entries of the
// contents list spell them out (common practice).
func TestEntriesSpellHeadingsOut(t *testing.T) {
	s := &houseVolume{width: 34, height: 22}
	s.head = func(p int) string {
		if p < 3 {
			return ""
		}
		return s.right(p - 2)
	}
	s.turn()
	for _, l := range []string{"", "", "! l;g ferry", "", "by anna lee"} {
		s.centre(l)
	}
	s.turn()
	s.centre("3t5ts")
	heads := [][2]string{{",bells at ! wat]gate", "0josiah ,p5fold"}, {",! l& 2l[ ! h>b\\r", "0mina ,l>k"}}
	for i, h := range heads {
		s.put(h[0])
		s.put("    " + h[1] + " " + strings.Repeat("\"", 10) + " #" + string("ac"[i]))
	}
	s.turn()
	for _, h := range heads {
		s.put("")
		s.put(h[0])
		s.put(h[1])
		s.put("")
		for range 12 {
			s.para(43)
		}
	}
	got := "\n" + strings.Join(headLines(makeOf(t, s.String()).Book), "\n") + "\n"
	for _, h := range heads {
		if !strings.Contains(got, "\n"+h[0]+"\n") || !strings.Contains(got, "\n"+h[1]+"\n") {
			t.Errorf("%q is no heading: %q", h, got)
		}
	}
}

// A blank line stands under the head of some pages only, those on which a paragraph goes on within
// a sentence among them: it parts no paragraph (common practice).
func TestBlankUnderSomeHeads(t *testing.T) {
	s := &houseVolume{width: 34, height: 22}
	blank := 0
	s.head = func(p int) string {
		return "          ! l;g ferry          " + string(rune('#')) + string("jabcdefghi"[p%10])
	}
	var paras []string
	s.put("")
	s.centre(",*apt] ,\"o")
	s.put("")
	for range 24 {
		from := len(s.pages)
		paras = append(paras, s.para(61))
		if last := s.pages[len(s.pages)-1]; len(s.pages) > from && len(last) > 1 && last[1][0] != ' ' && len(s.pages)%2 == 0 {
			s.pages[len(s.pages)-1] = append([]string{last[0], ""}, last[1:]...)
			blank++
		}
	}
	if blank < 3 {
		t.Fatalf("only %d pages have the blank line", blank)
	}
	s.wholeParas(t, makeOf(t, s.String()), paras)
}

// Names under verses at one indent, a blank line before each, of which some stand in the middle by
// chance: attributions (BANA, Braille Formats 2016, section 9), no headings.
func TestNamesInTheMiddleByChance(t *testing.T) {
	s := &houseVolume{width: 34, height: 22}
	s.head = func(p int) string { return s.right(p) }
	for _, n := range []string{",ann ,lee", ",mina ,l>kson ,grey", ",tom ,bell", ",josiah ,p5fold", ",una ,m>% ,hill", ",ed ,oak", ",abel ,wat]m", ",jo ,fen", ",ada ,wat]h\\se"} {
		s.para(50)
		s.put("")
		s.put("  ,\"! 0 a man :o k a boat")
		s.put("  & tarr$ x when ! wat] rose4")
		s.put("")
		s.put("         " + n)
		s.put("")
	}
	if got := headLines(makeOf(t, s.String()).Book); len(got) > 0 {
		t.Errorf("headings %q, want none", got)
	}
}

// Sections with a number alone at the margin or in cell 5 for a heading (common practice): they
// count on, or begin anew in each chapter. Numbers in no order, right under the text, are none.
func TestNumbersAloneAreHeadings(t *testing.T) {
	for _, c := range []struct {
		numbers []string
		heads   bool
	}{
		{[]string{"#a", "#b", "#c", "#a", "#b", "#c", "#d"}, true},
		{[]string{"#g", "#b", "#i", "#d", "#h", "#c", "#f"}, false},
	} {
		for _, indent := range []string{"", "    "} {
			s := &houseVolume{width: 34, height: 22}
			s.head = func(p int) string { return "" }
			for i, n := range c.numbers {
				if n == "#a" {
					s.put("")
					s.centre(",*apt] " + []string{",\"o", "", "", ",two"}[i%4])
				}
				if len(s.pages) == 0 || len(s.pages[len(s.pages)-1]) > 17 {
					s.para(20)
				}
				if c.heads {
					s.put("")
				}
				s.put(indent + n)
				s.para(43)
				s.para(31)
			}
			got := 0
			for _, x := range headLines(makeOf(t, s.String()).Book) {
				got += boolInt(strings.HasPrefix(x, "#"))
			}
			if c.heads && got < 6 || !c.heads && got > 0 {
				t.Errorf("numbers %q at %d: %d are headings", c.numbers, len(indent), got)
			}
		}
	}
}

func boolInt(b bool) int {
	if b {
		return 1
	}
	return 0
}

// A chapter's number in cell 5 at the top of a page, under a full line that ends no sentence, and
// its title right under it at the same cell (common practice): whether each stands as a heading
// depends on the other, and both are read all the same.
func TestNumberOverTitleAtThePageTop(t *testing.T) {
	for _, second := range []string{"    ", "      "} {
		s := &houseVolume{width: 34, height: 22}
		s.head = func(p int) string { return s.right(p) }
		s.put("")
		s.put("    ,*apt] ,\"o")
		s.put("    ,! wat]gate")
		for len(s.pages) < 7 {
			for len(s.pages[len(s.pages)-1]) < s.height {
				s.put(strings.Join(s.words(4), " ") + " " + strings.Repeat("a", 6))
			}
			s.put("    ,*apt] ,two")
			s.put(second + ",a l;g ni<t")
			s.para(43)
		}
		makeOf(t, s.String())
	}
}
