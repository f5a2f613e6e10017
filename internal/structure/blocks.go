package structure

import (
	"bytes"

	"continuo/internal/book"
	"continuo/internal/cell"
)

// paragraph makes one block, or several where print page turns stand on lines
// of their own, of units i up to j.
func (f *Flow) paragraph(i, j, runIndent int, m model, moved book.ReasonID) {
	u := f.units[i]
	bl := book.Block{Kind: book.Para, First: int16(u.Indent()), Moved: moved, Blank: f.blank(i)}
	switch {
	case runIndent >= 0:
		bl.Run = int16(runIndent)
	case m == hanging || m == lines || m == outline || (m == mixed && u.Indent() == 0) || (m == block && u.Indent() == 0):
		bl.Kind, bl.Run = book.Line, int16(u.Indent()+2)
	case u.Indent() >= 4 && m != prose:
		bl.Kind, bl.Run = book.Line, int16(u.Indent())
	}
	if u.wide && j == i+1 {
		bl.Kind = book.Line
	}
	if f.form == book.Fixed {
		bl.Kind, bl.Run = book.Line, bl.First
	} else if bl.First > 10 {
		bl.First, bl.Run = 10, 10
	} else if bl.First == 3 && m == prose && f.Vols[u.Vol].Spaced {
		bl.First = 2
	}
	if bl.Form = f.form; ForTranscriber(u.Text) {
		bl.Form = book.TranscriberNote
	} else if bl.Kind == book.Para {
		bl.Form = book.Plain
	}
	bl.Pieces = make([]book.Piece, 0, j-i)
	for k := i; k < j; k++ {
		bl = f.addUnit(bl, k, k == i)
	}
	f.Book.Blocks = append(f.Book.Blocks, bl)
}

// wideGap reports whether a text holds columns: two blanks together.
func wideGap(t []byte) bool { return bytes.Contains(t, twoBlanks) }

var twoBlanks = []byte("  ")

// addUnit adds unit k to a block, its print page turns before it. A turn on a
// line of its own ends the block and begins another.
func (f *Flow) addUnit(bl book.Block, k int, first bool) book.Block {
	u := f.units[k]
	rest := u.From
	if !first && f.dividedBefore(k) {
		bl, rest = f.firstPart(bl, k)
	}
	for _, t := range u.Turns {
		p, row, ok := f.turnPiece(t)
		if !ok {
			continue
		}
		if row || bl.Kind == book.Line {
			bl = f.ownLine(bl, p, first)
		} else {
			bl.Pieces = append(bl.Pieces, p)
		}
	}
	f.seeInline(u)
	if rest == u.To {
		return bl
	}
	p := book.Piece{Vol: u.Vol, Line: u.Line, From: rest, To: u.To}
	if !first && rest == u.From {
		p = f.joined(&bl, k, p)
	}
	if f.Vols[u.Vol].Spaced {
		bl, p = f.inLine(bl, u, p)
	}
	bl.Pieces = append(bl.Pieces, p)
	return bl
}

// dividedBefore reports whether turns known only from numbers stand between
// the parts of a word, or of words joined by a dash: the word comes first.
func (f *Flow) dividedBefore(k int) bool {
	u := f.units[k]
	for _, t := range u.Turns {
		if t.Line >= 0 {
			return false
		}
	}
	if len(u.Turns) == 0 {
		return false
	}
	t := f.units[k-1].Text
	solidus := bytes.HasSuffix(t, []byte("_/"))
	if !solidus && dividedWord(t) {
		return true
	}
	return (solidus || endsInDash(t)) && f.Join != nil && f.Join(lastWord(t), firstWord(u.Text)).Join != 0
}

// firstPart adds the first word of unit k to the block and returns where the
// rest of its line begins.
func (f *Flow) firstPart(bl book.Block, k int) (book.Block, int32) {
	u := f.units[k]
	end := u.From + int32(len(firstWord(u.Text)))
	p := f.joined(&bl, k, book.Piece{Vol: u.Vol, Line: u.Line, From: u.From, To: end})
	bl.Pieces = append(bl.Pieces, p)
	for end < u.To && u.Text[end-u.From] == cell.Blank {
		end++
	}
	return bl, end
}

// single makes a block of one unit; its turns come before it on their own
// lines.
func (f *Flow) single(i int, kind book.Kind, indent int16, moved book.ReasonID) {
	u := f.units[i]
	bl := book.Block{Kind: kind, First: indent, Run: indent + 2, Moved: moved, Blank: f.blank(i)}
	for _, t := range u.Turns {
		if p, _, ok := f.turnPiece(t); ok {
			turn := book.Block{Kind: book.Turn, Moved: moved, Blank: bl.Blank, Pieces: []book.Piece{p}}
			f.Book.Blocks = append(f.Book.Blocks, turn)
			bl.Blank = book.Blank{}
		}
	}
	bl.Pieces = []book.Piece{{Vol: u.Vol, Line: u.Line, From: u.From, To: u.To}}
	f.seeInline(u)
	f.Book.Blocks = append(f.Book.Blocks, bl)
	f.notesOf(i, i+1)
}

// blank decides on the blank line before unit i: one that stands there in the
// source with meaning, or one before a heading.
func (f *Flow) blank(i int) book.Blank {
	u := f.units[i]
	if i == 0 {
		return book.Blank{Want: true, Reason: f.Why.Blank}
	}
	p := f.units[i-1]
	want := u.Blanks > 0
	head := f.heading(i) && (!f.heading(i-1) || u.PageTop && u.Centred && u.Filler >= 3) && !p.Rule // a heading after a page left unfilled is another
	stanza := u.Filler == 1 && f.Vols[u.Vol].FullPages && !head && f.verse(i-1) && u.Vol == p.Vol
	if !want && !head && !stanza {
		return book.Blank{}
	}
	if u.BlankLine >= 0 && want {
		return book.Blank{Want: true, Vol: u.Vol, Line: u.BlankLine}
	}
	return book.Blank{Want: true, Reason: f.Why.Blank}
}

// verse reports whether unit i and the one before it are single lines that
// were not full.
func (f *Flow) verse(i int) bool {
	if i == 0 {
		return false
	}
	return f.gap[i].known && f.gap[i].fits && !f.units[i].Centred && f.units[i].From == f.units[i-1].From
}
