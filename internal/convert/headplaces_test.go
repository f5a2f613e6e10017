package convert_test

import (
	"strings"
	"testing"
)

// headsAmong fails for every line of want that is no heading of a book, and every one of not that is.
func headsAmong(t *testing.T, got []string, want, not []string) {
	t.Helper()
	all := "\n" + strings.Join(got, "\n") + "\n"
	for _, x := range want {
		if !strings.Contains(all, "\n"+x+"\n") {
			t.Errorf("%q is no heading", x)
		}
	}
	for _, x := range not {
		if strings.Contains(all, "\n"+x+"\n") {
			t.Errorf("%q is a heading", x)
		}
	}
}

// Parts and chapters in cell 5, a number over its title, and a contents list of two levels without
// page numbers that has both on one line: all are headings, and every entry is a line of its own
// (headings in cell 5: BANA, Braille Formats 2016, section 4; entries of a lower level two cells
// further in: section 2; a contents list without page numbers: common practice).
func TestUnnumberedContentsOfTwoLevels(t *testing.T) {
	s := &houseVolume{width: 38, height: 25}
	s.head = func(p int) string { return s.right(p) }
	parts := [][][2]string{
		{{",\"p ,\"o", ",! ,f]ry"}, {",*apt] #a", ",! ,old ,boat"}, {",*apt] #b", ",n ,w9d"}},
		{{",\"p ,two", ",! ,l&+"}, {",*apt] #c", ",a ,list ( ,names"}, {",*apt] #d", ",\"u ! ,lamp"}},
	}
	s.centre(",3t5ts")
	s.put("")
	for _, p := range parts {
		for n, x := range p {
			s.put(strings.Repeat("  ", min(n, 1)) + x[0] + "3 " + x[1])
		}
	}
	s.turn()
	var want, entries []string
	for _, p := range parts {
		for _, x := range p {
			s.put("")
			s.put("    " + x[0])
			s.put("    " + x[1])
			if strings.HasPrefix(x[0], ",*") {
				s.para(43)
				s.para(61)
				s.para(38)
			}
			want, entries = append(want, x[0], x[1]), append(entries, x[0]+"3 "+x[1])
		}
	}
	res := makeOf(t, s.String())
	headsAmong(t, headLines(res.Book), want, nil)
	for _, e := range entries {
		if !strings.Contains(string(res.Edition), e+"\n") {
			t.Errorf("entry %q is no line of its own\n%s", e, res.Edition)
		}
	}
}

// Headings in cell 7 where paragraphs begin in cell 5 (English Braille American Edition 1994,
// appendix A, has cell 3; cell 5: common practice), and numbers of sections in cell 5 over them.
func TestHeadingsOverParagraphsInCellFive(t *testing.T) {
	names := []string{",! ,f]ry", ",n ,w9d", ",a ,list ( ,names", ",\"u ! ,lamp", ",bread & ,salt", ",h>b\\r li<ts", ",no\"h to g", ",a ,gate", ",samuel"}
	for _, in := range []int{6, 4} {
		s := &houseVolume{width: 38, height: 25}
		s.head = func(p int) string { return s.right(p) }
		var want []string
		for n, x := range names {
			if in == 4 {
				x = "#" + string("abcdefghi"[n])
			}
			if n > 0 && len(s.pages[len(s.pages)-1]) > s.height-5 {
				s.turn() // a heading keeps a line of its text
			}
			s.put("")
			s.put(strings.Repeat(" ", in) + x)
			for k := range 2 {
				s.flow(append(s.words(21+n+k), "h\\se4"), 4, 0)
			}
			want = append(want, x)
		}
		headsAmong(t, headLines(makeOf(t, s.String()).Book), want, nil)
	}
}

// Names under poems begin at one cell, and hardly one of them stands too far from the middle to be a
// heading there; titles stand in the middle to the cell. With capitals and in braille without them
// (attributions: BANA, Braille Formats 2016, section 9; a blank line above: common practice).
func TestNamesAtOneCellInTheMiddle(t *testing.T) {
	for _, small := range []bool{false, true} {
		s := &houseVolume{width: 32, height: 24}
		s.head = func(p int) string { return s.right(p) }
		names := []string{",ann ,reed", ",hannah ,m>t9", ",joseph ,f9*", ",ellen ,tra4ock", ",mary ,ann ,l[e", ",w4 ,b4 ,stone", ",samuel ,p5fold", ",t ,dyke"}
		titles := []string{",! ,f]ry", ",n ,w9d today", ",a ,list ( ,names", ",lamps", ",br1d & ,salt", ",lost", ",a ,gate & a ,dog", ",h>b\\rs"}
		lower := func(x string) string {
			if small {
				return strings.ReplaceAll(x, ",", "")
			}
			return x
		}
		for n := range names {
			s.put("")
			s.centre(lower(titles[n]))
			s.put("")
			for range 4 + n%2 {
				for k := range 4 {
					line := strings.Join(s.words(3+k%2), " ")
					if k == 3 {
						line += "4"
					}
					s.put(strings.Repeat("  ", 1+k%2) + lower(",") + line)
				}
				s.put("")
			}
			s.put("        " + lower(names[n]))
		}
		var want, not []string
		for n := range names {
			want, not = append(want, lower(titles[n])), append(not, lower(names[n]))
		}
		headsAmong(t, headLines(makeOf(t, s.String()).Book), want, not)
	}
}

// Block paragraphs and a blank line under the head of every page: where a sentence goes on over the
// page turn, the blank line is of the layout (block paragraphs: BANA, Braille Formats 2016, section
// 1, for texts that have them; a blank line under the head: common practice).
func TestBlankUnderHeadsOfBlockParagraphs(t *testing.T) {
	s := &houseVolume{width: 36, height: 24}
	s.head = func(p int) string { return "       ,a list ( ,names" + s.right(p)[23:] }
	var want []string
	for n := range 24 {
		words := append(s.words(47+n), "h\\se4")
		line := ""
		for _, w := range words {
			if line != "" && len(line)+1+len(w) > s.width {
				s.below(line)
				line = ""
			}
			line = strings.TrimSpace(line + " " + w)
		}
		s.below(line)
		if len(s.pages[len(s.pages)-1]) < s.height {
			s.put("")
		}
		want = append(want, strings.Join(words, " "))
	}
	got := strings.Split(string(makeOf(t, s.String()).Edition), "\n")
	lines := map[string]bool{}
	for _, l := range got {
		lines[strings.TrimSpace(l)] = true
	}
	for _, w := range want {
		if !lines[w] {
			t.Errorf("paragraph is cut or joined: %s", w)
		}
	}
}

// below sets a line, after a blank line at the top of a page.
func (s *houseVolume) below(line string) {
	if n := len(s.pages); n == 0 || len(s.pages[n-1]) >= s.height {
		s.put("")
	}
	s.put(line)
}

// A short stanza with one runover and the name of its author under it: the name begins further in
// than the runover, which goes on (attributions and runovers of verse: BANA, Braille Formats 2016,
// sections 9 and 13).
func TestRunoverAboveName(t *testing.T) {
	s := &houseVolume{width: 36, height: 24}
	s.head = func(p int) string { return s.right(p) }
	for range 3 {
		s.para(60)
	}
	s.put("")
	s.flow(strings.Fields(",! ,old f]ry cross$ ! riv] twice a day"), 4, 6)
	s.put("    ,n ,w9d 0 d[n")
	s.put("    ,! boat 0 small4")
	s.put("        ,ann ,reed")
	s.put("")
	for range 3 {
		s.para(60)
	}
	text := string(makeOf(t, s.String()).Edition)
	if !strings.Contains(text, ",! ,old f]ry cross$ ! riv] twice a day\n") || !strings.Contains(text, "small4\n") {
		t.Errorf("the line of verse is cut, or the name joined\n%s", text)
	}
}

// Letters under their numbers at the margin, each on a page of its own, the date at the right of the
// next line (headings at the margin: BANA, Braille Formats 2011, 4.7; dates of letters: 2016, section
// 12, from memory); the first stands right under the title.
func TestNumbersOfLettersAtTheMargin(t *testing.T) {
	s := &houseVolume{width: 38, height: 25}
	s.head = func(p int) string { return s.right(p) }
	var want []string
	for n := range 6 {
		x := ",lr #" + string("abcdef"[n])
		if n > 0 {
			s.turn()
		} else {
			s.put("")
			s.centre(",a list ( ,names")
		}
		s.put(x)
		s.put(strings.Repeat(" ", 22) + "#" + string("bcdefg"[n]) + " ,june #aibh")
		s.put("    ,de> ,hannah1")
		s.para(40 + n)
		s.para(55 - n)
		want = append(want, x)
	}
	headsAmong(t, headLines(makeOf(t, s.String()).Book), want, nil)
}
