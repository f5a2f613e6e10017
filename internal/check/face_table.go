package check

import (
	"bytes"
	"slices"

	"continuo/internal/cell"
)

// tableReach is how many lines above a value its heading may stand: tables go
// on over pages.
const tableReach = 400

// wrongTableLabel judges the heading of a column that the tool wrote before a
// value: a line above has the same cells as a column of its own, over the
// value; a colon may follow, nothing else.
func (f *faces) wrongTableLabel(t tool) string {
	if t.src >= len(f.v.src) {
		return "no value comes after it"
	}
	line := f.v.src[t.src].Text(t.line)
	at, end := t.from+cell.Indent(line[t.from:]), 0
	for n, c := range tableCells(line) {
		if c.from == at && n > 0 {
			end = c.to
		}
	}
	if end == 0 {
		return "its value stands in no column"
	}
	for i := t.line - 1; i >= max(0, t.line-tableReach); i-- {
		if f.headsColumn(t.src, i, t.cells, at, end) {
			return ""
		}
	}
	return "no line above has it as the heading of that column"
}

// headsColumn tells whether a line that is kept ends, with or without a colon
// after it, the heading cells in a column that stands over cells at to end, or
// whose underline in the next line does.
func (f *faces) headsColumn(s, i int, cells []byte, at, end int) bool {
	if k := f.v.r.fate[s][i].kind; k == out || k == swapped {
		return false
	}
	for _, c := range tableCells(f.v.src[s].Text(i)) {
		over := c.from < end && at < c.to || f.underlined(s, i+1, c.from, c.to, at, end)
		if over && f.stacked(s, i, c, bytes.TrimSuffix(cells, []byte{'3'}), headingLines) {
			return true
		}
	}
	return false
}

// headingLines is how many lines the heading of a column may have.
const headingLines = 4

// stacked tells whether the words of a heading are those of column c of line i,
// with those of the lines above it, n lines in all at most, that stand over it.
func (f *faces) stacked(s, i int, c column, words []byte, n int) bool {
	text := f.v.src[s].Text(i)[c.from:c.to]
	rest, ok := bytes.CutSuffix(words, text)
	if len(rest) == 0 || !ok {
		return ok
	}
	if rest[len(rest)-1] != cell.Blank {
		return false
	}
	for rest = rest[:len(rest)-1]; n > 1 && i > 0; n-- {
		if i--; f.v.r.fate[s][i].kind == out {
			return false
		}
		for _, up := range tableCells(f.v.src[s].Text(i)) {
			if up.from < c.to && c.from < up.to && f.stacked(s, i, up, rest, n-1) {
				return true
			}
		}
	}
	return false
}

// column is a cell of a table: cells from up to to of its line.
type column struct{ from, to int }

// tableCells divides a line into what two blanks or more, or guide dots, part.
func tableCells(line []byte) (out []column) {
	open := false
	for n, fs := 0, cell.Fields(line); n < len(fs); n++ {
		x := fs[n]
		near := n > 0 && x[0]-fs[n-1][1] == 1
		alone := !near && (n+1 == len(fs) || fs[n+1][0]-x[1] > 1)
		switch {
		case guideDots(line[x[0]:x[1]], alone):
			open = false
		case open && near:
			out[len(out)-1].to = x[1]
		default:
			out, open = append(out, column{x[0], x[1]}), true
		}
	}
	return out
}

// guideDots tells whether a word is guide dots: dots 5 twice or more, or dots 3
// or 3-6 three times or more that are not a whole cell of a table.
func guideDots(w []byte, alone bool) bool {
	if len(bytes.Trim(w, string(w[:1]))) > 0 {
		return false
	}
	return w[0] == '"' && len(w) >= 2 || (w[0] == '\'' || w[0] == '-') && len(w) >= 3 && !alone
}

// headsReach is how many lines with marks down its page a heading of a table may
// stand: under a head and a number, four lines and the line below them.
const headsReach = 2 + headingLines + 1

// wrongTableHeads judges headings of a table that are left out where it goes on
// over a page: they stand near the top of it, and the same line, at the same
// cells, is kept above on another page.
func (f *faces) wrongTableHeads(l left) string {
	src := f.v.src[l.src]
	page := src.Lines[l.line].Page
	if nums := f.front[l.src]; nums[l.line]-nums[src.Pages[page].First] >= headsReach {
		return "it does not stand at the top of its page"
	}
	for i := l.line - 1; i >= max(0, l.line-tableReach); i-- {
		if k := f.v.r.fate[l.src][i].kind; k != out && k != swapped && src.Lines[i].Page != page && bytes.Equal(src.Text(i), src.Text(l.line)) {
			return ""
		}
	}
	return "no page above has the same line, kept"
}

// rowStep is how much further in the lines of a cell stand after its first one.
const rowStep = 2

// wrongTableCell judges what is left out of a table that is set as lists: guide
// dots between its columns, or a line that goes on the cells of the row above,
// where each of its parts stands in the text that is written instead.
func (f *faces) wrongTableCell(l left) string {
	line := f.v.src[l.src].Text(l.line)
	if !l.whole {
		if from, to := l.from, l.to; from > 0 && line[from-1] != cell.Blank || to < len(line) && line[to] != cell.Blank || !guideDots(l.text, false) {
			return "it is no guide dots"
		}
		return ""
	}
	row := f.rowStart(l.src, l.line)
	for _, c := range tableCells(line) {
		if !f.rowHas(l.src, row, c) {
			return "nothing was put together with one of its cells"
		}
	}
	return ""
}

// rowStart is the line that a left-out line of a table goes on, -1 if none.
func (f *faces) rowStart(s, i int) int {
	for i--; i >= 0 && f.v.r.fate[s][i].kind == out; i-- {
	}
	return i
}

// rowHas tells whether a cell of a row that begins with line i was put together
// with column c of a line below.
func (f *faces) rowHas(s, i int, c column) bool {
	if f.rows == nil {
		f.rows = map[[2]int][]swap{}
		for _, w := range f.v.r.swaps {
			if f.v.acc.reasons[w.reason].Class == "table-cell" {
				f.rows[[2]int{w.src, w.line}] = append(f.rows[[2]int{w.src, w.line}], w)
			}
		}
	}
	return slices.ContainsFunc(f.rows[[2]int{s, i}], func(w swap) bool { return f.swapColumn(w).from+rowStep == c.from })
}

// swapColumn is the column whose cells were replaced.
func (f *faces) swapColumn(w swap) column {
	line := f.v.src[w.src].Text(w.line)
	if w.lines > 0 {
		return column{cell.Indent(line), len(line)}
	}
	return column{w.from + cell.Indent(line[w.from:w.to]), w.to}
}

// wrongTableSwap judges the text in the place of a cell: the cell and what
// stands two cells further in on the left-out lines below, in their order, and
// nothing else.
func (f *faces) wrongTableSwap(w swap) string {
	if w.lines > 1 {
		return "it takes more than a line"
	}
	c := f.swapColumn(w)
	lines := f.v.src[w.src]
	want := append([]byte(nil), lines.Text(w.line)[c.from:c.to]...)
	for i := w.line + 1; i < len(lines.Lines) && f.v.r.fate[w.src][i].kind == out; i++ {
		if f.v.acc.reasons[f.v.r.fate[w.src][i].reason].Class != "table-cell" {
			continue
		}
		for _, x := range tableCells(lines.Text(i)) {
			if x.from == c.from+rowStep {
				want = append(append(want, cell.Blank), lines.Text(i)[x.from:x.to]...)
			}
		}
	}
	if !bytes.Equal(want, w.cells) {
		return "it is not the cell with what goes on it below"
	}
	return ""
}

// underlined tells whether a word of line i, which has no letter, touches the
// cells from up to to and at up to end.
func (f *faces) underlined(s, i, from, to, at, end int) bool {
	if i >= len(f.v.src[s].Lines) {
		return false
	}
	line := f.v.src[s].Text(i)
	for _, x := range cell.Fields(line) {
		w := bytes.TrimLeft(line[x[0]:x[1]], `"`)
		if len(w) > 0 && framing(w) && x[0] < to && from < x[1] && x[0] < end && at < x[1] {
			return true
		}
	}
	return false
}
