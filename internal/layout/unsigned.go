package layout

import (
	"bytes"

	"continuo/internal/cell"
)

// place is a corner of a page.
type place struct {
	page int32
	slot Slot
}

// unsigned takes braille page numbers that were written without their number sign: the
// page has no number, those of the pages beside it (two pages away where every other page
// has one) leave out just this one, or two before it or after it count to it, and its letters
// stand where they have theirs, set off as they are.
func (n *numbers) unsigned(v *Volume) {
	of, has := map[place]*cand{}, map[int32]bool{}
	for i, use := range n.taken {
		if c := &n.cands[i]; use == BraillePage {
			has[c.page] = true
			if !c.label.Roman && c.label.Prefix == "" && c.label.Last == c.label.Value {
				of[place{c.page, c.slot}] = c
			}
		}
	}
	for p := range int32(len(v.Pages)) {
		if has[p] || v.Pages[p].Top < 0 {
			continue
		}
		if c, ok := v.unsignedOn(p, of); ok {
			n.cands = append(n.cands, c)
			n.taken = append(n.taken, BraillePage)
		}
	}
}

// unsignedOn looks for such a number on page p, among the numbers of other pages.
func (v *Volume) unsignedOn(p int32, of map[place]*cand) (cand, bool) {
	for s := Slot(0); s < NSlots; s++ {
		for d := int32(1); d <= 2; d++ {
			for _, at := range [...][2]int32{{-d, d}, {-2 * d, -d}, {d, 2 * d}} {
				a, b := of[place{p + at[0], s}], of[place{p + at[1], s}]
				if a == nil || b == nil || b.label.Value-a.label.Value != int(at[1]-at[0]) {
					continue
				}
				if c, ok := v.unsignedAt(p, a, b, a.label.Value-int(at[0])); ok {
					return c, true
				}
			}
		}
	}
	return cand{}, false
}

// unsignedAt looks on page p, where the numbers a and b stand on theirs, for a value
// without its number sign.
func (v *Volume) unsignedAt(p int32, a, b *cand, value int) (cand, bool) {
	c := cand{page: p, line: v.Pages[p].Top, slot: a.slot, label: cell.Label{Value: value, Last: value}}
	if a.slot >= BottomLeft {
		c.line = v.Pages[p].Bottom
	}
	t := v.Raw(c.line)
	if len(t) == 0 {
		return c, false
	}
	from, to := lastToken(t), len(t)
	indent := cell.Indent(t)
	framed := v.Raw(a.line)[a.tok.From] == '-'
	switch left := a.slot == TopLeft || a.slot == BottomLeft; {
	case framed:
		from = indent
	case left:
		from, to = indent, firstTokenEnd(t, indent)
		c.gap = gapAfter(t, to)
	default:
		c.gap = gapBefore(t, from)
	}
	c.tok, c.alone = Span{int32(from), int32(to)}, from == indent && to == len(t)
	want := cell.Number(value)[1:]
	word := t[from:to]
	if framed {
		word = bytes.Trim(word, "- ")
	}
	near := func(d *cand) bool {
		return abs(int(d.tok.To-c.tok.To)) <= 1+len(want)/3 || abs(int(d.tok.From-c.tok.From)) <= 1
	}
	return c, bytes.Equal(word, want) && (c.alone || c.gap >= 3) && (near(a) || near(b))
}
