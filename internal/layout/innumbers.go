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
// read like a number with the digit of volume 3. Fewer do where they and those at the top of pages
// make one count, each number once; at the left margin nothing else tells.
func (n *numbers) dropInner(v *Volume) {
	edge, at := map[int32]bool{}, [NSlots]int{}
	for i := range n.cands {
		c := &n.cands[i]
		edge[c.line] = true
		at[c.slot]++
	}
	if at[TopCentre]+at[BottomCentre]+at[TopLeft] == 0 {
		return
	}
	inner, left, signed, marks := []labelAt(nil), []labelAt(nil), 0, 0
	for i := range v.Lines {
		if edge[int32(i)] || v.Lines[i].Role == Empty {
			continue
		}
		t := v.Raw(int32(i))[v.Lines[i].Text.From:]
		if !v.Centred(int32(i)) {
			if l, ok := cell.ParseLabel(t); ok && l.Prefix == "" && v.Lines[i].Text.From == 0 {
				left = append(left, labelAt{int32(i), l})
			}
			continue
		}
		if _, ok := MarkLabel(t); ok && t[0] == '3' {
			marks++
		}
		if l, ok := cell.ParseLabel(t); ok && l.Prefix == "" {
			if inner = append(inner, labelAt{int32(i), l}); !l.Bare {
				signed++
			}
		}
	}
	counts, leftCounts := len(inner) >= 3 && n.countsWith(inner, TopCentre), len(left) >= 3 && n.countsWith(left, TopLeft)
	n.cands = slices.DeleteFunc(n.cands, func(c cand) bool {
		if c.slot == TopLeft && c.alone && leftCounts {
			return true
		}
		if c.slot != TopCentre && c.slot != BottomCentre || !c.alone {
			return false
		}
		if _, ok := MarkLabel(v.Raw(c.line)[c.tok.From:c.tok.To]); ok && (marks >= 3 || marks >= at[c.slot]) {
			return true
		}
		return (signed >= 3 && signed >= at[c.slot] || counts && c.slot == TopCentre) && v.Raw(c.line)[c.tok.From] != '-' // no heading has the page's hyphens
	})
}

// labelAt is a label alone on a line.
type labelAt struct {
	line  int32
	label cell.Label
}

// countsWith reports whether the labels within pages and those alone at a place of line 1 count up by
// one, nine in ten of them, five at least: a page number is none of those within the pages, nor does it skip them.
func (n *numbers) countsWith(inner []labelAt, s Slot) bool {
	all := slices.Clone(inner)
	for i := range n.cands {
		if c := &n.cands[i]; c.slot == s && c.alone {
			all = append(all, labelAt{c.line, c.label})
		}
	}
	slices.SortFunc(all, func(a, b labelAt) int { return int(a.line - b.line) })
	steps := 0
	for i := 1; i < len(all); i++ {
		a, b := all[i-1].label, all[i].label
		if a.Roman == b.Roman && b.Prefix == "" && (b.Value == a.Value+1 || b.Value == 1 && a.Value > 1) {
			steps++
		}
	}
	return len(all) >= 5 && 10*steps >= 9*(len(all)-1)
}

// dropRepeated takes out the candidates alone on their line whose very number stands alone at the same side three
// times or more within pages: the year under the name of a writer, which comes to the edge of a page by chance. A
// page is not named so often (common practice).
func (n *numbers) dropRepeated(v *Volume) {
	edge := map[int32]bool{}
	for i := range n.cands {
		edge[n.cands[i].line] = true
	}
	type place struct {
		slot  Slot
		label cell.Label
	}
	within := map[place]int{}
	for i := range v.Lines {
		if line := int32(i); !edge[line] && v.Lines[i].Role == Text {
			t := v.Raw(line)
			if from := cell.Indent(t); from == lastToken(t) {
				if l, s, ok := v.onlyLabel(t, from); ok {
					within[place{s, l}]++
				}
			}
		}
	}
	n.cands = slices.DeleteFunc(n.cands, func(c cand) bool {
		return c.alone && within[place{c.slot % BottomLeft, c.label}] >= 3
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

// dropMiddle takes out the candidates at the end of their line that stand in its middle, with nothing
// but the number at the left margin before them, where three of their corner or more, and half as
// many, end at the right margin: the number of a chapter in the running head of left-hand pages
// (common practice).
func (n *numbers) dropMiddle(v *Volume) {
	left := map[int32]*cand{} // alone but for the candidates
	for i := range n.cands {
		if c := &n.cands[i]; c.alone && c.tok.From == 0 {
			left[c.line] = c
		}
	}
	for _, s := range [...]Slot{TopRight, BottomRight} {
		inner, out := []int32{}, 0
		for i := range n.cands {
			switch c := &n.cands[i]; {
			case c.slot != s:
			case int(c.tok.To) >= v.Width-1:
				out++
			case left[c.line] != nil && abs(int(c.tok.From+c.tok.To)-v.Width) <= 4 && int(c.tok.To) < v.Width-4:
				inner = append(inner, c.line)
			}
		}
		if len(inner) == 0 || out < 3 || 2*out < len(inner) {
			continue
		}
		for _, line := range inner {
			left[line].alone = false
		}
		n.cands = slices.DeleteFunc(n.cands, func(c cand) bool { return c.slot == s && slices.Contains(inner, c.line) })
	}
}

// dropRunovers takes out the candidates that stand away from both margins with nothing
// but numbers on their line, where the line before ends in a number and a comma: the rest
// of an entry of an index, whose numbers go on (BANA, Braille Formats 2016, section 22). One
// that counts the pages with two near it is a page number.
func (n *numbers) dropRunovers(v *Volume) {
	all := numbers{cands: n.cands}
	drop := func(c cand) bool {
		return c.alone && c.tok.From >= 2 && int(c.tok.To) < v.Width-3 && v.numbersGoOn(c.line) && all.neighbours(&c) < 2
	}
	if slices.ContainsFunc(n.cands, drop) {
		all.cands = slices.Clone(n.cands)
		n.cands = slices.DeleteFunc(n.cands, drop)
	}
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

// findParts tells of the corners that have nothing but roman numbers, or letters that read like them,
// where these name what begins in the text: the letter of a dictionary (C and D are 100 and 500),
// which is taken out, or the number of a chapter that stands over it, alone in the middle of a
// line (common practice). Running heads say it on every page, and it is no print page.
func (n *numbers) findParts(v *Volume) {
	edge := map[int32]bool{}
	for i := range n.cands {
		edge[n.cands[i].line] = true
	}
	for s := Slot(0); s < NSlots; s++ {
		first, large, letters := map[int]int32{}, false, true // by value, the first page
		for i := range n.cands {
			c := &n.cands[i]
			if c.slot != s {
				continue
			}
			letters, large = letters && singleLetter(v, c), large || c.label.Value >= 50
			if _, ok := first[c.label.Value]; !ok {
				first[c.label.Value] = c.page
			}
		}
		switch {
		case !n.allRoman(s):
			n.parts[s] = v.chaptersBegin(n.cardinals(s), edge)
		case letters && large:
			n.cands = slices.DeleteFunc(n.cands, func(c cand) bool { return c.slot == s })
		default:
			n.parts[s] = v.partsBegin(first, edge)
		}
	}
}

// dropUnsigned takes out the letters that read like a roman number without a sign where two that have the sign
// stand in the same corner, and on the pages beside it neither one of these nor the number that comes before or after it:
// "x" is "it" in UEB, "ii" is no word (Rules of Unified English Braille 2013, 10.1), and one number may lack its sign by a slip.
func (n *numbers) dropUnsigned(*Volume) {
	signed := [NSlots]int{}
	for i := range n.cands {
		if c := &n.cands[i]; c.label.Roman && !c.label.Bare {
			signed[c.slot]++
		}
	}
	all := slices.Clone(n.cands)
	beside := func(c cand) bool {
		return slices.ContainsFunc(all, func(o cand) bool {
			step := int(o.page - c.page)
			return o.slot == c.slot && o.label.Roman && abs(step) == 1 && (!o.label.Bare || o.label.Value == c.label.Value+step)
		})
	}
	n.cands = slices.DeleteFunc(n.cands, func(c cand) bool { return c.label.Bare && signed[c.slot] >= 2 && !beside(c) })
}

// allRoman reports whether all candidates of a corner are roman numbers.
func (n *numbers) allRoman(s Slot) bool {
	for i := range n.cands {
		if c := &n.cands[i]; c.slot == s && !c.label.Roman {
			return false
		}
	}
	return true
}

// shareParts has a corner hold the numbers of chapters in the volumes too that have nothing but
// roman numbers there, where it does in one.
func shareParts(all []*numbers) {
	for s := Slot(0); s < NSlots; s++ {
		if !slices.ContainsFunc(all, func(n *numbers) bool { return n.parts[s] }) {
			continue
		}
		for _, n := range all {
			if n.parts[s] = n.parts[s] || n.allRoman(s); n.parts[s] {
				n.use[2*s], n.votes[2*s] = Nothing, [3]float64{}
				n.use[2*s+1], n.votes[2*s+1] = Nothing, [3]float64{}
			}
		}
	}
}

// singleLetter reports whether a candidate is one letter, with signs before it perhaps.
func singleLetter(v *Volume, c *cand) bool {
	return len(bytes.TrimLeft(v.Raw(c.line)[c.tok.From:c.tok.To], ";,")) == 1
}

// partsBegin reports whether most of some roman numbers, two at least, stand alone in the middle of a
// line of text on the page that is the first to have them at its edge, or on the one before it.
func (v *Volume) partsBegin(first map[int]int32, edge map[int32]bool) bool {
	hits := 0
	for value, page := range first {
		for p := max(0, page-1); p <= page; p++ {
			if v.beginning(p, value, true, edge) >= 0 {
				hits++
				break
			}
		}
	}
	return hits >= 2 && 3*hits >= 2*len(first)
}

// beginning is the line of page p, none of edge, on which a number stands alone, roman or with a number
// sign: in the middle, or one with a number sign at the margin under a blank line; -1 if there is none.
func (v *Volume) beginning(p int32, value int, roman bool, edge map[int32]bool) int32 {
	for i := v.Pages[p].First; i < v.Pages[p].Last; i++ {
		from := v.Lines[i].Text.From
		margin := !roman && from == 0 && i > v.Pages[p].First && v.Lines[i-1].Role == Empty
		if v.Lines[i].Role == Empty || edge[i] || from < 3 && !margin {
			continue
		}
		if l, ok := cell.ParseLabel(v.TextOf(i)); ok && l.Roman == roman && l.Value == value && (margin || v.Centred(i)) {
			return i
		}
	}
	return -1
}
