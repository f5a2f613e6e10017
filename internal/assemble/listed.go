package assemble

import (
	"slices"
	"sort"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/english"
	"continuo/internal/structure"
)

// This file joins the entries of the one contents list to their headings: by
// likeness of words, by order, and by the number of the page.

// sure is the confidence from which a join is acted upon.
const sure = 0.9

// candidate is a heading that an entry may mean.
type candidate struct {
	rank   int // among all places, in reading order
	lines  int // of the heading that have the words of the entry
	likes  float64
	page   bool // the entry's number is a page on which the heading stands
	weight float64
}

// joinEntries joins the entries of the volumes' lists to headings, list by
// list. Of all ways to join them in reading order the heaviest is taken; what
// stands out of order is joined only where its words stand at one place.
func (a *assembly) joinEntries() {
	lines := a.list.lines
	if len(lines) == 0 {
		return
	}
	places := a.places
	index := make(map[[2]int]int, len(places))
	for r, p := range places {
		index[[2]int{p.vol, p.unit}] = r
	}
	for from := 0; from < len(lines); {
		to := from + 1
		for to < len(lines) && lines[to].vol == lines[from].vol && lines[to].general == lines[from].general {
			to++
		}
		a.joinList(lines[from:to], places, index)
		from = to
	}
}

// joinList joins the entries of one volume's list that are not joined yet.
func (a *assembly) joinList(lines []listLine, places []place, index map[[2]int]int) {
	cands := make([][]candidate, len(lines))
	nth := map[string]int{} // entries of the same words so far
	for k := range lines {
		if l := &lines[k]; l.kind == book.Entry && l.confidence == 0 {
			cands[k] = a.candidates(l, nth[l.norm], places, index)
			nth[l.norm]++
		}
	}
	over := make([]bool, len(lines))
	for k := range lines {
		if over[k] = a.numberOver(lines, cands, k); over[k] {
			cands[k] = nil
		}
	}
	chain := heaviest(cands, len(places))
	for k := len(lines) - 1; k >= 0; k-- {
		l := &lines[k]
		switch {
		case over[k]:
			l.to, l.confidence = lines[k+1].to, lines[k+1].confidence
		case chain[k] >= 0:
			c := cands[k][chain[k]]
			l.to, l.confidence = a.headOf(places[c.rank]), inChain(cands, chain, k)
			l.to.lines = c.lines + places[c.rank].unit - l.to.unit
		case len(cands[k]) == 1 && cands[k][0].likes == 1:
			l.to, l.confidence = a.headOf(places[cands[k][0].rank]), 0.8
			if cands[k][0].page {
				l.confidence = 0.92
			}
		}
	}
}

// partAlone reports whether an entry is the name and number of a part and no more, without a page.
func (a *assembly) partAlone(l *listLine) bool {
	if l.kind != book.Entry || l.numbered || len(l.units) > 1 {
		return false
	}
	e := a.titleOf(a.vols[l.vol], a.lineText(l))
	return e.part != "" && e.title == ""
}

// numberOver reports whether line k of a list is the number of a chapter over its words: the line under it names
// a heading that this one may mean too.
func (a *assembly) numberOver(lines []listLine, cands [][]candidate, k int) bool {
	return len(cands[k]) > 0 && k+1 < len(lines) && a.partAlone(&lines[k]) && slices.ContainsFunc(cands[k], func(c candidate) bool {
		return slices.ContainsFunc(cands[k+1], func(o candidate) bool { return o.rank == c.rank })
	})
}

// sameHeading reports whether two entries with the same words name one heading,
// as far as is known.
func sameHeading(x, y *listLine) bool {
	return x.confidence < sure || y.confidence < sure || x.to.vol == y.to.vol && x.to.unit == y.to.unit
}

// maxSame is how many headings of the same words an entry is compared with. The
// Psalms are 150; more is no book that anybody wrote, and time would grow with
// the square.
const maxSame = 500

// candidates lists the headings that an entry may mean: those with its words, of
// very many those about the nth; where there is none, those with its number or
// with words like its own; where none of them is on its page, one of these that is.
func (a *assembly) candidates(l *listLine, nth int, places []place, index map[[2]int]int) []candidate {
	var out []candidate
	seen := map[int]bool{}
	add := func(p place, likes float64) {
		r, ok := index[[2]int{p.vol, p.unit}]
		if ok && !seen[r] {
			seen[r] = true
			out = append(out, a.weigh(l, p, candidate{rank: r, lines: p.lines, likes: likes}))
		}
	}
	key := structure.HeadingKey(l.norm)
	same := a.heads[key]
	if len(same) > maxSame {
		from := max(0, min(nth-maxSame/2, len(same)-maxSame))
		same = same[from : from+maxSame]
	}
	under := a.firstLines(key)
	for _, p := range same {
		if !slices.ContainsFunc(under, func(h place) bool { return h.vol == p.vol && p.unit > h.unit && p.unit < h.unit+5 }) && !a.vols[p.vol].FurtherLine(p.unit) {
			add(p, 1)
		}
	}
	for _, p := range under {
		add(p, 0.95)
	}
	named := len(out) > 0
	if named && (!l.numbered || slices.ContainsFunc(out, func(c candidate) bool { return c.page })) {
		return out
	}
	e := a.titleOf(a.vols[l.vol], a.lineText(l))
	lab, ok := a.entryLabel(l)
	for n := range places {
		p := &places[n]
		if named && !(ok && a.onPageOf(lab, l, p)) || !headlike(&a.vols[p.vol].Units[p.unit]) {
			continue
		}
		if s, lines := a.likeness(key, e, p); s >= 0.5 || s > 0 && ok && a.onPageOf(lab, l, p) {
			q := *p
			q.lines = lines
			add(q, s)
		}
	}
	return out
}

// weigh completes a candidate: its page agrees with the entry's number, and it
// stands in the volume of the list.
func (a *assembly) weigh(l *listLine, p place, c candidate) candidate {
	c.weight = c.likes
	if c.page = a.onPage(l, p); c.page {
		c.weight += 0.5
	}
	if p.vol == l.vol {
		if c.weight += 0.1; l.vol != a.first() {
			c.weight += 0.3
		}
	}
	if to := a.nextList(l); to.vol >= 0 && (p.vol < to.vol || p.vol == to.vol && p.unit < to.unit) {
		c.weight += 0.2
	}
	return c
}

// nextList is the heading of the first contents list within the text behind an entry, vol -1
// for none: that list is of another work.
func (a *assembly) nextList(l *listLine) place {
	for _, p := range a.innerHeads {
		if p.vol > l.vol || p.vol == l.vol && p.unit > l.units[0] {
			return p
		}
	}
	return place{vol: -1}
}

// findInnerHeads finds the headings of contents lists within the text.
func (a *assembly) findInnerHeads() {
	for i, v := range a.vols {
		for k := range v.Units {
			u := &v.Units[k]
			if u.Page >= v.BodyPage && u.HasPhrase && u.Phrase.ID == english.Contents && u.Centred && v.Alone(k) && a.fates[i][k] == asText && !a.inContents(i, k) {
				a.innerHeads = append(a.innerHeads, place{vol: i, unit: k})
			}
		}
	}
}

// structural reports whether a phrase counts parts of a book.
func structural(p english.Phrase) bool {
	switch p.ID {
	case english.Chapter, english.Part, english.Book, english.Section, english.Act, english.Scene, english.ActScene, english.Canto, english.Unit, english.Letter, english.Stave, english.Appendix:
		return p.N > 0 || p.Letter > 0
	}
	return false
}

// onPage reports whether the number of an entry is the print page or the
// braille page on which a heading stands.
func (a *assembly) onPage(l *listLine, p place) bool {
	lab, ok := a.entryLabel(l)
	return ok && a.onPageOf(lab, l, &p)
}

// onPageOf is onPage for an entry whose number is known.
func (a *assembly) onPageOf(lab cell.Label, l *listLine, p *place) bool {
	if a.printNumber(l) {
		return p.hasPrint && lab.SamePage(p.print)
	}
	v := a.vols[p.vol]
	b := v.Pages[v.Units[p.unit].Page].Braille
	return p.vol == l.vol && (b != nil && b.Value == lab.Value && b.Roman == lab.Roman || b == nil && int(v.Units[p.unit].Page)+1 == lab.Value)
}

// entryLabel is the page number at the end of an entry.
func (a *assembly) entryLabel(l *listLine) (cell.Label, bool) {
	if !l.numbered {
		return cell.Label{}, false
	}
	t := a.vols[l.vol].Units[l.numberUnit()].Text
	e, ok := a.numberOf(l)
	if !ok {
		return cell.Label{}, false
	}
	return cell.ParseLabel(t[e.from:e.to])
}

// heaviest chooses a candidate for each entry, or none (-1), so that places
// rise from entry to entry and the sum of the likenesses is greatest.
func heaviest(cands [][]candidate, places int) []int {
	type node struct {
		entry, cand, from int
		sum               float64
	}
	nodes := []node{{-1, -1, -1, 0}}
	best := make([]int, places+1) // Fenwick tree: the best node that ends at a rank below
	query := func(r int) int {
		n := 0
		for ; r > 0; r -= r & -r {
			if nodes[best[r]].sum > nodes[n].sum {
				n = best[r]
			}
		}
		return n
	}
	for k, cs := range cands {
		first := len(nodes)
		for c := range cs {
			from := query(cs[c].rank)
			nodes = append(nodes, node{k, c, from, nodes[from].sum + cs[c].weight})
		}
		for n := first; n < len(nodes); n++ {
			for r := cs[nodes[n].cand].rank + 1; r <= places; r += r & -r {
				if nodes[n].sum > nodes[best[r]].sum {
					best[r] = n
				}
			}
		}
	}
	chain := make([]int, len(cands))
	for k := range chain {
		chain[k] = -1
	}
	for n := query(places); nodes[n].entry >= 0; n = nodes[n].from {
		chain[nodes[n].entry] = nodes[n].cand
	}
	return chain
}

// inChain is how sure the join of entry k is: by its words, its page, and
// whether another candidate would have stood in the order too.
func inChain(cands [][]candidate, chain []int, k int) float64 {
	c := cands[k][chain[k]]
	lo, hi := -1, 1<<30
	for i := k - 1; i >= 0; i-- {
		if chain[i] >= 0 {
			lo = cands[i][chain[i]].rank
			break
		}
	}
	for i := k + 1; i < len(chain); i++ {
		if chain[i] >= 0 {
			hi = cands[i][chain[i]].rank
			break
		}
	}
	rivals := 0
	for i, x := range cands[k] {
		if i != chain[k] && x.rank > lo && x.rank < hi && x.weight >= c.weight {
			rivals++
		}
	}
	switch {
	case rivals > 0:
		return 0.6
	case c.page && c.likes >= 0.85:
		return 0.99
	case c.likes == 1 && len(cands[k]) == 1:
		return 0.98
	case c.likes == 1:
		return 0.95
	case c.likes >= 0.85:
		return 0.92
	case c.page && c.likes >= 0.6:
		return 0.9
	}
	return 0.7
}

// headOf is the first line of the heading that a place belongs to: the words of
// an entry may stand under the line that has the chapter's number.
func (a *assembly) headOf(p place) place {
	v := a.vols[p.vol]
	for p.unit > 0 {
		u, before := &v.Units[p.unit], &v.Units[p.unit-1]
		if !(u.Centred && before.Centred || u.From == before.From && u.From >= 4) || before.Page != u.Page || u.Blanks > 0 || before.Rule || !(before.HasPhrase && structural(*before.Phrase)) && !v.PartNumber(p.unit-1) || u.HasPhrase && structural(*u.Phrase) {
			break
		}
		p.unit--
	}
	return p
}

// markListed tells the flow which units are headings because an entry of the
// contents list names them: the first line, and the others where they do not stand in the middle.
func (a *assembly) markListed() {
	for k := range a.list.lines {
		l := &a.list.lines[k]
		if l.confidence < sure {
			continue
		}
		v := a.vols[l.to.vol]
		u := &v.Units[l.to.unit]
		if a.fates[l.to.vol][l.to.unit] != asText || !v.CanHead(l.to.unit) || len(u.Text) > v.TextWidth-3 || cell.Marks(u.Text) < 2 && l.to.lines < 2 {
			continue
		}
		u.Listed = v.Alone(l.to.unit)
		for n := l.to.unit; n < l.to.unit+l.to.lines && !u.Centred; n++ {
			v.Units[n].Side = true
		}
	}
}

// listLinks makes links of the joins, when the blocks of the book are laid.
func (a *assembly) listLinks(index blockIndex) {
	for k := range a.list.lines {
		l := &a.list.lines[k]
		if l.confidence == 0 || l.kind != book.Entry {
			continue
		}
		v := a.vols[l.to.vol]
		target, ok := index.at(int32(l.to.vol), v.Units[l.to.unit].Line)
		entry, ok2 := index.at(int32(l.vol), a.vols[l.vol].Units[l.units[0]].Line)
		if !ok || !ok2 || a.b.Blocks[entry].Kind != book.Entry || len(a.b.Blocks[entry].Pieces) == 0 {
			continue
		}
		to := int32(len(a.b.Text(a.b.Blocks[entry].Pieces[0])))
		a.b.Links = append(a.b.Links, book.Link{Kind: book.ListRef, Block: entry, To: to, Target: target, Confidence: l.confidence})
	}
}

// blockIndex has, for each line of each volume, one more than the first block
// that holds cells of it; 0 for none.
type blockIndex [][]int32

func (a *assembly) blockIndex() blockIndex {
	x := make(blockIndex, len(a.b.Files))
	for v, f := range a.b.Files {
		x[v] = make([]int32, len(f.Lines))
	}
	for i := range a.b.Blocks {
		if a.b.Blocks[i].Kind == book.Turn {
			continue
		}
		for k := range a.b.Blocks[i].Pieces {
			if p := &a.b.Blocks[i].Pieces[k]; p.Vol >= 0 && x[p.Vol][p.Line] == 0 {
				x[p.Vol][p.Line] = int32(i) + 1
			}
		}
	}
	return x
}

// at is the first block that holds cells of a source line.
func (x blockIndex) at(vol, line int32) (block int32, ok bool) {
	block = x[vol][line] - 1
	return block, block >= 0
}

// unitOf is the unit of a source line, nil if the line is no unit.
func (a *assembly) unitOf(vol, line int32) *structure.Unit {
	us := a.vols[vol].Units
	i := sort.Search(len(us), func(i int) bool { return us[i].Line >= line })
	if i < len(us) && us[i].Line == line {
		return &us[i]
	}
	return nil
}
