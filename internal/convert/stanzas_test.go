package convert_test

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/cell"
)

// Hymns under numbers in the middle, their tunes at cell 7, in numbered stanzas whose lines step in by turns, some first lines so
// short that the next word had room, and names with years under them at cell 11 (hymns and attributions: BANA, Braille Formats
// 2016, sections 9 and 13; common practice). All lines are short of the width of the paper. The numbers are headings; stanzas and names are none.
func TestStanzasThatStepInUnderNumbers(t *testing.T) {
	s := &houseVolume{width: 40, height: 25}
	s.head = func(p int) string { return s.right(p) }
	s.centre(",ev5+")
	var want, not []string
	names := []string{",isaac ,f>r[", ",anne ,pell[1 #ahaa", ",hannah ,quill1 #agbj", ",jo ,penn", ",samuel ,oakes1 #ahcd"}
	for n := range 15 {
		s.keep(9)
		s.put("")
		s.centre(string(cell.Number(n + 13)))
		s.put("      ,melcombe ,c4,m4")
		for st := 1; st <= 3; st++ {
			s.put("")
			first := string(cell.Number(st)) + "4 ," + strings.Join(s.words(2+(n+st)%3), " ")
			not = append(not, first)
			s.put(first)
			second, third := "  ,"+strings.Join(s.words(3), " "), ","+strings.Join(s.words(4), " ")
			for (n+st)%3 == 0 && len(second) < 29 {
				second, third = second+" "+s.word(), ",c>p5t]s "+s.word()
			}
			s.put(second)
			s.put(third)
			s.put("  ," + strings.Join(s.words(3), " ") + "4")
		}
		s.put("")
		s.put("          " + names[n%len(names)])
		want = append(want, string(cell.Number(n+13)))
	}
	headsAmong(t, headLines(makeOf(t, s.String()).Book), want, append(not, names...))
}

// A poem on a narrow page whose even lines begin in cell 3: what had no room runs over in cell 5 (BANA, Braille Formats
// 2016, section 13: all runovers two cells further in than the deepest line), so that full lines in cell 3 are lines
// of their own. No first line of a stanza is a heading at the margin.
func TestStanzasOfTwoLevelsThatRunOver(t *testing.T) {
	s := &houseVolume{width: 30, height: 25}
	s.head = s.right
	var whole []string
	for n := range 6 {
		s.centre(fmt.Sprintf(",poem #%c", 'a'+n))
		for k := range 5 {
			s.put("")
			whole = append(whole, s.flow(append([]string{"," + s.word()}, s.words(2+2*(k%2))...), 0, 4))
			whole = append(whole, s.flow(append([]string{"," + s.word()}, append(s.words([]int{1, 4, 1, 5, 2}[k]), "tea1")...), 2, 4))
			whole = append(whole, s.flow(append([]string{"," + s.word()}, s.words(3+n%2)...), 0, 4))
			whole = append(whole, s.flow(append([]string{"," + s.word()}, append(s.words([]int{1, 2, 4, 1, 3}[k]), "home4")...), 2, 4))
		}
		s.put("")
	}
	res := makeOf(t, s.String())
	wholeLines(t, res, whole)
	if heads := headingsOf(res); len(heads) != 6 {
		t.Errorf("headings %v, want those of six poems", heads)
	}
}

// A play whose speeches begin with a name and run over in cell 3, blank lines between them or directions without
// brackets in cells 7-5 among them (directions as a house of the United States sets them, common practice): every
// speech is one line of the edition, and the direction under the number of a scene is no heading.
func TestSpeechesAmongDirections(t *testing.T) {
	for _, blank := range []bool{false, true} {
		s := &houseVolume{width: 38, height: 26}
		s.head = s.right
		var whole, directions []string
		for sc := range 5 {
			s.put("")
			s.centre(",sc5e " + []string{",\"o", ",two", ",?ree", ",f\\r", ",five"}[sc])
			if !blank {
				d := "," + s.word() + "4 ,a room ) a " + s.word() + "4"
				directions = append(directions, d)
				s.put("      " + d)
				s.flow(append([]string{"," + s.word()}, append(s.words(3), "al\"o4")...), 4, 4)
			}
			for n := range 12 {
				name := []string{",,cor93", ",,mabel3", ",,sam3"}[n%3]
				if !blank {
					name = []string{".1,,adela", ".1,,percy", ".1,,silas"}[n%3]
				}
				if n%4 == 2 {
					s.put("    ,exit ,percy4")
				}
				if blank {
					s.put("")
				}
				whole = append(whole, s.flow(append([]string{name, "," + s.word()}, append(s.words(6+(sc*5+n)%9), "home4")...), 0, 2))
			}
		}
		t.Run(fmt.Sprint(blank), func(t *testing.T) {
			res := makeOf(t, s.String())
			wholeLines(t, res, whole)
			heads := headingsOf(res)
			for _, d := range directions {
				for h := range heads {
					if strings.Contains(h, d) {
						t.Errorf("the direction %q is in the heading %q", d, h)
					}
				}
			}
		})
	}
}

// Headings of two lines in the middle that stand at one cell, for both are as long, under a blank line and over a
// paragraph; and such headings in cell 5 over a list or another heading (BANA, Braille Formats 2016, section 4).
func TestHeadingsOfTwoLinesAlike(t *testing.T) {
	s := &houseVolume{width: 32, height: 25}
	s.head = s.right
	for n := range 8 {
		s.put("")
		if n%2 == 0 {
			s.put("    ,( ! bak]y at ! end & h[")
			s.put("    x came to ! riv] " + []string{"house", "gates", "mills", "tower"}[n/2] + " 9")
		} else {
			s.centre(",! " + s.word())
		}
		for range 4 {
			s.flow(append([]string{"," + s.word()}, append(s.words(38), "h\\se4")...), 2, 0)
			s.put("    " + strings.Join(s.words(3), " ") + "1")
			s.put("    " + strings.Join(s.words(3), " ") + "4")
		}
	}
	heads := headingsOf(makeOf(t, s.String()))
	for _, h := range []string{"house", "gates", "mills", "tower"} {
		if !heads[",( ! bak]y at ! end & h["] || !heads["x came to ! riv] "+h+" 9"] {
			t.Errorf("the heading with %q is missing: %v", h, heads)
		}
	}
}

// The close of a letter on a narrow page fills its line, and the name stands under it further in, where a runover would
// (common practice): they are two lines, and the paragraph before stays one.
func TestSignatureUnderFullClose(t *testing.T) {
	s := &houseVolume{width: 30, height: 25}
	s.head = s.right
	var paras []string
	for n := range 12 {
		paras = append(paras, s.para(30+n))
		s.put("    ,yr a6ec;nate bro!r1")
		s.put("      ,percy ,adams")
		s.put("")
	}
	res := makeOf(t, s.String())
	s.wholeParas(t, res, paras)
	textCounts(t, string(res.Edition), map[string]int{"bro!r1 ,percy": 0})
}
