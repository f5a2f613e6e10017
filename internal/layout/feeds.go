package layout

import (
	"cmp"
	"slices"

	"continuo/internal/cell"
	"continuo/internal/english"
)

// This file divides pages that are longer than the paper: their form feeds are
// missing (real files lack some or all of them). A cut is believed for several
// signs together: the number that the count of the pages wants, in a corner where the
// title has its numbers; a head that other pages have; the height of the paper.

// paper is what most pages of a volume, or of a title, tell of their height.
type paper struct {
	height int32
	exact  bool // nearly all have it: blank lines at the end of a page are there
	fed    bool // form feeds tell
}

// tallest is more lines than any page of paper has.
const tallest = 45

// paperOf finds the paper from how many pages have each height.
func paperOf(count *[tallest + 1]int) (p paper) {
	mode := 0
	for h := range count {
		if count[h] >= count[mode] && count[h] > 0 {
			mode = h
		}
	}
	all, whole := 0, 0 // pages, and those of the height of most within a line
	for h := range min(mode+mode/2, tallest) + 1 {
		all += count[h]
		if abs(h-mode) <= 1 {
			whole += count[h]
		}
	}
	p.height, p.exact = int32(mode), all-whole <= 1+all/20
	for h := mode; h <= min(mode+mode/2, tallest) && !p.exact; h++ {
		if count[h]*10 >= all && count[h] >= 2 {
			p.height = int32(h)
		}
	}
	if all < 3 {
		return paper{}
	}
	return p
}

// papers finds the paper of every volume: its own where it has six pages or more to
// tell by, or three of one height that are longer than most of the title, else that of the
// title.
func papers(vols []*Volume) []paper {
	var title [2][tallest + 1]int // of volumes without form feeds, and of those with
	out, few := make([]paper, len(vols)), make([]paper, len(vols))
	for i, v := range vols {
		var own [tallest + 1]int
		fed := 0
		if v.File.FormFeed {
			fed = 1
		}
		n := 0
		for p := range v.Pages {
			if h := v.Pages[p].Last - v.Pages[p].First; (fed == 1 || v.Divided) && h <= tallest {
				own[h]++
				title[fed][h]++
				n++
			}
		}
		if n >= 6 && fed == 1 {
			out[i] = paperOf(&own)
		} else if fed == 1 {
			few[i] = paperOf(&own)
		}
	}
	all := paperOf(&title[1])
	all.fed = all.height > 0
	if !all.fed {
		all = paperOf(&title[0])
	}
	for i := range out {
		if h := vols[i].wholeSheets(); h > 0 && h != all.height {
			out[i] = paper{height: h, exact: true} // of its own
			continue
		}
		h := out[i].height
		if short := !out[i].exact && h*4 < all.height*3; h == 0 || h >= all.height*3/2 || short { // preliminary pages are short
			out[i] = all
		}
		if few[i].exact && few[i].height > all.height+1 && few[i].height*3 < all.height*4 {
			out[i] = few[i] // on paper of its own: no page is longer than its paper
			continue
		}
		out[i].exact = out[i].exact && all.exact // trimmed volumes may have full pages only
	}
	return out
}

// wholeSheets is the height of most pages of a short volume where all are of it but for longer ones, whose lines
// are two pages or more of that height to the line, 0 where they are not: form feeds are missing there alone.
func (v *Volume) wholeSheets() int32 {
	if !v.File.FormFeed || len(v.Pages) > 6 {
		return 0
	}
	h, same, long := int32(tallest), 0, 0
	for _, pg := range v.Pages {
		if n := pg.Last - pg.First; n > 0 {
			h = min(h, n)
		}
	}
	for _, pg := range v.Pages {
		switch n := pg.Last - pg.First; {
		case n == h:
			same++
		case n > 0 && n%h == 0:
			long++
		case n > 0:
			return 0
		}
	}
	if h < 10 || same < 2 || long == 0 || long > same {
		return 0
	}
	return h
}

// feeds is what tells pages apart where form feeds are missing.
type feeds struct {
	paper
	corner [NSlots]bool      // where braille page numbers stand
	prints [NSlots]bool      // where print page numbers do
	heads  [2]map[string]int // what stands on line 1 of pages, and on their last line: how many have it

	elsewhere bool // the volume's braille page numbers stand where those of no volume with form feeds do
}

// restoreFeeds divides the pages that are longer than the paper, and reports whether
// it divided any; what each corner carries is then to be settled anew.
func restoreFeeds(vols []*Volume, finds []*numbers) bool {
	f := feeds{heads: [2]map[string]int{{}, {}}}
	var uses, fed, prints [NSlots]float64
	for i, v := range vols {
		for s := range key(nKeys) {
			switch finds[i].use[s] {
			case BraillePage:
				uses[s/2] += finds[i].br[s].weight
				if v.File.FormFeed {
					fed[s/2] += finds[i].br[s].weight
				}
			case PrintPage:
				prints[s/2] += finds[i].pr[s].weight
			}
		}
		f.addHeads(v, finds[i])
	}
	f.corner, f.prints = most(&uses), most(&prints)
	corner := most(&fed)
	done := make([]bool, len(vols))
	all := papers(vols)
	Each(len(vols), func(i int) {
		v, f := vols[i], f
		f.elsewhere = true
		for s := range key(nKeys) {
			f.elsewhere = f.elsewhere && !(finds[i].use[s] == BraillePage && corner[s/2])
		}
		if f.paper = all[i]; f.height >= 10 {
			done[i] = v.restore(&f)
		}
		if done[i] {
			v.findEdges()
			v.measure()
			finds[i] = v.findNumbers()
			if v.compound {
				finds[i].ofChapters()
			}
		}
	})
	if !slices.Contains(done, true) {
		return false
	}
	for _, n := range finds {
		n.assign()
	}
	return true
}

// most marks the corners that have a quarter of the weight of the heaviest.
func most(weight *[NSlots]float64) (out [NSlots]bool) {
	top := slices.Max(weight[:])
	for s, w := range weight {
		out[s] = w > 0 && w*4 >= top
	}
	return out
}

// addHeads takes down what stands on line 1 of the pages of a volume, and on their last
// lines, beside numbers or in the middle.
func (f *feeds) addHeads(v *Volume, n *numbers) {
	on := map[int32]*cand{}
	for i := range n.cands {
		on[n.cands[i].line] = &n.cands[i]
	}
	for p := range v.Pages {
		top, foot := v.Pages[p].Top, v.Pages[p].Bottom
		if top < 0 {
			continue
		}
		if c := on[top]; c != nil {
			f.heads[0][n.rest(v, c)]++
		} else if v.Centred(top) && !v.firstPage(p) {
			f.heads[0][Normal(v.Raw(top))]++
		}
		if c := on[foot]; c != nil && foot != top {
			f.heads[1][n.rest(v, c)]++
		} else if c == nil && foot != top && v.Centred(foot) && !oneCellIn(v.TextOf(foot)) {
			f.heads[1][Normal(v.Raw(foot))]++
		}
	}
	delete(f.heads[0], "")
	delete(f.heads[1], "")
}

// restore divides the pages of a volume that are longer than the paper.
func (v *Volume) restore(f *feeds) bool {
	if !v.File.FormFeed && v.Divided && (!f.fed || !f.elsewhere && v.regular()) {
		return false
	}
	old := v.Pages
	if !v.File.FormFeed {
		old = []Page{{First: 0, Last: int32(len(v.Lines))}}
	}
	pages := v.divideLong(f, old)
	if v.File.FormFeed && len(pages) > len(old) {
		pages = v.divideLong(f, pages) // short pages that came to light beside full ones
	}
	if len(pages) == len(old) {
		return false
	}
	v.Divided = !v.File.FormFeed
	v.Pages = pages
	return true
}

// divideLong divides those of a volume's pages that are longer than the paper, or that hold a number which is
// missing between them and the next.
func (v *Volume) divideLong(f *feeds, old []Page) (pages []Page) {
	labels := newLabels(v, f, old)
	front := true // no page so far has a number
	for p := range old {
		pg := old[p]
		front = front && p < 8 && len(labels.of(p)) == 0
		if lines := pg.Last - pg.First; lines > f.height+1 || !f.exact && (lines > f.height || front || labels.skips(p)) {
			for _, s := range v.cuts(f, pages, old[p:]) {
				pages = append(pages, Page{First: pg.First, Last: s})
				pg.First = s
			}
		} else if f.exact && labels.skips(p) {
			for _, s := range v.loneCuts(f, pages, old[p:]) {
				pages = append(pages, Page{First: pg.First, Last: s})
				pg.First = s
			}
		}
		pages = append(pages, pg)
	}
	return pages
}

// loneCuts are the cuts within the first page of rest, no longer than the paper, after which the
// next number that a page has is not the one that its own wants: where each begins with the
// number that is missing, alone on its line, though nearly all other pages are of one height.
func (v *Volume) loneCuts(f *feeds, before, rest []Page) []int32 {
	short := *f
	short.exact = false
	cuts := v.cuts(&short, before, rest)
	for _, s := range cuts {
		if !v.numberAlone(f, s) {
			return nil
		}
	}
	return cuts
}

// numberAlone reports whether a line at the top of a page holds a braille page number and nothing else.
func (v *Volume) numberAlone(f *feeds, line int32) bool {
	return slices.ContainsFunc(v.labelsAt(f, line, true), func(l edgeLabel) bool { return l.alone })
}

// regular reports whether nearly all pages of a volume are of one height, a line more
// or less.
func (v *Volume) regular() bool {
	var count [tallest + 1]int
	for p := range v.Pages {
		count[min(v.Pages[p].Last-v.Pages[p].First, tallest)]++
	}
	return paperOf(&count).exact
}

// labelsOfPages are the labels at the edges of the pages of a volume, each page looked at once.
type labelsOfPages struct {
	v      *Volume
	f      *feeds
	pages  []Page
	known  []bool
	labels [][]edgeLabel
}

func newLabels(v *Volume, f *feeds, pages []Page) *labelsOfPages {
	return &labelsOfPages{v, f, pages, make([]bool, len(pages)), make([][]edgeLabel, len(pages))}
}

func (l *labelsOfPages) of(p int) []edgeLabel {
	if !l.known[p] {
		l.known[p], l.labels[p] = true, l.v.pageLabels(l.f, l.pages[p])
	}
	return l.labels[p]
}

// skips reports whether the numbers of page p, or of the page before where it has none,
// and of the next page that has one do not count on: a page may be missing between them,
// within page p where blank lines at the end of pages are left out.
func (l *labelsOfPages) skips(p int) bool {
	next := p + 1
	for next < min(p+3, len(l.pages)) && len(l.of(next)) == 0 {
		next++
	}
	if next >= len(l.pages) {
		return false
	}
	after := l.of(next)
	for q := p; q >= max(0, p-1) && len(after) > 0; q-- {
		labels := l.of(q)
		for i := range labels {
			for k := range after {
				if labels[i].count(q) == after[k].count(next) {
					return false
				}
			}
		}
		if len(labels) > 0 {
			return true
		}
	}
	return false
}

// pageLabels are the labels in the corners of a page where braille page numbers stand.
func (v *Volume) pageLabels(f *feeds, pg Page) []edgeLabel {
	top, foot := v.edgesOf(pg)
	return append(v.labelsAt(f, top, true), v.labelsAt(f, foot, false)...)
}

// count is how far braille page numbers are ahead of the count of the pages of a run.
type count struct {
	roman  bool
	prefix string
	ahead  int
}

// start is a way to divide a run up to a line, on which a page begins.
type start struct {
	line  int32
	page  int // how many pages of the run are before it
	known bool
	count count
	score float64 // what the cuts are believed for, less what they need
	from  *start
}

// need is what a cut must be believed for, on the average of a run: its height alone
// where nearly all pages of the volume have the same one, else the number that the
// count wants with another sign.
const need = 2

// cuts finds the lines on which pages begin within the first page of rest, nil if not all
// of them are to be believed; before are the pages before it.
func (v *Volume) cuts(f *feeds, before, rest []Page) []int32 {
	from, to := rest[0].First, rest[0].Last
	for to > from && len(v.Raw(to-1)) == 0 {
		to-- // blank pages at the end of a file, and of a page
	}
	at := map[int32][]*start{}
	at[from] = v.beginRun(f, before, rest[0])
	for s := from + 1; s < to; s++ {
		at[s] = v.startsAt(f, s, from, (rest[0].Last-s)%f.height == 0, at)
	}
	foot := len(v.labelsAt(f, to-1, false)) > 0 || to > from && v.Centred(to-1) && f.heads[1][Normal(v.Raw(to-1))] >= 3
	end := to
	if foot {
		end-- // the foot of a page is none of its own
	}
	var best *start
	for s := max(from, to-f.height-1); s < end; s++ {
		for _, a := range at[s] {
			score := a.score + f.length(rest[0].Last-s, len(rest) == 1, foot) + v.goesOn(f, a, rest[1:])
			if best == nil || score > best.score || score == best.score && a.known && !best.from.known {
				best = &start{score: score, from: a}
			}
		}
	}
	least := 0.0
	if to-from > f.height+3 && !f.exact {
		least = -need // a page ends somewhere; a few lines more may be one long page
	}
	if best == nil || best.score < least {
		return nil
	}
	var out []int32
	for a := best.from; a.from != nil; a = a.from {
		out = append(out, a.line)
	}
	slices.Reverse(out)
	return out
}

// length is what the height of the last page of a run tells of the cut before it; foot
// says that it has a number or a head on its last line, the last one of the paper.
func (f *feeds) length(lines int32, last, foot bool) float64 {
	switch {
	case f.exact && !last && lines < f.height-2:
		return -need
	case f.exact && lines == f.height:
		return 0
	case lines == f.height:
		return 1.5
	case foot:
		return -1
	}
	return 0
}

// beginRun is the ways to count the pages of a run: by the number on its first page,
// or that of the pages before, and without one.
func (v *Volume) beginRun(f *feeds, before []Page, own Page) []*start {
	out := []*start{{line: own.First}}
	top, _ := v.edgesOf(own)
	labels := v.labelsAt(f, top, true)
	for back, own := 1, len(labels); back <= min(2, len(before)) && len(labels) == own; back++ {
		for _, l := range v.pageLabels(f, before[len(before)-back]) {
			l.Value += back
			labels = append(labels, l)
		}
	}
	if len(labels) == 0 && len(before) < 8 { // preliminary pages are counted too
		n := len(before) + 1
		labels = append(labels, edgeLabel{Label: cell.Label{Value: n}}, edgeLabel{Label: cell.Label{Value: n, Roman: true}})
	}
	for i := range labels {
		out = append(out, &start{line: own.First, known: true, count: labels[i].count(0)})
	}
	return out
}

// edgesOf is the first and last line of a page that are not blank, -1 where it has none.
func (v *Volume) edgesOf(pg Page) (top, foot int32) {
	top, foot = -1, -1
	for i := pg.First; i < pg.Last; i++ {
		if len(v.Raw(i)) > 0 {
			if top < 0 {
				top = i
			}
			foot = i
		}
	}
	return top, foot
}

// edgeLabel is a page label at a corner, and how it stands there.
type edgeLabel struct {
	cell.Label
	alone, middle bool // nothing else stands on its line, or words in the middle
	head          bool // the head of other pages stands beside it
}

// count is what a label on a page of a run says of its count.
func (l *edgeLabel) count(page int) count {
	return count{l.Roman, l.Prefix, l.Value - page}
}

// labelsAt lists the labels that stand on a line in the corners of the braille page
// numbers, at the top or at the foot.
func (v *Volume) labelsAt(f *feeds, line int32, top bool) (out []edgeLabel) {
	if line < 0 || int(line) >= len(v.Lines) || len(v.Raw(line)) == 0 {
		return nil
	}
	n, heads := &numbers{}, f.heads[0]
	if !top {
		heads = f.heads[1]
	}
	n.lineCands(v, 0, line, top)
	for i := range n.cands {
		c := &n.cands[i]
		right := c.slot == TopRight || c.slot == BottomRight
		if !f.corner[c.slot] || continued(c.label) || c.label.Suffix != "" || c.label.Last > c.label.Value || right && int(c.tok.To) < v.Width-2 {
			continue
		}
		middle := v.restInMiddle(c)
		head := middle && heads[n.rest(v, c)] >= 3 // contents entries name the parts that heads name
		if c.label.Bare && !((c.alone || head) && c.label.Value < 40 && c.tok.To-c.tok.From > 1) {
			continue // a word, unless "iii" stands alone in its corner or beside a head
		}
		out = append(out, edgeLabel{c.label, c.alone, middle, head})
	}
	return out
}

// startsAt is the ways to divide a run of which a page begins on line s, full as the pages after it up to the end of the
// run perhaps.
func (v *Volume) startsAt(f *feeds, s, from int32, full bool, at map[int32][]*start) (out []*start) {
	top := s
	for top < s+2 && int(top)+1 < len(v.Lines) && len(v.Raw(top)) == 0 {
		top++
	}
	foot := s - 1
	if len(v.Raw(foot)) == 0 {
		foot--
	}
	tops, feet := v.labelsAt(f, top, true), v.labelsAt(f, foot, false)
	bare := 0.0
	if top == s {
		bare = v.headAt(f, s)
	}
	for t := max(from, s-f.height-1); t < s; t++ {
		lines := s - t
		if title := t == 0 && !v.File.FormFeed; lines != f.height && len(tops) == 0 && len(feet) == 0 && bare == 0 && !title && !full {
			continue // a title page has no number, and may end anywhere
		}
		text, last := v.edgesOf(Page{First: t, Last: s})
		if lines != f.height && (text < 0 || t == 0 && text == last && v.numberAlone(f, text)) {
			continue // blank lines are a page only where they fill it, and no volume begins with a page that has its number alone
		}
		under := feet
		if text == last { // line 1 of a page and not its last, unless nothing but the number stands on it
			under = slices.DeleteFunc(slices.Clone(feet), func(l edgeLabel) bool { return !l.alone })
		}
		set := len(out)
		for _, a := range at[t] {
			out = append(out, f.next(a, s, tops, under, bare)...)
		}
		for _, b := range out[set:] {
			b.score += v.fullSign(f, t, s, full, bare > 0)
		}
	}
	return fewest(out)
}

// fullSign is what full pages from line s up to the end of a run tell of the cut, where the page
// before it begins on line t: a title page may end anywhere, and a contents list.
func (v *Volume) fullSign(f *feeds, t, s int32, full, bare bool) float64 {
	switch {
	case !full:
	case t == 0 && v.textUnderTitle(s):
		return need + 0.5 - f.heightSign(s-t)
	case t == 0 && bare:
		return max(0, -f.heightSign(s-t))
	case v.textUnderList(t, s) && f.exact:
		return need - f.heightSign(s-t) // the length of the full page tells nothing more
	case v.textUnderList(t, s):
		return 1 - min(0, f.heightSign(s-t))
	}
	return 0
}

// textUnderList reports whether line s, at the margin or under a heading that begins with it, is the first of five that
// are no entries of a contents list, under two that are, or one and the heading of contents, on the page that begins on
// line t, a row between them perhaps.
func (v *Volume) textUnderList(t, s int32) bool {
	text := s
	for text < s+5 && int(text)+5 <= len(v.Lines) && v.Centred(text) {
		for text++; int(text) < len(v.Lines) && len(v.Raw(text)) == 0; text++ {
		}
	}
	if len(v.Raw(s)) == 0 || int(text)+5 > len(v.Lines) || v.Lines[text].Text.From > 2 {
		return false
	}
	for i := text; i < text+5; i++ {
		if ofContents(v.Raw(i)) {
			return false
		}
	}
	entries := 0
	for i := s - 1; i >= t && entries < 2; i-- {
		line := v.Raw(i)
		if ofContents(line) {
			entries++
		} else if p, ok := v.Words.Lookup(v.TextOf(i)); ok && p.ID == english.Contents {
			return entries > 0
		} else if len(line) > 0 && (entries == 0 && !oneCellIn(v.TextOf(i)) || entries > 0 && v.Centred(i)) {
			return false
		}
	}
	return entries == 2
}

// textUnderTitle reports whether line s begins at the margin or as a paragraph, right under lines that all
// stand in the middle: the text under a title page.
func (v *Volume) textUnderTitle(s int32) bool {
	if v.Lines[s].Text.From > 2 || len(v.Raw(s)) == 0 || len(v.Raw(s-1)) == 0 {
		return false
	}
	n := 0
	for i := range s {
		if len(v.Raw(i)) == 0 {
			continue
		}
		if n++; !v.Centred(i) {
			return false
		}
	}
	return n >= 3
}

// headAt is what a line is believed for as line 1 of a page: the head of other pages stands on it, alone or,
// more surely, over a heading of preliminary matter, above which no title stands, or beside a number that does
// not count the pages, or a print page number alone in its corner.
func (v *Volume) headAt(f *feeds, line int32) float64 {
	if v.Centred(line) && f.heads[0][Normal(v.Raw(line))] >= 3 {
		if next := line + 1; int(next) < len(v.Lines) && v.Centred(next) {
			if p, ok := v.Words.Lookup(v.TextOf(next)); ok && apart[p.ID] {
				return 3.5
			}
		}
		return 2
	}
	n, sign := &numbers{}, 0.0
	n.lineCands(v, 0, line, true)
	for i := range n.cands {
		switch c := &n.cands[i]; {
		case f.corner[c.slot]:
		case v.restInMiddle(c) && f.heads[0][n.rest(v, c)] >= 3:
			return 3.5
		case c.alone && f.prints[c.slot]:
			sign = 2
		}
	}
	return sign
}

// next is the ways in which a page that begins on line s follows a.
func (f *feeds) next(a *start, s int32, tops, feet []edgeLabel, bare float64) (out []*start) {
	base := f.heightSign(s-a.line) - need + bare
	plain := *a
	plain.line, plain.page, plain.score, plain.from = s, a.page+1, a.score+base, a
	out = append(out, &plain)
	add := func(l edgeLabel, page int) {
		n := plain
		c := l.count(page)
		switch {
		case !a.known:
			n.known, n.count = true, c
			n.score++
		case a.count == c:
			n.score += 2.5
		case page > 0 && (l.Value == 1 || l.Value == 2 && a.count.roman && !l.Roman): // the count begins anew, its first page without a number perhaps
			n.count = c
			n.score++
		default:
			return
		}
		if l.head {
			n.score += 3 // whatever the height
		} else if l.alone || l.middle {
			n.score++
		}
		out = append(out, &n)
	}
	for _, l := range tops {
		add(l, plain.page)
	}
	for _, l := range feet {
		add(l, a.page)
	}
	return out
}

// heightSign is what the height of a page tells of the cut after it.
func (f *feeds) heightSign(lines int32) float64 {
	off := abs(int(lines - f.height))
	switch {
	case off == 0 && f.exact:
		return need
	case off == 0:
		return 1
	case off == 1:
		return 0.5
	case f.exact:
		return -2.5
	case lines >= f.height-3:
		return 0
	}
	return -1
}

// goesOn is what the number of the page after a run tells of its count. With the text the
// number of the volume may come to stand before it. Where a number of that page goes on
// without any cut, the one that goes on with them may be a print page.
func (v *Volume) goesOn(f *feeds, a *start, after []Page) float64 {
	if !a.known || len(after) == 0 {
		return 0
	}
	labels := v.pageLabels(f, after[0])
	anew := false // the count begins anew, or arabic numbers follow the roman ones of preliminary pages
	goesOn, whole := false, false
	for i := range labels {
		c := labels[i].count(a.page + 1)
		if lost := c.ahead - a.count.ahead; !f.exact && a.page > 0 && lost > 0 && lost <= 2 && c.roman == a.count.roman && c.prefix == a.count.prefix {
			anew = true // blank pages left nothing
		}
		goesOn = goesOn || c == a.count || a.count == (count{ahead: c.ahead}) && !c.roman
		whole = whole || a.page > 0 && labels[i].count(1) == a.count
		anew = anew || labels[i].Value == 1 || a.count.roman && !labels[i].Roman
	}
	switch {
	case goesOn && !whole:
		return 1
	case goesOn, anew, len(labels) == 0:
		return 0
	}
	return -1
}

// fewest keeps the best way for each count, and of these the best sixteen.
func fewest(all []*start) []*start {
	slices.SortStableFunc(all, func(a, b *start) int { return cmp.Compare(b.score, a.score) })
	type state struct {
		page  int
		known bool
		count count
	}
	seen := map[state]bool{}
	out := all[:0]
	for _, a := range all {
		if k := (state{a.page, a.known, a.count}); !seen[k] && len(out) < 16 {
			seen[k] = true
			out = append(out, a)
		}
	}
	return out
}
