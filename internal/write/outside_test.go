package write_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"continuo/internal/account"
	"continuo/internal/convert"
	"continuo/internal/demo"
	"continuo/internal/english"
	"continuo/internal/meta"
	"continuo/internal/profile"
	"continuo/internal/source"
	"continuo/internal/testkit"
	"continuo/internal/testkit/browser"
	"continuo/internal/write"
	"continuo/internal/write/brf"
	"continuo/internal/write/html"
	"continuo/internal/write/pef"
)

var someMeta = meta.Title{Title: "A <Bell> & Water", Language: "en-GB", Creators: []meta.Creator{{Name: "Ann Lee"}, {Name: "Bo Ray", Role: "trl"}}, Producers: []string{"Mill Lane"},
	Publisher: "Quay", Rights: "Copyright 1999.\nAll rights reserved.", Description: "A \"pond\".", Subjects: []string{"ponds", "fish"}, Identifiers: []string{"urn:isbn:9783161484100"},
	Dates: meta.Dates{Copyright: "1999", Publication: "2026-01-31"}, Source: meta.Source{Identifier: "urn:isbn:0306406152", Edition: "second"}}

// editions are what the outside checks look at: the demo titles, one with all
// metadata and two with none, and a book by lot with every kind, form and part.
func editions(t testing.TB) map[string]*write.Edition {
	t.Helper()
	out := map[string]*write.Edition{}
	for i, title := range demo.Titles {
		var files []*source.File
		for _, name := range title.Volumes {
			raw, err := title.Volume(name)
			if err != nil {
				t.Fatal(err)
			}
			f, err := source.Parse(name, raw)
			if err != nil {
				t.Fatal(err)
			}
			files = append(files, f)
		}
		r, err := convert.Make(files, convert.Defaults())
		if err != nil {
			t.Fatal(err)
		}
		e := &write.Edition{Book: r.Book, Variant: r.Survey.Titles[0].Detection.Best(), Data: r.Edition, Starts: r.Starts, Width: r.Stats.Width, Name: title.Folder}
		if i == 0 {
			e.Meta = someMeta
		}
		out[title.Folder] = e
	}
	e, _ := set(t, drawn(t, 5), 40)
	e.Variant = english.Variant{}
	out["lot"] = e
	return out
}

// put writes files into a folder of the test and returns their names.
func put(t *testing.T, ext string, write func(*write.Edition) ([]byte, error)) []string {
	t.Helper()
	dir := t.TempDir()
	var names []string
	for name, e := range editions(t) {
		data, err := write(e)
		if err != nil {
			t.Fatal(err)
		}
		p := filepath.Join(dir, name+ext)
		if err := os.WriteFile(p, data, 0o644); err != nil {
			t.Fatal(err)
		}
		names = append(names, p)
	}
	return names
}

const schema = "testdata/pef.rng"

// PEF 1.0 (public draft, 2011): its RELAX NG rules, restated, by jing; and the two
// rules that its Schematron adds: rows fit the width, pages the height.
func TestPEFIsValid(t *testing.T) {
	t.Parallel()
	var all []string
	for _, o := range []pef.Options{{}, {Paper: profile.Paper{Cells: 30, Lines: 25, BothSides: true}}, {Paper: profile.Paper{Cells: 28, Lines: 20, VolumePages: 6}}} {
		list := put(t, ".pef", func(e *write.Edition) ([]byte, error) { return pef.Write(e, o) })
		for _, p := range list {
			fits(t, p)
		}
		all = append(all, list...)
	}
	for i, o := range []pef.Options{{}, {Paper: profile.Paper{Cells: 32, Lines: 27}}, {Paper: profile.Paper{Cells: 32, Lines: 27, VolumePages: 90}}} { // 600 pages
		data, err := pef.Write(long(t), o)
		if err != nil {
			t.Fatal(err)
		}
		p := filepath.Join(t.TempDir(), fmt.Sprintf("long%d.pef", i))
		if err := os.WriteFile(p, data, 0o644); err != nil {
			t.Fatal(err)
		}
		fits(t, p)
		all = append(all, p)
	}
	faults, err := testkit.Jing(schema, all...)
	testkit.Need(t, err)
	for _, f := range faults {
		t.Error(f)
	}
}

// fits checks the two rules on rows and pages.
func fits(t *testing.T, path string) {
	t.Helper()
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var cols, rows int
	i := bytes.Index(raw, []byte("<volume "))
	if _, err := fmt.Sscanf(string(raw[i:]), "<volume cols=%q", new(string)); err != nil {
		t.Fatal(err)
	}
	fmt.Sscanf(strings.ReplaceAll(string(raw[i:i+60]), `"`, ""), "<volume cols=%d rows=%d", &cols, &rows)
	for n, page := range strings.Split(string(raw), "<page>")[1:] {
		lines := strings.Count(page, "<row")
		if lines > rows {
			t.Errorf("%s page %d: %d rows of %d", filepath.Base(path), n+1, lines, rows)
		}
		for _, row := range strings.Split(page, "<row>")[1:] {
			text, _, _ := strings.Cut(row, "</row>")
			if len([]rune(text)) > cols {
				t.Errorf("%s page %d: a row of %d cells, the width is %d", filepath.Base(path), n+1, len([]rune(text)), cols)
			}
		}
	}
}

// The restated schema refuses what the draft refuses: one fault a file.
func TestPEFSchemaRefuses(t *testing.T) {
	t.Parallel()
	e, _ := set(t, drawn(t, 7), 40)
	e.Meta = someMeta
	good, err := pef.Write(e, pef.Options{})
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	var all []string
	save := func(name, text string) {
		p := filepath.Join(dir, name+".pef")
		if err := os.WriteFile(p, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		all = append(all, p)
	}
	save("good", string(good))
	save("foreign", strings.Replace(string(good), "<section>", `<x:y xmlns:x="urn:x" a="b">z<x:q/></x:y><section x:w="1" xmlns:x="urn:x">`, 1))
	changes := [][2]string{
		{`version="2008-1"`, `version="2008-2"`}, {"<dc:format>application/x-pef+xml</dc:format>", ""}, {"application/x-pef+xml", "text/xml"},
		{"<dc:title>", "<dc:title>a</dc:title><dc:title>"}, {"2026-01-31", "2026"}, {"<dc:language>en-", "<dc:language>en_"}, {"<dc:source>", "<dc:other/><dc:source>"},
		{`cols="`, `columns="`}, {`rowgap="0" `, ""}, {`duplex="false"`, `duplex="no"`}, {"<page>", `<page number="2">`}, {"<page>", `<page rows="2">`},
		{"<row>", "<row> "}, {"<row>", "<row>a"}, {"<section>", ""}, {"<body>", "<body/><body>"}, {"<page>", "<row/><page>"}, {"http://www.daisy.org/ns/2008/pef", "urn:x"},
	}
	for i, c := range changes {
		bad := strings.Replace(string(good), c[0], c[1], 1)
		if c[0] == "<section>" {
			bad = strings.Replace(bad, "</section>", "", 1)
		}
		if bad == string(good) {
			t.Errorf("%q is not in the file", c[0])
		}
		save(fmt.Sprintf("bad%d", i), bad)
	}
	faults, err := testkit.Jing(schema, all...)
	testkit.Need(t, err)
	said := strings.Join(faults, "\n")
	for i, c := range changes {
		if !strings.Contains(said, fmt.Sprintf("bad%d.pef:", i)) {
			t.Errorf("%q for %q passes", c[1], c[0])
		}
	}
	for _, name := range []string{"good.pef:", "foreign.pef:"} {
		if strings.Contains(said, name) {
			t.Errorf("%s is refused: %s", name, said)
		}
	}
}

// HTML Living Standard, by html-validate (its rule set "standard"; void elements
// are closed so that the page is XML too).
func TestHTMLIsValid(t *testing.T) {
	t.Parallel()
	pages := put(t, ".html", html.Write)
	if testkit.Required() { // 600 pages too
		pages = append(pages, longPage(t))
	}
	faults, err := testkit.HTMLValidate("testdata/htmlvalidate.json", pages...)
	testkit.Need(t, err)
	for _, f := range faults {
		t.Error(f)
	}
	bad := filepath.Join(t.TempDir(), "bad.html") // the validator sees what is wrong
	page := "<!DOCTYPE html>\n<html lang=\"en\"><head><title>x</title></head><body><p id=\"a\"><p id=\"a\"></p><ul><p>y</p></ul></p></body></html>\n"
	if err := os.WriteFile(bad, []byte(page), 0o644); err != nil {
		t.Fatal(err)
	}
	if faults, err = testkit.HTMLValidate("testdata/htmlvalidate.json", bad); err != nil || len(faults) < 2 {
		t.Errorf("a bad page passes: %v %v", faults, err)
	}
}

// WCAG 2.2 as far as axe-core tells, in light, dark and forced colours and every
// view; no script, nothing fetched, no scrolling to the side at 320 pixels (1.4.10).
func TestHTMLIsAccessible(t *testing.T) {
	t.Parallel()
	var pages []string
	for _, p := range put(t, ".html", html.Write) { // one with everything, one with what books have
		if name := filepath.Base(p); name == "lot.html" || name == "baker.html" {
			pages = append(pages, p)
		}
	}
	if len(pages) != 2 {
		t.Fatalf("%d pages", len(pages))
	}
	b, err := browser.Start(t.TempDir())
	testkit.Need(t, err)
	defer b.Stop()
	shown := map[string][2]bool{"cells": {true, false}, "both": {true, true}, "print": {false, true}}
	for _, path := range pages {
		p := b.Page(t)
		for _, view := range []string{"cells", "print", "both"} {
			p.Still(path, "document.querySelector('#show-"+view+"').click()")
			if got := [2]bool{visible(p, ".cells"), visible(p, ".print")}; got != shown[view] {
				t.Errorf("%s: the view %s shows %v", filepath.Base(path), view, got)
			}
		}
		p.Narrow()
	}
}

// longPage is a book of 600 pages as a page.
func longPage(t *testing.T) string {
	t.Helper()
	data, err := html.Write(long(t))
	if err != nil {
		t.Fatal(err)
	}
	p := filepath.Join(t.TempDir(), "long.html")
	if err := os.WriteFile(p, data, 0o644); err != nil {
		t.Fatal(err)
	}
	return p
}

// The same of a book of 600 pages, once: in both views together, as the system
// shows it.
func TestLongHTMLIsAccessible(t *testing.T) {
	if !testkit.Required() {
		t.Skip("NOT CHECKED: CONTINUO_REQUIRE_OUTSIDE=1 has a book of 600 pages checked")
	}
	b, err := browser.Start(t.TempDir())
	testkit.Need(t, err)
	defer b.Stop()
	p := b.Page(t)
	p.Still(longPage(t), "document.querySelector('#show-both').click()")
	p.Narrow()
}

// visible reports whether any element of a kind in the main part is to be seen.
func visible(p *browser.Page, kind string) bool {
	return browser.Eval[bool](p, "[...document.querySelectorAll('main "+kind+"')].some(e => e.getClientRects().length > 0)")
}

// long is a demo title, its blocks repeated to 600 pages of 25 lines.
func long(tb testing.TB) *write.Edition {
	e := *editions(tb)["bell"]
	b := *e.Book
	one := b.Blocks
	for n := len(e.Starts); len(b.Blocks) < 600*25*n/strings.Count(string(e.Data), "\n"); {
		b.Blocks = append(b.Blocks, one...)
	}
	out := brf.Write(&b, brf.Options{Width: e.Width}, account.NewLedger(&b))
	e.Book, e.Data, e.Starts = &b, out.Data, out.Starts
	return &e
}
