package check

import (
	"bytes"

	"continuo/internal/cell"
)

// edition is the edition as lines of canonical cells without blanks at their
// ends, and a cursor that the replay moves over it.
type edition struct {
	lines  [][]byte
	count  int
	marks  int64
	usual  int // length that 99 lines in 100 do not exceed
	line   int // cursor: the line, -1 before the first
	col    int // and how many of its cells are used
	splits map[int]bool
}

// asCell is the canonical cell of a byte, or the byte itself when it is none.
var asCell = func() (t [256]byte) {
	for b := range t {
		if t[b] = cell.FoldTable()[b]; t[b] == 0 {
			t[b] = byte(b)
		}
	}
	return
}()

func readEdition(data []byte) *edition {
	e := &edition{line: -1, splits: map[int]bool{}, lines: make([][]byte, 0, bytes.Count(data, []byte{'\n'})+1)}
	cells := make([]byte, len(data))
	for i, b := range data {
		cells[i] = asCell[b]
	}
	e.marks = int64(len(cells))
	for _, c := range []byte{cell.Blank, '\n', '\r'} {
		e.marks -= int64(bytes.Count(cells, []byte{c}))
	}
	for len(cells) > 0 {
		n := bytes.IndexByte(cells, '\n')
		line := cells
		if n < 0 {
			cells = nil
		} else {
			line, cells = cells[:n], cells[n+1:]
		}
		line = bytes.TrimRight(bytes.TrimSuffix(line, []byte{'\r'}), " ")
		e.lines = append(e.lines, line)
	}
	e.count = len(e.lines)
	var t tally
	for _, l := range e.lines {
		t.add(len(l))
	}
	e.usual = t.most(99, 100)
	return e
}

// tally counts lengths; those of 1023 and more together.
type tally struct {
	n   [1024]int
	all int
	max int
}

func (t *tally) add(n int) {
	t.n[min(n, len(t.n)-1)]++
	t.all++
	t.max = max(t.max, n)
}

// most is the length that so many parts of the whole do not exceed.
func (t *tally) most(part, whole int) int {
	sum := 0
	for i, n := range t.n[:len(t.n)-1] {
		if sum += n; sum*whole >= t.all*part {
			return i
		}
	}
	return t.max
}

// gap passes the blanks or the line end before the next text and returns how
// many blank lines it passed and whether a gap was there at all.
func (e *edition) gap() (blankLines int, ok bool) {
	if e.line >= 0 && e.col < len(e.lines[e.line]) {
		l := e.lines[e.line]
		at := e.col
		for e.col < len(l) && l[e.col] == cell.Blank {
			e.col++
		}
		return 0, e.col > at
	}
	next := e.line + 1
	for next < len(e.lines) && len(e.lines[next]) == 0 {
		next++
		blankLines++
	}
	if next < len(e.lines) {
		e.line, e.col = next, cell.Indent(e.lines[next])
	} else {
		e.line, e.col = len(e.lines)-1, 0
		if e.line >= 0 {
			e.col = len(e.lines[e.line])
		}
	}
	return blankLines, true
}

// same moves over text, without blanks at its ends, where it stands at the cursor cell for
// cell, up to the end of the line at least; the line's end is the end of a word of it. It
// returns how many cells it passed, 0 where it did not move.
func (e *edition) same(text []byte) int {
	if e.line < 0 {
		return 0
	}
	rest := e.lines[e.line][e.col:]
	n := min(len(rest), len(text))
	if !bytes.Equal(rest[:n], text[:n]) || n < len(text) && text[n] != cell.Blank {
		return 0
	}
	e.col += n
	return n
}

// match moves over token tok, which must stand at the cursor; a line named as
// a split goes on it. It returns false where the edition holds something else.
func (e *edition) match(tok []byte) bool {
	for len(tok) > 0 {
		if e.line < 0 || e.col == len(e.lines[e.line]) {
			if !e.overSplit() {
				return false
			}
		}
		rest := e.lines[e.line][e.col:]
		n := min(len(rest), len(tok))
		if !bytes.Equal(rest[:n], tok[:n]) {
			return false
		}
		e.col += n
		tok = tok[n:]
	}
	return true
}

// overSplit goes on in the next line when the account names it as a split.
func (e *edition) overSplit() bool {
	next := e.line + 1
	if next >= len(e.lines) || len(e.lines[next]) == 0 {
		return false
	}
	if used, ok := e.splits[next]; !ok || used {
		return false
	}
	e.splits[next] = true
	e.line, e.col = next, cell.Indent(e.lines[next])
	return true
}

// left tells whether text is left after the cursor, and the blank lines there.
func (e *edition) left() (blankLines int, text bool) {
	if e.line >= 0 && e.col < len(e.lines[e.line]) {
		return 0, true
	}
	for i := e.line + 1; i < len(e.lines); i++ {
		if len(e.lines[i]) > 0 {
			return 0, true
		}
		blankLines++
	}
	return blankLines, false
}

// loose tells whether the line at the cursor was begun though the next words
// would have fitted on the line before it, as lines are filled.
func (e *edition) loose() bool {
	if _, split := e.splits[e.line+1]; split || e.line < 1 {
		return false // a word too long for a line may have its lines to itself
	}
	l := e.lines[e.line]
	to, words := cell.Indent(l), 0
	from := to
	for to < len(l) && words < 3 {
		for to < len(l) && l[to] == cell.Blank {
			to++
		}
		for to < len(l) && l[to] != cell.Blank {
			to++
		}
		words++
	}
	return len(e.lines[e.line-1])+1+to-from <= e.usual
}

// here is what stands at the cursor, for messages.
func (e *edition) here() string {
	if e.line < 0 || len(e.lines) == 0 {
		return "nothing"
	}
	if rest := e.lines[e.line][e.col:]; len(rest) > 0 {
		return clip(rest)
	}
	return "the end of the line"
}

// clip shortens cells for a message.
func clip(t []byte) string {
	if len(t) > 40 {
		return string(t[:40]) + "…"
	}
	return string(t)
}
