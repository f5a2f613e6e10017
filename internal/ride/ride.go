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
	"continuo/internal/source"
	"math/bits"
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
	n, cells := 0, 0
	for _, lines := range volumes {
		n += len(lines)
		for _, l := range lines {
			cells += len(l)
		}
	}
	t := NewText(n, cells)
	for _, lines := range volumes {
		t.Volume()
		for _, line := range lines {
			t.Line(line)
		}
	}
	return t.Play(d, places...)
}

// Play reads a text from the first line to the last.
func (t *Text) Play(d Display, places ...Place) Result {
	d.Cells = max(1, d.Cells)
	p := player{t: t, d: d, places: places, ahead: len(places), r: Result{To: make([]int, len(places)), Before: make([]int, len(places))}}
	for n := range places {
		p.r.To[n] = -1
	}
	for v, from := range t.volumes {
		to := len(t.lines)
		if v+1 < len(t.volumes) {
			to = t.volumes[v+1]
		}
		p.volume = v
		for i := from; i < to; i++ {
			p.line = i - from
			p.play(&t.lines[i])
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
	t            *Text
	d            Display
	r            Result
	places       []Place
	ahead        int // places that were not reached yet
	volume, line int
}

// play shows one line.
func (p *player) play(l *span) {
	wanted := p.ahead > 0 && p.wanted()
	if l.end == l.from {
		if wanted {
			p.reach(0, true)
		}
		p.r.Windows++
		p.r.Blank++
		return
	}
	from, to := int(l.from), int(l.end)
	if !wanted && p.d.Cells < 64 && !p.d.Hard {
		p.pan(from, to)
		return
	}
	for at := from; at < to; {
		end, next := p.t.cut(at, to, p.d)
		if wanted {
			p.reach(end-from, next >= to)
		}
		p.window(at, end, end < to)
		at = next
	}
}

// wanted reports whether a place that was not reached yet stands on this line
// or before it.
func (p *player) wanted() bool {
	for n, x := range p.places {
		if p.r.To[n] < 0 && (x.Volume < p.volume || x.Volume == p.volume && x.Line <= p.line) {
			return true
		}
	}
	return false
}

// pan is play for a line without wanted places on a display of less than 64
// cells that cuts no words: nearly all lines.
func (p *player) pan(at, to int) {
	t, cells := p.t, uint(p.d.Cells)
	for ; at+int(cells) < to; p.r.Windows++ {
		w := t.window(at)
		last := cells - uint(bits.LeadingZeros64(^w<<(63-cells))) // the last blank that fits
		if int(last) <= 0 || w<<(64-last) == 0 {                  // a word as long as the display
			p.holds(bits.OnesCount64(w << (64 - cells)))
			if w>>(cells-1)&3 == 3 {
				p.r.Cut++
			}
			at += int(cells)
			continue
		}
		p.holds(bits.OnesCount64(w << (64 - last)))
		at += int(last)
		if w >>= last; w != 0 {
			at += bits.TrailingZeros64(w)
		} else {
			at = t.nextMark(at, to)
		}
	}
	p.r.Windows++
	p.holds(t.count(at, to))
}

// window counts one window; more says that the line goes on.
func (p *player) window(at, end int, more bool) {
	p.r.Windows++
	if more && p.t.marked(end) && p.t.marked(end-1) {
		p.r.Cut++
	}
	p.holds(p.t.count(at, end))
}

// holds counts a window of n cells that are not blank.
func (p *player) holds(n int) {
	switch {
	case n > NearBlank:
	case n == 0:
		p.r.Blank++
	default:
		p.r.Near++
	}
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
	d.Cells = max(1, d.Cells)
	t := &Text{}
	t.Volume()
	var out []Shown
	for i, line := range lines {
		t.Line(line)
		from, to := int(t.lines[i].from), int(t.lines[i].end)
		if to == from {
			out = append(out, Shown{Line: i})
		}
		for at := from; at < to; {
			end, next := t.cut(at, to, d)
			out = append(out, Shown{i, at - from, end - from})
			at = next
		}
	}
	return out
}
