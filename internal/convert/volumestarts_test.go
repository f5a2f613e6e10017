package convert_test

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/diag"
)

// A volume begins within a chapter, and repeats its heading with "(continued)" beside
// it, under it, or under the title and a rule (common practice); the heading may take
// several lines. It does not stand in the edition, and the chapter goes on. A chapter
// whose title ends in the word is none.
func TestHeadingThatGoesOnAtTheStartOfAVolume(t *testing.T) {
	for _, c := range []struct {
		name, again string // lines at the start of volume 2
		stays       bool
	}{
		{"beside it", ",*apt] ,two|,! ,long ,road \"<3t9u$\">", false},
		{"under it", ",*apt] ,two|,! ,long ,road|\"<3t9u$\">", false},
		{"under the title", ",! ,l;g ,road|333333333333|,*apt] ,two|,! ,long ,road|\"<3t9u$\">", false},
		{"bare, under it", ",*apt] ,two|,! ,long ,road|3t9u$", false},
		{"its own title", ",! ,long ,road 3t9u$", true},
		{"no heading before", ",*apt] ,n9e \"<3t9u$\">", true},
	} {
		one := hardVolume(1, 2)
		one.chapter(",*apt] ,\"o", 12)
		one.put("")
		one.centre(",*apt] ,two")
		one.centre(",! ,long ,road")
		for range 12 {
			one.para(40)
		}
		two := hardVolume(2, 2)
		lines := strings.Split(c.again, "|")
		for _, l := range lines {
			two.centre(l)
		}
		for range 12 {
			two.para(40)
		}
		two.chapter(",*apt] ,?ree", 12)
		_, ed := hardBook(t, nil, one.ends(1), two.ends(2))
		last := lines[len(lines)-1]
		if got := strings.Contains(ed, last+"\n"); got != c.stays {
			t.Errorf("%s: %q in the edition: %v, want %v", c.name, last, got, c.stays)
		}
		if n := strings.Count(ed, ",*apt] ,two"); n != 1 {
			t.Errorf("%s: the heading stands %d times", c.name, n)
		}
	}
}

// Notes under a heading at the end of each chapter, all with the same sign (Rules of
// Unified English Braille 2013, 3.3; common practice), are told apart by their order
// alone. The last stands near its reference; a print page turns within another. All go
// to the end, whole, in order, none to the paragraph of another's reference.
func TestNotesOfAChapterWithOneSign(t *testing.T) {
	s := hardVolume(1, 1)
	var want []string
	for ch := 1; ch <= 3; ch++ {
		s.chapter(",*apt] "+[]string{",\"o", ",two", ",?ree"}[ch-1], 12, "ri$\"9", "ri$", "ri$\"9", "ri$", "ri$", "ri$", "ri$", "ri$", "ri$", "ri$", "ri$", "h\\se\"9")
		s.put("")
		s.centre(",notes")
		for n := range 3 {
			text := fmt.Sprintf("\"9 ,! %s z b a m9d", strings.Repeat("x", ch+n*3))
			if n == 1 {
				s.put("  " + text)
				s.centre("\"3#" + string("abc"[ch-1]))
				s.put("( ! l& n%;s _c$4")
			} else {
				s.put("  " + text + "4")
			}
			want = append(want, text)
		}
	}
	res, ed := hardBook(t, nil, s.ends(1))
	end := strings.LastIndex(ed, "h\\se4\n")
	if end < 0 {
		t.Fatal("no text")
	}
	inOrder(t, ed[end:], want...)
	if n := strings.Count(ed, "( ! l& n%;s _c$4"); n != 3 {
		t.Errorf("%d ends of notes, want 3", n)
	}
	for _, f := range res.Findings {
		if f.Severity == diag.Look {
			t.Errorf("finding: %+v", f)
		}
	}
}

// Entries of contents lists over three lines and more, kept short of the column of
// numbers, in a general contents of two pages and in the lists of the volumes (UK paper
// layout: a general contents names volumes, the lists have braille pages). One list of
// whole entries is left, and nothing that stands nowhere is called a repeat.
func TestEntriesOverManyLines(t *testing.T) {
	titles := [2][]string{
		{",9 ,: a ,kettle|,meets an ,ev5+|0,dor?y ,quill", ",a ,f]ry 0! ,old|,nei<b\\r 0,! ,bri*|0,dor?y ,quill"},
		{",( ,g>d5s & ,j\\rneys|,2y ! ,gr1t ,sea|0,eliza ,m>%", ",p>cels = ,any|,p>ticul>|0,jane ,penn"},
	}
	list := func(s *houseVolume, from []string, page int) {
		for n, e := range from {
			lines := strings.Split(e, "|")
			for k, l := range lines {
				in := strings.Repeat(" ", 2*min(k, 1)) + l
				if k == len(lines)-1 && page > 0 {
					in += " " + strings.Repeat("-", 34-len(in)-2) + " #" + string(rune('b'+n+page))
				}
				s.put(in)
			}
		}
	}
	var vols []string
	for v := range 2 {
		s := hardVolume(v+1, 2)
		if v == 0 {
			s.centre(",g5]al ,3t5ts")
			s.centre(",volume ,\"o")
			list(s, titles[0], 0)
			s.turn()
			s.centre(",3t5ts")
			s.centre(",volume ,two")
			list(s, titles[1], 0)
			s.centre("333333333333")
			s.turn()
		}
		s.centre(",3t5ts")
		s.put(strings.Repeat(" ", 33) + ",page")
		list(s, titles[v], 1)
		s.centre("333333333333")
		s.turn()
		for _, e := range titles[v] {
			s.put("")
			for _, l := range strings.Split(e, "|") {
				s.centre(l)
			}
			s.put("")
			for range 14 {
				s.para(40)
			}
		}
		vols = append(vols, s.ends(v+1))
	}
	_, ed := hardBook(t, nil, vols...)
	for _, from := range titles {
		for _, e := range from {
			if whole := "\n" + strings.ReplaceAll(e, "|", " ") + "\n"; strings.Count(ed, whole) != 1 {
				t.Errorf("%d entries %q, want 1\n%s", strings.Count(ed, whole), whole, ed[:min(len(ed), 1500)])
			}
		}
	}
	if strings.Contains(ed, "g5]al") {
		t.Error("the general contents stands in the edition")
	}
}
