package structure

import (
	"bytes"
)

// model is how the lines of a run hang together.
type model uint8

const (
	lines   model = iota // cannot tell: line by line
	prose                // first lines indented, the others at the margin
	hanging              // first lines at the margin, runovers indented
	block                // all at the same indent, one paragraph
	mixed                // prose and hanging text without a blank line between
	outline              // items with numbers or letters at several indents, runovers deeper than all
)

// judge tells the model of a run of units from which lines were full.
func (f *Flow) judge(a, b int) model {
	m, tie := f.weigh(a, b)
	return f.asNear(a, b, f.settle(a, b, m, tie))
}

// weigh is judge without the habit of the runs before; tie says that the run can
// be read as prose and as hanging text alike.
func (f *Flow) weigh(a, b int) (m model, tie bool) {
	base, over := f.base(a, b), 0
	var known, bad [2]int // at base, over base
	swallowed := 0        // blank lines before blocked paragraphs that the top of a page took
	for i := a; i < b; i++ {
		k := 0
		if f.units[i].Indent() > base {
			k, over = 1, over+1
		}
		if i > a && f.gap[i].known {
			known[k]++
			if f.gap[i].fits {
				bad[k]++
				swallowed += boolInt(f.gap[i].newPage && f.Vols[f.units[i].Vol].Blocked)
			}
		}
	}
	switch {
	case over == 0 && f.eachCapital(a, b):
		return lines, false
	case over == 0 && (bad[0]-swallowed)*10 <= known[0] && (known[0] >= 3 || f.Vols[f.units[a].Vol].Blocked):
		return block, false
	case over == 0 && bad[0] == 0 && (known[0] > 0 && f.directions(a, b) || f.displayedBlock(a, b)):
		return block, false
	case over == 0:
		return lines, false
	}
	first := f.units[a].Indent() > base
	tie = !first && known[0] > 0 && known[1] > 0 && ratio(bad[0], known[0]) <= 0.15 && ratio(bad[1], known[1]) <= 0.15
	return closer(known, bad, first), tie
}

// eachCapital reports whether four units or more that stand at one indent each begin
// with a capital, also after lines that end no sentence: lines of verse that are full
// by chance (BANA, Braille Formats 2016, section 13).
func (f *Flow) eachCapital(a, b int) bool {
	within := false
	for i := a; i < b; i++ {
		if !f.beginsCapital(i) {
			return false
		}
		within = within || i > a && !EndsSentence(f.units[i-1].Text)
	}
	return within && b-a >= 4
}

// beginsCapital reports whether unit i begins with a capital, after quotation marks or
// brackets perhaps.
func (f *Flow) beginsCapital(i int) bool {
	t := f.units[i].Text
	return opensHeading(t) && !bytes.HasPrefix(bytes.TrimLeft(t, ".^_87\"<;"), []byte("#"))
}

// closer tells prose from hanging text by how often a line that would go on
// the one before could have stood on it: bad of known, for lines at the margin
// and for lines that step in. first says that the first line steps in.
func closer(known, bad [2]int, first bool) model {
	proseBad, hangBad := ratio(bad[0], known[0]), ratio(bad[1], known[1])
	switch {
	case known[0] == 0 && known[1] == 0:
		return lines
	case known[0] == 0:
		switch {
		case first:
			return prose
		case hangBad <= 0.15:
			return hanging
		}
		return lines
	case proseBad <= 0.15 && hangBad <= 0.15 && known[0] >= 2 && known[1] >= 3:
		return mixed
	case proseBad <= 0.15 && (proseBad < hangBad || known[1] == 0 || first):
		return prose
	case hangBad <= 0.15 && known[1] > 0 && hangBad < proseBad:
		return hanging
	case proseBad <= 0.15:
		return prose
	}
	return lines
}

func ratio(a, b int) float64 {
	if b == 0 {
		return 0
	}
	return float64(a) / float64(b)
}
