package ebraille_test

import (
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/convert"
	"continuo/internal/demo"
	"continuo/internal/source"
	"continuo/internal/testkit"
	"continuo/internal/write/ebraille"
)

// metadata is all that the standard demands, for an invented title.
func metadata(title string) ebraille.Metadata {
	return ebraille.Metadata{
		Titles:    []string{title},
		Creators:  []ebraille.Person{{Name: "Imelda Farrowgate", Role: "aut", Sort: "Farrowgate, Imelda"}},
		Producers: []string{"The Saltholme Braille Library"},
		Languages: []string{"en-Brai-GB"},
		Date:      "2026-01-31", Modified: "2026-01-31T12:00:00Z", Copyright: "1974", Complete: "true",
		Subjects: []string{"Fiction"}, Rights: "All rights reserved & kept.",
		Source: ebraille.Source{Publisher: "Quillet & Daughters", Date: "1974"},
	}
}

// converted makes the book of a title's volumes.
func converted(tb testing.TB, files []*source.File) *convert.Result {
	tb.Helper()
	res, err := convert.Make(files, convert.Defaults())
	if err != nil {
		tb.Fatal(err)
	}
	return res
}

// demoBook is a title of the demo, converted.
func demoBook(tb testing.TB, t demo.Title) *convert.Result {
	tb.Helper()
	var files []*source.File
	for _, name := range t.Volumes {
		raw, err := t.Volume(name)
		if err != nil {
			tb.Fatal(err)
		}
		f, err := source.Parse(name, raw)
		if err != nil {
			tb.Fatal(err)
		}
		files = append(files, f)
	}
	return converted(tb, files)
}

// large is a title of 600 braille pages or more from the press, converted.
func large(tb testing.TB) *convert.Result {
	tb.Helper()
	texts, err := testkit.Texts()
	if err != nil {
		testkit.Need(tb, err)
	}
	var all testkit.Text // no single text fills so many pages
	for _, x := range texts {
		if x.Name != "dictionary" && x.Name != "opticks" {
			all.Units = append(all.Units, x.Units...)
		}
	}
	l := testkit.Draw(7)
	l.Code = testkit.Code{System: "ueb", Contracted: true, Capitals: true}
	l.Volumes, l.PagesEach, l.Turns, l.File.Damage, l.Width, l.Height = 6, 120, "inline", "", 40, 25
	b, err := testkit.NewBook(l, []testkit.Text{all})
	if err != nil {
		testkit.Need(tb, err)
	}
	x, err := testkit.Press(b)
	if err != nil {
		tb.Fatal(err)
	}
	var files []*source.File
	pages := 0
	for v, f := range x.Files {
		s, err := source.Parse(f.Name, f.Raw)
		if err != nil {
			tb.Fatal(err)
		}
		files, pages = append(files, s), pages+len(x.Pages[v])
	}
	if pages < 600 {
		tb.Fatalf("the press made %d pages", pages)
	}
	return converted(tb, files)
}

// written sets a book and fails on any error.
func written(tb testing.TB, b *book.Book, m ebraille.Metadata, o ebraille.Options) *ebraille.Edition {
	tb.Helper()
	ed, err := ebraille.Write(b, m, o)
	if err != nil {
		tb.Fatal(err)
	}
	return ed
}

// fileOf returns the text of one file.
func fileOf(tb testing.TB, ed *ebraille.Edition, name string) string {
	tb.Helper()
	for _, f := range ed.Files {
		if f.Name == name {
			return string(f.Data)
		}
	}
	tb.Fatalf("no file %q", name)
	return ""
}

// content joins the content files.
func content(ed *ebraille.Edition) string {
	var b strings.Builder
	for _, f := range ed.Files {
		if strings.HasSuffix(f.Name, ".xhtml") {
			b.Write(f.Data)
		}
	}
	return b.String()
}
