package convert_test

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/convert"
	"continuo/internal/source"
)

// TestLetters: address, date, salutation, closing and signature of a letter
// stay lines of their own, none of them a heading, though a closing line may
// stand in the middle by chance; a heading after it stays one (BANA, Braille
// Formats 2016, section 12, from memory; common practice).
func TestLetters(t *testing.T) {
	para := "  ,! old f]ry cross$ ! riv] twice a\n\"d & nobody 9 ! village cd rememb] a\ntime 2fore x4\n"
	closings := []struct{ closing, signature string }{
		{",yrs s9c]ely1", ",orla ,penn"}, {",yours truly1", ",orla ,penn"}, {",yrs fai?;lly1", ",j4 ,hope\n             ,cl]k 6! .cil"}, {",s9c]ely yrs1", ",orla"},
	}
	var b strings.Builder
	b.WriteString("\n\n       ,! ,old ,f]ry\n\n       by ,orla ,penn\n\f")
	for p, c := range closings {
		fmt.Fprintf(&b, "          ,! ,old ,f]ry          #%c\n\n              ,*apt] #%c\n\n%s", 'a'+p, 'a'+p, strings.Repeat(para, 3))
		gap := ""
		if p%2 == 0 {
			gap = "\n"
		}
		in := strings.Repeat(" ", (38-len(c.closing))/2)
		fmt.Fprintf(&b, "\n                  #ab ,quay ,lane\n                  #c ,may #aibd\n\n,de> ,tom1\n%s\n%s%s\n%s%s%s\n\n", para, in, c.closing, gap, in, c.signature)
		fmt.Fprintf(&b, "%s\n            ,! ,rope ,%c\n\n%s\f", para, "abcd"[p], strings.Repeat(para, 2))
	}
	f, err := source.Parse("letters.brf", []byte(b.String()))
	if err != nil {
		t.Fatal(err)
	}
	res, err := convert.Make([]*source.File{f}, convert.Defaults())
	if err != nil {
		t.Fatal(err)
	}
	kinds := map[string][]book.Kind{}
	for i := range res.Book.Blocks {
		kinds[blockText(res.Book, i)] = append(kinds[blockText(res.Book, i)], res.Book.Blocks[i].Kind)
	}
	for p, c := range closings {
		for _, line := range []string{"#ab ,quay ,lane", "#c ,may #aibd", ",de> ,tom1", c.closing, strings.Split(c.signature, "\n")[0]} {
			if k := kinds[line]; len(k) == 0 || k[0] == book.Heading {
				t.Errorf("letter %d: %q is %v", p+1, line, k)
			}
		}
		if k := kinds[",! ,rope ,"+string("abcd"[p])]; len(k) != 1 || k[0] != book.Heading {
			t.Errorf("letter %d: the heading after it is %v", p+1, k)
		}
	}
}

// TestHeadingsOfLetters: headings in cell 5, some longer than two thirds of a line, or at the margin, over the place
// and date of each letter at the right margin and its salutation (BANA, Braille Formats 2016, sections
// 4 and 12; marginal headings: BANA, Braille Formats 2011, 4.7).
func TestHeadingsOfLetters(t *testing.T) {
	for _, in := range []string{"    ", ""} {
		s := &houseVolume{width: 40, height: 25}
		s.head = func(p int) string { return s.right(p) }
		s.titleAlone()
		s.centre(",orla ,penn")
		s.para(30)
		var names []string
		for n, to := range strings.Fields(",quince ,pellow ,dunster ,m>*bank ,askew ,rudd") {
			name := ",to ,mrs4 " + to + strings.Repeat(" ( ! ,f]ry", n%2)
			names = append(names, name)
			s.keep(8)
			s.put("")
			s.put(in + name)
			for _, l := range []string{",quay ,lane", ",may #" + string("bcdefg"[n]) + "1 #ahbj"} {
				s.put(strings.Repeat(" ", 40-len(l)) + l)
			}
			s.put("  ,de> ,mrs4 " + to + "1")
			s.para(35)
			s.para(40)
			s.put("                       ,yrs truly1")
			s.put("                              ,orla")
		}
		res, _ := hardBook(t, nil, s.ends(1))
		heads := headingsOf(res)
		for _, n := range names {
			if !heads[n] {
				t.Errorf("%q is no heading", n)
			}
		}
	}
}

// The place and date of a letter, or its close, stand at the right margin under a note after its paragraph (cells 7-5, English
// Braille American Edition 1994, rule IV; BANA, Braille Formats 2016, section 12, from memory): they are none of the note.
func TestLetterUnderANote(t *testing.T) {
	s := hardVolume(1, 1)
	s.chapter(",lrs", 2)
	for n := range 5 {
		s.flow(append(append(s.words(20), "99"+houseNumber(n+1)), append(s.words(6), "h\\se4")...), 2, 0)
		s.flow([]string{houseNumber(n + 1), ",as", "n", "told", "9", "! ledg]s", "x", "kept4"}, 6, 4) // a full line
		for _, l := range []string{",coldh>b\\r", ",june #" + string("bcdef"[n]) + "1 #ahbj"} {
			s.put(strings.Repeat(" ", 38-len(l)) + l)
		}
		s.para(40)
	}
	res, ed := hardBook(t, nil, s.ends(1))
	if n := linksOf(res, book.NoteRef); n != 5 || strings.Contains(strings.Join(strings.Fields(ed), " "), "kept4 ,cold") {
		t.Errorf("%d notes are joined, want 5, and no place goes on one\n%s", n, ed)
	}
}
