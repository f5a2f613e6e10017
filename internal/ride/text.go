package ride

import (
	"math/bits"

	"continuo/internal/cell"
	"continuo/internal/source"
)

// Text is a text made ready for rides, which only ask where its blanks stand.
// It is filled in reading order: Volume, then each Line of it.
type Text struct {
	marks   []uint64 // a bit a cell, line after line, set where the cell is not blank
	cells   int
	lines   []span
	volumes []int // first line of each
}

// span is one line: its cells from, and up to end without the blanks at its
// end, to with them.
type span struct{ from, end, to int32 }

// NewText makes room for so many lines and cells.
func NewText(lines, cells int) *Text {
	return &Text{lines: make([]span, 0, lines), marks: make([]uint64, 0, cells/64+3)}
}

// Volumes is the text of volumes in reading order.
func Volumes(files []*source.File) *Text {
	lines, cells := 0, 0
	for _, f := range files {
		lines, cells = lines+len(f.Lines), cells+len(f.Cells)
	}
	t := NewText(lines, cells)
	for _, f := range files {
		t.Volume()
		for i := range f.Lines {
			t.Line(f.Text(i))
		}
	}
	return t
}

// Volume begins the next volume.
func (t *Text) Volume() { t.volumes = append(t.volumes, len(t.lines)) }

// Line puts a line of cells at the end of the volume.
func (t *Text) Line(line []byte) {
	from := t.cells
	for len(line) > 64 {
		t.put(cell.Mask(line), 64)
		line = line[64:]
	}
	t.put(cell.Mask(line), len(line))
	t.endLine(from)
}

func (t *Text) endLine(from int) {
	end := t.cells
	for end > from && !t.marked(end-1) {
		end--
	}
	t.lines = append(t.lines, span{int32(from), int32(end), int32(t.cells)})
}

// put puts the n low bits of w at the end, at most 64; those above are 0.
func (t *Text) put(w uint64, n int) {
	word, shift := t.cells>>6, t.cells&63
	for len(t.marks) < word+3 {
		t.marks = append(t.marks, 0)
	}
	t.marks[word] |= w << shift
	t.marks[word+1] |= w >> (64 - shift)
	t.cells += n
}

// Paragraphs is the text of one volume with the lines of each block joined, as
// --width 0 sets them. starts has the first line of each block, from 1; blank
// lines stand between blocks.
func (t *Text) Paragraphs(starts []int) *Text {
	u := NewText(len(starts)+len(starts)/4, t.cells+len(t.lines))
	u.Volume()
	next, from := 0, 0
	end := func() {
		if u.cells > from {
			u.endLine(from)
		}
		from = u.cells
	}
	for i, l := range t.lines {
		first := false
		for next < len(starts) && starts[next] <= i+1 {
			next, first = next+1, true
		}
		switch {
		case l.to == l.from:
			end()
			u.endLine(from)
		case first || u.cells == from:
			end()
			u.copy(t, int(l.from), int(l.to))
		default:
			u.put(0, 1)
			u.copy(t, t.nextMark(int(l.from), int(l.to)), int(l.to))
		}
	}
	end()
	return u
}

// copy puts cells of another text at the end.
func (t *Text) copy(other *Text, from, to int) {
	for ; from < to; from += 64 {
		n := min(64, to-from)
		t.put(other.window(from)<<(64-n)>>(64-n), n)
	}
}

// window is the 64 cells that begin at a cell of the text.
func (t *Text) window(at int) uint64 {
	word, shift := uint(at)>>6, uint(at)&63
	return t.marks[word]>>shift | t.marks[word+1]<<1<<(63-shift)
}

func (t *Text) marked(at int) bool { return t.marks[at>>6]>>(at&63)&1 != 0 }

// nextMark is the first cell from on that is not blank, to if there is none
// before it.
func (t *Text) nextMark(from, to int) int {
	for ; from < to; from += 64 {
		if w := t.window(from); w != 0 {
			return min(to, from+bits.TrailingZeros64(w))
		}
	}
	return to
}

// lastBlank is the last blank before cell to, or from if there is none after
// it.
func (t *Text) lastBlank(from, to int) int {
	for to > from {
		at := max(from, to-64)
		if w := ^t.window(at) << (64 - (to - at)); w != 0 {
			return to - 1 - bits.LeadingZeros64(w)
		}
		to = at
	}
	return from
}

// count counts the cells from on, up to to, that are not blank.
func (t *Text) count(from, to int) int {
	n := 0
	for ; to-from > 64; from += 64 {
		n += bits.OnesCount64(t.window(from))
	}
	return n + bits.OnesCount64(t.window(from)<<(64-uint(to-from)))
}

// cut is where the window that begins at cell at of a line ends, and where the
// next one begins; to is where the line ends.
func (t *Text) cut(at, to int, d Display) (end, next int) {
	if end = at + d.Cells; end >= to {
		return to, to
	}
	if d.Hard {
		return end, end
	}
	last := t.lastBlank(at, end+1)
	if t.count(at, last) == 0 { // a word as long as the display
		return end, end
	}
	return last, t.nextMark(last, to)
}
