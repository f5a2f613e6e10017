package convert_test

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/cell"
)

// sectionNames are names of sections made up for these tests.
var sectionNames = []string{",! ,f]ry", ",n ,w9d", ",a ,list ( ,names", ",\"u ! ,lamp", ",bread & ,salt", ",h>b\\rs", ",no\"h to g", ",a ,gate", ",samuel", ",l[ ,t9", ",r1d+", ",old ,t[n"}

// keep begins a page where the last has no room for some lines.
func (s *houseVolume) keep(lines int) {
	if n := len(s.pages); n > 0 && len(s.pages[n-1])+lines > s.height {
		s.turn()
	}
}

// Headings in cell 5 with no blank line before or after (older British books, common practice; UK paper
// layout, section 7: no blank line between heading and text), in prose and in a book whose chapters all
// have the same two: headings. Names under what somebody wrote stand so too, and a chapter ends with one: none.
func TestHeadingsWithoutBlankLines(t *testing.T) {
	begin := func() *houseVolume {
		s := &houseVolume{width: 38, height: 25}
		s.head = func(p int) string { return s.right(p) }
		return s
	}
	t.Run("sections", func(t *testing.T) {
		s := begin()
		s.centre(",! ,l;g ,road")
		s.para(60)
		for n, x := range sectionNames {
			s.keep(3)
			s.put("    " + x)
			s.para(41 + n)
			s.para(50 + n)
		}
		headsAmong(t, headLines(makeOf(t, s.String()).Book), sectionNames, nil)
	})
	t.Run("the same in each chapter", func(t *testing.T) {
		s := begin()
		for c := range 6 {
			s.turn()
			s.centre(",*apt] " + string(cell.Number(c+1)))
			s.para(50 + c)
			s.keep(3)
			s.put("    ,look+ ,clos]")
			s.para(41 + c)
			s.keep(3)
			s.put("    ,\"qs")
			for q := range 4 {
				s.flow(append([]string{string(cell.Number(q+1)) + "4"}, append(s.words(9+q), "road8")...), 0, 4)
			}
		}
		heads := strings.Join(headLines(makeOf(t, s.String()).Book), "\n")
		if n := strings.Count(heads, ",look+ ,clos]"); n != 6 {
			t.Errorf("%d of 6 first sections are headings\n%s", n, heads)
		}
		if n := strings.Count(heads, ",\"qs"); n != 6 {
			t.Errorf("%d of 6 headings of questions are headings\n%s", n, heads)
		}
	})
	t.Run("names", func(t *testing.T) {
		s := begin()
		names := []string{",ann ,reed", ",hannah ,m>t9", ",joseph ,f9*", ",ellen ,dyke", ",mary ,l[e", ",w4 ,stone"}
		for c := range 4 {
			s.turn()
			s.centre(",*apt] " + string(cell.Number(c+1)))
			for _, x := range names {
				s.para(40 + c)
				s.put("    " + x)
			}
		}
		headsAmong(t, headLines(makeOf(t, s.String()).Book), nil, names)
	})
	t.Run("verse", func(t *testing.T) {
		s := begin()
		var not []string
		for n := range 12 {
			s.para(45 + n)
			for k := range 3 {
				x := "," + strings.Join(s.words(3+k), " ")
				s.put("    " + x)
				not = append(not, x)
			}
		}
		headsAmong(t, headLines(makeOf(t, s.String()).Book), nil, not)
	})
}

// Hymns with their numbers in cell 5 and no blank line before them, the name of the author above (numbers of hymns as
// headings: common practice): the numbers are headings, the names are none. Index entries that
// run over with a number alone are none either.
func TestNumbersOfHymnsWithoutBlankLines(t *testing.T) {
	s := &houseVolume{width: 34, height: 24}
	s.head = func(p int) string { return s.right(p) }
	s.centre(",hymns")
	var want, not []string
	for h := 1; h <= 12; h++ {
		s.keep(4)
		s.put("    " + string(cell.Number(h)))
		want = append(want, string(cell.Number(h)))
		for v := 1; v <= 3; v++ {
			s.put("")
			s.put(string(cell.Number(v)) + " ," + strings.Join(s.words(4), " "))
			for k := range 3 {
				s.put("," + strings.Join(s.words(4+k), " "))
			}
		}
		if h%2 == 0 {
			name := sectionNames[h-2]
			s.put("    " + name)
			not = append(not, name)
		}
	}
	res := makeOf(t, s.String())
	headsAmong(t, headLines(res.Book), want, not)
	if heads := headLines(res.Book); len(heads) > len(want)+1 {
		t.Errorf("%d headings, want %d: %q", len(heads), len(want)+1, heads)
	}
}

// Letters over the entries of an index in cell 5, without blank lines and in a double-spaced part
// (an index with its letters as headings, common practice): all are headings.
func TestLettersOverAnIndex(t *testing.T) {
	for _, double := range []bool{false, true} {
		s := &houseVolume{width: 32, height: 25}
		s.head = func(p int) string { return s.right(p) }
		for range 30 {
			s.para(60)
		}
		s.turn()
		s.centre(",9dex")
		put := func(x string) {
			if double {
				s.put("")
			}
			s.put(x)
		}
		var want []string
		for _, x := range []string{",a", ";,b", ";,d", ",i", ";,j", ";,m", ";,t"} {
			s.keep(4)
			put("    " + x)
			want = append(want, x)
			for n, rest := range []string{"nn ,reed1 #ab", "}elby1 #d1 #aj"} {
				put("," + strings.TrimLeft(x, ",;") + rest)
				if n == 0 {
					put("  op9ion (1 #ac")
				}
			}
		}
		headsAmong(t, headLines(makeOf(t, s.String()).Book), want, nil)
	}
}

// Headings in cell 5 on a narrow page, after a blank line: the first word of the paragraph under them had no
// room beside them (headings in cell 5: UK paper layout, section 7; BANA, Braille Formats 2016, section 4).
// Displayed paragraphs in cells 5-3 are none.
func TestHeadingsOnNarrowPages(t *testing.T) {
	s := &houseVolume{width: 28, height: 25}
	s.head = func(p int) string { return s.right(p) }
	names := []string{",a ,list ( ,names", ",bread & ,s>d9e ,pie", ",\"u ! old ,f]ry", ",w9t] ,h>b\\r li<ts", ",samuel & ,hannah", ",plum ,t>t & ,cr1m", ",no\"h to g 6 ,now", ",! ,gate 9 ! ,hill"}
	var not []string
	for n, x := range names {
		s.put("")
		s.keep(4)
		s.put("    " + x)
		s.flow(append([]string{",s]vice"}, append(s.words(n%2+1), "h\\se4")...), 2, 0)
		for k := range 2 {
			s.para(14 + n + k)
		}
	}
	for range 1 {
		s.put("")
		first := s.words(3)
		s.flow(append(append([]string{"," + first[0]}, first[1:]...), append(s.words(20), "road4")...), 4, 2)
		s.put("")
		s.para(30)
		not = append(not, ","+strings.Join(first, " "))
	}
	headsAmong(t, headLines(makeOf(t, s.String()).Book), names, not)
}

// A play with its acts in cell 5, scenes in cell 5 or 7, a blank line after each, stage directions in brackets over two lines
// and the list of its characters (headings of levels 2 and 3, plays: BANA, Braille Formats 2016, sections
// 4 and 12; blank lines after headings: common practice): the headings, and nothing else.
func TestHeadingsOfPlays(t *testing.T) {
	for _, scene := range []int{4, 6} {
		s := &houseVolume{width: 32, height: 25}
		s.head = func(p int) string { return s.right(p) }
		var want []string
		for p := range 2 {
			s.turn()
			s.centre([]string{",! ,l;g ,road", ",a ,gate"}[p])
			s.put("")
			s.put("    ,\"*s 9 ! ,play")
			s.put("")
			for _, n := range []string{",ann1 a wid[", ",samuel1 a m]*ant", ",hannah1 ! mayor"} {
				s.put(n)
			}
			for a := 1; a <= 2; a++ {
				s.keep(10)
				s.put("")
				s.put("    ,act " + string(cell.Number(a)))
				for c := 1; c <= 2; c++ {
					s.keep(8)
					s.put("")
					s.put(strings.Repeat(" ", scene) + ",sc5e " + string(cell.Number(c)))
					s.put("")
					s.put("    .<,a room 9 ! h\\se ( ,ann4")
					s.put("    ,ni<t4.>")
					for k := range 6 {
						s.flow(append([]string{[]string{",ann3", ",samuel3", ",hannah3"}[k%3]}, append(s.words(12+k), "boat4")...), 0, 2)
					}
				}
			}
		}
		want = append(want, ",\"*s 9 ! ,play", ",act #a", ",act #b", ",sc5e #a", ",sc5e #b")
		heads := headLines(makeOf(t, s.String()).Book)
		headsAmong(t, heads, want, nil)
		if len(heads) != 2*(2+2+4) {
			t.Errorf("scenes in cell %d: %d headings, want 16: %q", scene+1, len(heads), heads)
		}
	}
}

// Letters with a heading in cell 5 and a blank line after it over the address and date, which may begin at the same cell (letters:
// BANA, Braille Formats 2016, section 12, from memory).
func TestHeadingsOverAddresses(t *testing.T) {
	s := &houseVolume{width: 30, height: 27}
	s.head = func(p int) string { return s.right(p) }
	var want []string
	for n, x := range sectionNames {
		s.keep(5)
		s.put("")
		s.put("    ,6" + x)
		s.put("")
		s.put(fmt.Sprintf("%s,dyke ,h\\se1 %s ,m>* #ahfj", strings.Repeat(" ", 4-n%2), cell.Number(n+2)))
		s.put(",my de> ,ann1")
		s.para(20 + n)
		s.put("    ,yrs \"e1")
		s.put("      ,hannah")
		want = append(want, ",6"+x)
	}
	heads := headLines(makeOf(t, s.String()).Book)
	headsAmong(t, heads, want, []string{",yrs \"e1", ",hannah"})
	if len(heads) != len(want) {
		t.Errorf("%d headings, want %d: %q", len(heads), len(want), heads)
	}
}

// The author in cell 5 under the title of each story, a blank line between, and what a recipe yields under its name (common practice): the titles
// are headings, these are none. A first section in cell 5 right under each chapter is one, as others follow.
func TestLinesUnderHeadings(t *testing.T) {
	s := &houseVolume{width: 38, height: 25}
	s.head = func(p int) string { return s.right(p) }
	names := []string{",ann ,reed", ",hannah ,m>t9", ",joseph ,f9*", ",ellen ,dyke", ",mary ,l[e", ",w4 ,stone"}
	var not []string
	for n, x := range names {
		s.turn()
		s.centre(sectionNames[n])
		s.put("")
		s.put("    ,by " + x)
		for k := range 4 {
			s.para(40 + n + k)
		}
		not = append(not, ",by "+x)
	}
	headsAmong(t, headLines(makeOf(t, s.String()).Book), sectionNames[:len(names)], not)

	s = &houseVolume{width: 38, height: 25}
	s.head = func(p int) string { return s.right(p) }
	for n := range 9 {
		s.keep(12)
		s.put("")
		s.centre(sectionNames[n])
		s.put("")
		s.put("    ,s]ves " + []string{"two", "f\r", "six"}[n%3])
		s.put("")
		for k := range 4 {
			s.put(string(cell.Number(50*(k+1))) + " g " + s.word())
		}
		s.para(30)
	}
	headsAmong(t, headLines(makeOf(t, s.String()).Book), sectionNames[:9], []string{",s]ves two", ",s]ves f\r", ",s]ves six"})

	s = &houseVolume{width: 38, height: 25}
	s.head = func(p int) string { return s.right(p) }
	for n := range 6 {
		s.turn()
		s.centre(",*apt] " + string(cell.Number(n+1)))
		for k := range 2 {
			s.put("")
			s.keep(3)
			s.put("    " + sectionNames[2*n+k])
			s.para(50 + n)
			s.para(40 + n)
		}
	}
	headsAmong(t, headLines(makeOf(t, s.String()).Book), sectionNames, nil)
}

// Chapters of a word and a number in cell 5, "psalm 9", without a blank line before, over the first of numbered verses, with a
// blank line between or none; acts in cell 5 and scenes in cell 7 right under one another; headings in cell 5 between blank lines over a short
// paragraph (headings in cell 5: UK paper layout, section 7; BANA, Braille Formats 2016, section 4; without blank lines: common practice).
func TestNumberedHeadingsWithoutBlankLines(t *testing.T) {
	for _, blank := range []bool{false, true} {
		s := &houseVolume{width: 28, height: 25}
		s.head = func(p int) string { return s.right(p) }
		s.centre(",psalms")
		var want []string
		for n := range 9 {
			s.keep(5)
			h := ",psalm " + string(cell.Number(n*n+2))
			s.put("    " + h)
			want = append(want, h)
			for v := 1; v <= 5; v++ {
				if blank && v == 1 {
					s.put("")
				}
				s.put(string(cell.Number(v)) + " ," + strings.Join(s.words(3), " "))
				s.put(strings.Join(s.words(3), " ") + "4")
			}
		}
		headsAmong(t, headLines(makeOf(t, s.String()).Book), want, nil)
	}
	s := &houseVolume{width: 32, height: 25}
	s.head = func(p int) string { return s.right(p) }
	for p := range 2 {
		s.turn()
		s.centre([]string{",! ,l;g ,road", ",a ,gate"}[p])
		s.put("    ,\"*s 9 ! ,play")
		for _, n := range []string{",ann1 a wid[", ",samuel1 a m]*ant", ",hannah1 ! mayor"} {
			s.put(n)
		}
		for a := 1; a <= 2; a++ {
			s.keep(8)
			s.put("    ,act " + string(cell.Number(a)))
			s.put("      ,sc5e #a")
			s.put("    7,a room 9 ! h\\se ( ,ann47")
			for k := range 9 {
				s.put([]string{",ann3", ",samuel3", ",hannah3"}[k%3])
				s.flow(append([]string{"," + s.word()}, append(s.words(8+k), "boat4")...), 2, 4)
			}
		}
	}
	heads := headLines(makeOf(t, s.String()).Book)
	headsAmong(t, heads, []string{",\"*s 9 ! ,play", ",act #a", ",act #b", ",sc5e #a"}, []string{"7,a room 9 ! h\\se ( ,ann47"})

	s = &houseVolume{width: 38, height: 25}
	s.head = func(p int) string { return s.right(p) }
	for _, x := range sectionNames {
		s.keep(6)
		s.put("")
		s.put("    " + x)
		s.put("")
		s.put("  ,s]ves f\\r")
		for k := range 5 {
			s.put(string(cell.Number(50*(k+1))) + " g " + s.word())
		}
		s.put("")
		s.para(30)
	}
	headsAmong(t, headLines(makeOf(t, s.String()).Book), sectionNames, []string{",s]ves f\\r"})
}

// Recipes in a book without capitals, their names in cell 5 without a blank line before, each over a short paragraph that says for
// how many it is, and the quantities at the margin (headings in cell 5 without blank lines: older British books, common practice).
func TestRecipesWithoutBlankLinesBeforeTheirNames(t *testing.T) {
	s := &houseVolume{width: 36, height: 27}
	s.head = func(p int) string { return s.right(p) }
	names := []string{"holl[ oats bake", "gre5 onion salad", "plum t>t", "pap] c>rot pie", "bread & s>d9e pie", "w9t] b1n /ew", "l;g h" + "\"oy salad", "brown l5til s\\p"}
	for range 6 {
		s.para(40)
	}
	for n, x := range names {
		s.keep(8)
		s.put("    " + x)
		s.put("  s]ves " + string(cell.Number(2+n%4)))
		for k := range 4 {
			s.put(string(cell.Number(50*(k+1))) + " g " + s.word())
		}
		s.put("")
		for k := range 3 {
			s.flow(append([]string{string(cell.Number(k+1)) + "4"}, append(s.words(12+k), "pan4")...), 2, 0)
		}
	}
	headsAmong(t, headLines(makeOf(t, s.String()).Book), names, []string{"s]ves #d"})
}
