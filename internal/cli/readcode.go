package cli

import (
	"continuo/internal/english"
	"continuo/internal/structure"
)

// codeMix is the braille codes that a file is read with.
type codeMix struct {
	whole english.Variant
	name  string // for people
	doubt string // what is not sure, if anything
	parts []codePart
}

// codePart are lines from up to and with to in another code than the rest.
type codePart struct {
	from, to int32
	variant  english.Variant
}

// A part of a file whose code is told by itself has at least partCells cells
// and ends at a blank line, or has at most maxPart cells. Fewer than fewCells do not tell the grade; contracted is the better guess
// (common practice).
const (
	fewCells  = 300
	partCells = 3000
	maxPart   = 24000
)

// codes finds the codes of a text, as far as the flags do not give them.
func (t *text) codes(f readFlags) *codeMix {
	if f.code != "" {
		v := f.given(english.Variant{})
		return &codeMix{whole: v, name: v.String() + ", as given"}
	}
	units := t.running()
	parts := partsOf(units)
	lines := make([][][]byte, len(parts))
	for i, p := range parts {
		lines[i] = linesOf(units[p[0]:p[1]])
	}
	whole, differ := english.DetectParts(lines)
	best := whole.Best()
	if !whole.GradeSure && whole.Evidence.Cells < fewCells {
		best.Contracted = true
	}
	c := &codeMix{whole: f.given(best)}
	c.name = codeWords(c.whole, whole)
	if f.gradeGiven || f.capitalsSet {
		c.name += ", partly as given"
		return c
	}
	c.doubt = codeDoubt(whole)
	for _, i := range differ {
		from, to := units[parts[i][0]].Line, units[parts[i][1]-1].Line
		v := english.Detect(lines[i]).Best()
		if n := len(c.parts); n > 0 && c.parts[n-1].variant == v && i > 0 && c.parts[n-1].to == units[parts[i-1][1]-1].Line {
			c.parts[n-1].to = to
			continue
		}
		c.parts = append(c.parts, codePart{from, to, v})
	}
	return c
}

// codeDoubt says what a person should know of a code that is not sure. SEB and
// EBAE prose can look alike and read alike, and so can uncontracted prose of all
// codes; that is no doubt.
func codeDoubt(d english.Detection) string {
	switch {
	case d.Code == english.UnknownCode && !d.Older && (d.Contracted || !d.GradeSure):
		return "the cells do not tell the code; give it with --code if this reads wrongly"
	case !d.GradeSure:
		return "contracted or uncontracted braille is not sure; give --code if this reads wrongly"
	}
	return ""
}

// running lists the units that a code is told from: running text, of the body
// if there is any.
func (t *text) running() []*structure.Unit {
	var out []*structure.Unit
	for pass := 0; pass < 2 && len(out) == 0; pass++ {
		for i := range t.v.Units {
			u := &t.v.Units[i]
			if u.Rule || u.Centred || pass == 0 && (u.Page < t.v.BodyPage || i < t.v.Title[1]) {
				continue
			}
			out = append(out, u)
		}
	}
	return out
}

func linesOf(units []*structure.Unit) [][]byte {
	var out [][]byte
	for _, u := range units {
		out = append(out, u.Text)
	}
	return out
}

// partsOf cuts running text into parts, at blank lines.
func partsOf(units []*structure.Unit) [][2]int {
	var out [][2]int
	from, cells := 0, 0
	for i, u := range units {
		if cells >= maxPart || cells >= partCells && i > 0 && u.Line-units[i-1].Line > 1 && u.Blanks > 0 {
			out = append(out, [2]int{from, i})
			from, cells = i, 0
		}
		cells += len(u.Text)
	}
	if len(out) > 0 && cells < partCells {
		out[len(out)-1][1] = len(units)
	} else if len(units) > 0 {
		out = append(out, [2]int{from, len(units)})
	}
	return out
}

// at is the variant of a line.
func (c *codeMix) at(line int32) english.Variant {
	for _, p := range c.parts {
		if line >= p.from && line <= p.to {
			return p.variant
		}
	}
	return c.whole
}
