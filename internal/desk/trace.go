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
	t := &trace{}
	for _, l := range bytes.Split(bytes.TrimSuffix(res.Edition, []byte("\r\n")), []byte("\r\n")) {
		l = bytes.Clone(bytes.TrimRight(l, " "))
		for i, c := range l {
			if f, ok := cell.Fold(c); ok {
				l[i] = f
			}
		}
		t.lines, t.block, t.from = append(t.lines, l), append(t.block, -1), append(t.from, nil)
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

// walker goes through the cells of the edition that are not blank.
type walker struct {
	t         *trace
	line, col int
}

// piece takes the cells of a piece off the edition; false when they are not there.
func (w *walker) piece(b *book.Book, k int32, p book.Piece) bool {
	if p.Vol >= 0 {
		add(&w.t.blocks[p.Vol][p.Line], k)
	}
	noted := -1
	for _, c := range b.Text(p) {
		if c == cell.Blank {
			continue
		}
		if !w.next() || w.t.lines[w.line][w.col] != c {
			return false
		}
		w.col++
		if w.line != noted {
			w.note(k, p)
			noted = w.line
		}
	}
	return true
}

// next goes to a cell that is not blank.
func (w *walker) next() bool {
	for ; w.line < len(w.t.lines); w.line, w.col = w.line+1, 0 {
		for l := w.t.lines[w.line]; w.col < len(l); w.col++ {
			if l[w.col] != cell.Blank {
				return true
			}
		}
	}
	return false
}

// note takes down that cells of a piece stand on the line of the walker.
func (w *walker) note(k int32, p book.Piece) {
	if w.t.block[w.line] < 0 {
		w.t.block[w.line] = k
	}
	if p.Vol < 0 {
		return
	}
	add(&w.t.to[p.Vol][p.Line], int32(w.line))
	from := &w.t.from[w.line]
	if n := len(*from); n == 0 || (*from)[n-1] != (ref{p.Vol, p.Line}) {
		*from = append(*from, ref{p.Vol, p.Line})
	}
}

// add appends a number to a list unless it is the last one there.
func add(list *[]int32, n int32) {
	if k := len(*list); k == 0 || (*list)[k-1] != n {
		*list = append(*list, n)
	}
}

// of are the lines of the edition that cells of a source's line are on; none for
// a line that is not there.
func (t *trace) of(vol, line int32) []int32 {
	if line < 0 || int(line) >= len(t.to[vol]) {
		return nil
	}
	return t.to[vol][line]
}
