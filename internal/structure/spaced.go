package structure

import (
	"continuo/internal/book"
	"continuo/internal/cell"
)

// spaced reports whether paragraphs begin within a line, after three blanks, to
// save paper (English Braille American Edition, appendix A, section 1): on six
// lines or more, and on three quarters of the lines with wide gaps.
func (v *Volume) spaced() bool {
	n, other := 0, 0
	for i := v.firstUnitOf(v.BodyPage); i < len(v.Units); i++ {
		u := &v.Units[i]
		if u.From > 3 || u.Rule || !u.wide {
			continue
		}
		if _, ok := paragraphGap(u.Text, 0); ok && v.full(i) {
			n++
		} else {
			other++
		}
	}
	return n >= 6 && n >= 3*other
}

// paragraphGap finds the first three blanks of a text, from a cell on, after the
// end of a sentence and before a capital, a number or a quotation, and returns
// where they begin.
func paragraphGap(t []byte, from int) (int, bool) {
	for i := from; i+4 < len(t); i++ {
		if t[i] != cell.Blank {
			continue
		}
		n := i
		for n < len(t) && t[n] == cell.Blank {
			n++
		}
		if n-i == 3 && i > 0 && EndsSentence(t[:i]) && opensHeading(t[n:]) {
			return i, true
		}
		i = n
	}
	return 0, false
}

// inLine divides a piece where paragraphs begin within its line, and returns the
// block that the last of them began, and what is left of the piece for it.
func (f *Flow) inLine(bl book.Block, u *Unit, p book.Piece) (book.Block, book.Piece) {
	if bl.Form == book.Fixed || bl.Form == book.TableRow {
		return bl, p
	}
	for {
		at, ok := paragraphGap(u.Text, max(int(p.From-u.From), 0))
		if !ok {
			return bl, p
		}
		first := p
		first.To = u.From + int32(at)
		if first.To > first.From {
			bl.Pieces = append(bl.Pieces, first)
		}
		f.Book.Blocks = append(f.Book.Blocks, bl)
		bl = book.Block{Kind: book.Para, First: 2, Moved: bl.Moved, Form: book.Plain}
		p.From, p.Join = first.To+3, 0
	}
}
