package check

import (
	"bytes"
	"fmt"

	"continuo/internal/cell"
)

// seam is what is known of the place between the text written last and the
// text that comes next.
type seam struct {
	joining int // reason of a join that waits for its text, -1 for none

	last     piece // the text before
	lastCell byte
	tail     []byte // its last cells

	blankEnd bool // the text before ends in a blank

	hyphen bool // a hyphen or continuation sign at a line end was left out since
	cutAny bool // cells of a line were left out since
	swap   bool // the text before is a swap
	at     piece
}

func (m *seam) join(reason int) error {
	if m.lastCell == 0 {
		return fmt.Errorf("a join before any text")
	}
	if m.joining >= 0 {
		return fmt.Errorf("two joins between the same texts")
	}
	m.joining = reason
	return nil
}

// cut takes down cells of a line that were left out.
func (m *seam) cut(sp span, class string) {
	m.cutAny = true
	if class == "rejoin" || class == "continuation" {
		m.hyphen = true
		m.at = piece{src: sp.src, line: sp.line}
	}
}

// end is called after the last record.
func (m *seam) end(r *replay) {
	if m.joining >= 0 {
		r.problem("a join with no text after it")
	}
	if m.hyphen {
		r.problem("a word was divided at its line end and its second half does not follow")
	}
}

// meet is called when text comes next; it tells whether text is joined to what
// stands before, and finds joins that nothing explains.
func (m *seam) meet(r *replay, text []byte, p piece) bool {
	blankStart := text[0] == cell.Blank
	text = text[cell.Indent(text):]
	joined := m.joining >= 0
	if joined && !m.plausible(r, text, p) {
		r.problem("nothing explains why %q and %q are joined", clip(m.tail), clip(text))
	}
	if !joined && m.last.tool && m.last.class == "entry-mark" {
		r.problem("the mark %q is not joined to the headword %q", clip(m.tail), clip(text))
	}
	if m.hyphen && !joined && !(p.tool && !p.swap) {
		r.v.at(m.at.src, m.at.line, "the hyphen or sign at the line end is left out, yet the next text is not joined to it")
	}
	if !joined && p.part && m.last.part && m.last.src == p.src && m.last.line == p.line && m.last.to == p.from && !m.blankEnd && !blankStart {
		r.problem("a word is cut in two before %q", clip(text))
	}
	hyphen := m.hyphen && p.tool && !p.swap && !joined // a print page turn may stand between the halves
	blankEnd := text[len(text)-1] == cell.Blank
	text = bytes.TrimRight(text, " ")
	*m = seam{blankEnd: blankEnd, last: p, lastCell: text[len(text)-1], tail: text[max(0, len(text)-12):], swap: p.swap, hyphen: hyphen, at: m.at, joining: -1}
	return joined
}

// plausible tells whether something on the face of the two texts explains
// their join.
func (m *seam) plausible(r *replay, text []byte, p piece) bool {
	switch {
	case m.hyphen, m.swap, p.swap:
		return true
	case m.last.tool && m.last.class == "entry-mark":
		return !p.tool
	case m.lastCell == '-' || m.lastCell == '/', text[0] == '-' || text[0] == '/' || bytes.HasPrefix(text, []byte(",-")) || bytes.HasPrefix(text, []byte("_/")):
		return true
	case r.acc.reasons[m.joining].Class == "split":
		return r.tooLong(m.last, p)
	case m.last.tool && m.last.class == "turn" || p.tool && p.class == "turn":
		return true
	case m.last.src == p.src && m.last.line == p.line && !p.tool && !m.last.tool:
		return m.cutAny || m.last.to == p.from
	}
	return m.cutAny && r.numberCutJustNow()
}

// tooLong tells whether one word fills a source line to its end and goes on in
// the next, and would not have fitted on any line of that source whole.
func (r *replay) tooLong(a, b piece) bool {
	if a.src < 0 || a.src != b.src || b.line != a.line+1 || a.tool || b.tool {
		return false
	}
	f := r.src[a.src]
	first, second := f.Text(a.line), f.Text(b.line)
	indent := cell.Indent(first)
	word := first[indent:]
	if a.to != len(first) || b.from > cell.Indent(second) || bytes.IndexByte(word, cell.Blank) >= 0 {
		return false
	}
	longest := 0
	for i := range f.Lines {
		longest = max(longest, len(f.Text(i)))
	}
	rest, _ := cutToken(second)
	return indent+len(word)+len(rest) > longest
}

// numberCutJustNow tells whether the last cut restored a number.
func (r *replay) numberCutJustNow() bool {
	n := len(r.cuts)
	return n > 0 && r.acc.reasons[r.cuts[n-1].reason].Class == "number-cut"
}
