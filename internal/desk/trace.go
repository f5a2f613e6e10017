package desk

import (
	"bytes"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/convert"
)

// ref is a line of a source: the volume in reading order and the line, from 0.
type ref struct{ vol, line int32 }

// trace says where each line went. It is read off the blocks of the edition and
// its finished lines, cell by cell: the n-th cell of the one that is not blank
// is the n-th of the other.
type trace struct {
	lines  [][]byte    // of the edition, canonical cells
	block  []int32     // per line of the edition: its first block, -1 for a blank line
	from   [][]ref     // per line of the edition: lines of the sources that cells of it are from
	to     [][][]int32 // per volume and line: lines of the edition that its cells are on
	blocks [][][]int32 // per volume and line: blocks that have cells of it
}

func traceOf(res *convert.Result) (*trace, error) {
	text := bytes.TrimSuffix(folded(res.Edition), []byte("\r\n"))
	n := bytes.Count(text, []byte("\r\n")) + 1
	t := &trace{lines: make([][]byte, n), block: make([]int32, n), from: make([][]ref, n)}
	for i := range t.lines {
		var line []byte
		line, text, _ = bytes.Cut(text, []byte("\r\n"))
		t.lines[i], t.block[i] = bytes.TrimRight(line, " "), -1
	}
	for _, f := range res.Book.Files {
		t.to, t.blocks = append(t.to, make([][]int32, len(f.Lines))), append(t.blocks, make([][]int32, len(f.Lines)))
	}
	w := walker{t: t}
	for k := range res.Book.Blocks {
		for _, p := range res.Book.Blocks[k].Pieces {
			if !w.piece(res.Book, int32(k), p) {
				return nil, &problem{500, "internal fault: the edition is not made of its blocks", "please report it; continuo check proves the edition on disk"}
			}
		}
	}
	return t, nil
}

// folded is the edition in canonical cells; what is no cell stays.
func folded(edition []byte) []byte {
	out := bytes.Clone(edition)
	for i, c := range out {
		if f, ok := cell.Fold(c); ok {
			out[i] = f
		}
	}
	return out
}

// walker goes through the cells of the edition that are not blank.
type walker struct {
	t         *trace
	line, col int
	numbers   []int32 // room for short lists
	refs      []ref
}

// piece takes the cells of a piece off the edition; false when they are not there.
func (w *walker) piece(b *book.Book, k int32, p book.Piece) bool {
	if p.Vol >= 0 {
		add(&w.t.blocks[p.Vol][p.Line], k, &w.numbers)
	}
	noted := -1
	for text := b.Text(p); ; {
		var word []byte
		if word, text = word1(text); len(word) == 0 {
			return true
		}
		for len(word) > 0 {
			rest := w.rest()
			n := min(len(word), len(rest))
			if n == 0 || !bytes.Equal(word[:n], rest[:n]) {
				return false
			}
			word, w.col = word[n:], w.col+n
			if w.line != noted {
				w.note(k, p)
				noted = w.line
			}
		}
	}
}

// word1 parts cells after the first that hang together; none when all are blank.
func word1(text []byte) (word, rest []byte) {
	for len(text) > 0 && text[0] == cell.Blank {
		text = text[1:]
	}
	if i := bytes.IndexByte(text, cell.Blank); i >= 0 {
		return text[:i], text[i:]
	}
	return text, nil
}

// rest goes to the next cell that is not blank and returns those that hang together
// with it, none at the end of the edition.
func (w *walker) rest() []byte {
	for ; w.line < len(w.t.lines); w.line, w.col = w.line+1, 0 {
		l := w.t.lines[w.line]
		if word, rest := word1(l[w.col:]); len(word) > 0 {
			w.col = len(l) - len(rest) - len(word)
			return word
		}
	}
	return nil
}

// note takes down that cells of a piece stand on the line of the walker.
func (w *walker) note(k int32, p book.Piece) {
	if w.t.block[w.line] < 0 {
		w.t.block[w.line] = k
	}
	if p.Vol < 0 {
		return
	}
	add(&w.t.to[p.Vol][p.Line], int32(w.line), &w.numbers)
	add(&w.t.from[w.line], ref{p.Vol, p.Line}, &w.refs)
}

// add appends to a list unless it is the last one there. Most lists are short:
// they begin in a room that many share.
func add[T comparable](list *[]T, x T, room *[]T) {
	n := len(*list)
	if n > 0 && (*list)[n-1] == x {
		return
	}
	if n == 0 {
		if len(*room) < 2 {
			*room = make([]T, 4096)
		}
		*list, *room = (*room)[:0:2], (*room)[2:]
	}
	*list = append(*list, x)
}

// of are the lines of the edition that cells of a source's line are on; none for
// a line that is not there.
func (t *trace) of(vol, line int32) []int32 {
	if line < 0 || int(line) >= len(t.to[vol]) {
		return nil
	}
	return t.to[vol][line]
}
