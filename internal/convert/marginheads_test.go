package convert_test

import (
	"strings"
	"testing"
)

// Page heads at the margin of line 1, the page number at the right (common practice): each says the name of its part, as far as
// there is room, that its heading in cell 5 has behind a number, or a heading beside the number of its page. The pages of notes
// have no number beside their head. On every other page text shares line 1 with the number, or not.
func TestHeadsAtTheMarginSayParts(t *testing.T) {
	heads := [][2]string{{",*apt] #a3 ,! ,cu/om ( ,! ,h>b\\r", "! cu/om ( ! h>b\\r"}, {",app5dix ,a3 ,! ,w9t] 9", "! w9t] 9 ! m>%"}, {",,iii ,! ,old ,bri*", "! old bri*"},
		{",*apt] #d3 ,m>%", "m>%"}, {",*apt] #e3 ,l$g]s & books", "l$g]s & books"}, {",*apt] #f3 ,boats", "boats"}}
	for _, shared := range []bool{false, true} {
		s, name := &houseVolume{width: 38, height: 25}, ""
		beside := func(t string, p int) string { return t + s.right(p)[len(t):] }
		s.head = func(p int) string {
			switch {
			case shared && p%2 == 1 && p > 2:
				return beside(strings.Join(s.words(3), " "), p)
			case name == "" || name == "notes":
				return name
			}
			return beside(name, p)
		}
		s.titleAlone()
		for n, h := range heads {
			if shared && len(s.pages)%2 == 0 {
				s.turn()
				s.para(90)
			}
			name = h[1]
			s.turn()
			if n == 5 && shared {
				s.pages[len(s.pages)-1][0] = beside("        "+h[0], len(s.pages))
			} else {
				s.put("    " + h[0])
			}
			if n == 1 {
				s.put("    ,! ,m>% & ,2h")
			}
			s.put("")
			for from := len(s.pages); len(s.pages) < from+2 || len(s.pages[from+1]) < 10; {
				s.para(30)
			}
			s.flow(append(s.words(12), "x;9#"+string(rune('a'+n))), 2, 0)
		}
		name = "notes"
		s.turn()
		s.put("")
		s.centre(",notes")
		for n := range heads {
			s.put("")
			s.flow(append([]string{";9#" + string(rune('a'+n)), "note"}, s.words(60)...), 2, 0)
		}
		_, ed := hardBook(t, nil, s.String())
		for _, h := range append(heads, [2]string{"", "notes\n"}) {
			if strings.Contains(ed, "\n"+h[1]) {
				t.Errorf("shared %v: the head %q stays\n%s", shared, h[1], ed)
			}
		}
	}
}

// A later volume begins with a chapter whose words stand in the front matter of the first, line for line: under the heading of
// its chapter it is text.
func TestChapterWithWordsOfThePreface(t *testing.T) {
	one, two := hardVolume(1, 2), hardVolume(2, 2)
	one.centre(",preface")
	one.put("")
	one.para(60)
	one.turn()
	one.centre(",3t5ts")
	for n, e := range []string{",preface", ",*apt] ,\"o", ",*apt] ,two", ",*apt] ,?ree"} {
		one.put(e + strings.Repeat(" ", 34-len(e)) + "#" + string(rune('a'+2*n)))
	}
	one.turn()
	one.chapter(",*apt] ,\"o", 14)
	two.centre(",*apt] ,two")
	two.put("")
	two.next = 1000
	two.para(60)
	two.turn()
	two.next = 4000
	two.para(100)
	two.chapter(",*apt] ,?ree", 14)
	_, ed := hardBook(t, nil, one.ends(1), two.ends(2))
	if a, b, c := strings.Index(ed, "\n    ,*apt] ,\"o"), strings.Index(ed, "\n    ,*apt] ,two"), strings.Index(ed, "\n    ,*apt] ,?ree"); a < 0 || b < a || c < b {
		t.Errorf("the chapters stand at %d, %d and %d\n%s", a, b, c, ed)
	}
}

// The author's name and the title at the margin of line 1 are heads beside page numbers, and so on the first pages, which have
// no number.
func TestAuthorAndTitleAtTheMargin(t *testing.T) {
	const name = "orla penn ! l;g road"
	s := &houseVolume{width: 38, height: 25}
	s.head = func(p int) string {
		switch {
		case p == 1:
			return ""
		case p < 4:
			return name
		}
		return name + s.right(p)[len(name):]
	}
	s.titleAlone()
	s.put("")
	s.centre(",acknowl$g;ts")
	s.para(30)
	s.turn()
	s.put("")
	s.centre(",a ,note")
	s.para(20)
	for _, c := range []string{",*apt] ,\"o", ",*apt] ,two", ",*apt] ,?ree"} {
		s.turn()
		s.chapter(c, 12)
	}
	_, ed := hardBook(t, nil, s.String())
	if strings.Contains(ed, "orla penn ! l;g") {
		t.Errorf("a head stays\n%.1500s", ed)
	}
}
