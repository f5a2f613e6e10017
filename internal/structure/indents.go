package structure

// farIndent is the deepest indent that is told from others.
const farIndent = 16

// indents tells what the indents of a run of verse or of items are for.
type indents struct {
	over  int                 // of the runovers, -1 where it is not known
	begin [farIndent + 1]bool // where lines begin anew though they stand in
	alone [farIndent + 1]bool // of these, where the lines further out that follow begin anew too
}

// How many lines tell that an indent is that of runovers, and that of lines.
const (
	overLines  = 6
	beginLines = 3
)

// indentsOf measures the indents of the units a up to b that no model reads as
// prose. Where hardly a line at the deepest indent would have fitted on the line
// before, runovers stand there; a third or more of the lines at an indent between
// that and the margin had room there, so that they begin anew, the full ones among
// them too: paragraphs of a poem, lines of a speech (BANA, Braille Formats 2016,
// sections 8 and 13: all runovers two cells further in than the deepest line). A
// fifth of the lines that step out after such lines began anew: no paragraph, of
// which the lines after the first stand further out, begins there.
func (f *Flow) indentsOf(a, b int, m model) indents {
	in := indents{over: -1}
	if m != lines && m != hanging {
		return in
	}
	var known, fits, out, anew [farIndent + 1]int
	base, deep := f.base(a, b), 0
	for i := a + 1; i < b; i++ {
		k, before := f.units[i].Indent(), min(f.units[i-1].Indent(), farIndent)
		if k > farIndent || !f.gap[i].known {
			continue
		}
		known[k]++
		fits[k] += boolInt(f.gap[i].fits)
		if k < before {
			out[before]++
			anew[before] += boolInt(f.gap[i].fits)
		}
		if known[k] >= overLines {
			deep = max(deep, k)
		}
	}
	if deep <= base || ratio(fits[deep], known[deep]) > 0.15 {
		return in
	}
	in.over = deep
	for k := base + 1; k < deep; k++ {
		in.begin[k] = known[k] >= beginLines && 3*fits[k] >= known[k]
		in.alone[k] = in.begin[k] && out[k] >= beginLines && 5*anew[k] >= out[k]
	}
	return in
}
