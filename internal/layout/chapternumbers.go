package layout

import (
	"slices"
	"strings"

	"continuo/internal/cell"
)

// This file tells the numbers of chapters in running heads, with number signs, from those of print pages:
// both never fall.

// cardinals are the candidates of a corner where all are whole numbers with a number sign and nothing
// else, in the order of the pages; none otherwise, nor where half of them count the pages, as the hymns of
// a book with one to a page may.
func (n *numbers) cardinals(s Slot) []*cand {
	var out []*cand
	counts := 0
	for i := range n.cands {
		c := &n.cands[i]
		if c.slot != s {
			continue
		}
		if l := c.label; l.Roman || l.Bare || l.Prefix != "" || l.Suffix != "" || l.Last != l.Value || len(out) > 0 && l.Value < out[len(out)-1].label.Value {
			return nil
		}
		if k := len(out) - 1; k >= 0 && c.label.Value-out[k].label.Value == int(c.page-out[k].page) {
			counts++
		}
		out = append(out, c)
	}
	if 2*counts >= len(out) {
		return nil
	}
	return out
}

// chaptersBegin reports whether the numbers of a corner are those of the chapters: each that comes new,
// but for one, begins the text under it, alone on a line within a page, where the corner
// has it first or up to two pages before (heads may stand on left-hand pages only). No print page is
// begun so; that three of them are by chance where no print page turn is marked in the text, or two
// where the marks there tell other pages, is not to be thought of.
func (v *Volume) chaptersBegin(all []*cand, edge map[int32]bool) bool {
	hits, missing, before := 0, 0, -1
	for _, c := range all {
		if c.label.Value == before {
			continue
		}
		began := v.chapterBegins(c, edge)
		switch {
		case began:
			hits++
		case before >= 0: // the first may go on from the volume before
			if missing++; missing > 1 {
				return false
			}
		}
		before = c.label.Value
	}
	return hits >= 3 && hits > 2*missing || hits == 2 && missing == 0 && v.marksTellOther(all)
}

// chapterBegins reports whether the number of a candidate stands alone on a line within its
// page, or one of the two before it, over the first line of a paragraph and after the end of a sentence.
func (v *Volume) chapterBegins(c *cand, edge map[int32]bool) bool {
	for p := max(0, c.page-2); p <= c.page; p++ {
		if i := v.beginning(p, c.label.Value, false, edge); i >= 0 && v.sentenceEnds(i, edge) && !v.flowsFrom(i+1) {
			return true
		}
	}
	return false
}

// sentenceEnds reports whether the text before a line ends a sentence, or is another line in the middle: the
// lines at the top of pages that may hold their numbers and heads are passed by.
func (v *Volume) sentenceEnds(line int32, edge map[int32]bool) bool {
	for i := line - 1; i >= 0; i-- {
		t := v.TextOf(i)
		switch {
		case len(t) == 0:
		case strings.IndexByte(endsSentence, t[len(t)-1]) >= 0 || v.Centred(i):
			return true
		case !edge[i] && i != v.Pages[v.PageOf[i]].Top:
			return false
		}
	}
	return true
}

// marksTellOther reports whether print page indicators stand in the text, three at least, and
// none of a corner's numbers is that of the indicator last before the end of its page, or one less or more.
func (v *Volume) marksTellOther(all []*cand) bool {
	marks, seen := 0, []cell.Label(nil)
	next := int32(0)
	for _, c := range all {
		for ; next < v.Pages[c.page].Last; next++ {
			if v.Lines[next].Role == Empty {
				continue
			}
			t := v.TextOf(next)
			if l, ok := MarkLabel(t); ok {
				seen, marks = append(seen[:0], l), marks+1
			}
			Marks(t, func(_, _ int, l cell.Label) { seen, marks = append(seen[:0], l), marks+1 })
		}
		if slices.ContainsFunc(seen, func(l cell.Label) bool { return abs(l.Value-c.label.Value) <= 1 }) {
			return false
		}
	}
	return marks >= 3
}
