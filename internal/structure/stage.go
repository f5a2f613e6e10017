package structure

import "bytes"

// A stage direction that stands by itself is set in brackets from cell 5 or 7 on, its
// runovers at the same cell or two further out (BANA, Braille Formats 2016, section 12, from
// memory; UKAAF B004, appendix K; common practice). Its brackets say where it ends.

// stageBrackets are the opening and closing brackets of the codes: square and round of Unified
// English Braille (2013, 7.1), square and round of British Braille (2004, section 4).
var stageBrackets = [...][2]string{{".<", ".>"}, {`"<`, `">`}, {",7", "7'"}, {"7", "7"}}

// maxDirection is how many lines a stage direction takes at most.
const maxDirection = 8

// stageDirection is the unit after a stage direction that unit i begins, before unit b; i when
// it begins none.
func (f *Flow) stageDirection(i, b int) int {
	start := f.units[i].Indent()
	if start < 4 {
		return i
	}
	for _, p := range stageBrackets {
		if !bytes.HasPrefix(f.units[i].Text, []byte(p[0])) {
			continue
		}
		for j := i; j < min(b, i+maxDirection); j++ {
			u := f.units[j]
			if j > i && (f.gap[j].hard || f.gap[j].fits || u.Indent() != start && u.Indent() != start-2 || j > i+1 && u.Indent() != f.units[j-1].Indent()) {
				return i
			}
			t := u.Text
			if j == i {
				t = t[len(p[0]):]
			}
			switch open, end := bracketEnd(t, p[1]); {
			case end:
				return j + 1
			case !open:
				return i
			}
		}
		return i
	}
	return i
}

// directsAnew is how many stage directions that are begun anew for certain, at the cell of
// another, show that this one is.
const directsAnew = 3

// countDirects counts by their indent the stage directions that begin anew for certain.
func (f *Flow) countDirects() {
	f.anewDirects = [farIndent + 1]int{}
	for i, u := range f.units {
		if in := u.Indent(); in <= farIndent && (f.gap[i].hard || f.gap[i].fits) && f.stageDirection(i, len(f.units)) > i {
			f.anewDirects[in]++
		}
	}
}

// alone reports whether the stage direction of unit i, up to unit end, stands by itself though
// it begins where the runovers of speeches do, and the line before is full: a sentence or a
// remark ended there, others at this cell begin anew, and no speech goes on after it.
func (f *Flow) alone(i, end int) bool {
	in, p := f.units[i].Indent(), f.units[i-1].Text
	if in > farIndent || f.anewDirects[in] < directsAnew || !EndsSentence(p) && !endsInBracket(p) {
		return false
	}
	return end == len(f.units) || f.gap[end].hard || f.gap[end].fits || f.units[end].Indent() != f.units[end-1].Indent()
}

// bracketEnd reports whether a closing bracket is the end of a text, punctuation apart; open says
// that no bracket is closed in it.
func bracketEnd(t []byte, sign string) (open, end bool) {
	k := bytes.Index(t, []byte(sign))
	if k < 0 {
		return true, false
	}
	rest := bytes.TrimPrefix(t[k+len(sign):], []byte(",'")) // capitals end
	return false, len(rest) == 0 || len(rest) == 1 && (rest[0] == '4' || rest[0] == '1')
}

// stageDirections corrects which of the units a up to b go on the one before: on holds this
// for each. Each stage direction is a block of its own, and between them the lines where
// runovers usually stand go on speeches.
func (f *Flow) stageDirections(a, b int, on []bool) {
	speech, hangs := a, f.speechesHang(a, b)
	for i := a; i < b; i++ {
		end := f.stageDirection(i, b)
		if end == i {
			continue
		}
		if hangs {
			f.speechRunovers(a, speech, i, on)
		}
		if i > a && (f.units[i].Indent() != f.units[i-1].Indent() || f.alone(i, end)) {
			on[i-a] = false
		}
		for k := i + 1; k < end; k++ {
			on[k-a] = true
		}
		if end < b && (f.units[end].Indent() != f.units[end-1].Indent() || f.stageDirection(end, b) > end) {
			on[end-a] = false
		}
		i, speech = end-1, end
	}
	if speech > a && hangs {
		f.speechRunovers(a, speech, b, on)
	}
}

// speechesHang reports whether the speeches of a run begin further out than their usual
// runovers: no line after a stage direction begins where these do.
func (f *Flow) speechesHang(a, b int) bool {
	for i := a; i < b && f.usual > 0; i++ {
		if end := f.stageDirection(i, b); end > i {
			if end < b && f.units[end].Indent() == f.usual {
				return false
			}
			i = end - 1
		}
	}
	return f.usual > 0
}

// speechRunovers lets the units from up to to, of a run that begins at unit a, go on the
// line before where they stand at the indent of usual runovers and had no room on it.
func (f *Flow) speechRunovers(a, from, to int, on []bool) {
	for k := max(from, a) + 1; k < to && f.usual > 0; k++ {
		if f.units[k].Indent() == f.usual && f.full(k) && (f.units[k-1].Indent() < f.usual || on[k-1-a]) && !f.letterLine(k) {
			on[k-a] = true
		}
	}
}
