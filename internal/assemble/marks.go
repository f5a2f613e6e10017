package assemble

import (
	"bytes"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/layout"
)

// turnMarks finds the print page turns of the book.
func (a *assembly) turnMarks() []book.PageMark {
	return turnMarks(a.b, func(vol, line int32) bool { return len(a.vols[vol].Inline[line]) > 0 })
}

// turnMarks finds the print page turns in the finished blocks: pieces written
// as turns, blocks that are turns, and indicators within lines of the sources.
func turnMarks(b *book.Book, inline func(vol, line int32) bool) []book.PageMark {
	var out []book.PageMark
	for i := range b.Blocks {
		for k, p := range b.Blocks[i].Pieces {
			written := p.Reason != 0 && b.Reasons[p.Reason].Class == "turn"
			at := book.PageMark{Block: int32(i), Piece: int32(k)}
			switch t := b.Text(p); {
			case written || b.Blocks[i].Kind == book.Turn:
				out = wholeMark(out, at, t)
			case p.Vol >= 0 && p.Tool == nil && bytes.IndexByte(t, '3') >= 0: // every indicator has dots 2-5
				if whole, ok := layout.MarkLabel(bytes.TrimSpace(t)); ok {
					at.To, at.Label = int32(len(t)), whole
					out = append(out, at)
				} else if inline(p.Vol, p.Line) {
					out = marksWithin(out, at, t)
				}
			}
		}
	}
	return out
}

// Turns finds the print page turns in a book that is not assembled from
// surveyed volumes: every indicator within its lines is one.
func Turns(b *book.Book) []book.PageMark {
	return turnMarks(b, func(int32, int32) bool { return true })
}

// wholeMark reads a whole text as a turn: its label is what follows the
// indicator or the row of dots 3-6. A row without a label is no mark.
func wholeMark(out []book.PageMark, at book.PageMark, t []byte) []book.PageMark {
	lab, ok := layout.MarkLabel(bytes.TrimSpace(t))
	if !ok {
		lab, ok = cell.ParseLabel(bytes.TrimLeft(t, " -\"3"))
	}
	if ok {
		at.To, at.Label = int32(len(t)), lab
		out = append(out, at)
	}
	return out
}

// marksWithin finds the indicators inside a line of text.
func marksWithin(out []book.PageMark, at book.PageMark, t []byte) []book.PageMark {
	layout.Marks(t, func(from, to int, lab cell.Label) {
		m := at
		m.From, m.To, m.Label = int32(from), int32(to), lab
		out = append(out, m)
	})
	return out
}
