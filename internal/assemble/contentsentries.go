package assemble

import (
	"slices"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/english"
	"continuo/internal/layout"
	"continuo/internal/structure"
)

// pageWords head the columns of numbers of contents lists.
var pageWords = map[english.PhraseID]bool{english.BraillePage: true, english.Page: true, english.PrintPage: true, english.Columns: true,
	english.BraillePages: true, english.PrintPages: true, english.PagesRange: true}

// addRegion adds the lines of one contents list.
func (a *assembly) addRegion(i int, v *structure.Volume, r structure.Region) {
	words := a.why("contents", "names only a volume or kind of page", "wording, in a contents list", 0.95)
	marker := a.why("marker", "line under a contents list", "the lists are one", 0.9)
	seen := map[string]bool{}
	for _, l := range a.list.lines {
		seen[l.norm] = true
	}
	a.list.paired, a.list.left = a.paired(v, r), a.leftNumbers(v, r)
	a.list.whole, a.list.over, a.list.cells = wholeEntries(v, r), runoverCell(v, r), cellsOf(v, r)
	for k := r.From; k < r.To; k++ {
		u := &v.Units[k]
		if a.fates[i][k] != asText {
			continue
		}
		switch {
		case u.Rule && len(a.list.lines) > 0 && !structure.Asterisks(u.Text) && a.underList(i, v, k):
			a.leave(i, k, marker)
		case listHeading(u):
			a.fates[i][k] = asList
			a.list.lines = append(a.list.lines, listLine{vol: i, units: []int{k}, kind: book.Heading, norm: "\x00contents"})
		case listWords(u):
			a.leave(i, k, words)
		default:
			k = a.addEntry(i, v, k, r.To, seen, words)
		}
	}
}

// listHeading reports whether a unit is the heading of a contents list, or of
// one that goes on.
func listHeading(u *structure.Unit) bool {
	return u.HasPhrase && (u.Phrase.ID == english.Contents || u.Phrase.ID == english.GeneralContents || u.Phrase.ID == english.Continued)
}

// listWords reports whether a unit of a contents list names only a volume or a
// kind of page.
func listWords(u *structure.Unit) bool {
	if !u.HasPhrase {
		return false
	}
	return (u.Phrase.ID == english.Volume || pageWords[u.Phrase.ID]) && !structure.EndsInLabel(u.Text) ||
		u.Phrase.ID == english.Volume && len(u.Phrase.Tail) == 0
}

// overHead is the unit with which the entry of unit k may go on: the next one,
// or the one under the heading that the list has again at the top of the next page.
func (a *assembly) overHead(i int, v *structure.Volume, k, to int) int {
	n := k + 1
	for n+1 < to && a.fates[i][n] == asText && v.Units[n].Page == v.Units[k].Page+1 && (listHeading(&v.Units[n]) || listWords(&v.Units[n])) {
		n++
	}
	return n
}

// underList reports whether an entry with a number, or a line that is left
// out, stands within three lines before unit k.
func (a *assembly) underList(i int, v *structure.Volume, k int) bool {
	for n := k - 1; n >= 0 && n >= k-3; n-- {
		if _, numbered := splitEntry(v.Units[n].Text); numbered || a.fates[i][n] == out {
			return true
		}
	}
	return false
}

// addEntry adds the entry that unit k begins and returns its last unit. What
// stands between its lines goes for the reason words.
func (a *assembly) addEntry(i int, v *structure.Volume, k, to int, seen map[string]bool, words book.ReasonID) int {
	l := listLine{vol: i, units: []int{k}, kind: book.Entry}
	u := &v.Units[k]
	if u.Rule {
		l.kind, l.isRule = book.Rule, true
		a.fates[i][k] = asList
		a.list.lines = append(a.list.lines, l)
		return k
	}
	for next := k + 1; next < to && (!structure.EndsInLabel(v.Units[k].Text) && (len(l.units) == 1 || !structure.LabelAlone(v.Units[k].Text)) || len(l.units) == 1 && a.partOver(v, k, to)); next = k + 1 {
		if next = a.overHead(i, v, k, to); v.Units[next].Centred && listWords(&v.Units[next]) || a.lowerEntry(v, l.units, next) || a.fates[i][next] != asText || !a.runsOver(v, l.units[0], k, next) && !a.namesTogether(v, l.units, next, to) {
			break
		}
		for k++; k < next; k++ {
			a.leave(i, k, words)
		}
		l.units = append(l.units, k)
	}
	if n := a.leadsOn(i, v, k, to); n > k && len(l.units) == 1 {
		for l.lead = true; k < n; {
			k++
			l.units = append(l.units, k)
		}
	}
	if a.list.left {
		_, l.left = leftEntry(u.Text)
	}
	l.norm = layout.Normal(a.lineText(&l))
	_, l.numbered = a.numberOf(&l)
	l.braille = a.brailleAlone(&l)
	l.repeat = seen[l.norm] && l.norm != ""
	for _, n := range l.units {
		a.fates[i][n] = asList
	}
	a.list.lines = append(a.list.lines, l)
	return k
}

// partOver reports whether unit k is a part and its number, and names one heading together with the lines under
// it, of which the last has the page number.
func (a *assembly) partOver(v *structure.Volume, k, to int) bool {
	p, ok := v.Words.Lookup(v.Units[k].Text)
	return ok && structural(p) && len(p.Tail) == 0 && a.namesTogether(v, []int{k}, k+1, to)
}

// lowerEntry reports whether unit next is an entry of a lower level than the entry of units, which
// may have no numbers: these have the words of a heading, and it begins with the name and number of
// a part.
func (a *assembly) lowerEntry(v *structure.Volume, units []int, next int) bool {
	n := &v.Units[next]
	if n.From <= v.Units[units[0]].From || structure.EndsInLabel(n.Text) || a.heads[structure.HeadingKey(layout.Normal(a.entryText(v, units)))] == nil {
		return false
	}
	p, ok := v.Words.Prefix(n.Text)
	return ok && structural(p)
}

// runsOver reports whether unit next goes on the entry that unit first begins and unit
// k goes on: it stands further in, where its other runovers stand, and the line before
// it was full, or it has the number after other runovers.
func (a *assembly) runsOver(v *structure.Volume, first, k, next int) bool {
	u, n := &v.Units[k], &v.Units[next]
	if n.From <= v.Units[first].From || k > first && n.From != u.From {
		return false
	}
	if n.Rule || k == first && (a.inMiddleOfList(n) && n.From != a.list.over && !structure.EndsInLabel(n.Text) && !overAtCell(v, next) || a.inMiddleOfList(u) && !(n.From == u.From+2 && structure.EndsInLabel(n.Text))) || n.Blanks > 0 && next == k+1 && !n.PageTop || n.HasPhrase && n.Phrase.ID == english.Chapter {
		return false
	}
	deep := n.From == a.list.over && n.From >= v.Units[first].From+4 // levels step in by two cells (BANA, Braille Formats 2016, section 2)
	if !deep && !structure.EndsInColon(u.Text) && (a.headBegins(n.Text) || !structure.EndsInLabel(n.Text) && a.namesItself(v, next, len(v.Units))) && a.headBegins(a.entryText(v, []int{first})) {
		return false // a part and its first chapter
	}
	reach := int(u.To) + 1 + len(firstToken(n.Text))
	return a.list.whole || reach > v.TextWidth-8 || reach > v.ListReach(k) || k > first && structure.EndsInLabel(n.Text)
}

// cellsOf counts the lines of a list that begin at each cell, without those in the middle that have no number.
func cellsOf(v *structure.Volume, r structure.Region) map[int32]int {
	cells := map[int32]int{}
	for k := r.From + 1; k < r.To; k++ {
		if u := &v.Units[k]; !u.Rule && (!u.Centred || structure.EndsInLabel(u.Text)) {
			cells[u.From]++
		}
	}
	return cells
}

// inMiddleOfList reports whether a line of the list stands in the middle, and not by chance where others begin.
func (a *assembly) inMiddleOfList(u *structure.Unit) bool {
	return u.Centred && a.list.cells[u.From] < 2
}

// overAtCell reports whether the line under unit k begins at its cell, off the middle, and has a number: both are
// runovers of an entry.
func overAtCell(v *structure.Volume, k int) bool {
	if k+1 >= len(v.Units) {
		return false
	}
	u, n := &v.Units[k], &v.Units[k+1]
	return n.From == u.From && n.Blanks == 0 && !n.Centred && structure.EndsInLabel(n.Text)
}

// runoverCell is the cell at which the last lines of entries of several lines stand in a list, those
// that have the number, two of them at least and two thirds; 0 if there is none. A line between the first and
// the last may stand in the middle there by chance.
func runoverCell(v *structure.Volume, r structure.Region) int32 {
	at, n := map[int32]int{}, 0
	for k := r.From + 1; k < r.To; k++ {
		u, p := &v.Units[k], &v.Units[k-1]
		if u.From > 0 && u.From >= p.From && u.Blanks == 0 && !p.Rule && !structure.EndsInLabel(p.Text) && (structure.EndsInLabel(u.Text) || structure.LabelAlone(u.Text)) && !listHeading(p) && !listWords(p) {
			at[u.From]++
			n++
		}
	}
	for from, c := range at {
		if c >= 2 && c*3 >= n*2 {
			return from
		}
	}
	return 0
}

// wholeEntries reports whether no line of a list without a number is more than the first of an entry
// whose number stands on its last line: each has lines further in after it, of which the last alone has
// one. Under the name of a part, all have.
func wholeEntries(v *structure.Volume, r structure.Region) bool {
	n := 0
	for k := r.From + 1; k < r.To; k++ {
		u := &v.Units[k]
		if u.Rule || u.Centred || listHeading(u) || listWords(u) || structure.EndsInLabel(u.Text) {
			continue
		}
		last := k + 1
		for last < r.To && v.Units[last].From > u.From && !structure.EndsInLabel(v.Units[last].Text) && !v.Units[last].Rule {
			last++
		}
		if last == r.To || v.Units[last].From <= u.From || v.Units[last].Rule || last+1 < r.To && !v.Units[last+1].Rule && v.Units[last+1].From > u.From && !v.Units[last+1].Centred {
			return false
		}
		if p, ok := v.Words.Prefix(v.Units[k+1].Text); ok && structural(p) {
			return false
		}
		n++
		k = last
	}
	return n > 0
}

// namesTogether reports whether the units of an entry and the next one, or that and a few more, which
// stand further in, are the words of one heading together, and the
// next by itself is none.
func (a *assembly) namesTogether(v *structure.Volume, units []int, k, to int) bool {
	u := &v.Units[units[0]]
	if u.Centred {
		n := &v.Units[k]
		return n.Centred && n.Blanks == 0 && !n.Rule && !structure.EndsInLabel(n.Text) && a.heads[structure.HeadingKey(layout.Normal(a.entryText(v, append(slices.Clone(units), k))))] != nil
	}
	if !a.list.paired && !structure.EndsInColon(v.Units[units[len(units)-1]].Text) && a.namesItself(v, k, to) {
		return false
	}
	for units = slices.Clone(units); k < to && len(units) < maxSpelled && !(v.Units[k].Rule || v.Units[k].Blanks > 0 || v.Units[k].From <= u.From); k++ {
		if units = append(units, k); a.heads[structure.HeadingKey(layout.Normal(a.entryText(v, units)))] != nil {
			return true
		}
		if structure.EndsInLabel(v.Units[k].Text) {
			break
		}
	}
	return false
}

// namesItself reports whether unit k, or that with the lines under it that stand further in, is a heading by itself.
func (a *assembly) namesItself(v *structure.Volume, k, to int) bool {
	units := []int{k}
	for {
		if a.headBegins(a.entryText(v, units)) {
			return true
		}
		last := units[len(units)-1]
		if last+1 >= to || len(units) == maxSpelled || structure.EndsInLabel(v.Units[last].Text) || v.Units[last+1].From <= v.Units[k].From || v.Units[last+1].Rule {
			return false
		}
		units = append(units, last+1)
	}
}

// headBegins reports whether words are a heading, or the first line of one.
func (a *assembly) headBegins(words []byte) bool {
	return slices.ContainsFunc(a.heads[structure.HeadingKey(layout.Normal(words))], func(p place) bool {
		v := a.vols[p.vol]
		if p.unit == 0 || v.FurtherLine(p.unit) {
			return p.unit == 0
		}
		u, over := &v.Units[p.unit], &v.Units[p.unit-1]
		return u.Blanks > 0 || u.From != over.From || !over.Centred && (over.HasPhrase || u.From == 0) || !v.HeadingGoesOn(p.unit-1, p.unit)
	})
}

// leadsOn is the last unit of an entry whose first line, unit k, has its number: the lines after it have
// none, stand further in and are one heading with it, and by themselves none. It is k where there are none.
func (a *assembly) leadsOn(i int, v *structure.Volume, k, to int) int {
	e, ok := a.split(v.Units[k].Text)
	if !ok {
		return k
	}
	words := slices.Clone(e.text)
	for n := k + 1; n < to && n < k+maxSpelled && a.fates[i][n] == asText; n++ {
		u := &v.Units[n]
		if u.Rule || u.From <= v.Units[k].From || u.Blanks > 0 || structure.EndsInLabel(u.Text) || a.headBegins(u.Text) {
			break
		}
		words = append(append(words, cell.Blank), u.Text...)
		if a.heads[structure.HeadingKey(layout.Normal(words))] != nil {
			return n
		}
	}
	return k
}

// numberOf takes the line of an entry apart that has its number.
func (a *assembly) numberOf(l *listLine) (entryParts, bool) {
	us := a.vols[l.vol].Units
	switch {
	case l.left:
		return leftEntry(us[l.units[0]].Text)
	case l.lead:
		return a.split(us[l.units[0]].Text)
	}
	return a.splitLast(us[l.units[len(l.units)-1]].Text, len(l.units) > 1)
}

// splitLast is split for the last line of an entry, which may hold its number and no more, under others.
func (a *assembly) splitLast(t []byte, under bool) (entryParts, bool) {
	if under && structure.LabelAlone(t) {
		return entryParts{t[:0], 0, len(t)}, true
	}
	return a.split(t)
}

// numberUnit is the unit of an entry that has its number.
func (l *listLine) numberUnit() int {
	if l.left || l.lead {
		return l.units[0]
	}
	return l.units[len(l.units)-1]
}

// lineText is the words of an entry.
func (a *assembly) lineText(l *listLine) []byte {
	v := a.vols[l.vol]
	if !l.left && !l.lead {
		return a.entryText(v, l.units)
	}
	e, _ := a.numberOf(l)
	text := slices.Clone(e.text)
	for _, k := range l.units[1:] {
		text = append(append(text, cell.Blank), v.Units[k].Text...)
	}
	return text
}

// paired reports whether the entries of a list are of two lines, as title and author: nine in
// ten lines that have a number and stand further in are, with the line above them, which
// has none, the words of one heading.
func (a *assembly) paired(v *structure.Volume, r structure.Region) bool {
	n, pairs := 0, 0
	for k := r.From + 1; k < r.To; k++ {
		u, above := &v.Units[k], &v.Units[k-1]
		if u.Rule || u.Centred && !structure.EndsInLabel(u.Text) || u.From == 0 || !structure.EndsInLabel(u.Text) {
			continue
		}
		n++
		if above.Rule || above.Centred || structure.EndsInLabel(above.Text) || above.From >= u.From || u.Blanks > 0 {
			continue
		}
		pairs += boolInt(a.heads[structure.HeadingKey(layout.Normal(a.entryText(v, []int{k - 1, k})))] != nil)
	}
	return pairs >= 3 && pairs*10 >= n*9
}

func (a *assembly) entryText(v *structure.Volume, units []int) []byte {
	var text []byte
	for n, k := range units {
		t := v.Units[k].Text
		if n == len(units)-1 {
			e, _ := a.splitLast(t, n > 0)
			t = e.text
		}
		if n > 0 && len(t) > 0 {
			text = append(text, cell.Blank)
		}
		text = append(text, t...)
	}
	return text
}
