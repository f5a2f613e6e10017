package layout

import (
	"strings"

	"continuo/internal/cell"
)

// This file finds line 1 and the last line of every page, cuts the page numbers off them and
// counts their like.

// edgeLine is line 1 or the last line of a page without its numbers.
type edgeLine struct {
	vol, page int
	line      int32
	top       bool
	number    bool // a page number stands on the line
	text      Span
	norm      string
	centred   bool   // stands away from the margin, as a head does
	middle    bool   // stands in the middle of the line or of the room beside the numbers
	like      int    // pages of the volume whose edge line is alike, this one too
	bare      int    // of these, pages on which it stands without a number
	mids      int    // of these, pages on which it stands in the middle
	loose     int    // of these, pages whose foot is further down
	inner     int    // centred lines within pages of the volume that say the same, or begin so
	anywhere  bool   // its words stand within pages of the title too, see countAnywhere and countInOthers
	flows     bool   // under it, on a page with the same, text goes on without a capital
	opener    bool   // a heading that begins its page and comes again, see findOpeners
	kin       string // what most of the like ones say, where this one says it with a slip, else ""
	aside     bool   // of five like ones or more without a number, all others stand at one cell and this one at another
	part      bool   // the first words of what three like ones or more say
	more      bool   // three like ones or more say its first words
	first     bool   // no alike edge line of the volume stands on an earlier page
}

// edgeLines cuts the page numbers off line 1 and the last line of every page
// and describes what is left.
func (v *Volume) edgeLines(n *numbers) []edgeLine {
	byLine := map[int32][]int{}
	for i, use := range n.taken {
		if use != Nothing {
			byLine[n.cands[i].line] = append(byLine[n.cands[i].line], i)
		}
	}
	var out []edgeLine
	v.eachEdge(func(p int, line int32, top bool) {
		out = append(out, v.edge(n, p, line, top, byLine[line]))
	})
	return out
}

// eachEdge goes through the lines at the edges of all pages: line 1, or what stands on one of the
// first three, and the last.
func (v *Volume) eachEdge(do func(p int, line int32, top bool)) {
	for p := range v.Pages {
		pg := &v.Pages[p]
		if pg.Top < 0 {
			continue
		}
		top := pg.Top-pg.First <= 2
		if top {
			do(p, pg.Top, true)
		}
		if !top || pg.Bottom != pg.Top {
			do(p, pg.Bottom, false)
		}
	}
}

// edge cuts the taken numbers off a line and describes what is left.
func (v *Volume) edge(n *numbers, p int, line int32, top bool, taken []int) edgeLine {
	t := v.Raw(line)
	l := &v.Lines[line]
	pg := &v.Pages[p]
	span := Span{0, int32(len(t))}
	for _, i := range taken {
		c := &n.cands[i]
		lab := c.label
		switch n.taken[i] {
		case BraillePage:
			pg.Braille = &lab
		case PrintPage:
			if !n.misprint[i] {
				pg.Print = &lab
			}
		}
		if int(c.tok.To) == len(t) {
			l.Right, span.To = c.tok, min(span.To, c.tok.From)
		} else {
			l.Left, span.From = c.tok, max(span.From, c.tok.To)
		}
	}
	for span.From < span.To && t[span.From] == cell.Blank {
		span.From++
	}
	for span.To > span.From && t[span.To-1] == cell.Blank {
		span.To--
	}
	e := edgeLine{page: p, line: line, top: top, number: len(taken) > 0, text: span, norm: Normal(t[span.From:span.To])}
	e.centred = span.From >= 3 && (int(span.To) <= v.Width-3 || len(taken) == 0)
	if l.Left.To > 0 {
		e.centred = e.centred && span.From-l.Left.To >= 2
	}
	e.middle = e.centred && v.inMiddle(span, l)
	return e
}

// fillRoom takes lines beside a number that begin two cells from the margin for lines in the middle where they say
// what a heading says, or begin as one does on two pages: they fill the room.
func (v *Volume) fillRoom(edges []edgeLine, hb *headbook) {
	for i := range edges {
		e := &edges[i]
		if !e.number || e.centred || e.text.From != 2 || cell.Marks([]byte(e.norm)) < 8 || !v.inMiddle(e.text, &v.Lines[e.line]) {
			continue
		}
		if hb.inner.exact[e.norm] || hb.tops.exact[e.norm] || e.like >= 2 && (hb.inner.begins(e.norm) || hb.tops.begins(e.norm)) {
			e.centred, e.middle = true, true
		}
	}
}

// inMiddle reports whether a span stands centred, within two cells, on the
// line or between the numbers beside it.
func (v *Volume) inMiddle(s Span, l *Line) bool {
	right := int32(v.Width)
	if l.Right.To > 0 {
		right = l.Right.From
	}
	for _, r := range []Span{{0, int32(v.Width)}, {l.Left.To, right}} {
		if d := (s.From - r.From) - (r.To - s.To); d >= -4 && d <= 4 {
			return true
		}
	}
	return false
}

// countLike counts for every edge line that can be a head on how many pages a
// like one stands, at the same end of the page.
func (v *Volume) countLike(edges []edgeLine) {
	type kind struct {
		norm  string
		top   bool
		count int
		bare  int
		loose int
		mids  int
		first int // the edge line on the earliest page
		from  map[int32]int
	}
	var kinds []kind
	at := map[string]int{}
	key := func(e *edgeLine) string {
		if e.top {
			return "t" + e.norm
		}
		return "b" + e.norm
	}
	flows := map[string]bool{}
	for i := range edges {
		e := &edges[i]
		if e.norm == "" || !e.number && v.firstPage(e.page) {
			continue
		}
		k, ok := at[key(e)]
		if !ok {
			k = len(kinds)
			kinds = append(kinds, kind{norm: e.norm, top: e.top, first: i, from: map[int32]int{}})
			at[key(e)] = k
		}
		kinds[k].count++
		if e.middle {
			kinds[k].mids++
		}
		if !e.number {
			kinds[k].bare++
			kinds[k].from[e.text.From]++
			if !e.top && !v.lastLine(e) {
				kinds[k].loose++
			}
		}
		flows[key(e)] = flows[key(e)] || e.top && v.goesOnBelow(e)
	}
	for i := range edges {
		e := &edges[i]
		own, ok := at[key(e)]
		if !ok {
			continue
		}
		e.like, e.bare, e.first = kinds[own].count, kinds[own].bare, kinds[own].first == i
		e.flows, e.loose, e.mids = flows[key(e)], kinds[own].loose, kinds[own].mids
		e.aside = !e.number && e.bare >= 5 && kinds[own].from[e.text.From] == 1 && len(kinds[own].from) == 2
		if !e.number && !e.centred {
			continue
		}
		most := e.like
		for k := range kinds {
			if o := &kinds[k]; k != own && o.top == e.top && (o.count > 1 || e.like > 1) && (Alike(o.norm, e.norm) || shortened(o.norm, e.norm)) {
				e.like += o.count
				e.bare += o.bare
				e.mids += o.mids
				e.first = e.first && o.first > i
				if o.count >= 3 && !Alike(o.norm, e.norm) {
					e.part, e.more = e.part || len(o.norm) > len(e.norm), e.more || len(o.norm) < len(e.norm)
				}
				if o.count > most && Alike(o.norm, e.norm) {
					most, e.kin = o.count, o.norm
				}
			}
		}
	}
}

// recurs reports whether the same words stand in the middle of lines within the
// pages of the volume three times or more, and more often than at their edges: a
// speaker of a play, a refrain. A running head stands nowhere else but over the
// heading that it repeats.
func (e *edgeLine) recurs() bool { return e.inner >= 3 && e.inner > e.like || e.anywhere }

// countInOthers finds the edge lines in the middle whose words stand in the middle within the pages of all volumes ten times,
// and more than twice as often as at their edges: a speaker who hardly speaks in this volume.
func countInOthers(edges [][]edgeLine) {
	like, inner := map[string]int{}, map[string]int{}
	for _, list := range edges {
		seen := map[string]bool{}
		for i := range list {
			if e := &list[i]; e.middle && e.norm != "" && !seen[e.norm] {
				seen[e.norm] = true
				like[e.norm] += e.like
				inner[e.norm] += e.inner
			}
		}
	}
	for _, list := range edges {
		for i := range list {
			if e := &list[i]; e.middle && inner[e.norm] >= 10 && inner[e.norm] > 2*like[e.norm] {
				e.anywhere = true
			}
		}
	}
}

// countAnywhere finds the edge lines away from the middle whose words stand as lines within the pages of all volumes too, three
// times and more than a third as often as at their edges: "method" over a part of each recipe begins a page now and then, a
// running head stands hardly anywhere else.
func countAnywhere(vols []*Volume, edges [][]edgeLine) {
	like, inner := map[string]int{}, map[string]int{}
	for k, list := range edges {
		for i := range list {
			if e := &list[i]; e.first && !e.middle && e.like >= 3 {
				like[string(vols[k].spanOf(e))] += e.like
			}
		}
	}
	if len(like) == 0 {
		return
	}
	for k, v := range vols {
		skip := v.linesOf(edges[k])
		for i := range v.Lines {
			if v.Lines[i].Role == Text && !skip[i] && like[string(v.TextOf(int32(i)))] > 0 {
				inner[string(v.TextOf(int32(i)))]++
			}
		}
	}
	for k, list := range edges {
		for i := range list {
			e := &list[i]
			n := inner[string(vols[k].spanOf(e))]
			e.anywhere = !e.middle && n >= 3 && 3*n > like[string(vols[k].spanOf(e))]
		}
	}
}

// linesOf marks the lines that are edge lines.
func (v *Volume) linesOf(edges []edgeLine) []bool {
	lines := make([]bool, len(v.Lines))
	for i := range edges {
		lines[edges[i].line] = true
	}
	return lines
}

// countInner counts the centred lines within pages for the edge lines: those that say the same, or begin with it, as
// a line of verse does that runs over where a number takes its room. For edge lines that are not in the middle it counts
// the lines of the same cells, wherever they stand: the refrain of a song.
func (v *Volume) countInner(edges []edgeLine) {
	skip, count, said := v.linesOf(edges), map[string]int{}, map[string]string{}
	for i := range edges {
		e := &edges[i]
		count[e.norm] = 0
		if !e.middle && e.like >= 2 {
			said[string(v.Raw(e.line)[e.text.From:e.text.To])] = e.norm
		}
	}
	delete(count, "")
	for i := range v.Lines {
		if v.Lines[i].Role != Text || skip[i] {
			continue
		}
		if norm := said[string(v.TextOf(int32(i)))]; norm != "" {
			count[norm]++
			continue
		}
		if !v.Centred(int32(i)) {
			continue
		}
		norm := Normal(v.TextOf(int32(i)))
		if n, ok := count[norm]; ok {
			count[norm] = n + 1
		}
		for n := strings.LastIndexByte(norm, ' '); n > 0 && strings.Count(norm[:n], " ") >= 2; n = strings.LastIndexByte(norm[:n], ' ') {
			if k, ok := count[norm[:n]]; ok {
				count[norm[:n]] = k + 1 // three words or more that had room beside a number
			}
		}
	}
	for i := range edges {
		edges[i].inner = count[edges[i].norm]
	}
}
