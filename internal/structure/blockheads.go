package structure

import (
	"continuo/internal/layout"
)

// This file finds headings at the margin in books whose paragraphs begin there too, after a blank line (a style
// without centring and without steps, common practice): nothing but their words and the blank lines around them tells.

// blockLines is how many lines such a heading has at most.
const blockLines = 3

// blockHeads is what the blocks of a title between blank lines tell.
type blockHeads struct {
	at           map[*Volume][][2]int // those that may be headings, first unit and the unit after
	words        map[string]bool      // of those over running text
	over         int                  // how many these are
	short        int                  // other blocks as short
	long, opened int                  // longer blocks, and those of them that end in no mark of punctuation
}

// FindBlockHeads finds headings in volumes of block paragraphs. A short block that ends in no mark of punctuation, between
// blank lines and over running text, may be a paragraph whose last stop is missing. Several with different words
// are headings where short blocks lack the stop more than twice as often as full paragraphs do.
func FindBlockHeads(vols []*Volume) {
	h := blockHeads{at: map[*Volume][][2]int{}, words: map[string]bool{}}
	for _, v := range vols {
		if v.RepeatOf == nil && v.Blocked {
			h.count(v)
		}
	}
	if h.over < marginHabit || len(h.words)*3 < h.over*2 || (h.over-2)*(h.long+2) < 2*(h.opened+1)*(h.over+h.short) {
		return
	}
	for v, list := range h.at {
		for _, r := range list {
			for k := r[0]; k < r[1]; k++ {
				v.Units[k].Side = true
			}
		}
	}
}

// count counts the blocks of a volume.
func (h *blockHeads) count(v *Volume) {
	list := h.at[v]
	end := min(v.Notes[0], v.End[0])
	for a := v.firstUnitOf(v.BodyPage); a < end; {
		b := a + 1
		for b < end && v.Units[b].Blanks == 0 && v.Units[b].Page == v.Units[a].Page {
			b++
		}
		switch {
		case !v.blockBegins(a), b < end && v.Units[b].Page != v.Units[a].Page && slack(&v.Units[b-1], &v.Units[b]) < 2: // it may go on
		case v.blockHead(a, b):
			list = append(list, [2]int{a, b})
			if b < end && v.overText(b) && v.Units[b].From == 0 {
				h.over++
				h.words[layout.Normal(v.Units[a].Text)+" "+layout.Normal(v.Units[b-1].Text)] = true
			}
		case b-a <= blockLines:
			h.short++
		case v.fullBlock(a, b):
			h.long++
			h.opened += boolInt(!endsClause(v.Units[b-1].Text))
		}
		a = b
	}
	h.at[v] = v.overBlocks(list)
}

// fullBlock reports whether the units a up to b, a block at the margin, are all full but for the last: a paragraph.
func (v *Volume) fullBlock(a, b int) bool {
	for k := a + 1; k < b; k++ {
		if v.Units[k].From != 0 || slack(&v.Units[k-1], &v.Units[k]) >= 2 {
			return false
		}
	}
	return true
}

// blockBegins reports whether a block at the margin begins with unit i: after a blank line, or at the top of a page
// after a finished sentence or a heading.
func (v *Volume) blockBegins(i int) bool {
	u := &v.Units[i]
	if u.From != 0 || u.Rule || u.Side {
		return false
	}
	if u.Blanks > 0 || i == 0 {
		return true
	}
	p := &v.Units[i-1]
	return p.Rule || u.PageTop && (EndsSentence(p.Text) || closesBracket(p.Text) || p.Filler >= unfilled)
}

// blockHead reports whether the units a up to b, a block, have the words and the place of a heading: no mark
// of punctuation at the end of a line, a blank line under them, a capital where the volume has capitals.
func (v *Volume) blockHead(a, b int) bool {
	if b-a > blockLines || b >= len(v.Units) || v.Units[b].Page == v.Units[a].Page && v.Units[b].Blanks == 0 || v.Units[b].Blanks > 2 || v.Units[b].Rule {
		return false
	}
	t := v.Units[a].Text
	if itemNumber(t) || Bullet(t) || onlyNumber(t) || !v.Small && !opensHeading(t) {
		return false
	}
	for k := a; k < b; k++ {
		if !v.marginLine(k) || len(v.Units[k].Text) > v.TextWidth-headingShort || v.Units[k].Centred && v.apart(&v.Units[k]) || k > a && slack(&v.Units[k-1], &v.Units[k]) >= marginShort {
			return false
		}
	}
	return true
}

// overBlocks leaves of short blocks those that stand over text, or over one of them that does: three and more in
// a row are lines that are all set apart.
func (v *Volume) overBlocks(list [][2]int) [][2]int {
	out := list[:0]
	for k := 0; k < len(list); {
		n := k + 1
		for n < len(list) && list[n][0] == list[n-1][1] {
			n++
		}
		if n-k <= 2 {
			out = append(out, list[k:n]...)
		}
		k = n
	}
	return out
}
