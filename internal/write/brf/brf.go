// Package brf sets a book as one Braille ASCII file without pages: lines of a
// wanted width, CR LF at their ends, and the account of every cell beside it.
package brf

import (
	"encoding/binary"

	"continuo/internal/account"
	"continuo/internal/book"
	"continuo/internal/cell"
)

// Options say how the text is set. Width is in cells, 0 for one line a
// paragraph. NoBlank leaves out every blank line. Upper writes upper-case
// letters. Keep are cells that stay on one line where they fit one, in the
// order of the book: strings that readers search for.
type Options struct {
	Width   int
	NoBlank bool
	Upper   bool
	Keep    []book.Keep
}

// Output is a finished edition. Splits are the 1-based lines that go on a word
// of the line before; Starts has the 1-based line on which each block begins.
type Output struct {
	Data   []byte
	Lines  int
	Blanks int
	Marks  int64
	Splits []int
	Starts []int
}

type setter struct {
	o     Options
	out   Output
	buf   []byte
	ledge *account.Ledger
	b     *book.Book
	last  bool        // the line before is blank, or there is none
	keep  []book.Keep // of this block and those after it
	in    matter      // that the last block asked for is of
	verse verse       // the same of lines of verse
}

// Write sets b and takes down every piece in ledger.
func Write(b *book.Book, o Options, ledger *account.Ledger) Output {
	s := &setter{o: o, ledge: ledger, b: b, last: true, keep: o.Keep}
	n := 0
	for _, f := range b.Files {
		n += len(f.Cells)
	}
	s.out.Data = make([]byte, 0, n+n/8)
	for i := range b.Blocks {
		for len(s.keep) > 0 && int(s.keep[0].Block) < i {
			s.keep = s.keep[1:]
		}
		s.block(i)
	}
	s.out.Marks = int64(cell.Marks(s.out.Data)) - int64(2*s.out.Lines)
	if o.Upper {
		upper(s.out.Data)
	}
	return s.out
}

func upper(d []byte) {
	const ones = 0x0101010101010101
	for ; len(d) >= 8; d = d[8:] { // eight at once
		x := binary.LittleEndian.Uint64(d)
		low := x & (0x7f * ones)
		fromA, afterZ := low+(0x80-'a')*ones, low+(0x7f-'z')*ones // the top bit says so
		letters := fromA &^ afterZ &^ x & (0x80 * ones)
		binary.LittleEndian.PutUint64(d, x-letters>>2)
	}
	for i, c := range d {
		if c >= 'a' && c <= 'z' {
			d[i] = c - 0x20
		}
	}
}

func (s *setter) block(n int) {
	bl := &s.b.Blocks[n]
	if bl.Blank.Want && !s.o.NoBlank && !s.last {
		s.ledge.Blank(bl.Blank, bl.Moved)
		s.line(nil)
		s.out.Blanks++
	}
	s.out.Starts = append(s.out.Starts, s.out.Lines+1)
	s.buf = s.buf[:0]
	for i, p := range bl.Pieces {
		s.ledge.Piece(p, bl.Moved)
		s.buf = s.b.AppendPiece(s.buf, bl, i)
	}
	if n := int(bl.First); (bl.Form == book.TableRow || bl.Form == book.Fixed) && s.o.Width > 0 && n+len(s.buf) <= s.o.Width && len(s.buf) > 0 {
		s.emit(n, s.buf) // cells stay where they are
		return
	}
	first, run := s.indents(n)
	s.wrap(first, run, s.keeps(n))
}

// step is the indent of a paragraph that has no other sign left, and how much
// further in runovers stand than their first line on a short line.
const step = 2

// shortLine is the width, in cells, under which runovers step in no further
// than they must.
const shortLine = 28

// indents are those of the first line of block n and of its runovers. A
// paragraph that only a blank line marked is marked by an indent where blank
// lines are left out. On short lines runovers stand two cells further in than
// their first line, unless another line of the same verse or list begins there.
func (s *setter) indents(n int) (first, run int) {
	bl := &s.b.Blocks[n]
	first, run = int(bl.First), int(bl.Run)
	if s.o.NoBlank && bl.Kind == book.Para && bl.Form == book.Plain && bl.Blank.Want && !bl.Cont && first == run {
		return run + step, run
	}
	in := s.stanza(n)
	if first, run = s.shortRun(n); in > 0 {
		first = in
	}
	return first, run
}

// shortRun are the indents of block n with runovers as they stand on short lines.
func (s *setter) shortRun(n int) (first, run int) {
	bl := &s.b.Blocks[n]
	first, run = int(bl.First), int(bl.Run)
	if s.o.Width <= 0 || s.o.Width >= shortLine || run <= first+step || bl.Form == book.TableRow || bl.Form == book.Fixed {
		return first, run
	}
	for f := range s.firsts(n) {
		if f > first && f <= run {
			return first, run
		}
	}
	return first, first + step
}

// matter is a run of blocks of one form, turns between them, and at which
// indents they begin.
type matter struct {
	to     int
	firsts map[int]bool
}

// firsts are the indents at which the blocks of the matter that block n is of
// begin. Blocks are asked for in their order.
func (s *setter) firsts(n int) map[int]bool {
	if n < s.in.to {
		return s.in.firsts
	}
	s.in = matter{n, map[int]bool{}}
	for _, bl := range s.b.Blocks[n:] {
		switch {
		case bl.Kind == book.Turn:
		case likeForm(&bl, &s.b.Blocks[n]):
			s.in.firsts[int(bl.First)] = true
		default:
			return s.in.firsts
		}
		s.in.to++
	}
	return s.in.firsts
}

// verse is a run of lines of verse, turns between them, with the deepest indents at which
// they begin and run over; steps says that they begin at more than one.
type verse struct {
	from, to, first, run int
	steps                bool
}

// stanza is the indent of the first line of a stanza after another, where blank lines are left
// out: deeper than any line of the verse begins or runs over. 0 for any other block, and
// where the line has no room for it.
func (s *setter) stanza(n int) int {
	bl := &s.b.Blocks[n]
	if !s.o.NoBlank || !ofVerse(bl) {
		return 0
	}
	if n >= s.verse.to {
		s.verse = verse{from: n, to: n}
		for s.verse.to < len(s.b.Blocks) && (ofVerse(&s.b.Blocks[s.verse.to]) || s.b.Blocks[s.verse.to].Kind == book.Turn) {
			if b := &s.b.Blocks[s.verse.to]; b.Kind != book.Turn {
				s.verse.steps = s.verse.steps || b.First != bl.First
				s.verse.first, s.verse.run = max(s.verse.first, int(b.First)), max(s.verse.run, int(b.Run))
			}
			s.verse.to++
		}
	}
	if !bl.Blank.Want || bl.Cont || n == s.verse.from {
		return 0
	}
	in, run := max(s.verse.first, s.verse.run)+step, s.verse.run
	if w := s.o.Width; w > 0 {
		if run = min(run, w/3); w < shortLine {
			in = s.verse.first + 2*step
		}
		if in > w/3 || in <= run && s.verse.steps {
			return 0
		}
	}
	return in
}

// ofVerse reports whether a block is a line of verse.
func ofVerse(bl *book.Block) bool { return bl.Kind == book.Line && bl.Form == book.Verse }

// likeForm reports whether two blocks are lines of one kind of matter.
func likeForm(a, b *book.Block) bool { return a.Kind == b.Kind && a.Form == b.Form && a.Part == b.Part }

// keeps are the cells of block n that stay on one line.
func (s *setter) keeps(n int) []book.Keep {
	i := 0
	for i < len(s.keep) && int(s.keep[i].Block) == n {
		i++
	}
	return s.keep[:i]
}

func (s *setter) wrap(first, run int, keep []book.Keep) {
	t := s.buf
	if len(t) == 0 {
		return
	}
	w := s.o.Width
	if w <= 0 {
		s.emit(first, t)
		return
	}
	first, run = min(first, w/3), min(run, w/3)
	indent := first
	for len(t) > 0 {
		room := w - indent
		if len(t) <= room {
			s.emit(indent, t)
			return
		}
		end := breakAt(t, room, len(s.buf)-len(t), keep)
		if end == 0 && len(keep) > 0 {
			end = breakAt(t, room, 0, nil)
		}
		if end > 0 {
			s.emit(indent, trimRight(t[:end]))
			t = trimLeft(t[end:])
		} else {
			end = splitAt(t, room)
			s.emit(indent, t[:end])
			t = t[end:]
			s.out.Splits = append(s.out.Splits, s.out.Lines+1)
		}
		indent = run
	}
}

// breakAt returns the last blank of t at which the text before fits room, or
// 0. A print page indicator stays with its number (`"3 #ab`), and so does what
// is kept; at is the place of t in its block.
func breakAt(t []byte, room, at int, keep []book.Keep) int {
	for i := min(room, len(t)-1); i > 0; i-- {
		if t[i] != cell.Blank || kept(keep, at+i) {
			continue
		}
		if i >= 2 && t[i-1] == '3' && t[i-2] == '"' && (i == 2 || t[i-3] == cell.Blank) && i+1 < len(t) {
			continue
		}
		return i
	}
	return 0
}

// kept reports whether a cell of a block stands within cells that stay on one
// line.
func kept(keep []book.Keep, at int) bool {
	for _, k := range keep {
		if int(k.From) <= at && at < int(k.To) {
			return true
		}
	}
	return false
}

// splitAt finds where a word longer than the line may be cut: after a hyphen
// or solidus, else where the line is full. Nothing is added.
func splitAt(t []byte, room int) int {
	for i := room; i > room/2 && i > 1; i-- {
		if (t[i-1] == '-' || (t[i-1] == '/' && t[i-2] == '_')) && t[i] != '-' {
			return i
		}
	}
	return max(room, 1)
}

func trimRight(t []byte) []byte {
	for len(t) > 0 && t[len(t)-1] == cell.Blank {
		t = t[:len(t)-1]
	}
	return t
}

func trimLeft(t []byte) []byte {
	for len(t) > 0 && t[0] == cell.Blank {
		t = t[1:]
	}
	return t
}

func (s *setter) emit(indent int, t []byte) {
	for range indent {
		s.out.Data = append(s.out.Data, cell.Blank)
	}
	s.line(t)
}

func (s *setter) line(t []byte) {
	s.out.Data = append(s.out.Data, t...)
	s.out.Data = append(s.out.Data, '\r', '\n')
	s.out.Lines++
	s.last = len(t) == 0
}
