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
