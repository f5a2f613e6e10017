package layout

import (
	"slices"

	"continuo/internal/cell"
)

// This file tells print pages from braille pages by the print page turns within the text, where both count
// the pages of a volume equally well: as often as a braille page ends, so does a page of print.

// fewAgree is how many heads must say what the last turn before them says.
const fewAgree = 3

// followTurns changes the uses of two corners over, where one counts the pages nearly as well as the
// other and what is taken for the braille page says what the last print page turn before it says
// (W3C w3c-wai-hc 1997, 0306, 0312 and 0336; BANA, Braille Formats 2016, 1.11).
func (n *numbers) followTurns(v *Volume) {
	var turns map[int32]int
	for s := range nKeys {
		for t := key(0); t < nKeys && n.use[s] == BraillePage; t++ {
			if n.use[t] != PrintPage || 4*n.votes[t][BraillePage] < 3*n.votes[s][BraillePage] || n.disjoint(s, t) {
				continue
			}
			if turns == nil {
				turns = v.turnsBefore()
			}
			if a, b := n.agree(s, turns), n.agree(t, turns); a >= fewAgree && a > 2*b {
				n.use[s], n.use[t] = PrintPage, BraillePage
			}
		}
	}
}

// dropAgainstTurns takes the numbers of a corner for no print pages where all of them, three or more in all volumes,
// fall behind the last print page turn before their page: they are numbers of chapters that begin pages.
func dropAgainstTurns(vols []*Volume, all []*numbers) {
	var turns []map[int32]int
	for s := range nKeys {
		if !slices.ContainsFunc(all, func(n *numbers) bool { return n.use[s] == PrintPage }) {
			continue
		}
		behind, others := 0, 0
		for i, n := range all {
			if len(turns) == i {
				turns = append(turns, vols[i].turnsBefore())
			}
			b, o := n.against(s, turns[i])
			behind, others = behind+b, others+o
		}
		for _, n := range all {
			if others == 0 && behind >= fewAgree && n.use[s] == PrintPage {
				n.use[s] = Nothing
			}
		}
	}
}

// against counts the numbers of a corner that fall behind the last turn before their page, and the others that have one.
func (n *numbers) against(k key, turns map[int32]int) (behind, others int) {
	for i := range n.cands {
		c := &n.cands[i]
		turn := turns[c.page]
		if n.key(c) != k || turn == 0 {
			continue
		}
		if c.label.Roman || c.label.Value >= turn-3 {
			others++
		} else {
			behind++
		}
	}
	return behind, others
}

// agree counts the pages whose number in a corner is that of the last turn before it.
func (n *numbers) agree(k key, turns map[int32]int) (same int) {
	for i := range n.cands {
		if c := &n.cands[i]; n.key(c) == k && !c.label.Roman && turns[c.page] == c.label.Value {
			same++
		}
	}
	return same
}

// turnsBefore is the number of the last print page turn before each page that has one before
// it. Line 1 of a page is above its turns, so those of the page itself do not count.
func (v *Volume) turnsBefore() map[int32]int {
	before, last := map[int32]int{}, 0
	for p := range v.Pages {
		if last > 0 {
			before[int32(p)] = last
		}
		for i := v.Pages[p].First; i < v.Pages[p].Last; i++ {
			Marks(v.TextOf(i), func(_, _ int, l cell.Label) { last = l.Value })
			if l, _, has, ok := v.rowAt(i); ok && has {
				last = l.Value
			}
		}
	}
	return before
}
