package layout

import (
	"slices"
	"strings"

	"continuo/internal/cell"
)

// A heading that begins a new page stands where page numbers and running heads stand, and
// may come again or count up as these do: "to his mother", "a song", "II" (common practice).
// The page before it was left unfilled; numbers and heads stand over text that goes on
// from a full page too.

// unfilled reports whether a page ends three lines or more, twice as many in double
// spacing, above the foot of the paper, or is empty. Lines of which number says that they
// hold page numbers alone do not count.
func (v *Volume) unfilled(page int, number func(line int32) bool) bool {
	if page < 0 {
		return true
	}
	pg, free := &v.Pages[page], int32(3)
	if v.alternate(page) {
		free *= 2
	}
	for i := pg.Last - 1; i >= pg.First; i-- {
		if v.Lines[i].Role != Empty && !number(i) {
			return i-pg.First < int32(v.Height)-free
		}
	}
	return true
}

// fullPages counts the full pages that another follows; prose says that on two in five of
// the pages after them, or more, the text goes on in the middle of a sentence.
func (v *Volume) fullPages(number func(line int32) bool) (full int, prose bool) {
	flows := 0
	for p := 0; p+1 < len(v.Pages); p++ {
		if v.unfilled(p, number) {
			continue
		}
		full++
		if next := &v.Pages[p+1]; next.Top >= 0 && (v.flowsFrom(next.Top) || v.flowsFrom(next.Top+1)) {
			flows++
		}
	}
	return full, 5*flows >= 2*full
}

// offText reports whether a blank line stands over line i on its page: at the foot, a number and
// words are off the text.
func (v *Volume) offText(i int32) bool {
	return i > v.Pages[v.PageOf[i]].First && v.Lines[i-1].Role == Empty
}

// onlyNumbers reports whether a line holds numbers that were cut off and nothing else.
func (v *Volume) onlyNumbers(i int32) bool {
	l, t := &v.Lines[i], v.Raw(i)
	from, to := l.Left.To, int32(len(t))
	if l.Right.To > 0 {
		to = l.Right.From
	}
	return from >= to || cell.Marks(t[from:to]) == 0
}

// openers reports whether lines at the top of pages, of which opens stand after unfilled
// pages and others do not, belong to what begins there, in a volume with so many full
// pages: nearly all, or in prose half of them, where under none a sentence goes on.
func openers(opens, others, full int, prose bool) bool {
	return full >= 3 && 4*others <= full && (3*others <= opens || prose && others <= opens)
}

// opening is how often a text stands alone at the top of the pages of a title.
type opening struct {
	opens, others, full int
	prose, flows        bool
	head                bool // the like of it stands beside a number, over its own heading or beside a number over a part's: a running head
}

// findOpeners marks the edge lines that begin something on a new page: headings that come again.
func findOpeners(vols []*Volume, edges [][]edgeLine) {
	all, beside := map[string]*opening{}, besideNumbers(edges)
	for i, v := range vols {
		full, prose := v.fullPages(v.onlyNumbers)
		seen := map[*opening]bool{}
		for k := range edges[i] {
			e := &edges[i][k]
			if !e.opens() || v.firstPage(e.page) {
				continue
			}
			o := all[e.norm]
			if o == nil {
				o = &opening{prose: true, head: !e.number && beside[e.norm]}
				all[e.norm] = o
			}
			if !seen[o] {
				seen[o] = true
				o.full += full
				o.prose = o.prose && prose
			}
			o.head = o.head || !e.number && e.bare < e.like || v.overSame(e) || e.number && v.overPart(e)
			if o.flows = o.flows || v.goesOnBelow(e); v.unfilled(e.page-1, v.onlyNumbers) {
				o.opens++
			} else {
				o.others++
			}
		}
	}
	begin := map[string]bool{}
	for norm := range all {
		begin[norm] = withAlike(norm, all).begins()
	}
	for i := range edges {
		for k := range edges[i] {
			e := &edges[i][k]
			e.opener = e.opens() && begin[e.norm]
		}
	}
}

// overPart reports whether a part's name and number, in any word, or the heading of preliminary matter, stands under
// an edge line.
func (v *Volume) overPart(e *edgeLine) bool {
	next := v.below(e.line)
	if next < 0 {
		return false
	}
	if p, ok := v.Words.Prefix(v.TextOf(next)); ok && (p.N > 0 || apart[p.ID]) {
		return true
	}
	words := strings.Fields(Normal(v.TextOf(next)))
	n := endNumber(words)
	return next == v.near(e.line, 1) && v.Lines[next].Text.From >= 3 && len(words) == 2 && n > 0 && n < 1000
}

// besideNumbers is what stands in the middle beside numbers at the top of several pages of a volume.
func besideNumbers(edges [][]edgeLine) map[string]bool {
	out := map[string]bool{}
	for i := range edges {
		for k := range edges[i] {
			if e := &edges[i][k]; e.top && e.number && e.middle && e.like >= 2 && e.bare < e.like {
				out[e.norm] = true
			}
		}
	}
	return out
}

// withAlike is what is known of a text and of those that are the same but for a slip, or whose
// beginning it is, together: a misspelt or shortened running head is one like the others.
func withAlike(norm string, all map[string]*opening) opening {
	sum := *all[norm]
	for other, o := range all {
		if other != norm && (Alike(other, norm) || shortened(other, norm)) {
			sum.opens, sum.others, sum.full = sum.opens+o.opens, sum.others+o.others, max(sum.full, o.full)
			sum.prose, sum.flows, sum.head = sum.prose && o.prose, sum.flows || o.flows, sum.head || o.head
		}
	}
	return sum
}

// begins reports whether what the texts stand over, two at least, begins there.
func (o opening) begins() bool {
	return o.opens+o.others >= 2 && !o.flows && !o.head && openers(o.opens, o.others, o.full, o.prose)
}

// opens reports whether an edge line can be a heading that begins its page, by its place. Headings
// share line 1 with the number that all of their like stand beside (BANA, Braille Formats 2016, 1.8).
func (e *edgeLine) opens() bool {
	return e.top && e.centred && e.norm != "" && (!e.number || e.middle && e.bare == 0)
}

// overHeadingLine reports whether up to three lines in the middle, with a blank line under them, stand right under line i.
func (v *Volume) overHeadingLine(i int32) bool {
	last := v.Pages[v.PageOf[i]].Last
	for k := i + 1; k+1 < last && k <= i+3 && v.Lines[k].Role != Empty && v.Centred(k); k++ {
		if v.Lines[k+1].Role == Empty {
			return true
		}
	}
	return false
}

// dropOpeners takes out the candidates that stand alone in the middle of line 1 where
// something begins: the numbers of chapters, each on a new page, or on so few pages that
// they number none.
func (n *numbers) dropOpeners(v *Volume) {
	alone := map[int32]bool{}
	for i := range n.cands {
		alone[n.cands[i].line] = alone[n.cands[i].line] || n.cands[i].alone
	}
	number := func(line int32) bool { all, ok := alone[line]; return all || ok && v.offText(line) }
	middle := func(c *cand) bool { return c.slot == TopCentre && c.alone }
	opens, others, over, flows := 0, 0, 0, false
	for i := range n.cands {
		c := &n.cands[i]
		if middle(c) && v.overHeadingLine(c.line) {
			over++
		}
		flows = flows || middle(c) && v.flowsFrom(c.line+1)
		switch {
		case !middle(c):
		case v.unfilled(int(c.page)-1, number):
			opens++
		default:
			others++
		}
	}
	if opens+others == 0 || flows {
		return
	}
	full, prose := v.fullPages(number)
	switch {
	case opens > 0 && openers(opens, others, full, prose), over >= 2 && over == opens+others, // or one number to each thing that begins: full pages may end with one
		2*others <= full && 3*others <= opens && n.countsWith(nil, TopCentre):
		n.cands = slices.DeleteFunc(n.cands, func(c cand) bool { return middle(&c) })
	case 8*(opens+others) <= len(v.Pages): // page numbers are on more pages; roman ones may be those of preliminary pages
		n.cands = slices.DeleteFunc(n.cands, func(c cand) bool { return middle(&c) && !c.label.Roman && !c.label.Bare })
	}
}
