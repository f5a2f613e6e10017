package check

import (
	"bytes"

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
	src := f.v.src[t.src]
	value := src.Text(t.line)[t.from:]
	at := t.from + cell.Indent(value)
	end := at
	for line := src.Text(t.line); end < len(line) && !(line[end] == cell.Blank && (end+1 == len(line) || line[end+1] == cell.Blank)); {
		end++
	}
	if before := src.Text(t.line)[:at]; len(before)-len(bytes.TrimRight(before, " ")) < 2 || cell.Marks(before) == 0 {
		return "its value stands in no column"
	}
	for i := t.line - 1; i >= max(0, t.line-tableReach); i-- {
		if f.headsColumn(t.src, i, t.cells, at, end) {
			return ""
		}
	}
	return "no line above has it as the heading of that column"
}

// headsColumn tells whether a line that is kept has cells, with or without a
// colon after them, as a column that stands over cells at to end, or whose
// underline in the next line does.
func (f *faces) headsColumn(s, i int, cells []byte, at, end int) bool {
	if k := f.v.r.fate[s][i].kind; k == out || k == swapped {
		return false
	}
	line := f.v.src[s].Text(i)
	for from := 0; from < len(line); {
		n := bytes.Index(line[from:], bytes.TrimSuffix(cells, []byte{'3'}))
		if n < 0 {
			return false
		}
		from += n
		to := from + len(bytes.TrimSuffix(cells, []byte{'3'}))
		own := (from == 0 || line[from-1] == cell.Blank && (from == 1 || line[from-2] == cell.Blank)) && (to == len(line) || to+1 < len(line) && line[to] == cell.Blank && line[to+1] == cell.Blank)
		if own && (from < end && at < to || f.underlined(s, i+1, from, to, at, end)) {
			return true
		}
		from = to
	}
	return false
}

// underlined tells whether a word of line i, which has no letter, touches the
// cells from up to to and at up to end.
func (f *faces) underlined(s, i, from, to, at, end int) bool {
	if i >= len(f.v.src[s].Lines) {
		return false
	}
	line := f.v.src[s].Text(i)
	for _, x := range cell.Fields(line) {
		if framing(bytes.TrimLeft(line[x[0]:x[1]], `"`)) && x[0] < to && from < x[1] && x[0] < end && at < x[1] {
			return true
		}
	}
	return false
}
