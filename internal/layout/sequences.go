package layout

import (
	"strings"

	"continuo/internal/cell"
)

// This file finds in the numbers of a corner the sequences that braille pages, which count the
// pages, and print pages, which never fall, would have.

// chain is a sequence of candidates over pages.
type chain struct {
	weight float64
	idx    []int
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
		key := chainKey{c.label.Roman, c.label.Prefix, c.label.Value - int(c.page)}
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
