package structure

import (
	"continuo/internal/book"
	"continuo/internal/cell"
)

// Seam says how two lines of a paragraph are joined. Drop cells are taken off
// the end of the first (a hyphen, a continuation sign) for DropWhy; with a
// reason to Join no blank stands between them. Whole, when not nil, stands in
// place of both words: the word written anew in the book's code.
type Seam struct {
	Drop          int
	DropWhy, Join book.ReasonID
	Whole         []byte
	WholeWhy      book.ReasonID
}

// Joiner decides how two lines of a paragraph are joined, from the last word of
// one and the first word of the next.
type Joiner func(first, next []byte) Seam

// joined decides how unit k follows the one before it in the same block.
func (f *Flow) joined(bl *book.Block, k int, p book.Piece) book.Piece {
	n := len(bl.Pieces)
	if n == 0 || f.Join == nil || bl.Pieces[n-1].Vol < 0 || bl.Pieces[n-1].Tool != nil {
		return p
	}
	prev, u := f.units[k-1], f.units[k]
	if bl.Pieces[n-1].Line != prev.Line || bl.Pieces[n-1].Vol != prev.Vol {
		return p
	}
	first, next := lastWord(prev.Text), firstWord(u.Text)
	f.Prev, f.Next = prev, u
	s := f.Join(first, next)
	q := &bl.Pieces[n-1]
	if s.Whole != nil && int(q.To-q.From) >= len(first) {
		f.rewrite(bl, p, len(first), len(next), s)
		p.From = min(p.From+int32(len(next)), p.To)
		return p
	}
	if s.Drop > 0 {
		f.Book.AddCut(int(q.Vol), q.Line, book.Cut{From: q.To - int32(s.Drop), To: q.To, Reason: s.DropWhy})
		q.To -= int32(s.Drop)
	}
	p.Join = s.Join
	return p
}

// rewrite puts the whole word in place of the last word of the block, and
// leaves out the word that p begins with.
func (f *Flow) rewrite(bl *book.Block, p book.Piece, first, next int, s Seam) {
	n := len(bl.Pieces)
	q := bl.Pieces[n-1]
	word := book.Piece{Vol: q.Vol, Line: q.Line, From: q.To - int32(first), To: q.To, Tool: s.Whole, Reason: s.WholeWhy}
	if q.To = word.From; q.To <= q.From {
		word.Join = q.Join
		bl.Pieces[n-1] = word
	} else {
		bl.Pieces[n-1] = q
		bl.Pieces = append(bl.Pieces, word)
	}
	f.Book.AddCut(int(p.Vol), p.Line, book.Cut{From: p.From, To: p.From + int32(next), Reason: s.WholeWhy})
}

func lastWord(t []byte) []byte {
	i := len(t)
	for i > 0 && t[i-1] != cell.Blank {
		i--
	}
	return t[i:]
}

func firstWord(t []byte) []byte {
	i := 0
	for i < len(t) && t[i] != cell.Blank {
		i++
	}
	return t[:i]
}
