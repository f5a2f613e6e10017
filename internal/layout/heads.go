package layout

import (
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
	centred   bool // stands away from the margin, as a head does
	like      int  // pages of the volume whose edge line is alike, this one too
	first     bool // no alike edge line of the volume stands on an earlier page
}

// headbook holds the edge lines of all volumes and the headings that a head
// may be a short form of.
type headbook struct {
	headings []heading
	exact    map[string]bool
	known    map[string]bool // answers of likeHeading
}

type heading struct {
	norm   string
	tokens map[string]bool
}

func newHeadbook() *headbook {
	return &headbook{exact: map[string]bool{}, known: map[string]bool{}}
}

// Normal is the text of a line as heads are compared: without indicators of
// capitals and typeforms and with single blanks.
func Normal(t []byte) string {
	s := english.Strip(t)
	out := make([]byte, 0, len(s))
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

// markHeads gives line 1 and the last line of every page their role.
func (v *Volume) markHeads(edges []edgeLine, hb *headbook) {
	numbered, headlike := 0, 0
	for i := range edges {
		e := &edges[i]
		if e.top && e.number {
			numbered++
			if e.norm == "" || e.like >= 2 || (e.centred && hb.likeHeading(e.norm)) {
				headlike++
			}
		}
	}
	v.Reserved = numbered >= 2 && headlike*10 >= numbered*9
	for i := range edges {
		if e := &edges[i]; !e.top && !e.number && e.centred && e.like >= 3 {
			v.footHeads++
		}
	}
	for i := range edges {
		v.markEdge(&edges[i], hb, numbered)
	}
	v.findOddOnly()
}

// edgeLines cuts the page numbers off line 1 and the last line of every page
// and describes what is left.
func (v *Volume) edgeLines(n *numbers) []edgeLine {
	byLine := map[int32][]int{}
	for i := range n.taken {
		byLine[n.cands[i].line] = append(byLine[n.cands[i].line], i)
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
		if n.taken[i] == BraillePage {
			pg.Braille = &lab
		} else {
			pg.Print = &lab
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
	return e
}

// countLike counts for every edge line on how many pages a like one stands.
func countLike(edges []edgeLine) {
	counts := map[string]int{}
	key := func(e *edgeLine) string {
		if e.top {
			return "t" + e.norm
		}
		return "b" + e.norm
	}
	for i := range edges {
		if edges[i].norm != "" {
			counts[key(&edges[i])]++
		}
	}
	seen := map[string]bool{}
	for i := range edges {
		k := key(&edges[i])
		edges[i].first, seen[k] = !seen[k], true
	}
	var common []string
	for i := range edges {
		e := &edges[i]
		if e.norm == "" {
			continue
		}
		e.like = counts[key(e)]
		if e.like == 2 || (e.like >= 3 && !contains(common, key(e))) {
			common = append(common, key(e))
		}
	}
	for i := range edges {
		e := &edges[i]
		if e.norm == "" || e.like >= 3 || !(e.number || e.centred) {
			continue
		}
		for _, k := range common {
			if k[0] == key(e)[0] && k != key(e) && Alike(k[1:], e.norm) {
				e.like, e.first = max(e.like, counts[k]+1), false
			}
		}
	}
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

// addHeadings takes down the centred lines of a volume that are no edge lines
// with a number: what a head may repeat.
func (hb *headbook) addHeadings(v *Volume, edges []edgeLine) {
	skip := map[int32]bool{}
	for i := range edges {
		if edges[i].number && edges[i].top {
			skip[edges[i].line] = true
		}
	}
	for i := range v.Lines {
		if v.Lines[i].Role != Text || skip[int32(i)] || !v.Centred(int32(i)) {
			continue
		}
		h := Normal(v.TextOf(int32(i)))
		if len(h) < 2 || hb.exact[h] || len(hb.headings) > 2000 {
			continue
		}
		hb.exact[h] = true
		hd := heading{norm: h, tokens: map[string]bool{}}
		for _, f := range cell.Fields([]byte(h)) {
			hd.tokens[h[f[0]:f[1]]] = true
		}
		hb.headings = append(hb.headings, hd)
	}
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
// the same, misspelt, or some of its words.
func (hb *headbook) likeHeading(norm string) bool {
	k, ok := hb.known[norm]
	if !ok {
		k = hb.exact[norm] || hb.search(norm)
		hb.known[norm] = k
	}
	return k
}

func (hb *headbook) search(norm string) bool {
	fields := cell.Fields([]byte(norm))
	for i := range hb.headings {
		h := &hb.headings[i]
		if Alike(h.norm, norm) {
			return true
		}
		all, long := len(fields) > 0, false
		for _, f := range fields {
			w := norm[f[0]:f[1]]
			all = all && h.tokens[w]
			long = long || len(w) >= 3
		}
		if all && long {
			return true
		}
	}
	return false
}

// Alike reports whether two texts are the same but for a slip: their pairs of
// neighbouring cells agree to three quarters.
func Alike(a, b string) bool {
	if a == b {
		return true
	}
	if len(a) < 4 || len(b) < 4 || len(a) > 2*len(b) || len(b) > 2*len(a) {
		return false
	}
	var seen [4096]int8
	pair := func(s string, i int) int { return int(s[i]&63)<<6 | int(s[i+1]&63) }
	for i := 0; i+1 < len(a); i++ {
		seen[pair(a, i)]++
	}
	same := 0
	for i := 0; i+1 < len(b); i++ {
		if p := pair(b, i); seen[p] > 0 {
			seen[p]--
			same++
		}
	}
	return 8*same >= 3*(len(a)+len(b)-2)
}

// markEdge decides what an edge line is.
func (v *Volume) markEdge(e *edgeLine, hb *headbook, numbered int) {
	l := &v.Lines[e.line]
	if e.number && e.norm == "" {
		l.Role = Number
		v.Pages[e.page].Head = v.Pages[e.page].Head || e.top
		return
	}
	if sure := v.headSure(e, hb, numbered); sure > 0 {
		l.Role, l.Sure, l.Text = Head, sure, e.text
		v.Pages[e.page].Head = v.Pages[e.page].Head || e.top
		v.Heads++
		return
	}
	l.Text = e.text
	if e.number && e.top && e.centred && v.Reserved {
		v.Oddities = append(v.Oddities, Oddity{e.line, "head-or-heading", "stands where the page information line is and is like no other: kept as text"})
	}
}

// headSure returns how sure it is that e is a head; 0 says that it is text.
// numbered is how many pages of the volume have a number on line 1. The first
// line of its kind stays when nothing else in the book says the same: it may
// be the heading itself.
func (v *Volume) headSure(e *edgeLine, hb *headbook, numbered int) float64 {
	if e.norm == "" || v.structural(e) || (!e.number && v.firstPage(e.page)) {
		return 0
	}
	known := hb.likeHeading(e.norm)
	pages := len(v.Pages)
	switch {
	case e.number && !e.top:
		if e.like >= 3 && e.centred && (known || !e.first) {
			return 0.97
		}
	case !e.top:
		if e.centred && e.like >= 3 && e.like*6 >= pages {
			return 0.95
		}
		if e.centred && known && v.footHeads >= 3 && e.line-v.Pages[e.page].First == int32(v.Height)-1 {
			return 0.85
		}
	case e.number && e.like >= 3 && (e.centred || e.like*5 >= pages) && (known || !e.first || e.like*5 >= numbered*3):
		return 0.99
	case e.number && e.like == 2 && e.centred && (known || !e.first):
		return 0.93
	case e.number && e.centred && known && v.Reserved:
		return 0.85
	case !e.number && e.top && e.centred && e.like >= 3 && e.like*4 >= pages && !e.first:
		return 0.95
	case !e.number && e.top && e.like >= 5 && e.like*5 >= pages*2 && !e.first:
		return 0.9
	}
	return 0
}

// structural reports whether the line is a structure word of its own, such as
// a contents heading that is repeated on each of its pages.
func (v *Volume) structural(e *edgeLine) bool {
	if e.number && e.like*5 >= len(v.Pages) {
		return false
	}
	p, ok := english.Lookup([]byte(e.norm))
	if !ok {
		return false
	}
	switch p.ID {
	case english.Contents, english.GeneralContents, english.EndOfVolume, english.EndOfBook, english.ContinuedIn, english.Volume, english.InVolumes:
		return !e.number || e.like < 3
	}
	return false
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
