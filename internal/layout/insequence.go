package layout

import (
	"continuo/internal/cell"
)

// This file takes the numbers that stand in the sequences of their corners.

// takeSequences takes the sequences of all settled corners.
func (n *numbers) takeSequences() {
	for k, use := range n.use {
		idx := n.pr[k].idx
		switch {
		case use == BraillePage:
			idx = n.br[k].idx
		case use == PrintPage && n.volumeMark(idx):
			use = VolumeMark
		case use == Nothing:
			idx = nil
		}
		for _, i := range idx {
			n.taken[i] = use
		}
	}
	for i := range n.cands {
		if n.parts[n.cands[i].slot] {
			n.taken[i] = VolumeMark
		}
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
func (n *numbers) joinBraille() {
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

// dropOffColumn gives back numbers that stand alone on their line and fit the sequence by
// chance: twice as many of their corner, three at least, end further out at one cell
// (one cell more or less), and none of them reaches so far in. The number of a section
// stands on the page that has no page number.
func (n *numbers) dropOffColumn() {
	for i, use := range n.taken {
		c := &n.cands[i]
		if use == Nothing || !c.alone || c.tok.From >= 10 || c.slot != TopRight && c.slot != BottomRight || use != n.use[n.key(c)] {
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
		if most >= 3 && most >= 2*like {
			n.taken[i] = Nothing
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
