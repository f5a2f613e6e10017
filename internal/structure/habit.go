package structure

import (
	"slices"

	"continuo/internal/book"
)

// hangHabit is how the runs before the one at hand were set: so many in a row as
// hanging text, with their runovers at the same indent.
type hangHabit struct{ indent, runs int }

// hangRuns is how many runs make a habit.
const hangRuns = 5

// settle decides on a run that can be read as prose and as hanging text alike,
// because no line that could tell had room for another word: it is hanging text
// where the runs before it were, with blank lines between, as in a list of
// entries. tie says that it is such a run.
func (f *Flow) settle(a, b int, m model, tie bool) model {
	in := f.overIndent(a, b)
	switch {
	case tie && f.hang.runs >= hangRuns && in == f.hang.indent:
		return hanging
	case tie || in == 0:
	case m == hanging && in > 0 && in == f.hang.indent:
		f.hang.runs++
	case m == hanging && in > 0:
		f.hang = hangHabit{in, 1}
	default:
		f.hang = hangHabit{}
	}
	return m
}

// How many lines a stanza has at most that others tell, and how far off these are
// looked for.
const (
	stanzaLines = 24
	stanzaNear  = 6
)

// verdict is what a run says about whether verse stands around it.
type verdict struct {
	from int
	says int8 // 1 verse whose lines step in and out, -1 something else, 0 nothing
}

// verdicts asks every run of the units, from one blank line or rule to the next.
func (f *Flow) verdicts() {
	f.runs, f.deep, f.displays = f.runs[:0], deepHabit{}, displays{}
	for a := 0; a < len(f.units); {
		b := a + 1
		for b < len(f.units) && !f.gap[b].hard && !f.units[b].Rule {
			b++
		}
		f.displays.add(f, a, b)
		if n := b - a; n > 2 {
			f.runs = append(f.runs, verdict{a, f.verdict(a, b)})
		}
		a = b
	}
}

func (f *Flow) verdict(a, b int) int8 {
	f.narrow(a, b)
	m, _ := f.weigh(a, b)
	if m == lines || m == hanging {
		f.deep.add(f, a, b)
	}
	switch {
	case m == lines && (2*f.stepIn(a, b) >= b-a || f.outAnew(a, b)):
		return int8(1 - 2*boolInt(f.speaker(a)))
	case m == lines || b-a <= stanzaLines && f.atBase(a, b):
		return 0
	}
	return -1
}

// stanza decides on a short run that looks like an item and its runovers or like
// prose, because hardly a line of it had room for another word, where the runs
// near it are stanzas whose lines step in and begin anew: it is one too. A run whose
// first line steps in is a paragraph.
func (f *Flow) stanza(a, b int, m model) model {
	f.inAndOut = m == lines && f.outAnew(a, b)
	if f.hung {
		f.inAndOut = false
		return m
	}
	if b-a > stanzaLines || b-a < 2 || f.inAndOut || m == outline || m == hanging && (f.clearItems(a, b) || f.items(a, b)) || !f.amongStanzas(a) {
		return m
	}
	f.inAndOut = true
	if m != lines && f.atBase(a, b) && f.stepIn(a, b) > 0 {
		f.form = book.Verse
		return lines
	}
	return m
}

// clearItems reports whether a run tells by itself that what steps in are runovers: three
// lines at least, none of which had room on the line before, while three at the margin had.
func (f *Flow) clearItems(a, b int) bool {
	base, over, anew := f.base(a, b), 0, 0
	for i := a + 1; i < b; i++ {
		switch in := f.units[i].Indent(); {
		case in == base && f.gap[i].known && f.gap[i].fits:
			anew++
		case in > base && f.full(i):
			over++
		case in > base && f.gap[i].known:
			return false
		}
	}
	return over >= 3 && anew >= 3
}

// amongStanzas reports whether of the runs near unit a that tell, on both sides,
// three or more and most are stanzas.
func (f *Flow) amongStanzas(a int) bool {
	at, _ := slices.BinarySearchFunc(f.runs, a, func(r verdict, a int) int { return r.from - a })
	verse, other := 0, 0
	for k := max(0, at-stanzaNear); k < min(len(f.runs), at+stanzaNear+1); k++ {
		switch f.runs[k].says {
		case 1:
			verse++
		case -1:
			other++
		}
	}
	return verse >= 3 && verse > 2*other
}

// atBase reports whether the first unit of a run stands as far out as any of it.
func (f *Flow) atBase(a, b int) bool { return f.units[a].Indent() == f.base(a, b) }

// base is the indent of the line of a run that stands farthest out.
func (f *Flow) base(a, b int) int {
	base := f.units[a].Indent()
	for i := a; i < b; i++ {
		base = min(base, f.units[i].Indent())
	}
	return base
}

// outAnew reports whether two or more, and a third or more, of the lines of a run that step out to
// the margin, after one that was begun anew, could have stood on that: they are
// begun anew too. Items with numbers or letters do so at every level and tell nothing, nor do speeches under directions.
func (f *Flow) outAnew(a, b int) bool {
	base := f.base(a, b)
	known, anew := 0, 0
	for i := a + 1; i < b; i++ {
		if f.units[i].Indent() == base && f.units[i-1].Indent() > base && f.gap[i].known && f.gap[i-1].fits && !f.item(i) && !itemNumber(f.units[i-1].Text) && !f.speaker(i) {
			known++
			anew += boolInt(f.gap[i].fits)
		}
	}
	return anew >= 2 && 3*anew >= known
}

// stepIn counts the units of a run that stand further in than its first.
func (f *Flow) stepIn(a, b int) (n int) {
	for i := a + 1; i < b; i++ {
		n += boolInt(f.units[i].Indent() > f.units[a].Indent())
	}
	return n
}

// usualOver is the indent at which nearly all lines of a run go on that follow one at
// the margin and did not fit on it, 0 if there are few or they vary: among them, what
// stands at another indent is no runover (a stage direction in cells 7 and 5).
func (f *Flow) usualOver(a, b, base int) int {
	count, n := map[int]int{}, 0
	best := 0
	for i := a + 1; i < b; i++ {
		in := f.units[i].Indent()
		if in == base || f.units[i-1].Indent() != base || !f.full(i) || f.stageDirection(i, b) > i {
			continue
		}
		n++
		if count[in]++; count[in] > count[best] {
			best = in
		}
	}
	if n < 5 || count[best]*5 < n*4 {
		return 0
	}
	return best
}

// overIndent is the indent of all lines of a run that step in, 0 if none does,
// -1 if they differ.
func (f *Flow) overIndent(a, b int) int {
	base, in := f.units[a].Indent(), 0
	for i := a + 1; i < b; i++ {
		switch k := f.units[i].Indent(); {
		case k < base:
			return -1
		case k > base && in == 0:
			in = k
		case k > base && k != in:
			return -1
		}
	}
	return in
}

// deepHabit counts over the runs of a text, by the deepest indent of each, the lines
// at it that are known to be full or anew, and those that began anew; then the same of
// the lines further out, where they stand at two indents or more.
type deepHabit [farIndent + 1]struct{ known, anew, outKnown, outAnew int }

// Lines at the deepest indent that make a habit of runovers.
const deepLines = 6

// add counts a run that no blank line divides.
func (d *deepHabit) add(f *Flow, a, b int) {
	deep, ok := f.deepest(a, b)
	if !ok {
		return
	}
	c := &d[deep]
	for i := a + 1; i < b; i++ {
		switch {
		case !f.gap[i].known:
		case f.units[i].Indent() == deep:
			c.known++
			c.anew += boolInt(f.gap[i].fits)
		default:
			c.outKnown++
			c.outAnew += boolInt(f.gap[i].fits)
		}
	}
}

// deepest is the deepest indent of a run whose first line does not stand there; ok
// says that its lines further out stand at two indents at least.
func (f *Flow) deepest(a, b int) (deep int, ok bool) {
	var at [farIndent + 1]bool
	for i := a; i < b; i++ {
		in := f.units[i].Indent()
		if in > farIndent {
			return 0, false
		}
		at[in] = true
		deep = max(deep, in)
	}
	n := 0
	for _, is := range at[:deep] {
		n += boolInt(is)
	}
	return deep, n >= 2 && f.units[a].Indent() < deep
}

// levelledAsUsual is levelled for a run too short to tell: nearly all lines of such
// runs that stand at its deepest indent had no room on the line before, as have none
// of its own, and most others had. All runovers of a list stand two cells further in
// than its deepest level (BANA, Braille Formats 2016, section 8).
func (f *Flow) levelledAsUsual(a, b int) bool {
	deep, ok := f.deepest(a, b)
	if !ok {
		return false
	}
	c := &f.deep[deep]
	if c.known < deepLines || c.anew*10 > c.known || c.outAnew*10 < c.outKnown*6 {
		return false
	}
	var own deepHabit
	own.add(f, a, b)
	if r := &own[deep]; r.known == 0 || r.anew > 0 || r.outAnew*10 < r.outKnown*4 {
		return false
	}
	f.over = deep
	return true
}
