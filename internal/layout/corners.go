package layout

import "continuo/internal/cell"

// This file finds the tokens at the ends of line 1 and of the last line of every page that can
// be page numbers.

// cand is a token at an edge of line 1 or of the last line of a page that can
// be read as a page label.
type cand struct {
	page, line int32
	slot       Slot
	tok        Span
	label      cell.Label
	alone      bool // nothing else but other candidates stands on the line
	gap        int  // blanks between it and the text
}

// noPageNumbers are the reasons for which candidates are no page numbers whatever they count,
// in the order in which they are looked for.
var noPageNumbers = []struct {
	why  string
	drop func(n *numbers, v *Volume)
}{
	{"numbers of lines", (*numbers).dropLineNumbers},
	{"they end above the row of the page numbers", (*numbers).dropHigh},
	{"headings, as within pages", (*numbers).dropInner},
	{"the same number stands alone within pages", (*numbers).dropRepeated},
	{"set in from a margin at which no number stands", (*numbers).dropInset},
	{"in the middle, beside a number at the margin", (*numbers).dropMiddle},
	{"the rest of an entry of an index", (*numbers).dropRunovers},
	{"numbers of chapters that begin a page", (*numbers).dropOpeners},
	{"words, where roman numbers have a sign", (*numbers).dropUnsigned},
}

// findCands finds the candidates of all pages.
func (n *numbers) findCands(v *Volume) {
	v.eachEdge(func(p int, line int32, top bool) { n.lineCands(v, int32(p), line, top) })
}

// lineCands adds the candidates of one line.
func (n *numbers) lineCands(v *Volume, page, line int32, top bool) {
	t := v.Raw(line)
	start, from, indent := len(n.cands), lastToken(t), cell.Indent(t)
	add := func(s Slot, from, to int, l cell.Label, alone bool, gap int) {
		if !top {
			s += BottomLeft
		}
		n.cands = append(n.cands, cand{page, line, s, Span{int32(from), int32(to)}, l, alone, gap})
	}
	if from == indent || cell.BetweenHyphens(t[indent:]) != nil { // one token on the line
		if l, s, ok := v.onlyLabel(t, indent); ok {
			add(s, indent, len(t), l, true, v.Width)
		} else if k := numberAfterRow(t[indent:]); k > 0 {
			l, _ = cell.ParseLabel(t[indent+k:])
			add(TopRight, indent+k, len(t), l, false, 3)
		}
		return
	}
	if gap := gapBefore(t, from); gap >= 2 {
		if l, ok := cell.ParseLabel(t[from:]); ok && (!l.Bare || gap >= 3) {
			add(TopRight, from, len(t), l, false, gap)
		}
	}
	if to := firstTokenEnd(t, indent); indent <= 1 && gapAfter(t, to) >= 2 {
		gap := gapAfter(t, to)
		if l, ok := cell.ParseLabel(t[indent:to]); ok && (!l.Bare || gap >= 3) {
			add(TopLeft, indent, to, l, false, gap)
		}
	}
	if len(n.cands)-start == 2 { // two numbers and nothing between them
		l, r := n.cands[start+1].tok, n.cands[start].tok
		if cell.Marks(t[l.To:r.From]) == 0 {
			n.cands[start].alone, n.cands[start+1].alone = true, true
		}
	}
}

// onlyLabel reads the only token of a line, from its indent, as a label, between hyphens perhaps,
// and tells in which corner of line 1 it stands, or would.
func (v *Volume) onlyLabel(t []byte, indent int) (l cell.Label, s Slot, ok bool) {
	label, inner := t[indent:], cell.BetweenHyphens(t[indent:])
	if inner != nil {
		label = inner
	}
	if l, ok = cell.ParseLabel(label); !ok || inner != nil && l.Bare {
		return l, 0, false
	}
	switch {
	case indent > 2 && len(t) < v.Width/3:
		return l, 0, false // in no corner and not in the middle: the number of a section
	case indent <= 2:
		return l, TopLeft, true
	case len(t) < v.Width-2 && abs(indent-(v.Width-(len(t)-indent))/2) <= 2:
		return l, TopCentre, true
	}
	return l, TopRight, true
}

func gapBefore(t []byte, i int) int {
	g := 0
	for i-g > 0 && t[i-g-1] == cell.Blank {
		g++
	}
	return g
}

func gapAfter(t []byte, i int) int {
	g := 0
	for i+g < len(t) && t[i+g] == cell.Blank {
		g++
	}
	return g
}

func abs(x int) int {
	if x < 0 {
		return -x
	}
	return x
}
