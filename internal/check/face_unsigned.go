package check

import (
	"bytes"

	"continuo/internal/cell"
)

// unsigned tells whether a word of a page number that was left out is one without its number sign:
// the letters of a number that stands at an edge of the page before, less one, and of the
// page after, plus one (or two pages away and two), or of two pages before or after so.
func (f *faces) unsigned(l left, word []byte) bool {
	word = bytes.Trim(word, "- ")
	label, ok := cell.ParseLabel(append([]byte{'#'}, word...))
	if !ok || label.Roman || label.Prefix != "" || label.Suffix != "" || label.Last != label.Value || f.v.src[l.src].FormFeed && !f.atEdge(l) {
		return false
	}
	if !f.v.src[l.src].FormFeed {
		within := func(away, step int) bool { // pages before, or after
			from, to := l.line+1, l.line+away*papers
			if away < 0 {
				from, to = l.line+away*papers, l.line
			}
			return f.numberWithin(l.src, from, to, label.Value+step)
		}
		for step := 1; step <= 2; step++ {
			if within(-step, -step) && within(step, step) || within(-step, -step) && within(-2*step, -2*step) || within(step, step) && within(2*step, 2*step) {
				return true
			}
		}
		return false
	}
	page := int(f.v.src[l.src].Lines[l.line].Page)
	for d := 1; d <= 2; d++ {
		for _, at := range [...][2]int{{-d, d}, {-2 * d, -d}, {d, 2 * d}} {
			if f.numberOn(l.src, page+at[0], label.Value+at[0]) && f.numberOn(l.src, page+at[1], label.Value+at[1]) {
				return true
			}
		}
	}
	return false
}

// papers is how many lines two pages have at most.
const papers = 84

// numberWithin tells whether a number stands at an end of one of some lines of a source
// without form feeds.
func (f *faces) numberWithin(src, from, to, value int) bool {
	file := f.v.src[src]
	for i := max(from, 0); i < min(to, len(file.Lines)); i++ {
		if numberAtEnd(file.Text(i), value) {
			return true
		}
	}
	return false
}

// numberOn tells whether a number stands at an end of the first or last line with marks
// of a page.
func (f *faces) numberOn(src, page, value int) bool {
	file := f.v.src[src]
	if page < 0 || page >= len(file.Pages) {
		return false
	}
	var lines [][]byte
	for i := file.Pages[page].First; i < file.Pages[page].Last; i++ {
		if t := file.Text(int(i)); cell.Marks(t) > 0 {
			lines = append(lines, t)
		}
	}
	if len(lines) == 0 {
		return false
	}
	return numberAtEnd(lines[0], value) || numberAtEnd(lines[len(lines)-1], value)
}

// numberAtEnd tells whether a line begins or ends with a number.
func numberAtEnd(t []byte, value int) bool {
	t = bytes.Trim(t, "- ")
	fs := cell.Fields(t)
	if len(fs) == 0 {
		return false
	}
	for _, x := range [][2]int{fs[0], fs[len(fs)-1]} {
		if l, ok := cell.ParseLabel(t[x[0]:x[1]]); ok && !l.Roman && l.Value == value {
			return true
		}
	}
	return false
}
