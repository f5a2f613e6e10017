package finders

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
	"strings"

	"continuo/internal/cell"
	"continuo/internal/english"
	"continuo/internal/lazy"
)

// longList is how many headwords a web page lists one by one. Of more, it
// lists those that are found otherwise than by their mark and word.
const longList = 500

// Row is one finder as it is shown.
type Row struct {
	Class  string
	Name   string // in print
	Cells  string // the same in Unicode braille
	Line   int
	Search string // Unicode braille, blanks at its start included
	ASCII  string // the same without these blanks, in the case of the edition
	Blanks int
	First  *Row // to be searched first
	Times  int
	Plain  string // Braille ASCII of a string without blanks at its start
	Why    string // nothing is promised
}

// Group is the finders of a class.
type Group struct {
	Class             string
	ID                string // for links to it
	Title             string
	Targets, Promised int
	Rows              []Row
	Rule              string // how the targets that are not among Rows are found
}

var titles = [...]string{"Contents", "Headings", "Print pages", "Notes, where they begin", "Single notes", "Index", "Letters of the index", "Headwords"}

// Groups lists the finders by class. With short set, the headwords of a
// dictionary that follow the rule are left out.
func (l *List) Groups(short bool) []Group {
	var out []Group
	for _, c := range Classes() {
		n, promised := l.Count(c)
		if n == 0 {
			continue
		}
		g := Group{Class: c.String(), ID: strings.ReplaceAll(c.String(), " ", "-"), Title: titles[c], Targets: n, Promised: promised}
		rule := short && c == Word && n > longList
		if rule {
			g.Rule = "Search for the mark before the headword and the word. Only headwords that are found otherwise are listed."
		}
		for i := range l.Finders {
			f := &l.Finders[i]
			if f.Class != c || rule && f.byName() {
				continue
			}
			g.Rows = append(g.Rows, *l.row(i, true))
		}
		out = append(out, g)
	}
	return out
}

// row shows finder i, and with first set the one that is searched before it.
func (l *List) row(i int, first bool) *Row {
	f := &l.Finders[i]
	r := &Row{Class: f.Class.String(), Name: l.Print(f), Cells: cell.Unicode(f.Name), Line: f.Line, Times: f.Times, Why: f.Why}
	if f.Promised() {
		r.Blanks = f.Blanks()
		r.Search, r.ASCII = cell.Unicode(f.Search), string(l.Cells(f.Search[r.Blanks:]))
		r.Plain = string(l.Cells(f.Plain))
	}
	if first && f.From != Start {
		r.First = l.row(f.From, false)
	}
	return r
}

// Print is the name of a target in print.
func (l *List) Print(f *Finder) string {
	if f.Class == Page {
		return "page " + f.Label.String()
	}
	name := f.Name
	if f.Class == Word {
		name = bytes.TrimPrefix(name, l.mark) // it would be read as an indicator
	}
	return strings.Join(strings.Fields(english.Read(name, l.Variant)), " ")
}

// How says in words how the string is searched for.
func (r *Row) How() string {
	var out []string
	if r.First != nil {
		out = append(out, "first search for "+r.First.ASCII+blanksWord(r.First.Blanks)+", "+r.First.Class+" "+r.First.Name)
	}
	if r.Blanks > 0 {
		out = append(out, strings.TrimPrefix(blanksWord(r.Blanks), " with "))
	}
	if strings.HasSuffix(r.ASCII, " ") {
		out = append(out, blankAfter)
	}
	if plain := strings.TrimSuffix(r.Plain, " "); plain != "" {
		if plain != r.Plain {
			plain += " with " + blankAfter
		}
		out = append(out, "or without blanks before it "+plain)
	}
	if r.Times > 1 {
		out = append(out, fmt.Sprintf("hit %d: search again", r.Times))
	}
	return strings.Join(out, "; ")
}

// blankAfter is said of a string that ends in a blank.
const blankAfter = "1 blank after it"

func blanksWord(n int) string {
	switch n {
	case 0:
		return ""
	case 1:
		return " with 1 blank before it"
	}
	return fmt.Sprintf(" with %d blanks before it", n)
}

// What the two forms of a list begin with.
const (
	textHead = "continuo finders, plain text, one finder a line\n"
	pageHead = "<!DOCTYPE html>\n<!-- continuo finders -->\n"
)

// IsList reports whether a file is a list that Text or HTML made.
func IsList(text []byte) bool {
	return bytes.HasPrefix(text, []byte(textHead)) || bytes.HasPrefix(text, []byte(pageHead))
}

// Text is the list as plain text: one finder a line, the string in Unicode
// braille and, last, in Braille ASCII. Name is the file name of the edition.
func (l *List) Text(name string) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "%sedition: %s\n", textHead, name)
	if len(l.Title) > 0 {
		fmt.Fprintf(&b, "title: %s; in print: %s\n", cell.Unicode(l.Title), strings.TrimSpace(english.Read(l.Title, l.Variant)))
	}
	for _, s := range usage {
		fmt.Fprintf(&b, "%s\n", s)
	}
	groups := l.Groups(false)
	for _, g := range groups {
		fmt.Fprintf(&b, "found by a search, %s: %d of %d\n", g.Class, g.Promised, g.Targets)
	}
	for _, g := range groups {
		for i := range g.Rows {
			fmt.Fprintln(&b, g.Rows[i].text())
		}
	}
	return b.Bytes()
}

// usage says how the strings are meant.
var usage = []string{
	"how: go to the start of the file, type the string into the search command of the display; the first hit is the place",
	"how: each string was searched for in the finished edition; blanks at its start belong to it, and letters may be typed in either case",
}

func (r *Row) text() string {
	head := fmt.Sprintf("%s, line %d: %s", r.Class, r.Line, r.Name)
	if r.Search == "" {
		return head + "; no string: " + r.Why
	}
	out := head + "; search for " + r.Search
	if h := r.How(); h != "" {
		out += "; " + h
	}
	return out + "; in Braille ASCII " + strings.TrimSuffix(r.ASCII, " ")
}

//go:embed finders.html
var files embed.FS

var page = lazy.Template(func() (*template.Template, error) { return template.ParseFS(files, "finders.html") })

// HTML is the list as a web page for helpers: print, cells and Braille ASCII
// side by side; no script. Name is the file name of the edition.
func (l *List) HTML(name string) ([]byte, error) {
	b := bytes.NewBufferString(pageHead)
	err := page().Execute(b, map[string]any{"Name": name, "Title": strings.TrimSpace(english.Read(l.Title, l.Variant)), "Cells": cell.Unicode(l.Title), "Groups": l.Groups(true)})
	return b.Bytes(), err
}
