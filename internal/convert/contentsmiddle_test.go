package convert_test

import (
	"strings"
	"testing"
)

// Entries of contents lists whose runovers stand in the middle of the line by chance (runovers further in
// than all entries: UK paper layout 5, BANA Braille Formats 2016): an entry of three lines, one that
// the end of a page parts, with a runover or the number on the next. Each is one entry; none of it
// stands in the text.
func TestRunoversOfEntriesInTheMiddle(t *testing.T) {
	entries := []string{
		",*apt] ,\"o ,! ,l$g] at ,sea ---- #a",
		",*apt] ,two ,! ,f]rym|    ,:o came 6,h>b\\r ----------- #aj",
		",*apt] ,?ree ,! ,old ,w9d[ ( ,gr52|    ,:o came 6! ,old ,h>b\\r &|    /ay$ =! w9t] ------------ #ba",
		",*apt] ,f\\r ,! ,la/ ,bri* ( ,st\"o|    ,:o came 6! ,quay 0,sea &|    w5t home ag ------------- #cb",
		",*apt] ,five ,! ,g>d5 ---------- #dc",
	}
	for cut := 0; cut <= 2; cut++ {
		s := &houseVolume{width: 38, height: 25}
		s.head = s.right
		s.titleAlone()
		s.centre(",3t5ts")
		s.put("")
		for n, e := range entries {
			for k, l := range strings.Split(e, "|") {
				if n == 3 && k == cut && cut > 0 {
					s.turn()
					s.centre(",3t5ts")
				}
				s.put(l)
			}
		}
		s.turn()
		for _, e := range entries {
			words := strings.Fields(strings.NewReplacer("|", " ", "-", "").Replace(e))
			lines := wrapped(words[:len(words)-1], 26, 0, 0)
			s.put("")
			for _, l := range lines {
				s.centre(l)
			}
			s.put("")
			for range 9 {
				s.para(40)
			}
		}
		_, ed := hardBook(t, nil, s.String())
		at := strings.Index(ed, "    ,*apt] ,\"o")
		if at < 0 {
			t.Fatalf("no first chapter\n%s", ed)
		}
		list := ed[:at]
		for _, e := range entries {
			words := strings.Fields(strings.NewReplacer("|", " ", "-", "").Replace(e))
			if want := strings.Join(words[:len(words)-1], " "); !strings.Contains(list, want+"\n") {
				t.Errorf("cut %d: no entry %q\n%s", cut, want, list)
			}
		}
		if strings.Contains(ed[at:], " --") {
			t.Errorf("cut %d: entries stand in the text", cut)
		}
	}
}

// A chapter that goes on in the next volume is named by its number alone, "chapter two (continued)",
// beside the page number, though its heading has a title after the number (common practice).
func TestNumberOfAChapterThatGoesOn(t *testing.T) {
	one := hardVolume(1, 2)
	one.chapter(",*apt] ,\"o3 ,! ,l$g]", 12)
	one.chapter(",*apt] ,two3 ,! ,f]rym", 12)
	two := &houseVolume{width: 38, height: 26, next: 2000}
	two.put("")
	for _, l := range []string{",! ,l;g ,road", "", "by ,orla ,penn", "", "333333333333", ",9 #b ,volumes", ",volume #b", "333333333333"} {
		two.centre(l)
	}
	two.turn()
	two.put("        ,*apt] ,two \"<3t9u$\">       #a")
	for range 12 {
		two.para(40)
	}
	two.chapter(",*apt] ,?ree3 ,! ,m>%", 12)
	_, ed := hardBook(t, nil, one.ends(1), two.ends(2))
	if strings.Contains(ed, "3t9u$") || strings.Count(ed, ",*apt] ,two") != 1 {
		t.Errorf("the chapter is named again\n%s", ed)
	}
}

// Page heads name the chapter by its title, where its heading has number and title in one
// line (running heads shorten: North American paper layout 2.3; common practice). They are heads on the
// first page of their kind too, where a name with a capital goes on under them.
func TestHeadsOfTitlesBehindNumbers(t *testing.T) {
	titles := []string{",h>b\\r", ",m>%l&", ",g>d5+", ",l$g]s"}
	s := hardVolume(1, 1)
	at := 0
	s.head = func(p int) string {
		name := ",! ,l;g ,road"
		switch {
		case len(s.pages[p-1]) > 0 || at < 0: // a chapter begins on it
			name = ""
		case p%2 == 1:
			name = titles[at]
		}
		in := (38 - len(name)) / 2
		return strings.Repeat(" ", in) + name + s.right(p)[in+len(name):]
	}
	for n, h := range titles {
		at = -1
		s.turn()
		at = n
		s.centre(",*apt] " + []string{",\"o", ",two", ",?ree", ",f\\r"}[n] + "4 " + h)
		s.put("")
		for from := len(s.pages); len(s.pages) < from+3; {
			s.flow(append(s.words(60), ",h>old"), 2, 0)
		}
		s.put("h\\se4")
	}
	_, ed := hardBook(t, nil, s.ends(1))
	for _, h := range titles {
		if n := strings.Count(ed, h); n != 1 {
			t.Errorf("%q stands %d times\n%s", h, n, ed)
		}
	}
}
