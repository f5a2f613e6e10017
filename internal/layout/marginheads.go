package layout

import "bytes"

// findMarginHeads finds out whether the heads stand at the margin with the page number at the
// right, or at the right edge with the number at the left, or at the margin of line 1 with the numbers at the foot (common
// practice): of four such lines at one end of the pages, three name the title or a heading, or say what others do.
func (v *Volume) findMarginHeads(edges []edgeLine, hb *headbook) {
	var all, hits [3]int
	for i := range edges {
		if e := &edges[i]; v.atEdge(e) {
			k := e.end()
			all[k]++
			if e.like >= 3 && e.number || hb.isTitle(e.norm) || hb.likeHeading(e.norm, true) { // the heads of columns come again too
				hits[k]++
			}
		}
	}
	for k := range all {
		v.marginHeads[k] = hits[k] >= 5 && hits[k]*4 >= all[k]*3
	}
}

// marginHead reports whether an edge line is a head where heads stand at the margin: it names the
// title, a heading or, beside a number, what begins in the text, or comes again; the first of its like at the top
// may be the heading itself.
func (v *Volume) marginHead(e *edgeLine, hb *headbook) bool {
	return v.marginHeads[e.end()] && v.atEdge(e) && (e.like >= 2 && !(e.top && e.first) ||
		hb.isTitle(e.norm) || hb.likeHeading(e.norm, true) || e.number && len(e.norm) >= 3 && v.saidWithin(e, 60))
}

// end is 1 for a line at the top of its page, 2 for one that has no number beside it, 0 for one at the foot.
func (e *edgeLine) end() int {
	switch {
	case e.top && !e.number:
		return 2
	case e.top:
		return 1
	}
	return 0
}

// atEdge reports whether words stand beside a number from the margin on, or up to the right edge, or alone at the margin of
// line 1.
func (v *Volume) atEdge(e *edgeLine) bool {
	if l := &v.Lines[e.line]; e.top && !e.number {
		return e.norm != "" && e.text.From == 0 && l.Left.To == 0 && l.Right.To == 0 && !bytes.Contains(v.spanOf(e), []byte("  "))
	}
	l := &v.Lines[e.line]
	return e.number && e.norm != "" && (l.Right.To > 0 && l.Left.To == 0 && e.text.From == 0 || l.Left.To > 0 && l.Right.To == 0 && int(e.text.To) >= v.Width-1)
}
