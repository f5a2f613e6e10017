package structure

import (
	"continuo/internal/book"
	"continuo/internal/cell"
)

// seeInline follows the print page turns within a line.
func (f *Flow) seeInline(u *Unit) {
	for _, lab := range f.Vols[u.Vol].Inline[u.Line] {
		f.last, f.lastSet = lab, true
		f.last.Value = lab.Last
	}
}

// ownLine puts a turn on a line of its own and returns the block that goes on
// after it.
func (f *Flow) ownLine(bl book.Block, p book.Piece, first bool) book.Block {
	turn := book.Block{Kind: book.Turn, Moved: bl.Moved, Pieces: []book.Piece{p}}
	if first && len(bl.Pieces) == 0 {
		turn.Blank, bl.Blank = bl.Blank, book.Blank{}
		f.Book.Blocks = append(f.Book.Blocks, turn)
		return bl
	}
	f.Book.Blocks = append(f.Book.Blocks, bl, turn)
	return book.Block{Kind: bl.Kind, First: bl.Run, Run: bl.Run, Moved: bl.Moved, Form: bl.Form, Cont: true}
}

// turnPiece is the piece that writes a print page turn, and whether it stands
// on a line of its own.
func (f *Flow) turnPiece(t PrintTurn) (p book.Piece, row, ok bool) {
	if t.Line < 0 {
		if d := t.Label.Value - f.last.Value; f.lastSet && d <= 0 && d >= -3 && f.last.Roman == t.Label.Roman && f.last.Suffix == t.Label.Suffix && f.last.Own() == t.Label.Own() {
			return p, false, false
		}
		f.last, f.lastSet = t.Label, true
		row = f.Style.Turns == "row" || (f.Style.Turns == "source" && f.Style.RowTurns)
		return book.Piece{Vol: -1, Tool: mark(row, t.Text), Reason: f.Why.TurnHead}, row, true
	}
	if !t.Bare {
		f.last, f.lastSet = t.Label, true
		f.last.Value = t.Label.Last
	}
	raw := f.Vols[t.Vol].Raw(t.Line)
	p = book.Piece{Vol: t.Vol, Line: t.Line, From: int32(cell.Indent(raw)), To: int32(len(raw))}
	if l := &f.Vols[t.Vol].Lines[t.Line]; l.Left.To > 0 || l.Right.To > 0 { // a page number stands on its line
		p.From, p.To = l.Text.From, l.Text.To
		raw = raw[p.From:p.To]
	}
	row = t.Row
	switch want := f.Style.Turns; {
	case t.Row && (want != "inline" || t.Bare):
		p.From, p.Tool, p.Reason = 0, mark(true, t.Text), f.Why.Turn
	case t.Row:
		p.From, p.Tool, p.Reason, row = 0, mark(false, t.Text), f.Why.Turn, false
	case want == "row":
		p.From, p.Tool, p.Reason, row = 0, mark(true, labelOf(raw)), f.Why.Turn, true
	}
	return p, row, true
}

// mark writes a turn: three cells of dots 3-6 and the number, or dot 5, dots
// 2-5 and the number.
func mark(row bool, label []byte) []byte {
	if row {
		return append([]byte("---"), label...)
	}
	return append([]byte("\"3"), label...)
}

// labelOf is the label of a dot 5, dots 2-5 indicator.
func labelOf(raw []byte) []byte {
	t := raw[cell.Indent(raw):]
	for len(t) > 0 && (t[0] == '"' || t[0] == '3' || t[0] == cell.Blank) {
		t = t[1:]
	}
	return t
}

// Tail writes the turns that stand after the last unit of a volume.
func (f *Flow) Tail(v *Volume) {
	for _, t := range v.Tail {
		if t.Line < 0 {
			continue
		}
		if p, _, ok := f.turnPiece(t); ok {
			f.Book.Blocks = append(f.Book.Blocks, book.Block{Kind: book.Turn, Pieces: []book.Piece{p}})
		}
	}
}
