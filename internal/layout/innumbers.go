package layout

import (
	"bytes"
	"slices"

	"continuo/internal/cell"
)

// dropInner takes out the candidates that stand alone in the middle of the first
// or last line of a page where as many numbers or more stand so within pages:
// these are headings of the text, as the numbers of hymns and poems are, and a few of
// them come to an edge of their page by chance (common practice). So do print page
// turns of dots 2-5 and the number, without dot 5 (W3C w3c-wai-hc 1997, 0306), that
// read like a number with the digit of volume 3.
func (n *numbers) dropInner(v *Volume) {
	edge, at := map[int32]bool{}, [NSlots]int{}
	for i := range n.cands {
		c := &n.cands[i]
		edge[c.line] = true
		at[c.slot]++
	}
	if at[TopCentre]+at[BottomCentre] == 0 {
		return
	}
	inner, marks := 0, 0
	for i := range v.Lines {
		if edge[int32(i)] || v.Lines[i].Role == Empty || !v.Centred(int32(i)) {
			continue
		}
		t := v.Raw(int32(i))[v.Lines[i].Text.From:]
		if _, ok := MarkLabel(t); ok && t[0] == '3' {
			marks++
		}
		if l, ok := cell.ParseLabel(t); ok && !l.Bare && l.Prefix == "" {
			inner++
		}
	}
	n.cands = slices.DeleteFunc(n.cands, func(c cand) bool {
		if c.slot != TopCentre && c.slot != BottomCentre || !c.alone {
			return false
		}
		if _, ok := MarkLabel(v.Raw(c.line)[c.tok.From:c.tok.To]); ok && (marks >= 3 || marks >= at[c.slot]) {
			return true
		}
		return inner >= 3 && inner >= at[c.slot]
	})
}

// dropInset takes out the candidates that stand alone, two cells or more from the left
// margin, on a few pages only, where no number of their corner stands at the margin:
// the page numbers of a page information line begin in cell 1 (W3C w3c-wai-hc 1997,
// 0306), and the number of a verse or paragraph whose first word would not have fitted
// stands so.
func (n *numbers) dropInset(v *Volume) {
	for _, s := range [...]Slot{TopLeft, BottomLeft} {
		at, inset := 0, 0
		for i := range n.cands {
			if c := &n.cands[i]; c.slot == s {
				if at++; c.alone && c.tok.From >= 2 {
					inset++
				}
			}
		}
		if inset == 0 || inset < at || at*5 > len(v.Pages) {
			continue
		}
		n.cands = slices.DeleteFunc(n.cands, func(c cand) bool { return c.slot == s })
	}
}

// dropRunovers takes out the candidates that stand away from both margins with nothing
// but numbers on their line, where the line before ends in a number and a comma: the rest
// of an entry of an index, whose numbers go on (BANA, Braille Formats 2016, section 22).
func (n *numbers) dropRunovers(v *Volume) {
	n.cands = slices.DeleteFunc(n.cands, func(c cand) bool {
		return c.alone && c.tok.From >= 2 && int(c.tok.To) < v.Width-3 && v.numbersGoOn(c.line)
	})
}

// numbersGoOn reports whether the line before line i that is not blank or a page number
// alone ends in a number and a comma (dot 2), blanks and a page number after it perhaps.
func (v *Volume) numbersGoOn(i int32) bool {
	for k, seen := i-1, 0; k >= 0 && k > i-8 && seen < 2; k-- {
		w := bytes.Fields(v.Raw(k))
		if len(w) == 0 {
			continue
		}
		seen++
		ends := w[len(w)-1:]
		if t := v.Raw(k); len(w) > 1 && gapBefore(t, lastToken(t)) >= 2 { // a page number after it
			ends = w[len(w)-2:]
		}
		for _, f := range ends {
			n := len(f) - 1
			if n < 2 || f[n] != '1' {
				continue
			}
			if l, ok := cell.ParseLabel(f[:n]); ok && !l.Bare && !l.Roman {
				return true
			}
		}
		if len(w) > 1 {
			return false // text
		}
	}
	return false
}
