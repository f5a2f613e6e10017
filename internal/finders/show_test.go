package finders_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/finders"
)

// small is an edition with a place of nearly every class, and cells that mean
// something in HTML.
func small(t *testing.T) *finders.List {
	t.Helper()
	list, _ := smallWithLines(t)
	return list
}

// smallWithLines is the list with the lines of its edition.
func smallWithLines(t *testing.T) (*finders.List, [][]byte) {
	t.Helper()
	lines := []string{",! ,pond", ",3t5ts", ",*apt] ,\"o #c", ",*apt] ,\"o", ",! & <> \"3#ab pond", ",! ,pond", ",notes", "#a ,note", ",9dex", "apple #ab", "badg] #ac",
		";;c&y a word", ";;c&y again", ",! ,pond"}
	h := func(p book.Part) book.Block { return book.Block{Kind: book.Heading, First: 4, Part: p, Level: 1} }
	blocks := []book.Block{{Kind: book.TitleLine, Part: book.TitlePage}, h(book.ContentsList), {Kind: book.Entry, Part: book.ContentsList}, h(book.Text), {Kind: book.Para, First: 2}, h(book.Text),
		h(book.NotesPart), {Kind: book.Para, First: 2, Form: book.Note, Part: book.NotesPart}, h(book.BackMatter), {Kind: book.Line, Part: book.BackMatter}, {Kind: book.Line, Part: book.BackMatter},
		{Kind: book.Line, Form: book.Term}, {Kind: book.Line, Form: book.Term}, h(book.Text)}
	for i := range blocks {
		if blocks[i].Kind == book.Heading {
			blocks[i].Blank = book.Blank{Want: true, Reason: 1}
		}
	}
	// the headwords stand in the text, before the index
	order := []int{0, 1, 2, 3, 4, 5, 11, 12, 13, 6, 7, 8, 9, 10}
	var b []book.Block
	var l []string
	for _, i := range order {
		b, l = append(b, blocks[i]), append(l, lines[i])
	}
	src, edition := setBook(t, b, l, 40)
	src.Variant.Contracted = true
	list := finders.Make(src)
	for _, w := range judge(edition, list, map[finders.Class]*score{}) {
		t.Error(w)
	}
	return list, src.Lines
}

func TestClasses(t *testing.T) {
	list := small(t)
	for class, want := range map[finders.Class]int{finders.Contents: 1, finders.Heading: 3, finders.Page: 1, finders.Notes: 1, finders.Note: 1, finders.Index: 1, finders.Letter: 2, finders.Word: 2} {
		if n, promised := list.Count(class); n != want || promised != want {
			t.Errorf("%v: %d promised of %d, want %d", class, promised, n, want)
		}
	}
	if f, ok := list.For(3); !ok || f.Class != finders.Heading || string(f.Name) != `,*apt] ,"o` {
		t.Errorf("the finder of block 3: %+v", f)
	}
	if _, ok := list.For(4); ok {
		t.Error("a paragraph with a print page in it has a finder of its own")
	}
}

// TestText: one place a line, all strings in the case of the edition.
func TestText(t *testing.T) {
	text := string(small(t).Text("x.brf"))
	for _, want := range []string{
		"\nedition: x.brf\n", "\nfound by a search, headword: 2 of 2\n",
		"\nheadword, line 11: ", "; hit 2: search again; in Braille ASCII ;;C&Y\n",
		"\nprint page, line 7: page 12; search for ⠐⠒⠼⠁⠃; in Braille ASCII \"3#AB\n",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
	if !finders.IsList([]byte(text)) || finders.IsList([]byte("continuo report")) {
		t.Error("a list is not known again")
	}
}

// TestHTML reads the page back: one heading of the first level, tables with
// captions and scopes, braille marked as such, links that lead somewhere, no
// script (WCAG 2.2: 1.3.1, 2.4.6, 3.1.2, 4.1.2).
func TestHTML(t *testing.T) {
	raw, err := small(t).HTML("x.brf")
	if err != nil {
		t.Fatal(err)
	}
	if !finders.IsList(raw) {
		t.Error("the page is not known again")
	}
	count, ids, links := map[string]int{}, map[string]bool{}, []string{}
	dec := xml.NewDecoder(bytes.NewReader(raw))
	dec.Strict, dec.AutoClose, dec.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	var lang []string
	for {
		tok, err := dec.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		switch x := tok.(type) {
		case xml.StartElement:
			count[x.Name.Local]++
			here := ""
			for _, a := range x.Attr {
				switch a.Name.Local {
				case "lang":
					here = a.Value
				case "id":
					if ids[a.Value] || strings.Contains(a.Value, " ") {
						t.Errorf("id %q", a.Value)
					}
					ids[a.Value] = true
				case "href":
					links = append(links, strings.TrimPrefix(a.Value, "#"))
				case "scope":
					count["scope"]++
				}
			}
			lang = append(lang, here)
		case xml.EndElement:
			lang = lang[:len(lang)-1]
		case xml.CharData:
			if strings.ContainsFunc(string(x), func(r rune) bool { return r >= 0x2800 && r < 0x2900 }) && lang[len(lang)-1] != "en-Brai" {
				t.Errorf("braille without its language: %q", x)
			}
		}
	}
	if count["h1"] != 1 || count["h2"] != 8 || count["table"] != count["caption"] || count["table"] != 8 || count["th"] != count["scope"] || count["script"] != 0 || count["html"] != 1 {
		t.Errorf("elements: %v", count)
	}
	for _, l := range links {
		if !ids[l] {
			t.Errorf("the link #%s leads nowhere", l)
		}
	}
	if !bytes.Contains(raw, []byte("<code>;;C&amp;Y</code>")) {
		t.Error("cells that mean something in HTML are not written as text")
	}
}

// TestManyAlike: a book of nothing but one heading ends, and promises what it
// can.
func TestManyAlike(t *testing.T) {
	var blocks []book.Block
	var lines []string
	for range 4000 {
		blocks = append(blocks, book.Block{Kind: book.Heading, First: 4, Level: 1, Blank: book.Blank{Want: true, Reason: 1}}, book.Block{Kind: book.Para, First: 2})
		lines = append(lines, ",ex]cise", ",answ] ! questions1 ,ex]cise by ,ex]cise1 z yr t1*] tells y4")
	}
	src, edition := setBook(t, blocks, lines, 40)
	list := finders.Make(src)
	sum := map[finders.Class]*score{}
	for _, w := range judge(edition, list, sum) {
		t.Error(w)
	}
	if s := sum[finders.Heading]; s.targets != 4000 || s.promised < 1 || s.promised > 10 {
		t.Errorf("%+v", s)
	}
	for i := range list.Finders {
		if f := &list.Finders[i]; !f.Promised() && f.Why == "" {
			t.Fatalf("no reason for %q on line %d", f.Name, f.Line)
		}
	}
}
