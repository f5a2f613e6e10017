package structure

import (
	"bytes"
)

// This file finds the headings of a table's columns: how many lines they take,
// where they stand again after a page, and where no line parts them from the rows.

// headTop reports whether unit i, one cell alone, is the upper line of a heading
// whose last line stands among those of the other columns: headings of two lines
// or more end on one line (BANA, Braille Formats 2016, section 11). It stands
// over one column; where it could be the title of the table it begins with that.
func (f *Flow) headTop(i int) bool {
	u := f.units[i]
	if u.wide || u.Rule || u.Indent() < 2 || len(u.Turns) > 0 || Underlines(u.Text) {
		return false
	}
	for j := i + 1; j < len(f.units) && j < i+headingLines; j++ {
		d := f.units[j]
		if d.Blanks > 0 || d.Rule || d.Page != u.Page || d.Vol != u.Vol || Underlines(d.Text) {
			return false
		}
		if !d.wide {
			continue
		}
		cells, _ := d.parts()
		at := under(Span{u.Indent(), u.Indent() + len(u.Text)}, cells)
		if at < 0 {
			return false
		}
		lined := j+1 < len(f.units) && (f.units[j+1].Rule || Underlines(f.units[j+1].Text))
		return cells[at].From == u.Indent() || lined && !f.heading(i)
	}
	return false
}

// topOfHeads is the first unit from i on that holds columns: i itself, or the one
// under the upper lines of headings.
func (f *Flow) topOfHeads(i int) int {
	for !f.units[i].wide {
		i++
	}
	return i
}

// again reports whether n units from k on are those from i on, cell for cell.
func (f *Flow) again(i, k, n int) bool {
	if k+n > len(f.units) {
		return false
	}
	for d := range n {
		a, b := f.units[i+d], f.units[k+d]
		if !bytes.Equal(a.Text, b.Text) || a.Indent() != b.Indent() || a.Vol != b.Vol {
			return false
		}
	}
	return true
}

// pageFurniture reports whether the n units from k on, which are those from i on,
// are there only because a page of the paper ended: they begin a page, and nothing
// else stands on their lines.
func (f *Flow) pageFurniture(i, k, n int) bool {
	v := f.Vols[f.units[k].Vol]
	lines := v.File.Lines
	if !v.File.FormFeed || f.units[k].Page == f.units[k-1].Page || lines[f.units[k].Line].Page == lines[f.units[i].Line].Page || f.units[k].Line-f.units[i].Line > tableReach {
		return false
	}
	for _, u := range f.units[k : k+n] {
		if len(u.Turns) > 0 || len(u.After) > 0 || len(f.Book.Cuts[u.Vol][u.Line]) > 0 {
			return false
		}
	}
	return true
}

// onOnePage reports whether units from up to to stand on one page.
func (f *Flow) onOnePage(from, to int) bool {
	return f.units[from].Vol == f.units[to-1].Vol && f.units[from].Page == f.units[to-1].Page
}

// unlinedHeads is how many lines the headings of a table take that no line parts
// from the rows, 0 when nothing tells: they stand again at the top of a page, or
// the table's one blank line comes after them, or numbers begin below them.
func (f *Flow) unlinedHeads(g grid) int {
	for k := g.from + 1; k < g.to; k++ {
		if f.units[k].Page == f.units[k-1].Page {
			continue
		}
		n := 0
		for n < headingLines && k+n < g.to && f.again(g.from+n, k+n, 1) {
			n++
		}
		if n > 0 {
			return n
		}
	}
	if n := f.headsByBlank(g); n > 0 {
		return n
	}
	for n := 1; n <= headingLines && g.from+n < g.to; n++ {
		if f.numbersBegin(g, n) {
			return n
		}
	}
	return 0
}

// headsByBlank is how many lines stand above the only blank line within a table.
func (f *Flow) headsByBlank(g grid) int {
	at := 0
	for k := g.from + 1; k < g.to; k++ {
		if f.units[k].Blanks == 0 || f.units[k].Page != f.units[k-1].Page {
			continue
		}
		if at > 0 {
			return 0
		}
		at = k - g.from
	}
	if at > headingLines {
		return 0
	}
	return at
}

// rowsForNumbers is how many numbers tell a heading over one column, where
// nothing else does.
const rowsForNumbers = 6

// numbersBegin reports whether numbers begin below the first n lines of a table:
// a column holds numbers in every row and none in its heading. It takes two such
// columns, or a heading that ends below its first line, or many rows.
func (f *Flow) numbersBegin(g grid, n int) bool {
	g.body = g.from + n
	t := &listTable{plain: map[int]bool{}}
	if !f.onOnePage(g.from, g.body) || f.zonesOf(g, t) != "" {
		return false
	}
	if cells, _ := f.units[g.body].parts(); len(cells) < 2 || cells[0].From != t.zones[0].From {
		return false
	}
	columns, least := 0, g.to
	for z := 1; z < len(t.zones); z++ {
		if rows := f.numbersUnder(g, t, z); rows >= 4 {
			columns++
			least = min(least, rows)
		}
	}
	top := f.units[g.from].Indent() > t.zones[0].From
	return columns >= 2 || columns == 1 && (top && n > 1 || least >= rowsForNumbers)
}

// numbersUnder is how many rows have a number in column z, 0 when one of them has
// something else or the heading has a number or no words.
func (f *Flow) numbersUnder(g grid, t *listTable, z int) int {
	rows, headed := 0, false
	for k := g.from; k < g.to; k++ {
		cells, _ := f.units[k].parts()
		for _, c := range cells {
			if t.zone(c) != z {
				continue
			}
			number := bytes.IndexByte(f.cellText(k, c), '#') >= 0
			if number == (k < g.body) {
				return 0
			}
			headed = headed || !number
			rows += boolInt(number)
		}
	}
	if !headed {
		return 0
	}
	return rows
}
