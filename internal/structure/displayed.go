package structure

import (
	"math"

	"continuo/internal/book"
)

// Quotations and other displayed matter may stand further in than the text with all their lines (BANA,
// Braille Formats 2016, section 9; British practice is the same). One of two or three lines is too short
// to tell that its lines go on one another; all of a text together tell it.

// displayCount counts the lines at an indent that follow another there.
type displayCount struct {
	runs             int // of two lines or more
	known, anew      int // lines of which it is known whether they had room on the line before, and those that had
	within, capitals int // full ones after a line that ends no sentence, and of these those that open with a capital
}

// displays are the counts by indent.
type displays [farIndent + 1]displayCount

// How many runs, and lines of them, tell that text is displayed at an indent, and how many lines that
// go on a sentence.
const (
	displayRuns   = 3
	displayLines  = 6
	displayWithin = 4
)

// add counts the displays among the units a up to b, which blank lines or rules divide from others.
func (d *displays) add(f *Flow, a, b int) {
	anew := func(i int) bool { return !f.full(i) }
	for i := a; i < b; {
		if f.units[i].From == 0 { // most lines
			i++
			continue
		}
		j := f.displayFrom(a, i, b, anew)
		if j-i > 1 {
			d[f.units[i].Indent()].add(f, i, j)
		}
		i = j
	}
}

// displayFrom is the unit before b where lines end that stand at the indent of unit i; i+1 where they
// are no display of the run that begins with unit a: one begins anew, as what follows it does, further in
// than what is before and after it, but for the close of a letter or a name, four cells further in at least.
func (f *Flow) displayFrom(a, i, b int, anew func(int) bool) int {
	in := f.units[i].Indent()
	if in == 0 || in > farIndent || i > a && (!anew(i) || f.units[i-1].Indent() >= in) || f.apart(i) {
		return i + 1
	}
	j := i + 1
	for j < b && f.units[j].Indent() == in {
		j++
	}
	if j < b && (!anew(j) || f.units[j].Indent() > in && f.units[j].Indent() < in+4) {
		return i + 1
	}
	return j
}

// add counts a display of the units a up to b.
func (c *displayCount) add(f *Flow, a, b int) {
	c.runs++
	for i := a + 1; i < b; i++ {
		switch {
		case !f.gap[i].known:
			continue
		case f.gap[i].fits:
			c.anew++
		case !EndsSentence(f.units[i-1].Text):
			c.within++
			c.capitals += boolInt(f.beginsCapital(i))
		}
		c.known++
	}
}

// text reports whether lines at an indent go on one another: hardly one had room on the line before, as
// lines of verse and of lists have, many go on a sentence, and few of these open with a capital.
func (c displayCount) text() bool {
	return c.runs >= displayRuns && c.known >= displayLines && 20*c.anew <= c.known && c.within >= displayWithin && 3*c.capitals <= c.within
}

// displayedBlock reports whether the units a up to b, at one indent, are displayed text: the lines at it
// are, none of theirs is known to begin anew or begins an item, and one goes on a sentence.
func (f *Flow) displayedBlock(a, b int) bool {
	in := f.units[a].Indent()
	if in == 0 || in > farIndent || !f.displays[in].text() {
		return false
	}
	within := false
	for i := a + 1; i < b; i++ {
		t := f.units[i].Text
		ends := EndsSentence(f.units[i-1].Text)
		if f.gap[i].fits || !f.gap[i].known && ends || itemNumber(t) || Bullet(t) {
			return false
		}
		within = within || !ends
	}
	return within
}

// displayedWithin joins the lines of the displays among the units a up to b, which stand among text with
// no blank line before or after them. on says which units go on the one before.
func (f *Flow) displayedWithin(a, b int, on []bool) {
	if f.inAndOut || f.form != book.Plain {
		return
	}
	anew := func(i int) bool { return !f.full(i) || !on[i-a] && EndsSentence(f.units[i-1].Text) }
	for i := a; i < b; {
		j := f.displayFrom(a, i, b, anew)
		if j-i > 1 && j-i < b-a && f.displayedBlock(i, j) {
			for k := i; k < j; k++ {
				on[k-a] = k > i
			}
		}
		i = j
	}
}

// runovers are the counts of lines two and four cells further in than the line before, by its indent.
type runovers [farIndent + 1][2]displayCount

// How many lines tell that items run over so.
const runoverLines = 10

// step is which of the counts of runovers unit i belongs to, by the indent of the line before; nil where
// it is none, or where paragraphs begin two cells further in than the margin.
func (f *Flow) step(i int) *displayCount {
	from, in := f.units[i-1].Indent(), f.units[i].Indent()
	if in != from+2 && in != from+4 || in == 2 || in > farIndent || f.gap[i].hard {
		return nil
	}
	return &f.steps[from][(in-from)/2-1]
}

// countSteps counts the runovers of all units.
func (f *Flow) countSteps() {
	f.steps = runovers{}
	for i := 1; i < len(f.units); i++ {
		if f.units[i].From <= f.units[i-1].From { // most lines
			continue
		}
		if c := f.step(i); c != nil {
			c.add(f, i-1, i+1)
		}
	}
}

// runsOver joins lines of items among the units a up to b that run over in cells 3-5 or the like, right
// among paragraphs: nearly no line of the text that steps in so had room on the line before, and theirs
// goes on a sentence (lists: BANA, Braille Formats 2016, section 8; British practice).
func (f *Flow) runsOver(a, b int, on []bool) {
	if f.inAndOut || f.form == book.Fixed || f.form == book.Verse || f.form == book.TableRow {
		return
	}
	for i := a + 1; i < b; i++ {
		if on[i-a] || !f.full(i) || EndsSentence(f.units[i-1].Text) || f.item(i) || Bullet(f.units[i].Text) {
			continue
		}
		c := f.step(i)
		on[i-a] = c != nil && c.known >= runoverLines && c.text() && !(i > a+1 && on[i-1-a])
		for k := i + 1; on[i-a] && k < b && f.units[k].Indent() == f.units[i].Indent() && f.full(k) && !EndsSentence(f.units[k-1].Text); k++ {
			on[k-a] = true
		}
	}
}

// unlikely is how unlikely it must be that so many lines in a row, each of its own, are full by chance;
// mayBeFull how many of such lines are, at the least, half as many more where fewer than fewLines of the run tell; and lowerCase
// is how rarely a line of its own opens without a capital where nearly all open with one.
const (
	unlikely  = 0.02
	mayBeFull = 0.3
	fewLines  = 3
	lowerCase = 0.1
)

// fullStretches joins lines of the units a up to b that all stand at one indent, each for want of room on
// the line before, under one that begins anew: a paragraph, a quotation or an item right among verse or
// a list, without a blank line between (extracts: British practice). Were they lines of their own, some
// would have had room, as many as of the other lines at their indent near them.
func (f *Flow) fullStretches(a, b int, on []bool) {
	if f.form == book.Fixed || f.form == book.TableRow || f.left[f.units[a].Vol] > 0 || f.Vols[f.units[a].Vol].NumberEdge > 0 || f.allNumbered(a, b) {
		return
	}
	for s := a; s < b; {
		e := s + 1
		for e < b && f.full(e) && f.units[e].Indent() == f.units[s+1].Indent() && !f.item(e) && !Bullet(f.units[e].Text) {
			e++
		}
		if e-s > 3 && (s == a || !f.full(s)) && (e == b || !f.full(e)) && f.oneText(a, b, s, e) {
			for k := s + 1; k < e; k++ {
				on[k-a] = true
			}
		}
		s = e
	}
}

// oneText reports whether the full lines under unit s, up to unit e, of the run a up to b, are hardly lines
// of their own.
func (f *Flow) oneText(a, b, s, e int) bool {
	in, k := f.units[s+1].Indent(), e-s-1
	if in > farIndent || in < f.units[s].Indent()-2 || f.eachCapital(s, e) {
		return false
	}
	full, known := 0, 0
	for i := a + 1; i < b; i++ {
		if (i <= s || i >= e) && f.units[i].Indent() == in && f.gap[i].known {
			known++
			full += boolInt(!f.gap[i].fits)
		}
	}
	share := max(mayBeFull, float64(full+1)/float64(known+2))
	if known < fewLines {
		share = max(share, 1.5*mayBeFull)
	}
	chance := math.Pow(share, float64(k))
	lower, upper := 0, 0
	for i := s + 1; i < e; i++ {
		switch {
		case f.afterEntry(i):
			return false
		case !f.beginsCapital(i):
			lower++
		case !EndsSentence(f.units[i-1].Text):
			upper++
		}
	}
	if near := f.aroundRun(a, f.base(a, e)); near.begun >= capitalLines && 20*near.capitals >= 19*near.begun {
		chance *= math.Pow(lowerCase, float64(lower))
	}
	if upper >= lower && !f.Vols[f.units[s].Vol].Small {
		return false // lines of verse open with capitals
	}
	return chance < unlikely
}
