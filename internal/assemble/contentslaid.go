package assemble

import (
	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/structure"
)

// listStart is the unit of the first volume before which the contents list
// stands: its own first line, or the start of the text.
func (a *assembly) listStart(first int) int {
	at := a.bodyUnit(a.vols[first])
	for _, l := range a.list.lines {
		if l.vol == first && !l.general {
			at = min(at, l.units[0])
		}
	}
	return at
}

// layList writes the one contents list in place of unit at of the first
// volume.
func (a *assembly) layList(first, at int) {
	gone := a.why("contents-number", "guide dots, braille page", "these pages are gone", 0.9)
	dots := a.why("contents-number", "guide dots", "only fill a line", 0.97)
	moved := a.why("contents-order", "entry moved to the one list", "the book has one list", 0.97)
	page := a.why("contents-number", "print page of the heading", "found in the text", 0.9)
	var end []listLine
	n := 0
	lay := func(l listLine) {
		why := book.ReasonID(0)
		if l.vol != first || l.general || a.textBetween(first, at, l.units[0]) {
			why = moved
		}
		a.layEntry(l, n == 0, why, gone, dots, page)
		n++
	}
	for _, l := range a.list.lines {
		if l.isRule {
			end = append(end, l)
			continue
		}
		lay(l)
	}
	for _, l := range end {
		lay(l)
	}
}

// textBetween reports whether text that is no part of the list stands between
// two units.
func (a *assembly) textBetween(vol, from, to int) bool {
	for k := from; k < to; k++ {
		if a.fates[vol][k] == asText {
			return true
		}
	}
	return to < from
}

func (a *assembly) layEntry(l listLine, blank bool, moved, gone, dots, page book.ReasonID) {
	v := a.vols[l.vol]
	bl := book.Block{Kind: l.kind, Run: 4, Moved: moved}
	if l.kind == book.Heading {
		bl.First, bl.Run = int16(a.o.Profile.HeadingIndent), int16(a.o.Profile.HeadingIndent+2)
	} else if l.kind == book.Entry {
		bl.First = int16(min(v.Units[l.units[0]].Indent(), 8))
		bl.Run = bl.First + 4
	}
	if blank {
		bl.Blank = book.Blank{Want: true, Reason: a.flow.Why.Blank}
	}
	for _, k := range l.units {
		u := &v.Units[k]
		for _, t := range u.Turns {
			a.turnBefore(v, t)
		}
		p := book.Piece{Vol: u.Vol, Line: u.Line, From: u.From, To: u.To}
		if l.numbered && l.left && a.printNumber(&l) {
			l.numbered = false // it stays as it is
		}
		if l.numbered && k == l.numberUnit() {
			bl.Pieces = append(bl.Pieces, a.entryPieces(u, p, l, gone, dots)...)
			continue
		}
		if n := v.GuidedHeading(u.Text); l.kind == book.Heading && n > 0 {
			p.To = p.From + int32(n)
			why := a.why("contents", "names only a volume or kind of page", "wording, in a contents list", 0.95)
			if structure.EndsInLabel(u.Text) {
				why = a.why("page-number", "number of the page", "beside the heading of a contents list", 0.9)
			}
			a.cutSpan(u, n, len(u.Text), why)
		}
		bl.Pieces = append(bl.Pieces, p)
	}
	if l.numbered && l.print != nil {
		bl.Pieces = append(bl.Pieces, book.Piece{Vol: -1, Tool: l.print, Reason: page})
	}
	a.b.Blocks = append(a.b.Blocks, bl)
}

// entryPieces cuts guide dots, and a dead number, off the line of an
// entry that has them.
func (a *assembly) entryPieces(u *structure.Unit, p book.Piece, l listLine, gone, dots book.ReasonID) []book.Piece {
	e, _ := a.numberOf(&l)
	if l.left {
		a.cutSpan(u, e.from, e.to, gone)
		p.From += int32(len(u.Text) - len(e.text))
		return []book.Piece{p}
	}
	p.To = u.From + int32(len(e.text))
	if a.printNumber(&l) {
		why := dots
		if other, ok := otherNumber(u.Text, entryParts{from: e.from}); a.list.two && ok && other.from < e.from {
			why = gone
		}
		a.cutSpan(u, len(e.text), e.from, why)
		a.cutSpan(u, e.to, len(u.Text), gone)
		out := []book.Piece{{Vol: u.Vol, Line: u.Line, From: u.From + int32(e.from), To: u.From + int32(e.to)}}
		if len(e.text) > 0 {
			out = append([]book.Piece{p}, out...)
		}
		return out
	}
	if len(e.text) == 0 {
		a.b.Out[u.Vol][u.Line] = a.why("contents", "braille page of an entry, alone on its line", "under the words of the entry", 0.9)
		return nil
	}
	a.cutSpan(u, len(e.text), len(u.Text), gone)
	return []book.Piece{p}
}

// cutSpan leaves out the cells from up to to of a unit, blanks at both ends apart.
func (a *assembly) cutSpan(u *structure.Unit, from, to int, why book.ReasonID) {
	if cell.Marks(u.Text[from:to]) == 0 {
		return
	}
	s, e := trimSpan(u.Text, from, to)
	a.b.AddCut(int(u.Vol), u.Line, book.Cut{From: u.From + int32(s), To: u.From + int32(e), Reason: why})
}

func trimSpan(t []byte, from, to int) (int, int) {
	for from < to && t[from] == cell.Blank {
		from++
	}
	for to > from && t[to-1] == cell.Blank {
		to--
	}
	return from, to
}
