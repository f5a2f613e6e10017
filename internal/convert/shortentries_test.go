package convert_test

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/convert"
	"continuo/internal/source"
)

// TestShortEntries: a contents list may give the number of a chapter without its
// name, in a word or in digits, and a title of one short word (common practice of
// printed contents lists); each entry finds its heading. On paper of 24 cells.
func TestShortEntries(t *testing.T) {
	words, titles := []string{",\"o", ",two", ",?ree"}, []string{",home", ",! ,f]ry", ",w9d"}
	for _, form := range []string{"word", "digit"} {
		text := "\n\n      ,! ,old ,f]ry\n\n      by ,orla ,penn\n\f        ,3t5ts\n\n"
		for k, title := range titles {
			n := map[string]string{"word": words[k], "digit": "#" + string(rune('a'+k))}[form]
			text += fmt.Sprintf("%s %s %s #%c\n", n, title, strings.Repeat("\"", 12-len(title)), 'a'+2*k)
		}
		for k, title := range titles {
			pages := strings.Repeat("  ,! old f]ry cross$ !\nriv] twice a d & nobody\n", 8)
			text += fmt.Sprintf("\f                      #%c\n\n       ,*apt] %s\n         %s\n\n%s\f                      #%c\n%s", 'a'+2*k, words[k], title, pages, 'b'+2*k, pages)
		}
		f, err := source.Parse("ferry.brf", []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		res, err := convert.Make([]*source.File{f}, convert.Defaults())
		if err != nil {
			t.Fatal(err)
		}
		joined := 0
		for _, l := range res.Book.Links {
			joined += map[bool]int{true: 1}[l.Kind == book.ListRef]
		}
		for _, x := range res.Findings {
			if x.ID == "contents-entry" {
				t.Errorf("%s: %v", form, x)
			}
		}
		if joined != len(titles) {
			t.Errorf("%s: %d entries joined, want %d\n%s", form, joined, len(titles), res.Edition)
		}
	}
}

// TestEntriesInOtherWords: a contents list may leave the number of a heading out, give it in
// another form, or shorten its words, and the second line of one heading may have the words of
// another (common practice of printed contents lists): each entry is joined to the first line of
// its heading.
func TestEntriesInOtherWords(t *testing.T) {
	heads := [][]string{{",sev5 ,! ,patt]n 9 ,gl5roy ,2f &", ",af ! ,use;l ,tool"}, {",ei<t ,h[ ! ,signal ,came to", ",ke/le"}, {",n9e ,ke/le"}, {",t5 ,! ,valley3 ,:at x is &", ":at x is n"}}
	for _, form := range [][]string{
		{",! patt]n 9 ,gl5roy 2f & af ! use;l tool", ",h[ ! signal came to ,ke/le", ",ke/le", ",! valley"},
		{"#g ,! patt]n 9 ,gl5roy 2f & af ! use;l tool", "#h ,h[ ! signal came to ,ke/le", "#i ,ke/le", "#aj ,! valley"},
	} {
		s := &houseVolume{width: 40, height: 25}
		s.head = func(p int) string { return s.right(p) }
		s.titleAlone()
		s.centre(",3t5ts")
		s.put("")
		for k, e := range form {
			lines := wrapped(strings.Fields(e), 34, 0, 4)
			for i, l := range lines {
				if i == len(lines)-1 {
					l += " " + strings.Repeat(`"`, 36-len(l)) + " #" + string(rune('c'+k))
				}
				s.put(l)
			}
		}
		for _, h := range heads {
			s.turn()
			for _, l := range h {
				s.centre(l)
			}
			s.put("")
			s.para(90)
		}
		_, got, _ := joinedTo(makeOf(t, s.String()))
		var want []string
		for _, h := range heads {
			want = append(want, h[0])
		}
		if strings.Join(got, "|") != strings.Join(want, "|") {
			t.Errorf("entries %q are joined to %q", form, got)
		}
	}
}
