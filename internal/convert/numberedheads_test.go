package convert_test

import (
	"fmt"
	"strings"
	"testing"
)

// TestHeadsWithoutTheNumber: the heads of pages say the heading of the chapter without its number, beside
// the page number, also on the page where the heading stands (running head and page number on line 1: BANA,
// Braille Formats 2016, 1.8; headings in cell 5: section 4; numbers left out of heads: common practice).
func TestHeadsWithoutTheNumber(t *testing.T) {
	titles := []string{",! ,f]ry", "," + "a ,list ( ,names", ",! ,old ,boat", ",\"u ! ,lamp"}
	s, chapter := &houseVolume{width: 38, height: 25}, 0
	s.head = func(p int) string {
		h, n := strings.ReplaceAll(titles[chapter], ",", ",,"), houseNumber(p)
		left := (s.width - len(h)) / 2
		return strings.Repeat(" ", left) + h + strings.Repeat(" ", s.width-left-len(h)-len(n)) + n
	}
	for i, title := range titles {
		chapter = i
		if i == 1 {
			s.turn()
		}
		s.put("")
		s.put(fmt.Sprintf("    %s4 %s", houseNumber(i+1), title))
		for range 6 {
			s.para(70)
		}
	}
	res := makeOf(t, s.String())
	for _, title := range titles {
		h := strings.ReplaceAll(title, ",", ",,")
		if n := strings.Count(string(res.Edition), h); n > 0 {
			t.Errorf("the head %q is %d times in the edition", h, n)
		}
		if !strings.Contains(string(res.Edition), title) {
			t.Errorf("the heading %q is lost", title)
		}
	}
}

// houseNumber is a number in cells.
func houseNumber(n int) string {
	out := "#"
	for _, d := range fmt.Sprint(n) {
		out += string("jabcdefghi"[d-'0'])
	}
	return out
}

// Hymns at the margin with their number and name, some over two lines, and in cell 5 with the number over the name; blank
// lines around, the metre in the middle under some, stanzas as far in as the headings (hymn books: common practice; headings
// in cell 5: BANA, Braille Formats 2016, section 4): the headings are told, no line of a stanza is one.
func TestHymnsWithNumbersAndNames(t *testing.T) {
	names := []string{",! ,boats", ",b[s & ,oars", ",:y ,we %d ,n ,=get ! ,old|,mill 0! ,riv]", ",h>ve/", ",a ,lant]n ^u a ,bridge|,crossroads", ",snow", ",! ,old ,f]ry", ",m>ket ,\"d"}
	for _, c := range []struct {
		in    int
		alone bool
	}{{0, false}, {4, true}} {
		s, pad := hardVolume(1, 1), strings.Repeat(" ", c.in)
		s.chapter(",preface", 3)
		s.put("")
		var want, not []string
		for n, name := range names {
			s.keep(9)
			lines, no := strings.Split(name, "|"), houseNumber(n+1)
			if c.alone {
				lines = append([]string{no}, lines...)
			} else {
				lines[0] = no + "4 " + lines[0]
			}
			for _, l := range lines {
				s.put(pad + l)
			}
			want = append(want, lines...)
			s.put("")
			if n%2 == 1 {
				s.centre(";,l4;,m4")
				s.put("")
			}
			for range 4 {
				l := "," + strings.Join(s.words(4), " ")
				not = append(not, l)
				s.put(pad + l)
			}
			s.put("")
		}
		res, _ := hardBook(t, nil, s.ends(1))
		headsAmong(t, headLines(res.Book), want, not)
	}
}

// Stanzas in cell 5 as far in as the headings of the hymns, their lines full and some at the top of a page (verse further in and
// headings in cell 5: BANA, Braille Formats 2016, sections 4 and 13): the last line of a stanza over the next is no heading.
func TestStanzasAtTheCellOfHeadings(t *testing.T) {
	s := hardVolume(1, 1)
	s.chapter(",preface", 3)
	var want, not []string
	for n := range 40 {
		s.keep(5)
		want = append(want, ",hymn "+houseNumber(n+1))
		s.put("")
		s.put("    " + want[n])
		s.put("")
		s.para(30 + 7*(n%3))
		s.put("")
		for range 3 {
			for k := range 4 {
				l := "," + s.word()
				for w := s.word(); len(l)+1+len(w) <= 34; w = s.word() {
					l += " " + w
				}
				if k == 2 { // ends a sentence
					l = l[:len(l)-1] + "4"
				}
				not = append(not, l)
				s.put("    " + l)
			}
			s.put("")
		}
	}
	res, _ := hardBook(t, nil, s.ends(1))
	headsAmong(t, headLines(res.Book), want, not)
}
