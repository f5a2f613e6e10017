package layout

import (
	"bytes"
	"strings"

	"continuo/internal/cell"
	"continuo/internal/english"
)

// said is where the words of a volume's headings stand in its text: lines set apart, with the line
// after them, from the first page full of running text on. A line of which these are the words
// says nothing that the text lacks, however its headings are laid out.
type said struct {
	lines []saidLine
	last  map[string]int32 // by their first word, the last of the lines, counted from 1
	edge  []bool           // the edge lines
}

type saidLine struct {
	line, last int32 // last is the line up to which its words may go on, two lines after it at most
	before     int32 // the line before with the same first word, counted from 1, 0 for none
	from       int32 // where its words begin behind the name and number of a part
}

// findSaid takes down the first two lines of what is set apart in a volume, by their first words.
func (v *Volume) findSaid(edges []edgeLine) {
	skip := v.linesOf(edges)
	v.said = said{last: map[string]int32{}, edge: skip}
	for i := range edges { // the heading that begins a page without a number at its top
		if e := &edges[i]; e.top && !e.number && e.middle && e.like < 2 && v.holdsText(e.page) {
			v.addSaid(e.line)
		}
	}
	from := 1 // behind the title page
	if len(v.textPages) > 0 {
		from = max(0, v.textPages[0]-1)
	}
	if from >= len(v.Pages) {
		return
	}
	for i := v.Pages[from].First; int(i) < len(v.Lines); i++ {
		if v.Lines[i].Role != Text || skip[i] || !v.apartAtTop(i, skip) || !v.holdsText(int(v.PageOf[i])) {
			continue
		}
		for n := int32(0); n < 2 && int(i+n) < len(v.Lines) && v.PageOf[i+n] == v.PageOf[i] && v.Lines[i+n].Role == Text && !skip[i+n]; n++ {
			v.addSaid(i + n)
		}
	}
}

// addSaid takes down a line, with the next ones.
func (v *Volume) addSaid(i int32) {
	l := saidLine{line: i, last: i}
	for next := i + 1; next <= i+2 && int(next) < len(v.Lines) && v.PageOf[next] == v.PageOf[i] && v.Lines[next].Role == Text && !v.said.edge[next]; next++ {
		l.last = next
	}
	v.said.add(l, v.TextOf(i))
	if tail := v.behindPart(v.TextOf(i)); tail != nil {
		l.from = int32(len(v.TextOf(i)) - len(tail))
		v.said.add(l, tail)
	}
}

// behindPart is what a line says behind the name and number of a part, or a number alone: "chapter 3: the custom", whose heads
// may say the custom; nil where it says nothing more.
func (v *Volume) behindPart(t []byte) []byte {
	if p, ok := v.Words.Prefix(t); ok && (p.N > 0 || p.Letter > 0) && len(p.Tail) > 0 {
		return p.Tail
	}
	if v.Words.Number(t) == 0 {
		return nil
	}
	if p, ok := english.Prefix(append([]byte("chapter "), t...)); ok && p.N > 0 && len(p.Tail) > 0 {
		return p.Tail
	}
	return nil
}

// add takes down a line by the first word of its text.
func (s *said) add(l saidLine, text []byte) {
	var buf [160]byte
	first := firstNormal(buf[:0], text)
	l.before = s.last[string(first)]
	s.lines = append(s.lines, l)
	s.last[string(first)] = int32(len(s.lines))
}

// firstNormal appends the first word of a line as Normal gives it.
func firstNormal(dst, t []byte) []byte {
	end := bytes.IndexByte(t, cell.Blank)
	if end > 0 {
		if w := english.AppendStrip(dst, t[:end]); len(w) > len(dst) {
			return w
		}
	}
	w := AppendNormal(dst, t)
	if end := bytes.IndexByte(w[len(dst):], cell.Blank); end >= 0 {
		w = w[:len(dst)+end]
	}
	return w
}

// holdsText reports whether three lines of running text stand on a page: it is no list of contents.
func (v *Volume) holdsText(p int) bool {
	return v.begun(p+1) > 0 || v.runningText(p) >= 3
}

// apartAtTop reports whether nothing but a blank line, a rule or an edge line stands right over line i.
func (v *Volume) apartAtTop(i int32, edge []bool) bool {
	return i == v.Pages[v.PageOf[i]].First || v.Lines[i-1].Role != Text || edge[i-1] || oneCellIn(v.TextOf(i-1))
}

// saidWithin reports whether the words of an edge line stand in the text, on its page or one of so
// many before it: those of a whole line, or the first ones, two at least, of what begins there.
func (v *Volume) saidWithin(e *edgeLine, pages int) bool {
	first, rest, _ := strings.Cut(e.norm, " ")
	for at := v.said.last[first]; at > 0; at = v.said.lines[at-1].before {
		l := v.said.lines[at-1]
		if d := e.page - int(v.PageOf[l.line]); d < 0 || d > pages {
			continue
		}
		var buf [320]byte
		text := AppendNormal(buf[:0], v.TextOf(l.line)[l.from:])
		own := len(text)
		if n := min(own, len(e.norm)); string(text[:n]) != e.norm[:n] {
			continue
		}
		for next := l.line + 1; next <= l.last && len(text) < len(e.norm); next++ {
			text = append(append(text, cell.Blank), Normal(v.TextOf(next))...)
		}
		after, begins := bytes.CutPrefix(append(text, cell.Blank), []byte(e.norm))
		if begins && (own == len(e.norm) || rest != "" && bytes.ContainsAny(after[:1], " 134")) { // comma, colon, full stop
			return true
		}
	}
	return false
}

// saidAtTop reports whether the very words of a last line stand on line 1 of its page or of one of
// eight before it: a heading at an indent of the text, which is told from text there by nothing else.
func (v *Volume) saidAtTop(e *edgeLine) bool {
	for p := e.page; p >= 0 && p > e.page-9; p-- {
		if i := v.Pages[p].Top; i >= 0 && i != e.line && v.Lines[i].Role == Text && Normal(v.TextOf(i)) == e.norm {
			return true
		}
	}
	return false
}
