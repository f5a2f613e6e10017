package structure

import (
	"bytes"

	"continuo/internal/cell"
	"continuo/internal/english"
	"continuo/internal/layout"
)

// marginHabit is how many headings at the margin, with different words, show that a volume
// has such headings.
const marginHabit = 4

// FindMarginHeads finds headings that begin at the margin (a style without centring that
// some producers in the United Kingdom have, common practice; "marginal headings", BANA,
// Braille Formats 2011, 4.7): up to three lines, set apart before, that end no sentence and leave room
// for the first word of what follows, which is a paragraph that steps in. One such line tells
// nothing; several of the title with different words do. Names of speakers come again and again. First lines of
// stanzas whose lines step in by turns are none.
func FindMarginHeads(vols []*Volume) {
	words, found := map[string]bool{}, map[*Volume][][2]int{}
	sure, verse := 0, 0
	for _, v := range vols {
		if v.RepeatOf != nil || v.Blocked {
			continue
		}
		for i := range v.Units {
			if u := &v.Units[i]; u.Page >= v.BodyPage && u.is(english.Index) && len(u.Phrase.Tail) == 0 && v.Alone(i) {
				break // its entries have others under them that step in
			}
			if v.underItsHead(i) {
				v.Units[i].Side = true
			}
			n := v.marginHead(i)
			if n == 0 {
				continue
			}
			found[v] = append(found[v], [2]int{i, i + n})
			if v.overText(i+n) && !v.stepsAgain(i+n) || v.Units[i+n].Side || v.Units[i].HasPhrase && v.partLine(i) || v.overLetter(i+n-1) {
				sure++
				words[layout.Normal(v.Units[i].Text)+" "+layout.Normal(v.Units[i+n-1].Text)] = true
			}
			verse += boolInt(v.lineUnder(i + n))
		}
	}
	if sure < marginHabit || len(words) < marginHabit || len(words)*2 < sure || verse*2 > sure {
		return
	}
	for v, list := range found {
		for _, r := range list {
			for k := r[0]; k < r[1]; k++ {
				v.Units[k].Side = true
			}
		}
	}
}

// underItsHead reports whether unit i, at the margin at the top of its page, says what the page head right over it says, with
// a blank line under it: the head names the section that begins there (page information lines of sections: UK common practice).
func (v *Volume) underItsHead(i int) bool {
	if !v.Units[i].PageTop || !v.marginLine(i) || i+1 >= len(v.Units) || v.Units[i+1].Blanks == 0 {
		return false
	}
	top := v.Pages[v.Units[i].Page].Top
	return top >= 0 && len(v.Units[i].Text) <= v.TextWidth-headingShort && v.Lines[top].Role == layout.Head && layout.Normal(v.TextOf(top)) == layout.Normal(v.Units[i].Text)
}

// stepsAgain reports whether the third line from unit i on stands where unit i does, further in than the second, which
// had no room for its first word: a stanza whose every other line steps in and is full by chance, no paragraph.
func (v *Volume) stepsAgain(i int) bool {
	if i+2 >= len(v.Units) {
		return false
	}
	n, u := &v.Units[i+1], &v.Units[i+2]
	return u.From == v.Units[i].From && u.From > n.From && u.Blanks == 0 && !EndsSentence(n.Text) && slack(n, u) < 0
}

// lineUnder reports whether a line at the margin begins anew under unit i, which ends no sentence, with no print page turn
// between: that is no paragraph.
func (v *Volume) lineUnder(i int) bool {
	if i+1 >= len(v.Units) {
		return false
	}
	u, n := &v.Units[i], &v.Units[i+1]
	return n.Page == u.Page && n.Blanks == 0 && len(n.Turns) == 0 && !n.Rule && n.From == 0 && slack(u, n) >= 2 && !EndsSentence(u.Text)
}

// marginHead is how many lines a heading at the margin has that begins with unit i, 0 for
// none.
func (v *Volume) marginHead(i int) int {
	u := &v.Units[i]
	if u.From > 0 || u.Page < v.BodyPage || u.Blanks == 0 && !v.partBegins(i) && !(u.PageTop && (i == 0 || v.Units[i-1].Rule || u.Filler > 2 || EndsSentence(v.Units[i-1].Text) || v.overLetter(i))) {
		return 0
	}
	numbered, loose, room := v.partLine(i), false, v.TextWidth-headingShort
	if decimal(u.Text) {
		room = v.TextWidth // the number of a section tells
	}
	for n, most := 1, 3; n <= most; n++ {
		k := i + n - 1
		if !v.marginLine(k) || k+1 >= len(v.Units) || len(v.Units[k].Text) > room {
			return 0
		}
		h, next := &v.Units[k], &v.Units[k+1]
		over := next.From == 0 && next.Blanks == 0 // its runover, it may be
		switch part := v.partLine(k); {
		case part:
			most = min(n+3, 5) // its title
		case next.From == 0 && slack(h, next) >= marginShort && !v.byLine(k+1):
			if !numbered || n > 4 {
				return 0 // each a line of its own, as in a list
			}
			loose = true // number, name and place
		}
		if next.Page != h.Page || next.Blanks > 2 || next.Rule || next.Blanks == 0 && slack(h, next) < 0 && !over {
			return 0
		}
		if loose && next.From > 0 && next.Blanks == 0 {
			return 0
		}
		if next.From > 0 && next.From <= 4 && (!v.apart(next) || next.Side) || next.From > 4 && (h.HasPhrase && v.partLine(k) || v.overLetter(k)) {
			return n // a paragraph, or the address or date of a letter
		}
	}
	return 0
}

// partBegins reports whether unit i begins anew under a finished sentence, or a title in the middle,
// and is a part and its number, "chapter 3", and nothing else: such a line needs no blank line before it.
func (v *Volume) partBegins(i int) bool {
	if i > 0 && v.apart(&v.Units[i-1]) && v.Units[i-1].Page == v.Units[i].Page {
		return v.partLine(i)
	}
	if i == 0 || !EndsSentence(v.Units[i-1].Text) || bytes.IndexByte(v.Units[i].Text, cell.Blank) <= 0 {
		return false
	}
	short := slack(&v.Units[i-1], &v.Units[i]) >= 2 || i+1 < len(v.Units) && slack(&v.Units[i], &v.Units[i+1]) >= 2 // a runover would be full
	return short && v.partLine(i)
}

// PartNumber reports whether unit i is the number of a part, with its word or alone.
func (v *Volume) PartNumber(i int) bool { return v.partLine(i) }

// partLine reports whether unit i is the number of a part, with its word or alone.
func (v *Volume) partLine(i int) bool {
	u := &v.Units[i]
	if len(u.Text) > maxPartLine {
		return false
	}
	if c, ok := childOf(u.Text); ok && c.class == "number" {
		return true
	}
	if p := u.Phrase; u.HasPhrase {
		return partNumber(*p)
	}
	p, ok := v.Words.Lookup(u.Text)
	return ok && partNumber(p)
}

// partNumber reports whether a phrase is the number of a part and nothing else.
func partNumber(p english.Phrase) bool {
	return (childPhrases[p.ID] || p.ID == english.Part || p.ID == english.Book) && p.N > 0 && len(p.Tail) == 0
}

// byLine reports whether unit i names an author, "by" and the name.
func (v *Volume) byLine(i int) bool {
	p, ok := v.Words.Prefix(v.Units[i].Text)
	return ok && p.ID == english.By
}

// marginShort is how many cells a line of a heading leaves free, at most, when the next word
// would have had room: headings are broken some cells short of the margin (BANA, Braille
// Formats 2016, section 4: six).
const marginShort = 8

// maxPartLine is how many cells the word and the number of a part may take: "chapter
// twenty-three" in capitals is as long as any.
const maxPartLine = 28

// numberHabit is how many numbers alone on their lines, each one more than the one before or
// one again, show that a title has such headings.
const numberHabit = 4

// FindNumberHeads finds sections that have a number alone on its line for a heading, at the
// margin or further in (common practice): set apart before, text under it. Nearly all of the
// title's count on, or begin anew; numbers at the top of a page, which may be of pages, do not tell,
// and only those that count on are headings where others tell. So are lines in cell 5 or 7, or at the margin between
// blank lines, that say the same words with such numbers, and those that say a few words after the number over two lines or
// more, as the hymns of a book do.
func FindNumberHeads(vols []*Volume) {
	type at struct {
		v *Volume
		i int
	}
	type count struct {
		found         []at
		last, on, all int
	}
	counts := map[string]*count{} // by the words before the number
	var row decimalRow
	for _, v := range vols {
		if v.RepeatOf != nil {
			continue
		}
		for i := v.firstUnitOf(v.BodyPage); i < v.Notes[0] && i < v.End[0]; i++ {
			row.add(v, i)
			words, n, tells, ok := v.numberAlone(i)
			if !ok {
				continue
			}
			c := counts[words]
			if c == nil {
				c = &count{}
				counts[words] = c
			}
			on := n == c.last+1 || n == 1 && (tells || v.Units[i].PageTop)
			if !tells && !on {
				continue
			}
			c.found, c.last = append(c.found, at{v, i}), n
			if tells {
				c.all, c.on = c.all+1, c.on+boolInt(on)
			}
		}
	}
	row.mark()
	for _, c := range counts {
		if c.on < numberHabit || c.on*5 < c.all*4 {
			continue
		}
		for _, x := range c.found {
			for k := x.i; k <= x.v.nameEnd(x.i); k++ {
				x.v.Units[k].Side = true
			}
		}
	}
}

// numberAlone is the number that is all of unit i, but for up to two words before it or a few after it, where it stands as a
// heading does, and whether its place tells: at the top of a page, or after a full line, it may be another number.
func (v *Volume) numberAlone(i int) (words string, n int, tells, ok bool) {
	u := &v.Units[i]
	if k := bytes.LastIndexByte(u.Text, cell.Blank); u.From > 6 || k > 0 && u.Text[0] != '#' && u.Text[k+1] != '#' {
		return "", 0, false, false // most lines
	}
	end := v.nameEnd(i)
	number, blank := u.Text, end+1 < len(v.Units) && v.Units[end+1].Blanks > 0
	if k := bytes.IndexByte(u.Text, cell.Blank); k > 0 && u.Text[0] == '#' && blank {
		if u.Blanks == 0 && !u.PageTop || len(u.Text) > max(maxPartLine, v.TextWidth-headingShort-int(u.From)) || endsClause(v.Units[end].Text) || end+2 >= len(v.Units) || v.Units[end+2].Blanks > 0 && !v.apart(&v.Units[end+1]) {
			return "", 0, false, false
		}
		words, number = "#", bytes.TrimRight(u.Text[:k], "4")
	} else if k := bytes.LastIndexByte(u.Text, cell.Blank); k > 0 {
		number = u.Text[k+1:]
		if bytes.Count(u.Text, []byte{cell.Blank}) > 2 || u.From != 4 && u.From != 6 && !(u.From == 0 && blank) || u.Blanks == 0 && !u.PageTop || len(u.Text) > maxPartLine || number[0] != '#' || endsClause(u.Text[:k]) {
			return "", 0, false, false
		}
		words = layout.Normal(u.Text[:k])
	}
	if len(number) > 10 || u.Rule || i+1 >= len(v.Units) {
		return "", 0, false, false
	}
	tells = !u.PageTop
	if u.Blanks == 0 && !u.PageTop {
		if i == 0 || u.From < 2 || !v.besideText(i) {
			return "", 0, false, false
		}
		tells = v.begunHere(i)
	}
	next := &v.Units[i+1]
	if next.Page != u.Page && words == "" || next.Blanks > 2 || next.Rule || words == "" && next.From == u.From && next.From > 0 && next.Blanks == 0 && !v.overText(i+1) && !(end > i && blank) {
		return "", 0, false, false
	}
	c, ok := childOf(number)
	return words, c.n, tells, ok && c.class == "number"
}

// nameEnd is the last unit of the heading that begins with the number of unit i: its words go on, or stand under it, on two
// more lines at most at its cell, which ends in no mark of punctuation and has a blank line under it.
func (v *Volume) nameEnd(i int) int {
	k, alone := i, bytes.IndexByte(v.Units[i].Text, cell.Blank) < 0
	for k+1 < len(v.Units) && k < i+2 && v.Units[k+1].Page == v.Units[i].Page && v.Units[k+1].Blanks == 0 && v.Units[k+1].From == v.Units[i].From && (alone && k == i || v.runOf(k+1)) {
		k++
	}
	if k+1 < len(v.Units) && (v.Units[k+1].Blanks == 0 || endsClause(v.Units[k].Text)) {
		return i
	}
	return k
}

// besideText reports whether the lines above and below unit i stand at other cells, or above is no number:
// a column of numbers is no row of headings.
func (v *Volume) besideText(i int) bool {
	p, u, n := &v.Units[i-1], &v.Units[i], &v.Units[i+1]
	return n.From != u.From && (p.From != u.From || p.Text[0] != '#')
}

// marginLine reports whether unit i has the place and the words of such a line.
func (v *Volume) marginLine(i int) bool {
	u := &v.Units[i]
	if u.From != 0 || u.Rule || i >= v.End[0] || u.wide || ForTranscriber(u.Text) || EndsSentence(u.Text) || endsClause(u.Text) || dividedWord(u.Text) {
		return false
	}
	return len(u.Text) > 1
}

// BeginsAnew reports whether unit i goes on no line before it, as far as its place tells: a
// blank line, a rule, a page or room for its first word stands before it.
func (v *Volume) BeginsAnew(i int) bool {
	u := &v.Units[i]
	if i == 0 || u.Blanks > 0 || v.Units[i-1].Rule {
		return true
	}
	p := &v.Units[i-1]
	if dividedWord(p.Text) {
		return false
	}
	return slack(p, u) >= 2 || u.PageTop && EndsSentence(p.Text)
}
