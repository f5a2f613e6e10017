package structure

import "continuo/internal/cell"

// This file tells names under verses, quotations and letters (attributions: BANA, Braille Formats
// 2016, section 9; common practice) from headings. They begin at one cell, whatever their length;
// a heading in the middle begins at the cell that its length gives it.

// offMiddle is how many cells right of the middle a unit begins.
func (v *Volume) offMiddle(u *Unit) int { return int(u.From) - (v.Width-len(u.Text))/2 }

// usualMiddle is how many cells right of the middle the lines in the middle of a title begin: those
// that begin so stand at the most cells, as lines of many lengths do.
func usualMiddle(vols []*Volume) int {
	var seen [5][24]bool
	var cells [5]int
	best := 2
	for _, v := range vols {
		for i := range v.Units {
			u := &v.Units[i]
			d, in := v.offMiddle(u)+2, u.Indent()
			if !u.Centred || d < 0 || d >= len(seen) || in >= len(seen[d]) || seen[d][in] {
				continue
			}
			seen[d][in] = true
			if cells[d]++; cells[d] > cells[best] {
				best = d
			}
		}
	}
	return best - 2
}

// FindIndents finds what stands at the indents of a title's volumes: names, where a quarter of all lines
// with the words of one stand there, and three of them at least, half as many as the rest, begin two
// cells or more from where they would stand in the middle; levels of text also in a volume that has only
// a stanza or two of the verse of the others.
func FindIndents(vols []*Volume) {
	var centred, text [24]int
	var at [len(Volume{}.names)]struct{ all, off int }
	total, usual := 0, usualMiddle(vols)
	for _, v := range vols {
		for i := max(v.firstUnitOf(v.BodyPage), 1); i < len(v.Units) && v.RepeatOf == nil; i++ {
			u := &v.Units[i]
			k := u.Indent()
			if k >= 3 && k < len(text) && !u.Rule {
				d := v.Width - len(u.Text) - 2*k
				middle := u.Centred && d >= -3 && d <= 3
				centred[k] += boolInt(middle)
				text[k] += boolInt(!middle)
			}
			if k < 4 || k >= len(at) || !v.nameUnder(u, EndsSentence(v.Units[i-1].Text)) {
				continue
			}
			d := v.offMiddle(u) - usual
			at[k].all++
			at[k].off += boolInt(d < -1 || d > 1)
			total++
		}
	}
	for k, n := range at {
		for _, v := range vols {
			v.Levels[k] = v.Levels[k] || text[k] >= 6 && text[k]*3 >= centred[k]
			v.names[k] = n.off >= 3 && 3*n.off >= n.all && 4*n.all >= total
		}
	}
}

// nameUnder reports whether a unit has the words of a name that stands under text which ends
// a sentence: two words up to four, each with a capital where there are capitals, but for a year behind them, and no
// stop.
func (v *Volume) nameUnder(u *Unit, sentence bool) bool {
	if !sentence || u.HasPhrase || u.Rule || u.wide || EndsSentence(u.Text) {
		return false
	}
	words := 0
	for from, to := range cell.Words(u.Text) {
		if words > 0 && u.Text[from] == '#' {
			continue
		}
		if words++; words > 4 || to-from < 2 || !v.Small && (u.Text[from] != ',' || u.Text[from+1] == ',') {
			return false
		}
	}
	return words >= 2
}

// name reports whether unit i, in the middle, is a name under the text before it: it stands where
// names do. At no indent of text, or without the sign of capitals, what follows must be a heading or
// nothing, as it does not follow a heading.
func (f *Flow) name(i int) bool {
	u := f.units[i]
	v, in := f.Vols[u.Vol], u.Indent()
	if i == 0 || in >= len(v.names) || !v.names[in] || !v.nameUnder(u, EndsSentence(f.units[i-1].Text)) {
		return false
	}
	if v.Levels[in] && !v.Small || i+1 == len(f.units) {
		return true
	}
	n := f.units[i+1]
	return n.Rule || n.Side || n.Listed || n.Centred && n.From != u.From && (f.gap[i+1].hard || n.PageTop || !f.exactMiddle(i))
}

// nameEnds reports whether the last of the units a up to b is a name under the others: it begins
// further in than all of them and begins anew, so that it tells nothing of their runovers.
func (f *Flow) nameEnds(a, b int) bool {
	u := f.units[b-1]
	if b-a < 2 || u.Indent() < 4 || f.full(b-1) || !f.Vols[u.Vol].nameUnder(u, EndsSentence(f.units[b-2].Text)) {
		return false
	}
	for _, x := range f.units[a : b-1] {
		if x.Indent() >= u.Indent() {
			return false
		}
	}
	return true
}
