package assemble

import (
	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/diag"
	"continuo/internal/english"
)

// This file makes a contents list of the headings where a book has none and the
// profile asks for one.

// deepest is the lowest level of headings that a made list has; maxEntries is
// how many entries it has at most.
const (
	deepest    = 2
	maxEntries = 600
)

// makeContents puts a contents list of the book's headings before its text.
func (a *assembly) makeContents() {
	if a.o.Profile.Contents != "headings" || len(a.list.lines) > 0 {
		return
	}
	a.levels()
	var runs []headingRun
	for _, r := range a.headingRuns() {
		bl := &a.b.Blocks[r.from]
		if r.from >= a.bodyAt && bl.Level > 0 && bl.Level <= deepest && bl.Part != book.NotesPart && a.cleanRun(r) {
			runs = append(runs, r)
		}
	}
	if len(runs) < 2 || len(runs) > maxEntries {
		return
	}
	a.insertList(runs)
	a.find(diag.Note, "contents-made", a.vols[a.first()], -1, "the book has no contents list; one was made of %d headings", len(runs))
}

// cleanRun reports whether all lines of a heading are braille.
func (a *assembly) cleanRun(r headingRun) bool {
	for i := r.from; i < r.to; i++ {
		if len(a.b.Blocks[i].Pieces) == 0 {
			return false
		}
		for _, p := range a.b.Blocks[i].Pieces {
			if len(clean(a.b.Text(p))) == 0 {
				return false
			}
		}
	}
	return true
}

// insertList puts the list before the text, and its links to the headings.
func (a *assembly) insertList(runs []headingRun) {
	why := a.why("contents-order", "contents list made of the headings", "the book has none", 1)
	page := a.why("contents-number", "print page of the heading", "found in the text", 0.9)
	pages := a.pagesOf(runs)
	in := int16(a.o.Profile.HeadingIndent)
	v := a.variant
	if v.Code == english.UnknownCode {
		v.Code = english.UEB
	}
	var made []book.Block
	if t, err := english.Write("Contents", v); err == nil {
		made = append(made, book.Block{Kind: book.Label, First: in, Run: in, Pieces: []book.Piece{{Vol: -1, Tool: t, Reason: why}}})
	}
	n := len(made) + len(runs)
	for k, r := range runs {
		first := int16(2 * (a.b.Blocks[r.from].Level - 1))
		e := book.Block{Kind: book.Entry, First: first, Run: first + 4}
		for i := r.from; i < r.to; i++ {
			for _, p := range a.b.Blocks[i].Pieces {
				e.Pieces = append(e.Pieces, book.Piece{Vol: -1, Tool: clean(a.b.Text(p)), Reason: why})
			}
		}
		to := int32(len(e.Pieces[0].Tool))
		if pages[k] != nil {
			e.Pieces = append(e.Pieces, book.Piece{Vol: -1, Tool: pages[k], Reason: page})
		}
		a.b.Links = append(a.b.Links, book.Link{Kind: book.ListRef, Block: int32(a.bodyAt + len(made)), To: to, Target: int32(r.from + n), Confidence: 1})
		made = append(made, e)
	}
	for i := range made {
		made[i].Part = book.ContentsList
	}
	made[0].Blank = book.Blank{Want: true, Reason: a.flow.Why.Blank}
	a.b.Blocks = append(a.b.Blocks[:a.bodyAt:a.bodyAt], append(made, a.b.Blocks[a.bodyAt:]...)...)
}

// pagesOf is the print page of each heading in cells, nil where it is not known.
func (a *assembly) pagesOf(runs []headingRun) [][]byte {
	out := make([][]byte, len(runs))
	marks := a.turnMarks()
	var now *cell.Label
	for k, r := range runs {
		for len(marks) > 0 && int(marks[0].Block) < r.from {
			now, marks = &marks[0].Label, marks[1:]
		}
		if now != nil {
			p := place{print: *now, hasPrint: true}
			p.print.Value = max(now.Value, now.Last)
			out[k] = p.printCells()
		}
	}
	return out
}

// tellList reports entries of the contents list without a heading, and print
// pages in it that are not those of their headings.
func (a *assembly) tellList() {
	bare, other := 0, 0
	for k := range a.list.lines {
		l := &a.list.lines[k]
		if l.kind != book.Entry || !l.numbered {
			continue
		}
		v := a.vols[l.vol]
		line := v.Units[l.units[len(l.units)-1]].Line
		lab, ok := a.entryLabel(l)
		switch {
		case l.confidence == 0:
			if bare++; bare <= 10 {
				a.find(diag.Note, "contents-entry", v, line, "no heading was found for this entry of the contents list")
			}
		case a.printNumber(l) && ok && l.confidence >= sure && l.to.hasPrint && !lab.Bare && lab.Roman == l.to.print.Roman && !lab.SamePage(l.to.print) && lab.Value != l.to.print.Last:
			if other++; other <= 10 {
				a.find(diag.Note, "contents-number", v, line, "the contents list says print page %s, the heading stands on print page %s", lab, l.to.print)
			}
		}
	}
	if bare > 10 || other > 10 {
		a.find(diag.Note, "contents-entry", a.vols[a.first()], -1, "more entries of the contents list: %d without a heading in all, %d with another print page", bare, other)
	}
}
