package structure

import (
	"continuo/internal/cell"
	"continuo/internal/layout"
)

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
	findTightNames(vols)
	for k, n := range at {
		for _, v := range vols {
			v.Levels[k] = v.Levels[k] || text[k] >= 6 && text[k]*3 >= centred[k]
			v.names[k] = n.off >= 3 && 3*n.off >= n.all && 4*n.all >= total
		}
	}
}

// nameUnder reports whether a unit has the words of a name that stands under text which ends
// a sentence: two words up to four, each with a capital where there are capitals, but for a year behind them or a comma
// and the work it is from, and no stop.
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
		if words >= 2 && !v.Small && u.Text[to-1] == '1' { // the work or the letter it is from
			break
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

// tightHabit is how many names right under what somebody wrote show that a title has them in the middle.
const tightHabit = 4

// findTightNames tells of a title that the lines in the middle right under the end of a sentence are names: two in three,
// four at least, have the words of one, one in ten at most begins as a title may, with an article, and
// headings stand in the middle under blank lines.
func findTightNames(vols []*Volume) {
	tight, names, titles, apart, closes := 0, 0, 0, 0, 0
	for _, v := range vols {
		for i := max(v.firstUnitOf(v.BodyPage), 1); i < v.End[0] && i < len(v.Units) && v.RepeatOf == nil; i++ {
			u := &v.Units[i]
			switch {
			case !u.Centred && !u.Side || u.Rule || u.wide:
			case u.Blanks > 0 || u.PageTop:
				apart++
			case v.tightUnder(i):
				tight++
				names += boolInt(v.nameFirst(u.Text))
				titles += boolInt(article[layout.Normal(firstWord(u.Text))] || u.HasPhrase)
				closes += boolInt(v.closesPiece(i) && !u.HasPhrase)
			}
		}
	}
	found := tight >= tightHabit && 3*names >= 2*tight && 10*titles <= tight && apart >= 3
	for _, v := range vols {
		v.tightNames = found && (!v.Small || tight >= 2*tightHabit && 5*names >= 4*tight) // without capitals, two words are less of a sign
		v.tightClosings = closes >= tightHabit-1 && apart >= tightHabit-1 && (closes <= apart || 10*closes >= 9*tight) && !found
	}
}

// closesPiece reports whether the lines in the middle from unit i on are followed by a blank line or a rule
// and another heading: the source or the date of what ends there (BANA, Braille Formats 2016, section 9).
func (v *Volume) closesPiece(i int) bool {
	for i++; i < len(v.Units) && v.Units[i].Blanks == 0 && v.Units[i].Centred && !v.Units[i].PageTop; i++ {
	}
	if i >= len(v.Units) {
		return true
	}
	n := &v.Units[i]
	return n.Rule || (n.Blanks > 0 || n.PageTop) && (n.Side || n.Centred && !v.Levels[min(n.Indent(), len(v.Levels)-1)]) && !firstPart(n.Text)
}

// firstPart reports whether a text is the heading of the first chapter or the like: what stands over it is the name
// of its book.
func firstPart(t []byte) bool {
	c, ok := childOf(t)
	return ok && c.n == 1
}

// article are the words that titles begin with and names do not, in every English code.
var article = setOf("the ! a an an")

// smallWord are words that names have none of, in every English code; one cell alone is none either.
var smallWord = setOf("the an and of for with in to on at by from is was that this not but as my his her our their ab")

// tightUnder reports whether unit i stands in the middle right under the end of a sentence that is no line in the middle.
func (v *Volume) tightUnder(i int) bool {
	if i == 0 || i >= len(v.Units) {
		return false
	}
	u, p := &v.Units[i], &v.Units[i-1]
	d := v.offMiddle(u)
	return u.Centred && u.Blanks == 0 && !u.PageTop && d >= -1 && d <= 1 && !p.Rule && !p.Side && !v.apart(p) && (EndsSentence(p.Text) || endsClause(p.Text))
}

// nameFirst reports whether a text begins with two words up to four that have capitals, as names do, or are no small
// words where nothing has capitals, before a comma, a number, a bracket or its end.
func (v *Volume) nameFirst(t []byte) bool {
	words := 0
	for from, to := range cell.Words(t) {
		w := t[from:to]
		if words >= 2 && (w[0] == '#' || w[0] == '7' || w[0] == '"') {
			break
		}
		if words++; words > 4 || len(w) < 2 || !v.Small && (w[0] != ',' || w[1] == ',') || v.Small && smallWord[layout.Normal(w)] {
			return false
		}
		if w[len(w)-1] == '1' {
			break
		}
	}
	return words >= 2
}

// tightName reports whether unit i is a line of a name right under what somebody wrote, in a title with such names, or
// of what else closes its pieces. At the top of a page the words tell.
func (f *Flow) tightName(i int) bool {
	v := f.Vols[f.units[i].Vol]
	if !v.tightNames && !v.tightClosings || f.units[i].HasPhrase {
		return false
	}
	for i > 0 && !f.gap[i].hard && !f.units[i].PageTop && f.units[i-1].Centred && f.exactMiddle(i-1) {
		i--
	}
	if i == 0 || f.gap[i].hard || !f.exactMiddle(i) || f.units[i-1].Rule || f.units[i-1].Side || !EndsSentence(f.units[i-1].Text) && !endsClause(f.units[i-1].Text) {
		return false
	}
	if f.units[i].PageTop {
		return v.tightNames && v.nameFirst(f.units[i].Text)
	}
	return v.tightNames || f.closesPiece(i)
}

// closesPiece is that of a volume.
func (f *Flow) closesPiece(i int) bool {
	for i++; i < len(f.units) && !f.gap[i].hard && f.units[i].Centred && !f.units[i].PageTop; i++ {
	}
	if i >= len(f.units) {
		return true
	}
	n := f.units[i]
	return n.Rule || (f.gap[i].hard || n.PageTop) && (n.Side || n.Centred) && !firstPart(n.Text)
}
