package structure

// stairRows is how many rows tell a table whose rows step in column by column.
const stairRows = 3

// staircase marks in on the lines of a table whose rows step in column by column
// (BANA, Braille Formats 2016, section 11): three columns or more, each at its own cell
// further in than the one before, in the same order in every row. Every line at such a
// cell begins anew, also after a full one, the deeper ones go on. At least half of the
// rows must be seen to begin anew. What comes after the last whole row is judged without it.
func (f *Flow) staircase(a, b int, on []bool) {
	levels := []int{f.units[a].Indent()}
	for i := a + 1; i < b && f.units[i].Indent() > levels[len(levels)-1]; i++ {
		levels = append(levels, f.units[i].Indent())
	}
	if len(levels) < 3 || levels[0] != f.base(a, b) {
		return
	}
	rows, anew, at, end := 0, 0, -1, a
	for i := a; i < b; i++ {
		if in := f.units[i].Indent(); in <= levels[len(levels)-1] {
			if at = (at + 1) % len(levels); in != levels[at] {
				break
			}
			anew += boolInt(at == 0 && (i == a || f.gap[i].known && f.gap[i].fits))
		}
		if at == len(levels)-1 {
			rows += boolInt(f.units[i].Indent() == levels[at])
			end = i + 1
		}
	}
	if rows < stairRows || anew*2 < rows {
		return
	}
	for i := a + 1; i < end; i++ {
		if f.units[i].Indent() <= levels[len(levels)-1] {
			on[i-a] = false
		}
	}
}
