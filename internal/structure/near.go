package structure

import (
	"math"
	"slices"

	"continuo/internal/book"
)

// A stanza or an item is often too short to tell how its lines hang together: two of
// its lines are full by chance, or all that step in are runovers. What the lines at each
// indent do is then asked of the runs near it that begin at the same cell (verse in
// cells 1-3 or 3-5, lists alike: BANA, Braille Formats 2016, sections 8 and 13).

// indentCount counts lines at an indent: those of which it is known whether they had room
// on the line before, those that had, and so were begun anew; of those that had not and stand after a line that
// ends no sentence, all and those that open with a capital.
type indentCount struct{ known, anew, within, capitals int }

// nearRun is a run that blank lines, rules and headings in the middle divide from others
// and that begins at its base, with what its lines do.
type nearRun struct {
	from, base int
	at         [farIndent + 1]indentCount
	begun      int // lines that are known to begin anew, the first too
	capitals   int // of these, those that open with a capital
}

// How many runs on each side are asked.
const runsNear = 12

// countNear counts the runs of the units.
func (f *Flow) countNear() {
	f.near = f.near[:0]
	for a := 0; a < len(f.units); {
		b := a + 1
		for b < len(f.units) && !f.gap[b].hard && !f.units[b].Rule && !f.apart(b) {
			b++
		}
		if b-a > 1 && !f.units[a].Rule && !f.apart(a) && f.base(a, b) == f.units[a].Indent() && f.base(a, b) <= farIndent {
			f.near = append(f.near, f.countRun(a, b))
		}
		a = b
	}
}

func (f *Flow) apart(i int) bool { return f.Vols[f.units[i].Vol].apart(f.units[i]) }

func (f *Flow) countRun(a, b int) nearRun {
	r := nearRun{from: a, base: f.base(a, b)}
	for i := a; i < b; i++ {
		anew := f.gap[i].hard || f.gap[i].known && f.gap[i].fits
		if in := f.units[i].Indent(); i > a && in <= farIndent && f.gap[i].known {
			r.at[in].known++
			r.at[in].anew += boolInt(anew)
			if in > r.base && !anew && !EndsSentence(f.units[i-1].Text) {
				r.at[in].within++
				r.at[in].capitals += boolInt(f.beginsCapital(i))
			}
		}
		if anew && !f.item(i) {
			r.begun++
			r.capitals += boolInt(f.beginsCapital(i))
		}
	}
	return r
}

// aroundRun adds up the runs near unit a that begin at indent base, its own too.
func (f *Flow) aroundRun(a, base int) (sum nearRun) {
	k, _ := slices.BinarySearchFunc(f.near, a, func(r nearRun, a int) int { return r.from - a })
	for _, r := range f.near[max(0, k-runsNear):min(len(f.near), k+runsNear+1)] {
		if r.base != base {
			continue
		}
		for in := range sum.at {
			sum.at[in].known += r.at[in].known
			sum.at[in].anew += r.at[in].anew
			sum.at[in].within += r.at[in].within
			sum.at[in].capitals += r.at[in].capitals
		}
		sum.begun, sum.capitals = sum.begun+r.begun, sum.capitals+r.capitals
	}
	return sum
}

// How many lines near a run tell what an indent is for, how likely a full line must be a
// runover, and how unlikely that all lines of a stanza are full.
const (
	nearLines = 6
	sureOver  = 0.85
	allFull   = 0.02
)

// asNear decides on the run a up to b, read as m, by the runs near it: where their lines
// at its base begin anew in half of all cases, its own do, unless so many in a row would
// hardly be full by chance; and where they do in a quarter of cases, what steps in to one
// indent, none of it begun anew, are runovers where such lines are near it.
func (f *Flow) asNear(a, b int, m model) model {
	f.hung = false
	base, in := f.base(a, b), f.overIndent(a, b)
	if f.units[a].Indent() != base || base > farIndent || in < 0 || in > farIndent {
		return m
	}
	at, own := f.aroundRun(a, base).at, f.countRun(a, b)
	if at[base].anew < nearLines || 4*at[base].anew < at[base].known {
		return m
	}
	anew := ratio(at[base].anew, at[base].known)
	switch {
	case in > 0 && own.at[in].known > 0 && own.at[in].anew == 0 && at[in].runover(anew) > sureOver:
		f.hung = true
		return hanging
	case in == 0 && m == block && 2*anew >= 1 && math.Pow(1-anew, float64(own.at[base].known)) > allFull:
		return lines
	}
	return m
}

// runover is how likely a full line at an indent is a runover: were it a line of its own,
// as many as the share anew of all such lines had room on the line before.
func (c indentCount) runover(anew float64) float64 {
	full := float64(c.known - c.anew)
	if c.known < nearLines || full == 0 {
		return 0
	}
	return 1 - float64(c.anew)/anew*(1-anew)/full
}

// How many lines tell that all lines near a run open with a capital, and how many of the
// other runovers open with one, a name or the first word of a sentence.
const (
	capitalLines = 12
	capitalNames = 0.12
)

// byCapitals corrects which of the units a up to b go on the one before where nearly all
// lines near them that begin anew open with a capital, as lines of verse do: of the full
// ones that step in, those that open with none go on; those that open with one begin anew
// where more lines at their indent open so than runovers would. Numbered items begin with
// their numbers.
func (f *Flow) byCapitals(a, b int, m model, on []bool) {
	base := f.base(a, b)
	if m != lines && m != hanging || f.form == book.Fixed || f.form == book.TableRow || base > farIndent || f.allNumbered(a, b) {
		return
	}
	near := f.aroundRun(a, base)
	if near.begun < capitalLines || 20*near.capitals < 19*near.begun {
		return
	}
	for i := a + 1; i < b; i++ {
		in := f.units[i].Indent()
		switch {
		case in <= base || in > farIndent || !f.full(i) || f.item(i):
		case !f.beginsCapital(i):
			on[i-a] = true
		case !dividedWord(f.units[i-1].Text):
			on[i-a] = on[i-a] && !near.at[in].openLines()
		}
	}
}

// openLines reports whether, of the full lines at an indent that open with a capital within a sentence, more
// than half are lines of their own.
func (c indentCount) openLines() bool {
	others := float64(c.within - c.capitals)
	return c.anew > 0 && float64(c.capitals) > 2*capitalNames*others
}
