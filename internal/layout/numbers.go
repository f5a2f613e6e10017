package layout

import (
	"bytes"
	"cmp"
	"slices"
	"strings"

	"continuo/internal/cell"
)

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

// key is a slot, or a slot on the pages of one parity where left and right
// pages carry different numbers in it: first those with even braille page numbers,
// then those with odd ones, so that the keys of all volumes of a title say the same,
// however many pages without a number stand at the start of each.
type key uint8

const nKeys = key(2 * NSlots)

// numbers is what was found in one volume before the slots are settled.
type numbers struct {
	cands []cand
	split [NSlots]bool // the slot is told apart by the parity of the page
	odd   int32        // 1 where pages with an even index have odd braille page numbers
	count [nKeys]int
	br    [nKeys]chain
	pr    [nKeys]chain
	use   [nKeys]Use
	votes [nKeys][3]float64
	taken []Use        // of each candidate
	parts [NSlots]bool // the slot holds the numbers of chapters, see findParts

	misprint map[int]bool // candidates taken whose value is not to be believed
}

func (n *numbers) key(c *cand) key {
	if n.split[c.slot] {
		return key(2*c.slot) + key((c.page+n.odd)&1)
	}
	return key(2 * c.slot)
}

// chain is a sequence of candidates over pages.
type chain struct {
	weight float64
	idx    []int
}

func (v *Volume) findNumbers() *numbers {
	n := &numbers{}
	for p := range v.Pages {
		pg := &v.Pages[p]
		if pg.Top < 0 {
			continue
		}
		if pg.Top-pg.First <= 2 {
			n.lineCands(v, int32(p), pg.Top, true)
		}
		if pg.Bottom != pg.Top {
			n.lineCands(v, int32(p), pg.Bottom, false)
		} else if pg.Bottom-pg.First > 2 {
			n.lineCands(v, int32(p), pg.Bottom, false)
		}
	}
	n.dropLineNumbers(v)
	n.dropHigh(v)
	n.dropInner(v)
	n.dropInset(v)
	n.dropRunovers(v)
	n.dropOpeners(v)
	n.findParts(v)
	n.sequences()
	return n
}

// sequences finds the sequences of every slot and what it carries.
func (n *numbers) sequences() {
	n.taken = make([]Use, len(n.cands))
	n.split = [NSlots]bool{}
	n.votes = [nKeys][3]float64{}
	heaviest := chain{weight: 2}
	for s := Slot(0); s < NSlots; s++ {
		n.chains(s)
		if c := n.br[2*s]; c.weight > heaviest.weight {
			heaviest = c
		}
	}
	n.odd = n.parity(heaviest)
	for s := Slot(0); s < NSlots; s++ {
		n.trySplit(s)
	}
	n.assign()
}

// parity is 1 where the braille pages of a sequence with an even index have odd
// numbers, as most of its numbers tell; so is the first page of a file where nothing tells.
func (n *numbers) parity(c chain) int32 {
	odd := 0
	for _, i := range c.idx {
		q := &n.cands[i]
		odd += 2*((q.label.Value-int(q.page))&1) - 1
	}
	if odd < 0 {
		return 0
	}
	return 1
}

// chains runs the sequences of a slot.
func (n *numbers) chains(s Slot) {
	for k := key(2 * s); k < key(2*s+2); k++ {
		var idx []int
		for i := range n.cands {
			if n.cands[i].slot == s && n.key(&n.cands[i]) == k {
				idx = append(idx, i)
			}
		}
		n.count[k] = len(idx)
		n.br[k] = n.brailleChain(idx)
		n.pr[k] = n.printChain(idx)
	}
}

// best is the weight of the better sequence of a slot's keys.
func (n *numbers) best(s Slot) float64 {
	w := 0.0
	for k := key(2 * s); k < key(2*s+2); k++ {
		w += max(n.br[k].weight, n.pr[k].weight)
	}
	return w
}

// trySplit tells a slot apart by parity when that explains clearly more of its
// numbers.
func (n *numbers) trySplit(s Slot) {
	whole := n.best(s)
	if n.count[2*s] < 6 || whole >= 0.8*float64(n.count[2*s]) {
		return
	}
	n.split[s] = true
	n.chains(s)
	if n.best(s) < 1.25*whole {
		n.split[s] = false
		n.chains(s)
	}
}

// lineCands adds the candidates of one line.
func (n *numbers) lineCands(v *Volume, page, line int32, top bool) {
	t := v.Raw(line)
	start := len(n.cands)
	from := lastToken(t)
	indent := cell.Indent(t)
	slot := func(s Slot) Slot {
		if !top {
			s += BottomLeft
		}
		return s
	}
	if from == indent || cell.BetweenHyphens(t[indent:]) != nil { // one token on the line
		from = indent
		label := t[from:]
		if inner := cell.BetweenHyphens(label); inner != nil {
			label = inner
		}
		if l, ok := cell.ParseLabel(label); ok && (len(label) == len(t)-from || !l.Bare) {
			s := TopRight
			if indent > 2 && len(t) < v.Width/3 {
				return // in no corner and not in the middle: the number of a section
			}
			if indent <= 2 {
				s = TopLeft
			} else if len(t) < v.Width-2 && abs(indent-(v.Width-(len(t)-indent))/2) <= 2 {
				s = TopCentre
			}
			n.cands = append(n.cands, cand{page, line, slot(s), Span{int32(from), int32(len(t))}, l, true, v.Width})
		}
		return
	}
	if gap := gapBefore(t, from); gap >= 2 {
		if l, ok := cell.ParseLabel(t[from:]); ok && (!l.Bare || gap >= 3) {
			n.cands = append(n.cands, cand{page, line, slot(TopRight), Span{int32(from), int32(len(t))}, l, false, gap})
		}
	}
	if indent <= 1 {
		to := firstTokenEnd(t, indent)
		gap := gapAfter(t, to)
		if gap >= 2 {
			if l, ok := cell.ParseLabel(t[indent:to]); ok && (!l.Bare || gap >= 3) {
				n.cands = append(n.cands, cand{page, line, slot(TopLeft), Span{int32(indent), int32(to)}, l, false, gap})
			}
		}
	}
	if len(n.cands)-start == 2 { // two numbers and nothing between them
		l, r := n.cands[start+1].tok, n.cands[start].tok
		if cell.Marks(t[l.To:r.From]) == 0 {
			n.cands[start].alone, n.cands[start+1].alone = true, true
		}
	}
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

type chainKey struct {
	roman  bool
	prefix string
	offset int
}

// restart is what a break of the sequence costs: a lone number that fits
// nothing is not worth one, two that fit each other are.
const restart = 1.2

// brailleChain finds the heaviest sequence in which the number grows as the
// pages do.
func (n *numbers) brailleChain(idx []int) chain {
	score, from := make([]float64, len(idx)), make([]int, len(idx))
	byKey := map[chainKey]int{}
	best := -1
	for k, i := range idx {
		c := &n.cands[i]
		if c.label.Suffix != "" || c.label.Last > c.label.Value || compound(c.label) { // no braille page is a range
			score[k], from[k] = -1, -1
			continue
		}
		w := 1.0
		if !c.alone && c.gap < 3 {
			w = 0.8
		}
		if continued(c.label) {
			w /= 2
		}
		key := chainKey{c.label.Roman, prefixKey(c.label.Prefix), c.label.Value - int(c.page)}
		score[k], from[k] = w, -1
		if best >= 0 {
			if s := score[best] + w - restart; s > score[k] && n.cands[idx[best]].page != c.page {
				score[k], from[k] = s, best
			}
		}
		if j, ok := byKey[key]; ok && n.cands[idx[j]].page != c.page {
			if s := score[j] + w; s > score[k] {
				score[k], from[k] = s, j
			}
		}
		if j, ok := byKey[key]; !ok || score[k] >= score[j] {
			byKey[key] = k
		}
		if best < 0 || score[k] > score[best] {
			best = k
		}
	}
	return n.trace(idx, score, from, best)
}

// continued reports whether a label has the letter of a print page that goes on
// over several braille pages (a#c; BRL session 4). The letters t and p stand
// before the numbers of a transcriber's own pages.
func continued(l cell.Label) bool {
	p := strings.TrimSuffix(l.Prefix, l.Own())
	return !l.Roman && (len(p) == 1 || len(p) == 2) && p[0] >= 'a' && p[0] <= 'z' && p != "t" && p != "p"
}

// prefixKey keeps what numbers a run of pages of its own (t, p, a volume
// digit); continuation letters do not.
func prefixKey(p string) string { return p }

// printChain finds the heaviest sequence in which the number never falls and
// grows no faster than a few a page.
func (n *numbers) printChain(idx []int) chain {
	score, from := make([]float64, len(idx)), make([]int, len(idx))
	best := -1
	for k, i := range idx {
		c := &n.cands[i]
		score[k], from[k] = 1, -1
		if p := c.label.Prefix; (p == "t" || p == "p") && !n.letterRun(idx, k) { // pages the transcriber made
			score[k] = -1
			continue
		}
		for j := k - 1; j >= 0 && j >= k-24; j-- {
			q := &n.cands[idx[j]]
			if q.page == c.page {
				continue
			}
			cost := restart
			if q.label.Roman == c.label.Roman {
				step, pages := c.label.Value-q.label.Last, int(c.page-q.page)
				if c.label.Value >= q.label.Value && step <= 2*pages+3 {
					cost = 0
				}
				if own := c.label.Own(); own != "" && own != q.label.Own() { // pages of another chapter or an appendix
					if cost = restart; c.label.Value <= pages+2 {
						cost = 0
					}
				}
			}
			if s := score[j] + 1 - cost; s > score[k] {
				score[k], from[k] = s, j
			}
		}
		if best < 0 || score[k] > score[best] {
			best = k
		}
	}
	return n.trace(idx, score, from, best)
}

// letterRun reports whether a label with the letter p or t goes on a print page: a
// page near by has the letter before or after it and the same number.
func (n *numbers) letterRun(idx []int, k int) bool {
	c := &n.cands[idx[k]]
	for j := max(0, k-2); j < min(len(idx), k+3); j++ {
		q := &n.cands[idx[j]]
		if p := q.label.Prefix; len(p) == 1 && abs(int(p[0])-int(c.label.Prefix[0])) == 1 && abs(int(q.page-c.page)) <= 2 && q.label.Value == c.label.Value {
			return true
		}
	}
	return false
}

func (n *numbers) trace(idx []int, score []float64, from []int, best int) chain {
	var c chain
	if best < 0 {
		return c
	}
	c.weight = score[best]
	for k := best; k >= 0; k = from[k] {
		c.idx = append(c.idx, idx[k])
	}
	return c
}

// assign decides which slot carries which number in this volume.
func (n *numbers) assign() {
	for s := key(0); s < nKeys; s++ {
		b, p, c := n.br[s].weight, n.pr[s].weight, float64(n.count[s])
		if c == 0 {
			continue
		}
		if b >= 2.5 && b >= 0.5*c {
			n.votes[s][BraillePage] = b
		}
		if p >= 2.5 && p >= 0.5*c && !n.sameLetter(n.pr[s].idx) {
			n.votes[s][PrintPage] = p
		}
	}
	n.choose()
}

// sameLetter reports whether labels are one roman number of a single letter, again and
// again: the last head of a table whose columns are named by letters, which stands at
// the top of many pages and is no page.
func (n *numbers) sameLetter(idx []int) bool {
	for _, i := range idx {
		if l := n.cands[i].label; !l.Roman || l != n.cands[idx[0]].label || len(bytes.TrimLeft(l.Cells(), ";,")) != 1 {
			return false
		}
	}
	return len(idx) > 0
}

// choose turns votes into uses. The slot with the strongest count of braille
// pages is the braille page; a slot whose numbers only never fall is the print
// page. Numbers that alternate between corners fill one use together.
func (n *numbers) choose() {
	n.use = [nKeys]Use{}
	best := nKeys
	for s := key(0); s < nKeys; s++ {
		v := n.votes[s]
		if v[BraillePage] == 0 || v[BraillePage] < n.share(s)*v[PrintPage] {
			continue
		}
		if best == nKeys || v[BraillePage] > n.votes[best][BraillePage] {
			best = s
		}
	}
	for _, s := range n.byWeight(best) {
		v := n.votes[s]
		switch {
		case s == best:
			n.use[s] = BraillePage
		case (n.count[s] >= 3 || n.roman(s)) && n.repeatsPrint(s, best):
			n.use[s] = PrintPage
		case best < nKeys && n.apart(s) && (v[BraillePage] > 0 && v[BraillePage] >= n.share(s)*v[PrintPage] || n.br[s].weight >= 1 && n.sameCount(s, best)):
			n.use[s] = BraillePage
		case v[PrintPage] > 0 && n.minor(s, best):
			n.votes[s][PrintPage] = 0
		case v[PrintPage] > 0:
			n.use[s] = PrintPage
		}
	}
}

// repeatsPrint reports whether all numbers of a slot stand in another corner of their pages
// too, one of print pages: that of the page the print is at stands at both.
func (n *numbers) repeatsPrint(s, braille key) bool {
	for k := range nKeys {
		if k == s || k == braille || n.votes[k][PrintPage] <= n.votes[k][BraillePage] || n.count[k] <= n.count[s] {
			continue
		}
		on, all := map[int32]cell.Label{}, true
		for i := range n.cands {
			if c := &n.cands[i]; n.key(c) == k {
				on[c.page] = c.label
			}
		}
		for i := range n.cands {
			c := &n.cands[i]
			all = all && (n.key(c) != s || on[c.page] == c.label)
		}
		if all {
			return true
		}
	}
	return false
}

// roman reports whether all numbers of a slot are roman, with a sign before them: by chance
// none of them is that of another corner.
func (n *numbers) roman(s key) bool {
	for i := range n.cands {
		if c := &n.cands[i]; n.key(c) == s && (!c.label.Roman || c.label.Bare) {
			return false
		}
	}
	return n.count[s] > 0
}

// minor reports whether another slot has ten times as many print pages, on the same
// pages: a few words alone on their line, as the word I, are none.
func (n *numbers) minor(s, braille key) bool {
	for o := key(0); o < nKeys; o++ {
		if o == s || o == braille || n.votes[o][PrintPage] <= 10*n.votes[s][PrintPage] {
			continue
		}
		on, both := map[int32]bool{}, 0
		for _, i := range n.pr[o].idx {
			on[n.cands[i].page] = true
		}
		for _, i := range n.pr[s].idx {
			if on[n.cands[i].page] {
				both++
			}
		}
		if both*2 >= len(n.pr[s].idx) {
			return true
		}
	}
	return false
}

// byWeight is the slots, first those that go on the count of the best one, since print pages may
// keep step with braille pages, and of these those with the heaviest count of braille pages.
func (n *numbers) byWeight(best key) []key {
	keys := make([]key, nKeys)
	goesOn := [nKeys]int{}
	for s := range keys {
		keys[s] = key(s)
		if best < nKeys && n.sameCount(key(s), best) {
			goesOn[s] = 1
		}
	}
	slices.SortStableFunc(keys, func(a, b key) int {
		return cmp.Or(cmp.Compare(goesOn[b], goesOn[a]), cmp.Compare(n.votes[b][BraillePage], n.votes[a][BraillePage]))
	})
	return keys
}

// apart reports whether a slot carries numbers on other pages than the slots
// already found to be the braille page.
func (n *numbers) apart(s key) bool {
	for k := key(0); k < nKeys; k++ {
		if n.use[k] == BraillePage && !n.disjoint(s, k) {
			return false
		}
	}
	return true
}

// share is how much of the numbers of a slot must count the pages for it to be
// the braille page: less where no number stands twice in a row, as print pages
// do that go on over several braille pages.
func (n *numbers) share(k key) float64 {
	idx := n.pr[k].idx
	for i := 1; i < len(idx); i++ {
		a, b := n.cands[idx[i]].label, n.cands[idx[i-1]].label
		if a.Value == b.Value && a.Roman == b.Roman {
			return 0.7
		}
	}
	return 0.5
}

// sameCount reports whether the numbers of two slots count the same pages: most
// of their values are as far from the number of the page.
func (n *numbers) sameCount(a, b key) bool {
	off := func(k key) (best, hits int) {
		count := map[int]int{}
		for _, i := range n.br[k].idx {
			c := &n.cands[i]
			count[c.label.Value-int(c.page)]++
		}
		for o, h := range count {
			if h > hits || h == hits && o < best {
				best, hits = o, h
			}
		}
		return best, hits
	}
	x, hx := off(a)
	y, hy := off(b)
	return x == y && 2*hx >= len(n.br[a].idx) && 2*hy >= len(n.br[b].idx)
}

// disjoint reports whether two slots carry numbers on different pages.
func (n *numbers) disjoint(a, b key) bool {
	last := int32(-1)
	for _, i := range n.br[b].idx {
		last = max(last, n.cands[i].page)
	}
	on := make([]bool, last+1)
	for _, i := range n.br[b].idx {
		on[n.cands[i].page] = true
	}
	both := 0
	for _, i := range n.br[a].idx {
		if p := n.cands[i].page; p <= last && on[p] {
			both++
		}
	}
	return both*5 <= len(n.br[a].idx)
}

// pool lets volumes without enough pages of their own follow the others.
func pool(all []*numbers) {
	alignParity(all)
	shareSplits(all)
	shareParts(all)
	countPages(all)
	settleTies(all)
	var sum [nKeys][3]float64
	for _, n := range all {
		for s := range sum {
			for u, use := range n.votes[s] {
				if Use(u) == n.use[s] || n.use[s] == Nothing {
					sum[s][u] += use
				}
			}
			if n.use[s] != Nothing {
				sum[s][n.use[s]] += 1
			}
		}
	}
	for _, n := range all {
		n.follow(&sum)
		for n.followOne(&sum) { // one corner after the other, where they alternate
		}
		for s := key(0); s < nKeys; s++ {
			if n.use[s] != Nothing || n.count[s] == 0 {
				continue
			}
			switch {
			case sum[s][BraillePage] > sum[s][PrintPage]:
				n.use[s] = BraillePage
			case sum[s][PrintPage] > 0:
				n.use[s] = PrintPage
			}
		}
	}
}

// alignParity has the odd pages of a short volume be those of the whole title: by the
// slot that carries the braille pages of most volumes, where a volume with few pages took
// the numbers of another one for them.
func alignParity(all []*numbers) {
	var braille [NSlots]float64
	for _, n := range all {
		for s := range braille {
			if !n.split[s] && n.use[2*s] == BraillePage {
				braille[s] += n.br[2*s].weight
			}
		}
	}
	best := Slot(0)
	for s := range braille {
		if braille[s] > braille[best] {
			best = Slot(s)
		}
	}
	for _, n := range all {
		c := n.br[2*best]
		if n.split[best] || n.use[2*best] == BraillePage || c.weight < 2 || n.parity(c) == n.odd {
			continue
		}
		n.odd = n.parity(c)
		for s := Slot(0); s < NSlots; s++ {
			if n.split[s] {
				n.chains(s)
			}
		}
		n.votes = [nKeys][3]float64{}
		n.assign()
	}
}

// shareSplits tells a slot apart by parity in volumes that have too few numbers in it
// to tell, where that is done in most of the volumes that can; where it is done in three of
// four of them, in a volume too whose numbers are explained as well: print pages may keep
// step with braille pages throughout one volume.
func shareSplits(all []*numbers) {
	for s := Slot(0); s < NSlots; s++ {
		apart, whole := 0, 0
		for _, n := range all {
			switch {
			case n.split[s]:
				apart++
			case n.use[2*s] != Nothing:
				whole++
			}
		}
		if apart <= whole {
			continue
		}
		for _, n := range all {
			if n.split[s] || n.count[2*s] == 0 || n.use[2*s] != Nothing && apart < 3*whole {
				continue
			}
			was := n.best(s)
			n.split[s] = true
			if n.chains(s); n.use[2*s] != Nothing && n.best(s) < was {
				n.split[s] = false
				n.chains(s)
				continue
			}
			n.votes = [nKeys][3]float64{}
			n.assign()
		}
	}
}

// settleTies changes the uses of two slots over where both count the pages of a
// volume equally well and the other one counts those of the whole title better:
// print pages on the same pages keep step with braille pages for a while only.
func settleTies(all []*numbers) {
	var sum [nKeys]float64
	for _, n := range all {
		for s := range sum {
			sum[s] += n.br[s].weight
		}
	}
	for _, n := range all {
		for s := key(0); s < nKeys; s++ {
			for t := key(0); t < nKeys && n.use[s] == BraillePage; t++ {
				if n.use[t] == PrintPage && n.br[t].weight >= n.br[s].weight && sum[t] > sum[s]+0.5 && !n.disjoint(s, t) {
					n.use[s], n.use[t] = PrintPage, BraillePage
				}
			}
		}
	}
}

// follow changes the uses of two slots over where both count the pages of this
// volume, one nearly as well as the other, and the title as a whole has them the other way round.
func (n *numbers) follow(sum *[nKeys][3]float64) {
	for s := key(0); s < nKeys; s++ {
		if n.use[s] != BraillePage || n.votes[s][PrintPage] == 0 || sum[s][PrintPage] <= 2*sum[s][BraillePage] {
			continue
		}
		for t := key(0); t < nKeys; t++ {
			if n.use[t] == PrintPage && n.votes[t][BraillePage] > 0 && 4*n.votes[t][BraillePage] >= 3*n.votes[s][BraillePage] && sum[t][BraillePage] > 2*sum[t][PrintPage] {
				n.use[s], n.use[t] = PrintPage, BraillePage
				break
			}
		}
	}
}

// followOne takes the print page of a slot for the braille page where the title
// as a whole has braille pages there, and the volume has no braille page but two print
// pages, or one that no other volume has there, or its braille pages stand on other
// pages. It reports whether there was one.
func (n *numbers) followOne(sum *[nKeys][3]float64) bool {
	prints, braille := 0, false
	best, alone := nKeys, false
	for s := key(0); s < nKeys; s++ {
		switch n.use[s] {
		case BraillePage:
			braille = true
		case PrintPage:
			prints++
			others := sum[s][PrintPage] - n.votes[s][PrintPage] - 1 // as pool adds them up
			if sum[s][BraillePage] > 2*others && (best == nKeys || sum[s][BraillePage] > sum[best][BraillePage]) {
				best, alone = s, others <= 0
			}
		}
	}
	if best < nKeys && (braille && n.apart(best) || !braille && (prints > 1 || alone)) {
		n.use[best] = BraillePage
		return true
	}
	return false
}

// settle takes the candidates of the settled slots that stand in sequence.
func (v *Volume) settle(n *numbers) {
	for s := Slot(0); s < NSlots; s++ {
		v.Slots[s] = n.use[2*s]
		if v.Slots[s] == Nothing || (n.use[2*s+1] == BraillePage) {
			v.Slots[s] = max(v.Slots[s], n.use[2*s+1])
		}
	}
	for s := key(0); s < nKeys; s++ {
		switch n.use[s] {
		case BraillePage:
			for _, i := range n.br[s].idx {
				n.taken[i] = BraillePage
			}
		case PrintPage:
			use := PrintPage
			if n.volumeMark(n.pr[s].idx) {
				use = VolumeMark
			}
			for _, i := range n.pr[s].idx {
				n.taken[i] = use
			}
		}
	}
	for i := range n.cands {
		if n.parts[n.cands[i].slot] {
			n.taken[i] = VolumeMark
		}
	}
	n.joinBraille(v)
	n.dropOffColumn()
}

// dropOffColumn gives back numbers that stand alone on their line and fit the sequence by
// chance: twice as many of their corner, three at least, end further out at one cell
// (one cell more or less), and none of them reaches so far in. The number of a section
// stands on the page that has no page number.
func (n *numbers) dropOffColumn() {
	for i, use := range n.taken {
		c := &n.cands[i]
		if use == Nothing || !c.alone || c.slot != TopRight && c.slot != BottomRight || use != n.use[n.key(c)] {
			continue
		}
		like, out := 0, map[int32]int{}
		for k, other := range n.taken {
			if d := &n.cands[k]; other == Nothing || d.slot != c.slot {
				continue
			} else if d.tok.To <= c.tok.To+4 {
				like++
			} else {
				for e := d.tok.To - 1; e <= d.tok.To+1; e++ {
					out[e]++
				}
			}
		}
		most := 0
		for _, k := range out {
			most = max(most, k)
		}
		if most >= 3 && most >= 2*like && c.tok.From < 10 {
			n.taken[i] = Nothing
		}
	}
}

// settleLone takes the numbers that stand in no sequence of their volume, now
// that the heads of all volumes of the title are known.
func (v *Volume) settleLone(n *numbers, heads *[2]map[string]int) {
	n.lone(v, heads)
	n.fillGaps(v)
	n.unsigned(v)
}

// addBeside counts what stands beside the taken numbers of a volume: at the top
// of pages, and at the foot.
func (n *numbers) addBeside(v *Volume, heads *[2]map[string]int) {
	for i, use := range n.taken {
		if use == Nothing {
			continue
		}
		if rest := n.rest(v, &n.cands[i]); rest != "" {
			heads[n.cands[i].slot/BottomLeft][rest]++
		}
	}
}

// fillGaps takes the only number of a page, found to be a print page, for the
// braille page when it lacks in the sequence of the braille pages beside it:
// in alternating corners both stand in one slot.
func (n *numbers) fillGaps(v *Volume) {
	braille := make([]*cell.Label, len(v.Pages))
	for i, use := range n.taken {
		if use == BraillePage {
			braille[n.cands[i].page] = &n.cands[i].label
		}
	}
	next := func(a, b *cell.Label) bool {
		return b.Value == a.Value+1 && a.Roman == b.Roman && a.Prefix == b.Prefix
	}
	for i, use := range n.taken {
		c := &n.cands[i]
		if use != PrintPage || braille[c.page] != nil {
			continue
		}
		var before, after *cell.Label
		if c.page > 0 {
			before = braille[c.page-1]
		}
		if int(c.page)+1 < len(braille) {
			after = braille[c.page+1]
		}
		if before == nil && after == nil || before != nil && !next(before, &c.label) || after != nil && !next(&c.label, after) {
			continue
		}
		n.taken[i] = BraillePage
	}
}

// volumeMark reports whether numbers are the same on many pages: the number of
// the volume, set beside the page number in some layouts.
func (n *numbers) volumeMark(idx []int) bool {
	if len(idx) == 0 || len(idx) < 3 && n.cands[idx[0]].label.Prefix != "v" {
		return false
	}
	first := n.cands[idx[0]].label
	for _, i := range idx {
		if n.cands[i].label != first {
			return false
		}
	}
	return first.Prefix == "v" || len(idx) >= 12
}

// joinBraille runs the braille chain once more over all its slots together, so
// that numbers in alternating corners are one sequence.
func (n *numbers) joinBraille(v *Volume) {
	slots := 0
	var idx []int
	for s := key(0); s < nKeys; s++ {
		if n.use[s] == BraillePage {
			slots++
		}
	}
	if slots < 2 {
		return
	}
	for i := range n.cands {
		if n.use[n.key(&n.cands[i])] == BraillePage {
			idx = append(idx, i)
			n.taken[i] = Nothing
		}
	}
	for _, i := range n.brailleChain(idx).idx {
		n.taken[i] = BraillePage
	}
}

// lone takes a number in a settled slot that is out of sequence when nothing
// but numbers stand on its line, or what stands there is the head of other
// numbered pages: it is a misprint of the number, not text.
func (n *numbers) lone(v *Volume, heads *[2]map[string]int) {
	n.misprint = map[int]bool{}
	was := slices.Clone(n.taken)
	partner := map[int32]Use{}
	on := map[[2]int32]cell.Label{} // by page and use
	for i, use := range n.taken {
		if use != Nothing {
			partner[n.cands[i].line] = use
			on[[2]int32{n.cands[i].page, int32(use)}] = n.cands[i].label
		}
	}
	for i := range n.cands {
		c := &n.cands[i]
		if n.taken[i] != Nothing || v.letterAlone(c) || n.offColumn(c) {
			continue
		}
		_, braille := on[[2]int32{c.page, int32(BraillePage)}]
		if print, both := on[[2]int32{c.page, int32(PrintPage)}]; both && braille && n.use[n.key(c)] == Nothing && print != c.label {
			continue // its page has its numbers: that of a section, at the margin
		}
		if use := partner[c.line]; use != Nothing && c.alone && (c.label.Roman && c.label.Value < 100 && letters(v.Raw(c.line)[c.tok.From:c.tok.To]) > 1 || n.pairs(c.slot, partner) >= 3) {
			n.taken[i] = BraillePage // two numbers and nothing else; dcv is deceive
			if use == BraillePage {
				n.taken[i] = PrintPage
			}
			continue
		}
		if use := n.use[n.key(c)]; use != Nothing && partner[c.line] != Nothing && partner[c.line] != use && n.between(v, c) {
			n.taken[i] = use
			continue
		}
		switch headed := headsLike(heads[c.slot/BottomLeft], n.rest(v, c)); {
		case n.prelim(v, c, headed), n.transcribers(c), n.countsPages(v, c), n.overPart(v, c):
			n.taken[i] = BraillePage
			continue
		case n.use[n.key(c)] == Nothing && !headed || c.label.Bare && !headed:
			continue
		case !c.alone && !headed && !n.missing(c, was), n.stray(v, c, was, partner):
			continue
		case n.use[n.key(c)] == Nothing:
			n.taken[i] = BraillePage
			continue
		}
		n.taken[i] = n.use[n.key(c)]
		if c.counts() {
			continue
		}
		n.misprint[i] = n.taken[i] == PrintPage && !n.fits(i)
		v.Oddities = append(v.Oddities, Oddity{c.line, "number-out-of-sequence", "a page number that does not fit the sequence"})
	}
}

// between reports whether what stands beside c on its line, the numbers at both ends cut off,
// stands in the middle of the room between them, three blanks from each.
func (n *numbers) between(v *Volume, c *cand) bool {
	if c.alone || c.label.Bare || c.gap < 3 {
		return false
	}
	from, to := int32(0), int32(0)
	for i := range n.cands {
		if d := &n.cands[i]; d.line == c.line && d.slot != c.slot && !d.alone && d.gap >= 3 {
			from, to = min(c.tok.To, d.tok.To), max(c.tok.From, d.tok.From)
		}
	}
	t := v.Raw(c.line)
	if from >= to {
		return false
	}
	left := int32(gapAfter(t, int(from)))
	d := left - int32(gapBefore(t, int(to)))
	return d >= -4 && d <= 4 && left < to-from
}

// offColumn reports whether c stands alone on its line and further in than all the taken
// numbers of its corner, three or more, begin at the left or end at the right: the
// number of a verse or paragraph, or a word that reads like a number.
func (n *numbers) offColumn(c *cand) bool {
	left := c.slot == TopLeft || c.slot == BottomLeft
	if !c.alone || !left && c.slot != TopRight && c.slot != BottomRight {
		return false
	}
	all := 0
	for i, use := range n.taken {
		d := &n.cands[i]
		if use == Nothing || d.slot != c.slot {
			continue
		}
		if all++; left && d.tok.From >= c.tok.From || !left && d.tok.To <= c.tok.To+2 {
			return false
		}
	}
	return all >= 3
}

// stray reports whether c stands alone on its line, in a corner of print page numbers that
// all share their line with a braille page number, and is none that the print could have
// reached there: the number of a verse or paragraph.
func (n *numbers) stray(v *Volume, c *cand, was []Use, partner map[int32]Use) bool {
	if n.use[n.key(c)] != PrintPage || partner[c.line] != Nothing || cell.Marks(v.Raw(c.line)) != int(c.tok.To-c.tok.From) {
		return false
	}
	near, count := -1, map[int32]int{}
	for i, use := range was {
		if use != Nothing {
			count[n.cands[i].line]++
		}
	}
	all := 0
	for i, use := range was {
		d := &n.cands[i]
		if use != PrintPage || d.slot != c.slot {
			continue
		}
		if all++; count[d.line] < 2 {
			return false
		}
		if near < 0 || abs(int(d.page-c.page)) < abs(int(n.cands[near].page-c.page)) {
			near = i
		}
	}
	return all >= 3 && !reached(c, &n.cands[near])
}

// reached reports whether the print can turn to the page of the one number and that of
// the other, as many braille pages apart as they are.
func reached(a, b *cand) bool {
	if a.page > b.page {
		a, b = b, a
	}
	step := b.label.Value - a.label.Last
	return a.label.Roman != b.label.Roman || step >= -1 && step <= 2*int(b.page-a.page)+3
}

// counts reports whether c says which page of its file it stands on: a run of
// numbers of its own, that of a part numbered anew, is no oddity.
func (c *cand) counts() bool {
	return !c.label.Bare && c.label.Value == int(c.page)+1 && c.label.Last == c.label.Value
}

// fits reports whether the print page of a candidate lies between those of the
// pages before and after it.
func (n *numbers) fits(i int) bool {
	c := &n.cands[i]
	for k, use := range n.taken {
		d := &n.cands[k]
		if use != PrintPage || k == i || n.misprint[k] || d.label.Roman != c.label.Roman || abs(int(d.page-c.page)) > 6 {
			continue
		}
		if d.page < c.page && d.label.Value > c.label.Value || d.page > c.page && d.label.Value < c.label.Value {
			return false
		}
	}
	return true
}

// letters counts the letters of a label: more than one when it is no letter alone, as
// the word I is, with a capital sign or a letter sign.
func letters(t []byte) (n int) {
	for _, c := range t {
		if c != ',' && c != ';' {
			n++
		}
	}
	return n
}

// headsLike reports whether a text is like a head that stands beside numbers
// on three pages or more.
func headsLike(heads map[string]int, rest string) bool {
	if rest == "" {
		return false
	}
	if heads[rest] >= 3 {
		return true
	}
	sum, stem := 0, stemOf(rest)
	for h, n := range heads {
		if Alike(h, rest) || shortened(h, rest) || stem != "" && stemOf(h) == stem {
			sum += n
		}
	}
	return sum >= 3
}

// stemOf is a head without the number that it ends in ("chapter"), "" where it
// ends in none.
func stemOf(h string) string {
	from := lastToken([]byte(h))
	if _, ok := cell.ParseLabel([]byte(h[from:])); !ok || from < 4 {
		return ""
	}
	return h[:from]
}

// prelim reports whether c is the roman number of a preliminary page: at a
// corner, alone or beside a head, close to the count of pages, and before the
// pages of the text. In the corner of the braille pages, after three blanks, it may
// stand beside text where it is the count of pages itself.
func (n *numbers) prelim(v *Volume, c *cand, headed bool) bool {
	counts := n.use[n.key(c)] == BraillePage && c.gap >= 3 && c.label.Value == int(c.page)+1
	centre := (c.slot == TopCentre || c.slot == BottomCentre) && !(counts && c.alone) // a number of the text, but where the title has those of its pages
	if !c.label.Roman || !(c.alone || headed || counts) || centre || c.page > 15 {
		return false
	}
	if d := c.label.Value - int(c.page) - 1; d < -2 || d > 2 {
		return false
	}
	for i, use := range n.taken {
		if q := &n.cands[i]; use == BraillePage && !q.label.Roman && q.label.Prefix == "" && (q.page < c.page || q.page == c.page && q.line != c.line) {
			return false // on the last line of a page with a number, i is the word I
		}
	}
	return true
}

// countsPages reports whether c is all that stands on its page, in a corner of
// the braille pages, and the count of the pages so far: the roman number of a
// page that was left blank.
func (n *numbers) countsPages(v *Volume, c *cand) bool {
	pg := &v.Pages[c.page]
	return c.label.Roman && c.alone && pg.Top == pg.Bottom && c.tok.To-c.tok.From > 1 &&
		n.use[n.key(c)] == BraillePage && abs(c.label.Value-int(c.page)-1) <= 2
}

// transcribers reports whether c is the number of a page that the transcriber
// made: t or p before the number sign (BANA Braille Formats 2011, 2.2.1), in the corner of the
// braille pages. These runs may stand among each other.
func (n *numbers) transcribers(c *cand) bool {
	p := c.label.Prefix
	return (p == "t" || p == "p") && n.use[n.key(c)] == BraillePage && (c.alone || c.gap >= 3) && c.label.Value <= int(c.page)+1
}

// overPart reports whether c is a number in a corner of the braille pages, no higher
// than the count of the pages, beside words in the middle that are those of the last
// heading before the page: the head of a part in a volume with too few pages for a sequence.
func (n *numbers) overPart(v *Volume, c *cand) bool {
	if n.use[n.key(c)] != BraillePage || c.slot >= BottomLeft || c.gap < 3 || c.alone || c.label.Roman || c.label.Value > int(c.page)+1 {
		return false
	}
	e := edgeLine{page: int(c.page), line: c.line, text: restSpan(v.Raw(c.line), c), norm: n.rest(v, c)}
	e.text.From += int32(gapAfter(v.Raw(c.line), int(e.text.From)))
	return v.restInMiddle(c) && v.headingBefore(v.Pages[c.page].First, &e)
}

// missing reports whether the count of the pages wants a number on the page of c, in a
// corner of the braille pages that has one on the pages before and after: none is there
// but c, a misprint or that of a page changed over with another. was are the uses of the
// numbers that stand in sequence.
func (n *numbers) missing(c *cand, was []Use) bool {
	if n.use[n.key(c)] != BraillePage || c.gap < 3 || c.label.Bare || c.label.Roman {
		return false
	}
	var before, after *cand
	for i, use := range was {
		d := &n.cands[i]
		if use != BraillePage || d.slot != c.slot || d.label.Roman || abs(int(d.page-c.page)) > 3 {
			continue
		}
		switch {
		case d.page == c.page:
			return false
		case d.page < c.page && (before == nil || d.page > before.page):
			before = d
		case d.page > c.page && (after == nil || d.page < after.page):
			after = d
		}
	}
	if before == nil || after == nil || c.tok.To < min(before.tok.To, after.tok.To) {
		return false
	}
	return after.label.Value-before.label.Value == int(after.page-before.page)
}

// pairs counts the lines on which a number in slot s stands alone with a
// taken one.
func (n *numbers) pairs(s Slot, partner map[int32]Use) int {
	k := 0
	for i := range n.cands {
		if c := &n.cands[i]; c.slot == s && c.alone && partner[c.line] != Nothing {
			k++
		}
	}
	return k
}

// rest is what stands on a candidate's line beside the candidates.
func (n *numbers) rest(v *Volume, c *cand) string {
	s := restSpan(v.Raw(c.line), c)
	return Normal(v.Raw(c.line)[s.From:s.To])
}

// restSpan is the span of a candidate's line beside it, without a label at the line's
// other end.
func restSpan(t []byte, c *cand) Span {
	from, to := 0, len(t)
	if int(c.tok.To) == len(t) {
		to = int(c.tok.From)
		if e := firstTokenEnd(t, 0); gapAfter(t, e) >= 2 && cell.Indent(t) == 0 {
			if _, ok := cell.ParseLabel(t[:e]); ok {
				from = e
			}
		}
	} else {
		from = int(c.tok.To)
		if k := lastToken(t); k > from && gapBefore(t, k) >= 2 {
			if _, ok := cell.ParseLabel(t[k:]); ok {
				to = k
			}
		}
	}
	return Span{int32(from), int32(max(from, to))}
}

// restInMiddle reports whether what stands on a candidate's line beside the labels at
// its ends is words in the middle, three blanks from either.
func (v *Volume) restInMiddle(c *cand) bool {
	t := v.Raw(c.line)
	s := restSpan(t, c)
	l := Line{Left: Span{0, s.From}}
	if int(s.To) < len(t) {
		l.Right = Span{s.To, int32(len(t))}
	}
	words := s
	words.From += int32(gapAfter(t[:s.To], int(s.From)))
	words.To -= int32(gapBefore(t, int(s.To)))
	return words.From < words.To && words.From-s.From >= 3 && (int(s.To) == len(t) || s.To-words.To >= 3) && v.inMiddle(words, &l)
}
