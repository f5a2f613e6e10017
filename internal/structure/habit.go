package structure

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
