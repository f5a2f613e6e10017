// Package ride plays a braille text on a one-line display: the reader opens
// the file and pans forward, window by window, to the end. It counts what the
// hands do and what they find: moves to a place and through the whole book,
// windows without a cell, windows that hold next to nothing, windows that cut
// a word.
//
// The model, common practice of displays: a line of the file begins in the
// first cell of a window; a line longer than the display goes on in the next
// window, cut at the last blank that fits; a blank line takes a window of its
// own. That blank lines are skipped is a setting that not every display has, so
// it is not assumed. Blanks at the end of a line take no window.
package ride

import (
	"bytes"

	"continuo/internal/cell"
	"continuo/internal/source"
)

// NearBlank is how many cells a window holds at most to count as near-blank:
// enough for a page number, too few for a word and its neighbour.
const NearBlank = 3

// Display is the display that a text is read on. Cells is at least 1. Hard
// displays cut a line after every Cells cells, whatever stands there; the
// others at the last blank that fits.
type Display struct {
	Cells int
	Hard  bool
}

// Place is a cell of a text: volume, line and cell, all from 0.
type Place struct{ Volume, Line, Cell int }

// Result is what one ride counted, in windows. The first window is there
// without a move; every further one takes one, and so does opening the next
// volume. So Moves is Windows-1.
type Result struct {
	Windows int
	Blank   int   // windows without a cell
	Near    int   // windows of 1 to NearBlank cells
	Cut     int   // windows that end within a word
	To      []int // moves from the first window to each place; -1 where there is no such place
	Before  []int // blank windows before each place
}

// Moves is how often the reader pans from the first window to the last.
func (r Result) Moves() int { return max(0, r.Windows-1) }

// Lines returns the lines of a file, without the blanks at their ends.
func Lines(f *source.File) [][]byte {
	out := make([][]byte, len(f.Lines))
	for i := range out {
		out[i] = f.Text(i)
	}
	return out
}

// Play reads volumes, each a list of lines of cells, from the first line to the
// last.
func Play(volumes [][][]byte, d Display, places ...Place) Result {
	d.Cells = max(1, d.Cells)
	p := player{d: d, places: places, ahead: len(places), r: Result{To: make([]int, len(places)), Before: make([]int, len(places))}}
	for n := range places {
		p.r.To[n] = -1
	}
	for p.volume = range volumes {
		for i, line := range volumes[p.volume] {
			p.line = i
			p.play(bytes.TrimRight(line, " "))
		}
	}
	for n := range places {
		if p.r.To[n] < 0 {
			p.r.Before[n] = p.r.Blank
		}
	}
	return p.r
}

type player struct {
	d            Display
	r            Result
	places       []Place
	ahead        int // places that were not reached yet
	volume, line int
}

// play shows one line.
func (p *player) play(t []byte) {
	wanted := p.wanted()
	if len(t) == 0 {
		if wanted {
			p.reach(0, true)
		}
		p.r.Windows++
		p.r.Blank++
		return
	}
	for at := 0; at < len(t); {
		end, next := p.cut(t, at)
		if wanted {
			p.reach(end, next >= len(t))
		}
		p.window(t[at:end], end < len(t) && t[end] != cell.Blank)
		at = next
	}
}

// wanted reports whether a place that was not reached yet stands on this line
// or before it.
func (p *player) wanted() bool {
	if p.ahead == 0 {
		return false
	}
	for n, x := range p.places {
		if p.r.To[n] < 0 && (x.Volume < p.volume || x.Volume == p.volume && x.Line <= p.line) {
			return true
		}
	}
	return false
}

// cut is where the window that begins at cell at ends, and where the next one
// begins.
func (p *player) cut(t []byte, at int) (end, next int) {
	if end = at + p.d.Cells; end >= len(t) {
		return len(t), len(t)
	}
	if p.d.Hard {
		return end, end
	}
	last := end
	for last > at && t[last] != cell.Blank {
		last--
	}
	if last == at || t[at] == cell.Blank && few(t[at:last]) == 0 { // a word as long as the display
		return end, end
	}
	next = last
	for t[next] == cell.Blank {
		next++
	}
	return last, next
}

// window counts one window; cut says that its last word goes on.
func (p *player) window(t []byte, cut bool) {
	p.r.Windows++
	if cut && t[len(t)-1] != cell.Blank {
		p.r.Cut++
	}
	switch n := few(t); {
	case n == 0:
		p.r.Blank++
	case n <= NearBlank:
		p.r.Near++
	}
}

// few counts the cells of a window that are not blank, up to one more than
// NearBlank.
func few(t []byte) int {
	n := 0
	for _, c := range t {
		if c != cell.Blank {
			if n++; n > NearBlank {
				break
			}
		}
	}
	return n
}

// reach takes down the places that the window up to cell end is the first to
// show; last says that the line ends with it.
func (p *player) reach(end int, last bool) {
	for n, x := range p.places {
		if p.r.To[n] >= 0 || x.Volume > p.volume || x.Volume == p.volume && (x.Line > p.line || x.Line == p.line && x.Cell >= end && !last) {
			continue
		}
		p.r.To[n], p.r.Before[n] = p.r.Windows, p.r.Blank
		p.ahead--
	}
}

// Shown is one window: cells From up to To of a line, counted from 0.
type Shown struct{ Line, From, To int }

// Windows lists the windows in which a display shows lines, in order.
func Windows(lines [][]byte, d Display) []Shown {
	p := player{d: Display{Cells: max(1, d.Cells), Hard: d.Hard}}
	var out []Shown
	for i, line := range lines {
		t := bytes.TrimRight(line, " ")
		if len(t) == 0 {
			out = append(out, Shown{Line: i})
		}
		for at := 0; at < len(t); {
			end, next := p.cut(t, at)
			out = append(out, Shown{i, at, end})
			at = next
		}
	}
	return out
}
