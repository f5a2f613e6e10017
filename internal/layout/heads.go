package layout

import (
	"bytes"
	"slices"
	"strings"

	"continuo/internal/cell"
	"continuo/internal/english"
)

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
	loose     int    // of these, pages whose foot is further down
	inner     int    // centred lines within pages of the volume that say the same
	flows     bool   // under it, on a page with the same, text goes on without a capital
	opener    bool   // a heading that begins its page and comes again, see findOpeners
	kin       string // what most of the like ones say, where this one says it with a slip, else ""
	aside     bool   // of five like ones or more without a number, all others stand at one cell and this one at another
	first     bool   // no alike edge line of the volume stands on an earlier page
}

// headbook holds the edge lines of all volumes and the headings that a head
// may be a short form of.
type headbook struct {
	inner  shelf           // centred lines within pages, and the lines of title pages
	tops   shelf           // centred lines at the top of a page without a number
	apart  map[string]bool // centred lines within pages that are set apart, as headings are
	titles []string

	titleRest map[string]string // titles of two lines by their first

	ends      map[partEnd]bool // parts in which volumes break off
	endTitles map[string]bool  // and their titles

	running

	footHeads int  // last lines of pages, in all volumes, that are alike and centred
	bareHeads int  // first lines, in all volumes, that are alike, centred and without a number
	pages     int  // pages of all volumes
	reserved  bool // most of the pages stand in volumes whose line 1 is for heads alone
}

// footed reports whether heads stand at the foot of pages: on an eighth of
// them at least.
func (hb *headbook) footed() bool { return hb.footHeads >= 3 && hb.footHeads*8 >= hb.pages }

// bareTops reports whether heads without a number stand at the top of pages: on a third
// of them, or on a third of those of the title and in a volume that is not short on some.
func (v *Volume) bareTops(hb *headbook) bool {
	return v.bareHeads*3 >= len(v.Pages) || hb.bareHeads*3 >= hb.pages && (v.bareHeads >= 3 || len(v.Pages) <= fewPages)
}

// shelf is a set of headings that can be asked for a like one.
type shelf struct {
	headings []heading // to be compared by likeness, so many of each volume
	room     int       // how many more of this volume
	exact    map[string]bool
	known    map[string]bool // answers so far
}

func (s *shelf) add(norm string) {
	if len(norm) < 2 || s.exact[norm] {
		return
	}
	s.exact[norm] = true
	if s.room > 0 {
		s.room--
		s.headings = append(s.headings, heading{norm, strings.Fields(norm)})
	}
}

func newShelf() shelf { return shelf{exact: map[string]bool{}, known: map[string]bool{}} }

// partEnd is a kind of part and a number: chapter 5.
type partEnd struct {
	id english.PhraseID
	n  int
}

type heading struct {
	norm  string
	words []string
}

func newHeadbook() *headbook {
	return &headbook{inner: newShelf(), tops: newShelf(), apart: map[string]bool{}, titleRest: map[string]string{}, ends: map[partEnd]bool{}, endTitles: map[string]bool{}, running: newRunning()}
}

// Normal is the text of a line as heads are compared: without indicators of
// capitals and typeforms and with single blanks. A text of nothing but such signs
// is compared by its cells.
func Normal(t []byte) string {
	var buf [160]byte
	s := english.AppendStrip(buf[:0], t)
	if cell.Marks(s) == 0 {
		s = append(s[:0], t...)
	}
	out := s[:0]
	for _, c := range s {
		if c == cell.Blank && (len(out) == 0 || out[len(out)-1] == cell.Blank) {
			continue
		}
		out = append(out, c)
	}
	for len(out) > 0 && out[len(out)-1] == cell.Blank {
		out = out[:len(out)-1]
	}
	return string(out)
}

// countHeads counts the heads of the volume that give themselves away.
func (v *Volume) countHeads(edges []edgeLine, hb *headbook) {
	numbered, headlike := 0, 0
	v.headed = false
	for i := range edges {
		e := &edges[i]
		if e.top && e.number {
			numbered++
			v.headed = v.headed || e.norm != "" && e.like >= 2 && e.centred && !e.recurs() || v.guides[e.line]
			if e.norm == "" || v.guides[e.line] || e.like >= 2 && !e.recurs() || (e.centred && hb.likeHeading(e.norm, true)) {
				headlike++
			}
		}
	}
	v.numbered = numbered
	v.findMarginHeads(edges, hb)
	v.Reserved = numbered >= 2 && headlike*10 >= numbered*9
	v.nearly = v.Reserved || numbered >= 4 && headlike >= numbered-1
	v.headed = v.headed || v.Reserved && v.repeatsHeadings(edges, hb)
	var foot [2]int
	for i := range edges {
		switch e := &edges[i]; {
		case !e.centred || oneCell(e.norm) || e.recurs():
		case !e.top && (v.guides[e.line] || e.like >= 3 && (e.number || e.loose*4 <= e.like) || e.middle && (e.number || v.lastLine(e)) && v.followsHeading(e, hb)):
			v.footHeads++
			foot[e.page%2]++
		case e.top && !e.number && e.like >= 2 && !e.opener:
			v.bareHeads++
		}
	}
	full := v.filled()
	for k := range foot {
		v.footPlace[k] = foot[k] >= 3 && foot[k]*5 >= full[k]*4
	}
}

// findMarginHeads finds out whether the heads stand at the margin with the page number at the
// right, or at the right edge with the number at the left (common practice): of four numbered lines at
// one end of the pages that have such words, three name the title or a heading.
func (v *Volume) findMarginHeads(edges []edgeLine, hb *headbook) {
	var all, hits [2]int
	for i := range edges {
		if e := &edges[i]; v.atEdge(e) {
			k := e.end()
			all[k]++
			if hb.isTitle(e.norm) || hb.inner.exact[e.norm] || hb.tops.exact[e.norm] {
				hits[k]++
			}
		}
	}
	for k := range all {
		v.marginHeads[k] = hits[k] >= 5 && hits[k]*4 >= all[k]*3
	}
}

// end is 1 for a line at the top of its page, 0 for one at the foot.
func (e *edgeLine) end() int {
	if e.top {
		return 1
	}
	return 0
}

// atEdge reports whether words stand beside a number from the margin on, or up to the right edge.
func (v *Volume) atEdge(e *edgeLine) bool {
	l := &v.Lines[e.line]
	return e.number && e.norm != "" && (l.Right.To > 0 && l.Left.To == 0 && e.text.From == 0 || l.Left.To > 0 && l.Right.To == 0 && int(e.text.To) >= v.Width-1)
}

// filled counts the pages with text on the last line of the paper, those with an even index
// and those with an odd one.
func (v *Volume) filled() (full [2]int) {
	for p := range v.Pages {
		if pg := &v.Pages[p]; pg.Bottom-pg.First >= int32(v.Height)-2 {
			full[p%2]++
		}
	}
	return full
}

// repeatsHeadings reports whether three lines in the middle of line 1, beside a number, repeat the
// heading before them: heads of chapters so short that no head stands twice.
func (v *Volume) repeatsHeadings(edges []edgeLine, hb *headbook) bool {
	n := 0
	for i := range edges {
		if e := &edges[i]; e.top && e.number && e.middle && n < 3 && v.followsHeading(e, hb) {
			n++
		}
	}
	return n >= 3
}

// markHeads gives line 1 and the last line of every page their role.
func (v *Volume) markHeads(edges []edgeLine, hb *headbook) {
	for i := range edges {
		v.markEdge(&edges[i], hb, v.numbered)
	}
	v.findOddOnly()
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
	for p := range v.Pages {
		pg := &v.Pages[p]
		if pg.Top < 0 {
			continue
		}
		for _, line := range []int32{pg.Top, pg.Bottom} {
			top := line == pg.Top && line-pg.First <= 2
			if line == pg.Bottom && pg.Bottom == pg.Top && !top {
				top = false
			} else if line == pg.Bottom && line == pg.Top && len(out) > 0 && out[len(out)-1].line == line {
				continue
			} else if line == pg.Top && !top && pg.Top != pg.Bottom {
				continue
			}
			out = append(out, v.edge(n, p, line, top, byLine[line]))
		}
	}
	return out
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
		e.flows, e.loose = flows[key(e)], kinds[own].loose
		e.aside = !e.number && e.bare >= 5 && kinds[own].from[e.text.From] == 1 && len(kinds[own].from) == 2
		if !e.number && !e.centred {
			continue
		}
		most := e.like
		for k := range kinds {
			if o := &kinds[k]; k != own && o.top == e.top && (o.count > 1 || e.like > 1) && (Alike(o.norm, e.norm) || shortened(o.norm, e.norm)) {
				e.like += o.count
				e.bare += o.bare
				e.first = e.first && o.first > i
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
func (e *edgeLine) recurs() bool { return e.inner >= 3 && e.inner > e.like }

// linesOf marks the lines that are edge lines.
func (v *Volume) linesOf(edges []edgeLine) []bool {
	lines := make([]bool, len(v.Lines))
	for i := range edges {
		lines[edges[i].line] = true
	}
	return lines
}

// countInner counts the centred lines within pages for the edge lines.
func (v *Volume) countInner(edges []edgeLine) {
	skip, count := v.linesOf(edges), map[string]int{}
	for i := range edges {
		count[edges[i].norm] = 0
	}
	delete(count, "")
	for i := range v.Lines {
		if v.Lines[i].Role != Text || skip[i] || !v.Centred(int32(i)) {
			continue
		}
		norm := Normal(v.TextOf(int32(i)))
		if n, ok := count[norm]; ok {
			count[norm] = n + 1
		}
	}
	for i := range edges {
		edges[i].inner = count[edges[i].norm]
	}
}

// addHeadings takes down the centred lines of a volume that are no edge lines
// with a number and no last lines: what a head may repeat.
func (hb *headbook) addHeadings(v *Volume, edges []edgeLine) {
	skip := v.linesOf(edges)
	hb.addEnds(v)
	hb.inner.room, hb.tops.room = 400, 400
	if len(edges) > 0 {
		top := v.Pages[edges[0].page].Top
		if edges[0].number && edges[0].norm == "" { // a number alone, and the title below it
			top = v.below(top)
		}
		if top >= 0 && v.Centred(top) {
			hb.titles = append(hb.titles, Normal(v.TextOf(top)))
			hb.addTitleRest(v, top)
		}
	}
	for i := range v.Lines {
		l := &v.Lines[i]
		if l.Role != Text || skip[i] || !v.Centred(int32(i)) || v.atLevel(int32(i)) {
			continue
		}
		norm := Normal(v.TextOf(int32(i)))
		hb.inner.add(norm)
		apart := v.setApart(int32(i))
		if apart {
			hb.apart[norm] = true
		}
		v.addJoined(hb, int32(i), apart)
	}
	for i := range edges {
		e := &edges[i]
		if !e.top || e.number || !e.centred {
			continue
		}
		if v.firstPage(e.page) {
			hb.inner.add(e.norm)
			hb.apart[e.norm] = true
			v.addJoined(hb, e.line, true)
		} else if e.first {
			hb.tops.add(e.norm)
		}
	}
}

// below is the next line of a page under line i that holds text, -1 if there is none.
func (v *Volume) below(i int32) int32 {
	for k := i + 1; k < v.Pages[v.PageOf[i]].Last; k++ {
		if v.Lines[k].Role == Text && !v.onlyNumbers(k) {
			return k
		}
	}
	return -1
}

// addTitleRest takes down the second line of a title that runs over two lines, the first line of a
// title page and the one right under it, where the author's line, with the word for "by", stands
// further down.
func (hb *headbook) addTitleRest(v *Volume, top int32) {
	next, last := v.nextCentred(top), v.Pages[v.PageOf[top]].Last
	if next < 0 {
		return
	}
	for i := next; i < last; i++ {
		if p, ok := v.Words.Prefix(v.TextOf(i)); ok && v.Lines[i].Role == Text {
			if i > next && p.ID == english.By {
				hb.titleRest[Normal(v.TextOf(top))] = Normal(v.TextOf(next))
			}
			return
		}
	}
}

// sideHeading reports whether a line can be a heading at cell 5 or cell 7:
// short, after a blank line, with text at the margin or a paragraph after it
// (BRL session 4; BANA Braille Formats, 4.4).
func (v *Volume) sideHeading(i int32) bool {
	s := v.Lines[i].Text
	if s.From != 4 && s.From != 6 || int(s.To-s.From) > v.Width*2/3 {
		return false
	}
	pg := &v.Pages[v.PageOf[i]]
	if i > pg.First && v.Lines[i-1].Role != Empty {
		return false
	}
	for j := i + 1; j < pg.Last; j++ {
		if v.Lines[j].Role == Text {
			return v.Lines[j].Text.From <= 2
		}
	}
	return false
}

// followsHeading reports whether the last heading before an edge line, in its
// volume, is like it: then the line is the head of that part.
func (v *Volume) followsHeading(e *edgeLine, hb *headbook) bool {
	if v.inRun(e.line, e.text.From) {
		return false
	}
	if v.headingBefore(v.Pages[e.page].First, e) || !e.top && v.headingBefore(e.line, e) {
		return true
	}
	p, ok := v.Words.Lookup([]byte(e.norm))
	return !e.top && e.page < 60 && ok && p.N > 0 && hb.likeHeading(e.norm, e.number) // the part began in another volume
}

// headingBefore reports whether the last heading before line from is like an
// edge line.
func (v *Volume) headingBefore(from int32, e *edgeLine) bool {
	for i := from - 1; i >= 0 && e.page-int(v.PageOf[i]) < 60; i-- {
		l := &v.Lines[i]
		if l.Role != Text || l.Text.From < 3 || !v.Centred(i) && !v.sideHeading(i) || v.inRun(i, l.Text.From) || !v.setApart(i) || v.pageTop(i) && v.atLevel(i) {
			continue
		}
		n := Normal(v.TextOf(i))
		if n == e.norm || !v.atLevel(i) && (Alike(n, e.norm) || shortForm(strings.Fields(n), strings.Fields(e.norm))) {
			return true
		}
		if p, ok := v.Words.Lookup(v.TextOf(i)); ok && p.N > 0 {
			return false // the heading of another part
		}
	}
	return false
}

// inRun reports whether the lines before or after line i, on its page, begin at
// the cell at which its own text does: verse and lists, where a line can stand in the middle by
// chance. Two centred lines may be one heading.
func (v *Volume) inRun(i, from int32) bool {
	pg := &v.Pages[v.PageOf[i]]
	same := func(k int32) bool {
		return k >= pg.First && k < pg.Last && v.Lines[k].Role == Text && v.Lines[k].Text.From == from
	}
	for _, d := range []int32{-1, 1} {
		if k := v.near(i, d); same(k) && (!v.Centred(k) || same(v.near(k, d)) || same(v.near(i, -d))) {
			return true
		}
	}
	return false
}

// setApart reports whether a line begins its page, stands after a blank line, a
// rule or another centred line, or names a part.
func (v *Volume) setApart(i int32) bool {
	pg := &v.Pages[v.PageOf[i]]
	if i == pg.First || i == pg.Top {
		return true
	}
	if prev := v.near(i, -1); prev < pg.First || v.Lines[prev].Role != Text || v.Centred(prev) && !v.atLevel(prev) || oneCell(string(v.TextOf(prev))) {
		return true
	}
	_, ok := v.Words.Lookup(v.TextOf(i))
	return ok // "chapter 5", "index"
}

// addJoined takes down a heading that runs over two or three centred lines,
// of which line i is the first, set apart or not.
func (v *Volume) addJoined(hb *headbook, i int32, apart bool) {
	joined := Normal(v.TextOf(i))
	for j, n := v.nextCentred(i), 0; j >= 0 && n < 2; j, n = v.nextCentred(j), n+1 {
		joined += " " + Normal(v.TextOf(j))
		hb.inner.add(joined)
		if apart {
			hb.apart[joined] = true
		}
	}
}

// nextCentred is the line right after line i on its page when it is centred, else -1.
func (v *Volume) nextCentred(i int32) int32 {
	next := v.near(i, 1)
	if next >= v.Pages[v.PageOf[i]].Last || v.Lines[next].Role != Text || !v.Centred(next) {
		return -1
	}
	return next
}

// levels finds the indents of three cells or more at which lines of many
// lengths begin: runovers, verse, lists. A centred line there may be one. Lines that are
// centred have one of two lengths for each indent.
func (v *Volume) levels() (level [24]bool) {
	var in, out [24]int
	var long [24][64]int
	for i := range v.Lines {
		l := &v.Lines[i]
		if l.Role != Text || l.Text.From < 3 || l.Text.From >= 24 {
			continue
		}
		long[l.Text.From][min(l.Text.To-l.Text.From, 63)]++
		if v.Centred(int32(i)) {
			in[l.Text.From]++
		} else {
			out[l.Text.From]++
		}
	}
	for k := range level {
		level[k] = k <= 8 && (out[k] >= 3 && out[k] >= 2*in[k] || out[k] >= 8 && 3*out[k] >= in[k] || manyLengths(&long[k]))
	}
	return level
}

// manyLengths reports whether lines counted by their length have many: a third of them,
// eight or more, have none of the two next to each other that most lines have.
func manyLengths(count *[64]int) bool {
	all, most := 0, 0
	for n, c := range count {
		all += c
		if n > 0 {
			most = max(most, c+count[n-1])
		}
	}
	return all-most >= 8 && 3*(all-most) >= all
}

// atLevel reports whether line i begins at a level of the text, is no structure
// word and does not stand right under one with its number: "chapter 5", and its title.
func (v *Volume) atLevel(i int32) bool {
	from := v.Lines[i].Text.From
	if int(from) >= len(v.level) || !v.level[from] {
		return false
	}
	_, ok := v.Words.Lookup(v.TextOf(i))
	return !ok && !v.underPart(i)
}

// underPart reports whether the line above line i names a part and its number.
func (v *Volume) underPart(i int32) bool {
	above := v.near(i, -1)
	if above < v.Pages[v.PageOf[i]].First || v.Lines[above].Role != Text || !v.Centred(above) {
		return false
	}
	p, ok := v.Words.Lookup(v.TextOf(above))
	return ok && p.N > 0
}

// pageTop reports whether line i is the first of its page.
func (v *Volume) pageTop(i int32) bool { return v.Pages[v.PageOf[i]].Top == i }

// halfTitle reports whether an edge line that is a head on pages before is the first line of a
// title of two lines, and its second line does not follow: a head is shortened, a title above the text is whole.
func (v *Volume) halfTitle(e *edgeLine, hb *headbook) bool {
	rest, next := hb.titleRest[e.norm], v.near(e.line, 1)
	if rest == "" || e.first || e.like < 3 || next >= v.Pages[e.page].Last {
		return false
	}
	return v.Lines[next].Role != Text || !Alike(Normal(v.TextOf(next)), rest)
}

// isTitle reports whether a text is the first line of a title page.
func (hb *headbook) isTitle(norm string) bool {
	for _, t := range hb.titles {
		if Alike(t, norm) {
			return true
		}
	}
	return false
}

// Centred reports whether line i stands centred, within a cell or two, and
// away from both margins.
func (v *Volume) Centred(i int32) bool {
	s := v.Lines[i].Text
	n := int(s.To - s.From)
	if n == 0 || s.From < 3 {
		return false
	}
	for _, w := range []int{v.Width, v.TextWidth} {
		if d := int(s.From) - (w-n)/2; d >= -2 && d <= 2 && n <= w-6 {
			return true
		}
	}
	return false
}

// likeHeading reports whether a head repeats a heading or title of the book:
// the same, misspelt, or some of its words. A line without a number is not
// compared with its own like at the top of other pages.
func (hb *headbook) likeHeading(norm string, number bool) bool {
	return hb.inner.like(norm) || number && hb.tops.like(norm)
}

func (s *shelf) like(norm string) bool {
	k, ok := s.known[norm]
	if !ok {
		k = s.exact[norm] || s.search(norm)
		s.known[norm] = k
	}
	return k
}

func (s *shelf) search(norm string) bool {
	words := strings.Fields(norm)
	for i := range s.headings {
		h := &s.headings[i]
		if Alike(h.norm, norm) || shortForm(h.words, words) {
			return true
		}
	}
	return false
}

// begins reports whether a text is like the first words of a heading, two or
// more of them.
func (s *shelf) begins(norm string) bool {
	words := strings.Fields(norm)
	if len(words) < 2 {
		return false
	}
	for i := range s.headings {
		if h := s.headings[i].words; len(h) > len(words) && Alike(strings.Join(h[:len(words)], " "), norm) {
			return true
		}
	}
	return false
}

// bare is a word without a comma, semicolon, colon or full stop at its end.
func bare(word string) string {
	if n := len(word) - 1; (n > 2 || n == 2 && word[0] == '#') && strings.IndexByte("1234", word[n]) >= 0 {
		return word[:n]
	}
	return word
}

// shortForm reports whether words are a heading with some of its words left
// out: in the same order, beginning with its first or second word, a third of
// it or more.
func shortForm(heading, words []string) bool {
	if len(words) == 0 || len(heading) < 2 || words[0] != heading[0] && words[0] != heading[1] {
		return false
	}
	k, cells, all := 0, 0, 0
	for _, h := range heading {
		all += len(h)
		if k < len(words) && (words[k] == h || k+1 == len(words) && words[k] == bare(h)) {
			k++
			cells += len(h)
		}
	}
	return k == len(words) && cells*3 >= all && cells >= 3 && sameNumber(strings.Join(heading, " "), strings.Join(words, " "))
}

// Alike reports whether two texts are the same but for a slip or two: one cell
// in eight wrong, missing, doubled or changed over with its neighbour, and one
// more. Texts that name different numbers are not alike.
func Alike(a, b string) bool {
	if a == b {
		return true
	}
	if len(a) < 4 || len(b) < 4 || len(a) > 120 || len(b) > 120 {
		return false
	}
	most := 1 + min(len(a), len(b))/8
	if len(a)-len(b) > most || len(b)-len(a) > most || !shareCells(a, b, most) {
		return false
	}
	return distance(a, b, most) <= most && sameNumber(a, b)
}

// shortened reports whether one text is the first words of the other, two or
// more of them.
func shortened(a, b string) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	if len(a) < 6 || len(a) >= len(b) || b[:len(a)] != a || b[len(a)] != cell.Blank {
		return false
	}
	for i := 1; i < len(a); i++ {
		if a[i] == cell.Blank {
			return sameNumber(a, b)
		}
	}
	return false
}

// beginsLike reports whether the first words of a heading, two or more but not all, are a
// text, with a slip or two.
func beginsLike(heading, text string) bool {
	h, n := strings.Fields(heading), len(strings.Fields(text))
	if n < 2 || n >= len(h) || len(text) < 6 {
		return false
	}
	h[n-1] = bare(h[n-1]) // "chapter 2: the mill"
	return Alike(strings.Join(h[:n], " "), text)
}

// shareCells is a quick test that must hold when a and b are at most n slips
// apart: they have nearly the same cells.
func shareCells(a, b string, n int) bool {
	var count [64]int8
	for i := 0; i < len(a); i++ {
		count[a[i]&63]++
	}
	for i := 0; i < len(b); i++ {
		count[b[i]&63]--
	}
	off := 0
	for _, c := range count {
		off += int(max(c, -c))
	}
	return off <= 2*n
}

// distance counts the slips between a and b; above limit any larger number
// may come back.
func distance(a, b string, limit int) int {
	var rows [3][128]int
	prev2, prev, cur := &rows[0], &rows[1], &rows[2]
	for j := 0; j <= len(b); j++ {
		prev[j] = j
	}
	for i := 1; i <= len(a); i++ {
		cur[0] = i
		low := i
		for j := 1; j <= len(b); j++ {
			d := min(prev[j]+1, cur[j-1]+1)
			if a[i-1] == b[j-1] {
				d = min(d, prev[j-1])
			} else {
				d = min(d, prev[j-1]+1)
			}
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				d = min(d, prev2[j-2]+1)
			}
			cur[j] = d
			low = min(low, d)
		}
		if low > limit {
			return low
		}
		prev2, prev, cur = prev, cur, prev2
	}
	return prev[len(b)]
}

// sameNumber reports whether two texts do not name different chapters: what
// differs in them is neither a number sign's digits nor a roman number nor the number
// of a structure word.
func sameNumber(a, b string) bool {
	if digitsOf(a) != digitsOf(b) || otherRoman(strings.Fields(a), strings.Fields(b)) {
		return false
	}
	p, ok := english.Prefix([]byte(a))
	q, ok2 := english.Prefix([]byte(b))
	return !ok || !ok2 || p.N == q.N || p.N == 0 || q.N == 0 || len(p.Tail) > 0 && len(q.Tail) > 0 && p.ID != q.ID
}

// otherRoman reports whether two texts of as many words have other roman numbers, of
// two letters or more, at the same place.
func otherRoman(a, b []string) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] == b[i] || len(a[i]) < 2 || len(b[i]) < 2 {
			continue
		}
		x, ok := cell.ParseLabel([]byte(";" + a[i]))
		y, ok2 := cell.ParseLabel([]byte(";" + b[i]))
		if ok && ok2 && x.Roman && y.Roman && x.Value != y.Value {
			return true
		}
	}
	return false
}

func digitsOf(s string) string {
	var out []byte
	for i := 0; i < len(s); i++ {
		if s[i] != '#' {
			continue
		}
		for i < len(s) && s[i] != cell.Blank {
			out = append(out, s[i])
			i++
		}
	}
	return string(out)
}

// markEdge decides what an edge line is.
func (v *Volume) markEdge(e *edgeLine, hb *headbook, numbered int) {
	l := &v.Lines[e.line]
	if e.number && e.norm == "" {
		l.Role = Number
		v.Pages[e.page].Head = v.Pages[e.page].Head || e.top
		return
	}
	sure := v.headSure(e, hb, numbered)
	if v.guides[e.line] {
		sure = max(sure, 0.95)
	}
	if sure > 0 {
		l.Role, l.Sure, l.Text = Head, sure, e.text
		v.Pages[e.page].Head = v.Pages[e.page].Head || e.top
		v.Heads++
		return
	}
	l.Text = e.text
	if e.number && e.top && e.centred && v.Reserved && !v.opensItsHeads(e, hb) {
		v.Oddities = append(v.Oddities, Oddity{e.line, "head-or-heading", "stands where the page information line is and is like no other: kept as text"})
	}
}

// opensItsHeads reports whether an edge line is the heading or title that the heads
// of its pages repeat: the first of its kind, on other pages too, or the title
// above the text (BANA, Braille Formats 2016, 1.8).
func (v *Volume) opensItsHeads(e *edgeLine, hb *headbook) bool {
	return e.first && e.like >= 3 || hb.isTitle(e.norm) && v.firstNumbered(e.page) || v.titleGoesOn(e, hb) || v.onTitlePage(e, hb)
}

// headSure returns how sure it is that e is a head; 0 says that it is text.
// numbered is how many pages of the volume have a number on line 1. The first
// line of its kind stays when nothing else in the book says the same: it may
// be the heading itself.
func (v *Volume) headSure(e *edgeLine, hb *headbook, numbered int) float64 {
	if e.norm == "" || oneCell(e.norm) || v.structural(e) || !e.number && (v.firstPage(e.page) || cell.Marks([]byte(e.norm)) < 3) {
		return 0
	}
	if e.number && e.top && e.like < 2 && hb.isTitle(e.norm) && v.firstNumbered(e.page) && !hb.running.has(e.norm) {
		return 0 // the title above the text, and the pages have other heads
	}
	if !e.number && (hb.isTitle(e.norm) || hb.running.title.form(e.norm)) && (v.firstNumbered(e.page) && v.overRow(e) || e.aside && v.begun(e.page) == 0 && v.opensText(e)) {
		return 0 // the title above the text, set off from it by a row or not where the heads are
	}
	if e.opener || v.newPageHeading(e, hb) && !v.overNext(e) || v.titleGoesOn(e, hb) || v.onTitlePage(e, hb) || !e.number && v.overColumns(e) {
		return 0
	}
	if v.closesSentence(e) {
		return 0
	}
	if v.innerTitle(e) || e.recurs() && !(e.number && v.Reserved && v.headed) {
		return 0
	}
	if v.marginHeads[e.end()] && v.atEdge(e) && (hb.isTitle(e.norm) || hb.likeHeading(e.norm, true)) {
		return 0.95
	}
	if sure, title := v.titleHead(e, hb); sure > 0 || title {
		return sure
	}
	if v.guides != nil && !v.guides[e.line] && !e.top && !e.number && e.like < 2 && !hb.running.title.form(e.norm) {
		return 0 // a runover of an entry: definitions repeat, and stand in the middle by chance
	}
	known := (e.centred || e.like >= 3) && (hb.likeHeading(e.norm, e.number) || e.kin != "" && hb.likeHeading(e.kin, e.number))
	pages := len(v.Pages)
	l := &v.Lines[e.line]
	between := e.middle && l.Left.To > 0 && l.Right.To > 0 // no text stands between two page numbers
	switch {
	case e.top && e.middle && (e.like >= 2 || hb.running.has(e.norm)) && (e.number && v.Reserved && v.headed || !e.number && v.bareTops(hb)) && hb.running.capitals() && v.midSentence(e),
		e.top && e.middle && e.number && v.headed && hb.inner.exact[e.norm] && hb.running.capitals() && v.midSentence(e):
		return 0.9
	case e.top && !e.number && e.like >= 2 && v.nextNumber(e) && !v.overHeading(e, hb) && !v.overNext(e):
	case between && e.top && (v.Reserved && v.headed || hb.running.has(e.norm) || hb.running.onlyHeads()), between && !e.top && hb.footed():
		return 0.9
	case !e.top: // no heading is the last line of a page
		if e.centred && e.like >= 3 && (e.number && (hb.footed() || e.like >= 6) || e.middle && e.like*6 >= pages && e.loose*4 <= e.like) {
			return 0.97
		}
		last := e.number || v.lastLine(e)
		if e.middle && last && v.footPlace[e.page%2] && hb.apart[e.norm] {
			return 0.85 // even between lines of verse
		}
		if e.middle && last && hb.footed() && (e.number && (e.like == 2 || v.footForm(e, hb)) || v.footHeading(e, hb) || v.followsHeading(e, hb)) {
			return 0.85
		}
	case e.number && e.like >= 3 && (e.centred || e.like*5 >= pages && e.like*2 >= numbered) && (known || !e.first || e.like*5 >= numbered*3 || v.withinSentence(e, hb) || e.like >= 5 && v.marginUnder(e)):
		return 0.99
	case e.middle && (v.Reserved && v.headed && (e.number || e.top && e.like > e.bare) || e.top && hb.running.has(e.norm)) && v.withinSentence(e, hb) && (e.number || v.begun(e.page) > 0): // no sentence goes on from the front matter
		return 0.9
	case e.number && e.like == 2 && e.middle && (known || !e.first && v.Reserved):
		return 0.93
	case e.middle && !e.number && !e.first && v.Reserved && v.headed && e.like >= e.bare+3 && v.textBefore(e.page) && !v.opensText(e): // a print page without a number has none beside its heads (BANA, Braille Formats 2016, 1.11.6)
		return 0.9
	case e.number && e.middle && known && (v.Reserved && v.headed || v.numbered <= 12 && hb.reserved):
		return 0.85
	case e.middle && (e.number && v.headed || !e.number && (e.like >= 2 || v.bareTops(hb) || v.Reserved && v.headed)) && v.followsHeading(e, hb):
		return 0.85
	case e.middle && (v.headed || v.bareTops(hb) || e.number && v.Reserved) && (v.overHeading(e, hb) || v.overNext(e) || v.overLater(e, hb) || v.titleLater(e, hb)), v.plainHead(e, hb), v.goesOnUnder(e, hb):
		return 0.9
	case e.number || (e.first && !known) || !v.halfTitle(e, hb) && v.opensText(e) && (2*e.bare <= e.like && v.begun(e.page) == 0 && !v.textBefore(e.page) || hb.isTitle(e.norm) && (e.first && v.begun(e.page) == 0 || v.firstNumbered(e.page))):
	case e.centred && e.like >= 3 && e.like*4 >= pages:
		return 0.95
	case e.centred && e.like >= 3 && known && numbered > 0 && e.like*3 >= numbered:
		return 0.9
	case e.centred && e.like >= 2 && v.bareHeads*2 >= pages:
		return 0.9
	case e.like >= 5 && e.like*5 >= pages*2:
		return 0.9
	}
	return 0
}

// overRow reports whether a row stands right under a line at the top of a page and over
// text, and not under the top line of the next page.
func (v *Volume) overRow(e *edgeLine) bool {
	row := func(i int32) bool {
		next := v.near(i, 1)
		return next < v.Pages[v.PageOf[i]].Last && v.Lines[next].Role == Text && len(v.TextOf(next)) >= 6 && allOne(v.TextOf(next))
	}
	return e.top && row(e.line) && v.below(v.near(e.line, 1)) >= 0 && !(e.page+1 < len(v.Pages) && v.Pages[e.page+1].Top >= 0 && row(v.Pages[e.page+1].Top))
}

// overColumns reports whether an edge line at the top of a page is the heads of the
// columns of a table: two or more words after a gap begin where words of the next line
// begin after one.
func (v *Volume) overColumns(e *edgeLine) bool {
	if !e.top || e.line+1 >= v.Pages[e.page].Last {
		return false
	}
	here, next := columnStarts(v.Raw(e.line)), columnStarts(v.Raw(e.line+1))
	same := 0
	for _, x := range here {
		if slices.Contains(next, x) {
			same++
		}
	}
	return same >= 2
}

// columnStarts is where words begin after two blanks or more, but for the first.
func columnStarts(t []byte) (starts []int) {
	for i := cell.Indent(t) + 2; i < len(t); i++ {
		if t[i] != cell.Blank && t[i-1] == cell.Blank && t[i-2] == cell.Blank {
			starts = append(starts, i)
		}
	}
	return starts
}

// overHeading reports whether the title stands under an edge line, or a heading
// of the same words or more of them, see overSame.
func (v *Volume) overHeading(e *edgeLine, hb *headbook) bool {
	return v.overSame(e) || v.headingUnder(e, func(n int, t []byte) bool {
		return n == 0 && hb.running.titles[string(t)] && hb.running.title.form(Normal(t))
	})
}

// overSame reports whether a heading of the same words or more of them stands under an
// edge line, its first line or one of the next two: no heading stands twice, and none
// above the title.
func (v *Volume) overSame(e *edgeLine) bool {
	return v.headingUnder(e, func(_ int, t []byte) bool {
		h := Normal(t)
		return Alike(h, e.norm) || beginsLike(h, e.norm)
	})
}

// headingUnder reports whether is holds for one of the centred lines right under an edge
// line, three at most. A refrain comes again in the next lines of its stanza.
func (v *Volume) headingUnder(e *edgeLine, is func(n int, t []byte) bool) bool {
	if v.inRun(e.line, e.text.From) {
		return false
	}
	n := 0
	for i := e.line + 1; i < v.Pages[e.page].Last && n < 3; i++ {
		if v.Lines[i].Role == Empty {
			continue
		}
		if !v.Centred(i) || v.atLevel(i) {
			return false
		}
		if is(n, v.TextOf(i)) {
			return true
		}
		n++
	}
	return false
}

// overNext reports whether the heading of the next part stands under an edge
// line that names a part and its number, with no text between: "chapter 5", and
// under it "chapter 6", or beside a page number a part with any other number, as after a
// slip; or anywhere on the page the heading of the part itself, which no heading stands above.
func (v *Volume) overNext(e *edgeLine) bool {
	p, ok := v.partNumber(v.spanOf(e))
	if !ok || p.N < 1 {
		return false
	}
	between := false
	for i := e.line + 1; i < v.Pages[e.page].Last; i++ {
		if v.Lines[i].Role == Empty {
			continue
		}
		if q, ok := v.partNumber(v.TextOf(i)); ok && v.Centred(i) && q.ID == p.ID {
			return !between && (q.N == p.N+1 || e.number && v.Reserved) || q.N == p.N && p.ID != ""
		}
		between = true
	}
	return false
}

// addEnds takes down the parts in which a volume breaks off: of every kind, the
// last one that a centred line names with its number.
func (hb *headbook) addEnds(v *Volume) {
	seen := map[english.PhraseID]bool{}
	for i := len(v.Lines) - 1; i >= 0; i-- {
		if l := &v.Lines[i]; l.Role != Text || l.Text.From < 3 || !v.Centred(int32(i)) {
			continue
		}
		if p, ok := v.Words.Lookup(v.TextOf(int32(i))); ok && p.N > 0 && !seen[p.ID] && !ofVolumes[p.ID] {
			if next := int32(i + 1); len(seen) == 0 && next < v.Pages[v.PageOf[i]].Last && v.Lines[next].Role == Text && v.Centred(next) {
				hb.endTitles[Normal(v.TextOf(next))] = true
			}
			seen[p.ID] = true
			hb.ends[partEnd{p.ID, p.N}] = true
		}
	}
}

// ofVolumes are phrases with numbers of volumes, which are no parts of the text.
var ofVolumes = map[english.PhraseID]bool{english.Volume: true, english.InVolumes: true, english.EndOfVolume: true, english.ContinuedIn: true}

// titleLater reports whether an edge line where a volume's text begins has the words
// of the title right under the name of the part in which another volume breaks off,
// with text right under it: the part goes on there.
func (v *Volume) titleLater(e *edgeLine, hb *headbook) bool {
	next := v.near(e.line, 1)
	return hb.endTitles[e.norm] && !e.number && e.top && v.begun(e.page) <= 1 && next < v.Pages[e.page].Last && v.Lines[next].Role == Text && !v.Centred(next)
}

// overLater reports whether an edge line where a volume's text begins names a
// part in which another volume breaks off, while none breaks off in the part
// before it, and the next part that a heading of its volume names is the one after it:
// the part goes on there, and its name is a head.
func (v *Volume) overLater(e *edgeLine, hb *headbook) bool {
	p, ok := v.Words.Lookup(v.spanOf(e))
	if !ok || p.N < 1 || e.number || !e.top || v.begun(e.page) > 1 || !hb.ends[partEnd{p.ID, p.N}] || hb.ends[partEnd{p.ID, p.N - 1}] {
		return false
	}
	for i := e.line + 1; int(i) < len(v.Lines); i++ {
		if v.Lines[i].Role != Text || !v.Centred(i) {
			continue
		}
		if q, ok := v.Words.Lookup(v.TextOf(i)); ok && q.ID == p.ID && q.N != p.N {
			return q.N == p.N+1
		}
	}
	return false
}

// footHeading reports whether a last line repeats a heading of the book, word
// for word or, where it stands twice, with slips. The words of a line that is not set apart
// may come again by chance in the text, but not under two blank lines or more.
func (v *Volume) footHeading(e *edgeLine, hb *headbook) bool {
	return !v.atLevel(e.line) && !v.inRun(e.line, e.text.From) && (hb.apart[e.norm] || hb.inner.exact[e.norm] && v.belowText(e.line) || e.like == 2 && hb.inner.like(e.norm))
}

// belowText reports whether two blank lines stand above a line.
func (v *Volume) belowText(i int32) bool {
	first := v.Pages[v.PageOf[i]].First
	return i-2 >= first && v.Lines[i-1].Role == Empty && v.Lines[i-2].Role == Empty
}

// footForm reports whether a last line repeats a heading of the book or the
// first words of one, with slips.
func (v *Volume) footForm(e *edgeLine, hb *headbook) bool {
	return !v.atLevel(e.line) && !v.inRun(e.line, e.text.From) && (hb.inner.like(e.norm) || hb.inner.begins(e.norm))
}

// goesOnUnder reports whether an edge line on the first pages of a volume's text
// repeats a heading of the book, with text that goes on at the margin right
// under it, as under no heading, where line 1 is the place of heads, or beside a number: the part
// began in the volume before.
func (v *Volume) goesOnUnder(e *edgeLine, hb *headbook) bool {
	next := v.near(e.line, 1)
	if !e.middle || !v.bareTops(hb) && !((v.Reserved || e.number) && v.headed) || v.begun(e.page) > 1 || next >= v.Pages[e.page].Last {
		return false
	}
	p, ok := v.Words.Lookup([]byte(e.norm))
	under := &v.Lines[next]
	return !(ok && apart[p.ID]) && (hb.inner.exact[e.norm] || !e.first || e.like >= 2) && hb.likeHeading(e.norm, true) &&
		under.Role == Text && under.Text.From == 0 && (int(under.Text.To) > v.Width*2/3 || e.like >= 5 && e.like*2 >= len(v.Pages) || v.midSentence(e) && (hb.running.capitals() || v.breaksOff(e.page)))
}

// breaksOff reports whether the text before a page ends in the middle of a sentence:
// its last line, no heading, with no cell that can end one.
func (v *Volume) breaksOff(page int) bool {
	for i := v.Pages[page].First - 1; i >= 0; i-- {
		if t := v.TextOf(i); v.Lines[i].Role == Text && len(t) > 0 && !v.turnLine(i) {
			return !v.Centred(i) && strings.IndexByte("4680'7>\"", t[len(t)-1]) < 0
		}
	}
	return false
}

// midSentence reports whether the text under an edge line goes on in the middle
// of a sentence: at the margin right under it, without a capital or another sign
// before its first letter. No heading stands there.
func (v *Volume) midSentence(e *edgeLine) bool {
	next := v.near(e.line, 1)
	if next >= v.Pages[e.page].Last {
		return false
	}
	under := &v.Lines[next]
	t := v.TextOf(next)
	return under.Role == Text && under.Text.From == 0 && len(t) > 1 && !signs[t[0]]
}

// closesSentence reports whether an edge line at the margin ends the sentence that breaks
// off on the page before: text, however often the like of it comes to the top of a page,
// as the steps of recipes do.
func (v *Volume) closesSentence(e *edgeLine) bool {
	if !e.top || e.centred || e.text.From > 0 || !v.breaksOff(e.page) {
		return false
	}
	t := v.Raw(e.line)[e.text.From:e.text.To]
	return len(t) > 1 && !signs[t[0]] && bytes.IndexByte([]byte("468"), t[len(t)-1]) >= 0
}

// withinSentence reports whether a sentence goes on from the page before to the text
// under an edge line, right under it, after the blank line that may part a head from
// the text or under the print page turn there, at any cell and without a capital: no
// heading parts it. Where capitals do not tell it goes on at the margin, in a book without
// capitals right under the line.
func (v *Volume) withinSentence(e *edgeLine, hb *headbook) bool {
	next := e.line + 1
	parted := next < v.Pages[e.page].Last && v.Lines[next].Role == Empty
	if parted {
		next++
	}
	for next < v.Pages[e.page].Last && v.turnLine(next) {
		next++
	}
	if next >= v.Pages[e.page].Last || v.Lines[next].Role != Text || v.Centred(next) || !v.breaksOff(e.page) {
		return false
	}
	if v.Lines[next].Text.From > e.text.From {
		return false // a runover of the line itself, which stands in the middle by chance
	}
	if !hb.running.capitals() && (v.Lines[next].Text.From > 0 || parted && hb.running.small()) {
		return false
	}
	t := v.TextOf(next)
	word, _, _ := bytes.Cut(t, []byte{cell.Blank})
	return len(t) > 1 && !signs[t[0]] && word[len(word)-1] != '4'
}

// newPageHeading reports whether an edge line is a heading that begins a page, where
// text and headings share line 1 with the numbers: it may recur, as "exercises" does
// at the end of every chapter. A blank line stands under it, and on no page with the
// same words does the text under them go on from the page before (BRL session 4,
// "headingsex"; BANA, Braille Formats 2016, section 4).
func (v *Volume) newPageHeading(e *edgeLine, hb *headbook) bool {
	next := v.near(e.line, 1)
	return e.top && e.number && !v.Reserved && !v.nearly && !e.flows && next < v.Pages[e.page].Last && v.Lines[next].Role == Empty && !hb.running.title.form(e.norm) && !v.underItsHeading(e)
}

// underItsHeading reports whether the nearest heading before the page of an edge line
// says the same: the line is the head of its part.
func (v *Volume) underItsHeading(e *edgeLine) bool {
	for i := v.Pages[e.page].First - 1; i >= 0 && e.page-int(v.PageOf[i]) < 60; i-- {
		if l := &v.Lines[i]; l.Role == Text && l.Text.From >= 3 && v.Centred(i) && !v.inRun(i, l.Text.From) && v.setApart(i) {
			return Alike(Normal(v.TextOf(i)), e.norm)
		}
	}
	return false
}

// goesOnBelow reports whether the text under an edge line goes on in the middle of a
// sentence.
func (v *Volume) goesOnBelow(e *edgeLine) bool { return v.flowsFrom(e.line + 1) }

// flowsFrom reports whether the first text from a line on, in two lines, goes on in the
// middle of a sentence: at the margin, no item, without a capital or another sign before
// its first letter.
func (v *Volume) flowsFrom(from int32) bool {
	if int(from) >= len(v.Lines) {
		return false
	}
	for i, last := from, v.Pages[v.PageOf[from]].Last; i < last && i <= from+1; i++ {
		if v.Lines[i].Role == Text {
			t := v.TextOf(i)
			word, _, more := bytes.Cut(t, []byte{cell.Blank})
			return v.Lines[i].Text.From == 0 && more && len(word) > 1 && !signs[t[0]] && word[len(word)-1] != '4' // "a." begins an item
		}
	}
	return false
}

// onTitlePage reports whether an edge line is the first of a title page that has a
// number beside it: the title, which no head stands above (BANA, Braille Formats 2016,
// 1.7), unless it stands under the line once more.
func (v *Volume) onTitlePage(e *edgeLine, hb *headbook) bool {
	return e.top && e.number && e.middle && v.firstPage(e.page) && v.prelimPage(e) && !v.overHeading(e, hb)
}

// titleGoesOn reports whether an edge line is the first of two lines or three that are
// the title together: on its first page the text has the whole title in place of its
// head (BANA, Braille Formats 2016, 1.8).
func (v *Volume) titleGoesOn(e *edgeLine, hb *headbook) bool {
	joined := e.norm
	for i, n := v.nextCentred(e.line), 0; e.top && i >= 0 && n < 2; i, n = v.nextCentred(i), n+1 {
		if joined += " " + Normal(v.TextOf(i)); hb.running.title.exact[joined] {
			return true
		}
	}
	return false
}

// marginUnder reports whether running text stands at the margin right under an edge
// line: a heading has a blank line under it, or a paragraph that steps in.
func (v *Volume) marginUnder(e *edgeLine) bool {
	next := v.near(e.line, 1)
	if next >= v.Pages[e.page].Last {
		return false
	}
	after := v.near(next, 1)
	if after >= v.Pages[e.page].Last {
		return false
	}
	a, b := &v.Lines[next], &v.Lines[after]
	return a.Role == Text && a.Text.From == 0 && int(a.Text.To) > v.Width*3/4 && b.Role == Text && b.Text.From <= 2 && !v.Centred(next)
}

// turnLine reports whether a line is a print page turn, or a full row of dots 3-6 as one without
// a number is.
func (v *Volume) turnLine(i int32) bool {
	if _, ok := MarkLabel(v.TextOf(i)); ok {
		return true
	}
	_, _, ok := v.row(&v.Lines[i], v.Raw(i))
	return ok
}

// lastLine reports whether an edge line stands at the foot of the paper; pages
// may be a line short.
func (v *Volume) lastLine(e *edgeLine) bool {
	pg := &v.Pages[e.page]
	return e.line-pg.First >= int32(v.Height)-2 && e.line == pg.Bottom
}

// opensText reports whether a line that looks like a head without a number is
// the title or a heading at the start of the text: a rule or a heading follows
// on its page, no heading of preliminary matter, and numbered pages begin.
func (v *Volume) opensText(e *edgeLine) bool {
	if b := v.Pages[e.page].Braille; b != nil && (b.Roman || b.Prefix == "t" || b.Prefix == "p") || b == nil && v.startsLater(e.page) {
		return false
	}
	for i := e.line + 1; i < v.Pages[e.page].Last; i++ {
		if v.Lines[i].Role != Text {
			continue
		}
		if t := v.TextOf(i); oneCell(string(t)) && len(t) < v.Width-2 {
			return v.below(i) >= 0 && (!Broken(t) || v.begun(e.page) <= 1) // no scene break: asterisks within the text
		}
		if !v.Centred(i) {
			return false
		}
		p, ok := v.Words.Lookup(v.TextOf(i))
		if q, begins := v.Words.Prefix(v.TextOf(i)); ok && apart[p.ID] || begins && apart[q.ID] {
			return false
		}
		return ok || v.numberedSoon(e.page) && v.followed(i)
	}
	return false
}

// begun counts the pages before this one that are full of running text, up to two.
func (v *Volume) begun(page int) (pages int) {
	for p := 0; p < page && pages < 2; p++ {
		n, room := 0, v.Height
		if v.alternate(p) {
			room /= 2
		}
		for i := v.Pages[p].First; i < v.Pages[p].Last; i++ {
			l := &v.Lines[i]
			if l.Role != Text || l.Text.From > 2 || int(l.Text.To) < v.Width*2/3 {
				continue
			}
			t := v.TextOf(i)
			if _, label := cell.ParseLabel(t[lastToken(t):]); !label {
				n++
			}
		}
		if 2*n >= room {
			pages++
		}
	}
	return pages
}

// alternate reports whether the lines of a page stand on every other line, as
// in double-spaced text.
func (v *Volume) alternate(p int) bool {
	pg, n, tight := &v.Pages[p], 0, 0
	for i := pg.First; i < pg.Last; i++ {
		if v.Lines[i].Role == Empty {
			continue
		}
		if n++; i > pg.First && v.Lines[i-1].Role != Empty {
			tight++
		}
	}
	return n*10 >= v.Height*3 && tight <= 2
}

// firstNumbered reports whether page is the first with a plain braille page
// number: the first of the text, where preliminary pages are numbered in
// another way. It may go without its number, the next then has the second.
func (v *Volume) firstNumbered(page int) bool {
	for p := 0; p <= page; p++ {
		if b := v.Pages[p].Braille; b != nil && !b.Roman && b.Prefix == "" {
			return p == page
		}
	}
	return true
}

// textBefore reports whether pages before this one tell by their numbers that
// the text has begun: plain ones after those of preliminary pages.
func (v *Volume) textBefore(page int) bool {
	other := false
	for p := range v.Pages[:page] {
		switch b := v.Pages[p].Braille; {
		case b == nil:
		case b.Roman || b.Prefix == "t" || b.Prefix == "p":
			other = true
		case other && b.Prefix == "":
			return true
		}
	}
	return false
}

// startsLater reports whether the first page that has a plain number after this
// one is page 1, and none before it has one: the text begins there.
func (v *Volume) startsLater(page int) bool {
	for p := range v.Pages {
		if b := v.Pages[p].Braille; b != nil && !b.Roman && b.Prefix == "" {
			return p > page && b.Value == 1
		}
	}
	return false
}

// numberedSoon reports whether one of the next two pages has a number.
func (v *Volume) numberedSoon(page int) bool {
	for p := page + 1; p <= page+2; p++ {
		if p >= len(v.Pages) || v.Pages[p].Braille != nil || v.Pages[p].Print != nil {
			return true
		}
	}
	return false
}

// apart are headings of matter before and after the text; the title does not
// stand again above them.
var apart = map[english.PhraseID]bool{
	english.Contents: true, english.GeneralContents: true, english.SpecialSymbols: true, english.TranscribersNotes: true,
	english.Dedication: true, english.Copyright: true, english.FirstPublished: true, english.Isbn: true, english.AllRights: true,
	english.Acknowledgements: true, english.TranscribedBy: true, english.ProducedBy: true, english.PublishedBy: true, english.Permission: true,
	english.Notes: true, english.Footnotes: true, english.Endnotes: true, english.Index: true, english.Glossary: true,
	english.Bibliography: true, english.FurtherReading: true, english.EndOfBook: true, english.EndOfVolume: true, english.EndOfPart: true, english.ContinuedIn: true, english.AboutAuthor: true, english.AlsoBy: true, english.Afterword: true,
}

// oneCell reports whether a text is one cell repeated, a rule, or asterisks.
func oneCell(s string) bool {
	if first, _, more := strings.Cut(s, " "); more && len(first) <= 2 && strings.IndexByte(first, '9') >= 0 {
		f := strings.Fields(s)
		return strings.Count(s, f[0]) == len(f) && len(s) == len(f)*(len(f[0])+1)-1
	}
	if len(s) > 3 && s[0] == '"' {
		s = s[1:]
	}
	for i := range s {
		if s[i] != s[0] {
			return false
		}
	}
	return len(s) >= 3
}

// Broken reports whether a rule has blanks in it: asterisks, that part scenes of the
// text more often than matter of the book.
func Broken(rule []byte) bool { return bytes.IndexByte(rule, cell.Blank) >= 0 }

// structural reports whether the line is a structure word of its own, such as
// a contents heading that is repeated on each of its pages.
func (v *Volume) structural(e *edgeLine) bool {
	if e.number && e.like*5 >= len(v.Pages) {
		return false
	}
	p, ok := v.Words.Lookup([]byte(e.norm))
	if !ok {
		return false
	}
	switch p.ID {
	case english.Contents, english.GeneralContents, english.EndOfVolume, english.EndOfBook, english.ContinuedIn, english.Volume, english.InVolumes:
		return !e.number || e.like < 3
	case english.Notes, english.Footnotes, english.Endnotes:
		return e.top && (!e.number || e.like < 3) && v.overFirstNote(e.line)
	}
	return false
}

// overFirstNote reports whether the line under line i begins as the first of several notes
// does: with the number one, or with a sign that has none.
func (v *Volume) overFirstNote(i int32) bool {
	next := v.below(i)
	if next < 0 {
		return false
	}
	w, _, _ := bytes.Cut(v.TextOf(next), []byte{cell.Blank})
	n := bytes.TrimLeft(w, ";7<")
	sign := false
	for _, s := range []string{"99", "\"9", "@,?", "9"} {
		if rest, ok := bytes.CutPrefix(n, []byte(s)); ok {
			n, sign = rest, len(s) > 1
			break
		}
	}
	if n = bytes.TrimRight(n, "47\">"); len(n) > 0 && n[0] == '#' {
		return string(n) == "#a"
	}
	return sign
}

// findOddOnly reports numbers or heads on line 1 of every other page only.
func (v *Volume) findOddOnly() {
	var with, total [2]int
	for p := range v.Pages {
		total[p%2]++
		if v.Pages[p].Head {
			with[p%2]++
		}
	}
	for k := range with {
		if total[k] >= 3 && total[1-k] >= 3 && with[k]*10 >= total[k]*7 && with[1-k]*10 <= total[1-k] {
			v.OddOnly = true
		}
	}
}

// firstPage reports whether p is the first page with text: a title page
// carries no head.
func (v *Volume) firstPage(p int) bool {
	for k := 0; k < p; k++ {
		if v.Pages[k].Top >= 0 {
			return false
		}
	}
	return true
}
