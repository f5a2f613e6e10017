package layout

import (
	"bytes"
	"cmp"
	"slices"

	"continuo/internal/cell"
)

// This file decides which numbers a corner carries in one volume: braille pages, print pages,
// or none.

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

// corner is the evidence of what a corner carries: its own numbers, those of the others, and what
// of these is settled.
type corner struct {
	n    *numbers
	k    key
	best key // the corner with the strongest count of braille pages, nKeys if none has one

	numbers        int     // candidates
	braille, print float64 // how well they count the pages; how well they never fall
}

// cornerRule is a reason for which a corner carries the numbers of a use, or words, which then
// count for no other volume.
type cornerRule struct {
	why   string
	use   Use
	words bool
	holds func(c *corner) bool
}

// cornerRules are the reasons for what a corner carries; the first that holds decides. Numbers that
// alternate between corners fill one use together.
var cornerRules = []cornerRule{
	{"the strongest count of the pages", BraillePage, false, func(c *corner) bool { return c.k == c.best }},
	{"the print pages of another corner once more", PrintPage, false, func(c *corner) bool {
		return (c.numbers >= 3 || c.roman()) && c.repeatsPrint()
	}},
	{"counts the pages on which no such number stands", BraillePage, false, func(c *corner) bool {
		return c.best < nKeys && c.n.apart(c.k) && (c.counts() || c.n.br[c.k].weight >= 1 && c.n.sameCount(c.k, c.best))
	}},
	{"few words beside the print pages", Nothing, true, func(c *corner) bool { return c.print > 0 && c.minor() }},
	{"numbers that never fall", PrintPage, false, func(c *corner) bool { return c.print > 0 }},
}

// corner gathers the evidence of a corner.
func (n *numbers) corner(k, best key) *corner {
	return &corner{n: n, k: k, best: best, numbers: n.count[k], braille: n.votes[k][BraillePage], print: n.votes[k][PrintPage]}
}

// choose turns votes into uses.
func (n *numbers) choose() {
	n.use = [nKeys]Use{}
	best := n.bestCount()
	for _, k := range n.byWeight(best) {
		r := n.corner(k, best).rule()
		if n.use[k] = r.use; r.words {
			n.votes[k][PrintPage] = 0
		}
	}
}

// rule is the first reason that holds.
func (c *corner) rule() cornerRule {
	for _, r := range cornerRules {
		if r.holds(c) {
			return r
		}
	}
	return cornerRule{why: "no sequence"}
}

// bestCount is the corner with the strongest count of braille pages, nKeys when none has one.
func (n *numbers) bestCount() key {
	best := nKeys
	for k := key(0); k < nKeys; k++ {
		if n.corner(k, nKeys).counts() && (best == nKeys || n.votes[k][BraillePage] > n.votes[best][BraillePage]) {
			best = k
		}
	}
	return best
}

// counts reports whether enough of its numbers count the pages for braille pages: fewer where no
// number stands twice in a row, as print pages do that go on over several braille pages.
func (c *corner) counts() bool {
	share, idx := 0.5, c.n.pr[c.k].idx
	for i := 1; i < len(idx) && share == 0.5; i++ {
		if a, b := c.n.cands[idx[i]].label, c.n.cands[idx[i-1]].label; a.Value == b.Value && a.Roman == b.Roman {
			share = 0.7
		}
	}
	return c.braille > 0 && c.braille >= share*c.print
}

// repeatsPrint reports whether all its numbers stand in another corner of their pages
// too, one of print pages: that of the page the print is at stands at both.
func (c *corner) repeatsPrint() bool {
	for k := range nKeys {
		if v := c.n.votes[k]; k != c.k && k != c.best && v[PrintPage] > v[BraillePage] && c.n.count[k] > c.numbers && c.n.within(c.k, k) {
			return true
		}
	}
	return false
}

// within reports whether all numbers of slot a stand in slot b of their pages too.
func (n *numbers) within(a, b key) bool {
	on := map[int32]cell.Label{}
	for i := range n.cands {
		if c := &n.cands[i]; n.key(c) == b {
			on[c.page] = c.label
		}
	}
	for i := range n.cands {
		if c := &n.cands[i]; n.key(c) == a && on[c.page] != c.label {
			return false
		}
	}
	return true
}

// roman reports whether all its numbers are roman, with a sign before them: by chance
// none of them is that of another corner.
func (c *corner) roman() bool {
	for i := range c.n.cands {
		if d := &c.n.cands[i]; c.n.key(d) == c.k && (!d.label.Roman || d.label.Bare) {
			return false
		}
	}
	return c.numbers > 0
}

// minor reports whether another corner has ten times as many print pages, on the same
// pages: a few words alone on their line, as the word I, are none.
func (c *corner) minor() bool {
	for o := range nKeys {
		if o != c.k && o != c.best && c.n.votes[o][PrintPage] > 10*c.print && 2*c.shared(o) >= len(c.n.pr[c.k].idx) {
			return true
		}
	}
	return false
}

// shared counts the print pages on whose pages another corner has one too.
func (c *corner) shared(o key) (both int) {
	on := map[int32]bool{}
	for _, i := range c.n.pr[o].idx {
		on[c.n.cands[i].page] = true
	}
	for _, i := range c.n.pr[c.k].idx {
		if on[c.n.cands[i].page] {
			both++
		}
	}
	return both
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
