// Package html writes an edition as one accessible page: the braille as it is
// in the edition, with a reading in print beside it on demand. The page is
// well-formed XML, holds no script and asks for nothing from elsewhere.
//
// Roles are those of WAI-ARIA 1.2 and DPUB-ARIA 1.1, language tags BCP 47 with
// the script subtag Brai for braille (ISO 15924). Every block of the book is an
// element of class "cells" inside main, and main holds nothing else of that
// class: that is how the page is read back and proved.
package html

import (
	"fmt"
	"strings"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/english"
	"continuo/internal/write"
)

// Write writes the page. It fails on a kind, form or part of a block that it
// does not know.
func Write(e *write.Edition) ([]byte, error) {
	w := &writer{e: e, b: e.Book, marks: write.MarksOf(e.Book), reader: english.NewReader(e.Variant), braille: e.Language(), used: map[[2]int16]bool{}}
	if err := write.Known(e.Book); err != nil {
		return nil, err
	}
	w.print = strings.Replace(w.braille, "-Brai", "", 1)
	w.anchors()
	w.group()
	w.body()
	return w.page(), nil
}

// element is one element of the page: blocks from up to to.
type element struct {
	from, to int
	level    int // of a heading, 2 to 6; 0 for other elements
	tag      string
}

// writer is the work on one page.
type writer struct {
	e       *write.Edition
	b       *book.Book
	marks   *write.Marks
	reader  *english.Reader
	braille string // language tag of the cells
	print   string // language tag of the print

	targets  map[int32]bool // blocks that something points at
	turnIDs  []string       // by turn
	back     map[int32]int  // by block of a note: the first link to it
	elements []element
	used     map[[2]int16]bool // indents that occur
	out      strings.Builder
}

// anchors finds what is pointed at and gives every print page turn its id.
func (w *writer) anchors() {
	w.targets, w.back = map[int32]bool{}, map[int32]int{}
	for i, l := range w.b.Links {
		w.targets[l.Target] = true
		if _, ok := w.back[l.Target]; !ok && l.Kind == book.NoteRef {
			w.back[l.Target] = i
		}
	}
	seen := map[string]int{}
	for _, t := range w.b.Turns {
		id := "page-" + idPart(t.Label.String())
		if seen[id]++; seen[id] > 1 {
			id = fmt.Sprintf("%s--%d", id, seen[id])
		}
		w.turnIDs = append(w.turnIDs, id)
	}
}

// idPart is a page label as part of an id: letters and digits as they are,
// other cells by their dots.
func idPart(s string) string {
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		c := s[i]
		if c >= '0' && c <= '9' || c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c == '-' {
			b.WriteByte(c)
			continue
		}
		fmt.Fprintf(&b, "_%02x", cell.Dots(c))
	}
	return b.String()
}

// group joins blocks into elements: the lines of a heading, rows of a table,
// lines that keep their layout, items of one list.
func (w *writer) group() {
	for i := 0; i < len(w.b.Blocks); {
		el := element{from: i, to: i + 1, tag: tagOf(&w.b.Blocks[i])}
		for el.to < len(w.b.Blocks) && w.together(&el) {
			el.to++
		}
		w.elements = append(w.elements, el)
		i = el.to
	}
	w.levels()
}

// tagOf is the element that a block stands in.
func tagOf(bl *book.Block) string {
	switch {
	case bl.Kind == book.Heading:
		return "h"
	case bl.Kind == book.Entry:
		return "ol"
	case bl.Kind == book.Line && (bl.Form == book.TableRow || bl.Form == book.Fixed):
		return "pre"
	case bl.Form == book.ListItem, bl.Form == book.Term, bl.Form == book.Exercise, bl.Form == book.Recipe:
		return "ul"
	}
	return "p"
}

// together tells whether the next block belongs to an element.
func (w *writer) together(el *element) bool {
	first, next := &w.b.Blocks[el.from], &w.b.Blocks[el.to]
	if el.tag == "p" || tagOf(next) != el.tag || next.Part != first.Part {
		return false
	}
	switch el.tag {
	case "h":
		return !next.Blank.Want && next.Level == first.Level
	case "pre":
		return !next.Blank.Want && next.Form == first.Form
	}
	return next.Form == first.Form
}

// levels numbers the headings: h1 is the page's own, and none goes more than
// one level deeper than the heading before it.
func (w *writer) levels() {
	last := 1
	for i := range w.elements {
		el := &w.elements[i]
		if el.tag != "h" {
			continue
		}
		if el.level = 2; w.b.Blocks[el.from].Level > 0 {
			el.level = min(int(w.b.Blocks[el.from].Level)+1, 6, last+1)
		}
		last = el.level
	}
}
