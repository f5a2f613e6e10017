package layout

import "bytes"

// marginCount counts lines at one end of pages, at the margin, and those that heads would be.
type marginCount struct{ all, hits int }

func (c marginCount) most() bool { return c.hits*4 >= c.all*3 }

// countMarginHeads helps to find out whether the heads stand at the margin with the page number at the
// right, or at the right edge with the number at the left, or at the margin of line 1 with the numbers at the foot (common
// practice): of four such lines at one end of the pages, three name the title or a heading, or say what others do.
func (v *Volume) countMarginHeads(edges []edgeLine, hb *headbook) {
	for i := range edges {
		if e := &edges[i]; v.atEdge(e) {
			hit := e.like >= 3 && e.number || v.guide(e.line) || hb.isTitle(e.norm) || hb.likeHeading(e.norm, true) || e.top && v.saysBegun(e) // the heads of columns come again too; text stands at the foot
			for _, c := range []*marginCount{&v.margin[e.end()][e.page%2], &hb.margin[e.end()]} {
				c.all++
				if hit {
					c.hits++
				}
			}
		}
	}
}

// headsAtMargin reports whether heads stand at the margin at one end of the pages, in the volume, five at least, or in all
// volumes and so far as it goes in this; or on its pages with an even index, or those with an odd one, and text on the others.
func (v *Volume) headsAtMargin(end, page int, hb *headbook) bool {
	side, other, all := v.margin[end][page%2], v.margin[end][1-page%2], hb.margin[end]
	both := marginCount{side.all + other.all, side.hits + other.hits}
	return both.most() && (both.hits >= 5 || both.hits > 0 && all.hits >= 5 && all.most()) || side.most() && side.hits >= 5
}

// marginHead reports whether an edge line is a head where heads stand at the margin: it names the
// title, a heading or what begins in the text, or comes again; the first of its like at the top
// may be the heading itself.
func (v *Volume) marginHead(e *edgeLine, hb *headbook) bool {
	if !v.atEdge(e) {
		return false
	}
	return v.headsAtMargin(e.end(), e.page, hb) && (e.like >= 2 && !(e.top && e.first) || hb.isTitle(e.norm) || hb.likeHeading(e.norm, true) || v.saysBegun(e)) ||
		v.besideOthers(e, hb)
}

// saidPages is how many pages before its own a head beside a number may have its words from.
const saidPages = 60

// saysBegun reports whether an edge line says what begins in the text, and does not stand there, as far
// before it or after it, as a line three times or more, as the name of a speaker does.
func (v *Volume) saysBegun(e *edgeLine) bool {
	if len(e.norm) < 3 || !v.saidWithin(e, saidPages) {
		return false
	}
	lines, words := 0, v.spanOf(e)
	from, to := v.Pages[max(0, e.page-saidPages)].First, v.Pages[min(len(v.Pages)-1, e.page+saidPages)].Last
	for i := from; i < to; i++ {
		if v.Lines[i].Role == Text && !v.said.edge[i] && bytes.Equal(v.TextOf(i), words) {
			lines++
		}
	}
	return lines < 3
}

// besideOthers reports whether a line at the margin of line 1 without a number, where those with one are heads, has the very
// words of a heading in the middle, that before it or one under it, or of the head of the page before, or names the author
// and the title: its page has no number.
func (v *Volume) besideOthers(e *edgeLine, hb *headbook) bool {
	if e.end() != 2 || !v.headsAtMargin(1, e.page, hb) {
		return false
	}
	if e.like >= 2 && hb.namesBoth(e.norm) {
		return true
	}
	if !hb.inner.exact[e.norm] {
		return false
	}
	before := v.Pages[max(0, e.page-1)].Top
	return v.followsHeading(e, hb) || v.headingUnder(e, func(n int, t []byte) bool { return n == 0 && Normal(t) == e.norm }) ||
		before >= 0 && before < e.line && v.Lines[before].Role == Head && Normal(v.TextOf(before)) == e.norm
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
