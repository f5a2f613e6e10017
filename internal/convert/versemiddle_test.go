package convert_test

import (
	"strings"
	"testing"
)

// Lines of verse that stand in the middle by chance are no headings: runovers of full lines (cells
// 1-3 and further in; BANA Braille Formats 2016, section 13; UK paper layout 9.2), and a couplet at
// the cell at which other verse of the title begins.
func TestVerseInTheMiddleByChance(t *testing.T) {
	s := hardVolume(1, 1)
	s.chapter(",*apt] ,\"o", 12)
	for _, l := range []string{"",
		"  ,! rivers run ) ice & ! hills >e gr",
		"      :ite z ! hi< & cold m\\nta9s",
		"  ,! l&s >e ) frost & ! trees >e b>e",
		"      & ! old roads >e 9 ! fog2", ""} {
		s.put(l)
	}
	for range 8 {
		s.para(40)
	}
	book, _ := hardBook(t, nil, s.ends(1))
	for h := range headingsOf(book) {
		if strings.Contains(h, "m\\nta9s") || strings.Contains(h, "fog") {
			t.Errorf("a runover is a heading: %q", h)
		}
	}
	couplet := []string{"    ,n[ ! w9d is cold ^u ! hill", "    ,& ! snow l1s d5se 9 ! d1le"}
	one := hardVolume(1, 2)
	one.chapter(",*apt] ,\"o", 12)
	for n := range 4 {
		one.put("")
		for k := range 4 {
			one.put("    ,! r" + strings.Repeat("oa", 3+(5*n+3*k)%9) + "d w5t by !m")
		}
		one.put("")
		for range 4 {
			one.para(40)
		}
	}
	two := hardVolume(2, 2)
	two.chapter(",*apt] ,two", 12)
	two.put("")
	two.put(couplet[0])
	two.put(couplet[1])
	two.put("")
	for range 4 {
		two.para(40)
	}
	res, _ := hardBook(t, nil, one.ends(1), two.ends(2))
	for h := range headingsOf(res) {
		if strings.Contains(h, "snow") || strings.Contains(h, "w9d") {
			t.Errorf("a line of verse is a heading: %q", h)
		}
	}
}

// The closing and the signature of a letter, each from cell 5 or further in (NLS instruction manual,
// 13.10a), are lines of their own on a narrow page too, where the name had no room beside the closing.
func TestClosingOfALetterOnANarrowPage(t *testing.T) {
	s := &houseVolume{width: 30, height: 25}
	s.head = s.right
	for n := range 12 {
		s.para(40)
		if n == 5 {
			s.put("    ,2lieve me1 yrs truly1")
			s.put("        ,philippa ,a%lock")
			s.put("")
		}
	}
	_, ed := hardBook(t, nil, s.String())
	if !strings.Contains(ed, "yrs truly1\n") {
		t.Errorf("the name stands on the line of the closing\n%s", ed)
	}
}

// A print page that begins with a braille page may be known from the number on the page alone (UK
// paper layout: the indicator in the text may be dropped there). The line before it is cut short as
// before an indicator, and its paragraph goes on, over the blank line under the head too.
func TestShortLineBeforeAPageThatBeginsAPrintPage(t *testing.T) {
	s := &houseVolume{width: 38, height: 25}
	print := 1
	s.head = func(p int) string { return "#" + string("abcdefghi"[print-1]) + s.right(p)[2:] }
	var whole []string
	for n := range 8 {
		s.put("")
		for len(s.pages[len(s.pages)-1]) < 11 {
			s.para(40)
		}
		s.centre("\"3#" + string("abcdefghi"[print]))
		print++
		for len(s.pages[len(s.pages)-1]) < 20 {
			s.para(40)
		}
		s.put("  ,! " + strings.Repeat("x", n+3) + " roads go 9to !")
		print++
		s.turn()
		s.put("")
		s.put("h\\se & ! g>d5 ( ! miller4")
		whole = append(whole, strings.Repeat("x", n+3)+" roads go 9to !")
		if print > 7 {
			break
		}
	}
	_, ed := hardBook(t, nil, s.String())
	for _, w := range whole {
		if strings.Contains(ed, w+"\n") {
			t.Errorf("cut after %q\n%s", w, ed)
		}
	}
}
