package structure

import (
	"bytes"
	"fmt"

	"continuo/internal/book"
	"continuo/internal/cell"
)

// This file turns tables in columns into lists, one row after the other: the
// first cell, and under it each other cell behind the heading of its column.
// Columns are told by the cells that are blank in every row, rows by what stands
// at the start of the first column; lines of a cell after its first one stand two
// cells further in (BANA, Braille Formats 2016, section 11). Where a line can be
// read in two ways the whole table stays in columns.

// listTable is a table that can be set as lists.
type listTable struct {
	zones []Span      // cells of each column, over all lines
	heads [][]byte    // the heading of each column, nil for a first column without one
	rows  []listRowAt // in order
	plain map[int]bool
	gone  map[int]bool // headings again at the top of a page: each value has its own
}

// listRowAt is one row: units from up to to, and the cells of each column, line
// by line.
type listRowAt struct {
	from, to int
	cells    [][]Span // by column; cells[k][n] is of unit at[k][n]
	at       [][]int
}

// headingLines is how many lines the headings of columns have at most.
const headingLines = 4

// tableReach is how many lines of the sources a value may stand under its
// heading.
const tableReach = 380

// asList tells how a table is set as lists, or why it stays in columns.
func (f *Flow) asList(g grid) (*listTable, string) {
	if f.Facing != nil && (f.Facing(f.units[g.from]) || f.Facing(f.units[g.to-1])) {
		return nil, "its columns go on on the page that faces"
	}
	if g.body == g.from || g.heads-g.from > headingLines {
		return nil, "nothing parts its headings from its rows"
	}
	t := &listTable{plain: map[int]bool{}, gone: map[int]bool{}}
	f.headsAgain(g, t)
	if why := f.zonesOf(g, t); why != "" {
		return nil, why
	}
	if why := f.headsOf(g, t); why != "" {
		return nil, why
	}
	for k := g.body; k < g.to; k++ {
		if t.plain[k] {
			continue
		}
		if why := f.rowLine(g, t, k); why != "" {
			return nil, fmt.Sprintf("%s in row %d", why, max(1, len(t.rows)))
		}
	}
	for n, r := range t.rows {
		if why := f.wholeRow(t, r); why != "" {
			return nil, fmt.Sprintf("%s in row %d", why, n+1)
		}
	}
	return t, ""
}

// headsAgain marks the lines among the rows that are no rows: rules, and the
// headings once more, where the table goes on over a page.
func (f *Flow) headsAgain(g grid, t *listTable) {
	n := g.body - g.from // the headings and the line under them
	for k := g.body; k < g.to; k++ {
		u := f.units[k]
		t.plain[k] = t.plain[k] || u.Rule || Underlines(u.Text)
		again := k+n <= g.to && f.again(g.from, k, n)
		gone := again && f.pageFurniture(g.from, k, n)
		for i := 0; again && i < n; i++ {
			t.plain[k+i], t.gone[k+i] = true, gone
		}
	}
}

// parts divides the line of a unit into the cells of a table and the guide dots
// between them: dots 5 twice or more (Rules of Unified English Braille 2013,
// 16.5), or dots 3 or 3-6 three times or more beside a cell.
func (u *Unit) parts() (cells, guides []Span) {
	base := u.Indent()
	for _, c := range Columns(u.Text, 0) {
		t := u.Text[c.From:c.To]
		open := -1
		for from, to := range cell.Words(t) {
			w := t[from:to]
			if guideWord(w, len(w) == len(t)) {
				guides = append(guides, Span{base + c.From + from, base + c.From + to})
				open = -1
				continue
			}
			if open < 0 {
				cells, open = append(cells, Span{base + c.From + from, 0}), len(cells)
			}
			cells[open].To = base + c.From + to
		}
	}
	return cells, guides
}

// guideWord reports whether a word is guide dots; alone says that it is the
// whole cell, which may be a dash.
func guideWord(w []byte, alone bool) bool {
	if len(bytes.Trim(w, string(w[:1]))) > 0 {
		return false
	}
	switch w[0] {
	case '"':
		return len(w) >= 2
	case '\'', '-':
		return len(w) >= 3 && !alone
	}
	return false
}

// zonesOf finds the columns: runs of cells between two that are blank in every
// row, the lines under the headings among them.
func (f *Flow) zonesOf(g grid, t *listTable) string {
	taken := make([]bool, 0, 128)
	take := func(s Span) {
		for len(taken) < s.To {
			taken = append(taken, false)
		}
		for i := s.From; i < s.To; i++ {
			taken[i] = true
		}
	}
	for k := g.body; k < g.to; k++ {
		if !t.plain[k] {
			cells, _ := f.units[k].parts()
			for _, c := range cells {
				take(c)
			}
		}
	}
	for _, s := range f.underlines(g) {
		take(s)
	}
	for i := 0; i < len(taken); i++ {
		if !taken[i] {
			continue
		}
		from := i
		for i < len(taken) && (taken[i] || i+1 < len(taken) && taken[i+1]) {
			i++
		}
		t.zones = append(t.zones, Span{from, i})
	}
	if len(t.zones) < 2 {
		return "the same cells are blank in every row nowhere"
	}
	return ""
}

// underlines are the lines under the headings, one by one; none for a rule.
func (f *Flow) underlines(g grid) (out []Span) {
	if g.underAt < 0 {
		return nil
	}
	u := f.units[g.underAt]
	for _, x := range cell.Fields(u.Text) {
		out = append(out, Span{u.Indent() + x[0], u.Indent() + x[1]})
	}
	return out
}

// zone is the one column that a cell stands in, or -1.
func (t *listTable) zone(c Span) int { return under(c, t.zones) }

// headsOf reads the headings: each part of their lines stands over one column,
// and every column but the first has one.
func (f *Flow) headsOf(g grid, t *listTable) string {
	lines := f.underlines(g)
	for _, s := range lines {
		if t.zone(s) < 0 {
			return "a line under a heading goes over two columns"
		}
	}
	t.heads = make([][]byte, len(t.zones))
	for k := g.from; k < g.heads; k++ {
		u, last := f.units[k], -1
		cells, guides := u.parts()
		for _, c := range cells {
			z := t.zone(c)
			if z <= last || len(guides) > 0 {
				return "a heading stands over no column, or over two"
			}
			w := u.Text[c.From-u.Indent() : c.To-u.Indent()]
			if dividedWord(t.heads[z]) {
				return "a word of a heading is divided"
			}
			if len(t.heads[z]) > 0 {
				t.heads[z] = append(t.heads[z], cell.Blank)
			}
			t.heads[z] = append(t.heads[z], w...)
			last = z
		}
	}
	if n := len(t.heads) - boolInt(t.heads[0] == nil); len(lines) > 0 && len(lines) != n && len(lines) != len(t.heads) {
		return "not every column has a line under its heading"
	}
	for _, h := range t.heads[1:] {
		if h == nil {
			return "a column has no heading"
		}
	}
	return ""
}

// rowLine adds one line to the rows: one that begins at the start of the first
// column begins a row, one whose cells all stand two cells further in than those
// above goes on it.
func (f *Flow) rowLine(g grid, t *listTable, k int) string {
	u := f.units[k]
	cells, _ := u.parts()
	at := make([]int, len(cells))
	for n, c := range cells {
		if at[n] = t.zone(c); at[n] < 0 || n > 0 && at[n] <= at[n-1] {
			return "a cell stands under no heading, or under two,"
		}
	}
	switch {
	case len(cells) == 0:
		return "nothing but guide dots stands"
	case u.Vol != f.units[g.from].Vol || u.Line-f.units[g.from].Line > tableReach:
		return "the headings are far away, or in another volume,"
	case at[0] == 0 && cells[0].From == t.zones[0].From:
		if len(cells) == 1 && !f.fitsAbove(t, k, 0, cells[0]) {
			return "the first column may go on"
		}
		t.rows = append(t.rows, listRowAt{k, k + 1, make([][]Span, len(t.zones)), make([][]int, len(t.zones))})
	case len(t.rows) == 0 || t.rows[len(t.rows)-1].to != k || u.Blanks > 0:
		return "the first column is empty, or a cell goes on,"
	case len(u.Turns) > 0 || len(f.Book.Cuts[u.Vol][u.Line]) > 0:
		return "a page turns"
	}
	r := &t.rows[len(t.rows)-1]
	if k > r.from {
		if why := f.rowGoesOn(t, r, k, cells, at); why != "" {
			return why
		}
	}
	for n, c := range cells {
		r.cells[at[n]], r.at[at[n]] = append(r.cells[at[n]], c), append(r.at[at[n]], k)
	}
	r.to = k + 1
	return ""
}

// rowGoesOn says why unit k, whose cells stand in columns at, cannot go on a row.
func (f *Flow) rowGoesOn(t *listTable, r *listRowAt, k int, cells []Span, at []int) string {
	for n, c := range cells {
		above := r.at[at[n]]
		switch {
		case len(above) == 0 || above[len(above)-1] != k-1:
			return "a cell goes on below an empty one"
		case c.From != r.cells[at[n]][0].From+2:
			return "the first column is empty, or a cell goes on,"
		case f.fitsAbove(t, k, at[n], c):
			return "a cell may go on, or be one of its own,"
		case dividedWord(f.cellText(k-1, r.cells[at[n]][len(above)-1])):
			return "a word is divided"
		}
	}
	return ""
}

// fitsAbove reports whether the first word of a cell in column z of unit k would
// have had room behind what stands in that column on the line above. It is true
// where nothing stands there.
func (f *Flow) fitsAbove(t *listTable, k, z int, c Span) bool {
	if k == 0 || t.plain[k-1] || f.units[k].Blanks > 0 {
		return true
	}
	cells, guides := f.units[k-1].parts()
	for _, p := range cells {
		if t.zone(p) != z {
			continue
		}
		for _, d := range guides {
			if d.From > p.To && (z+1 == len(t.zones) || d.From < t.zones[z+1].From) {
				return true // guide dots end a cell
			}
		}
		return p.To+1+len(firstWord(f.cellText(k, c))) <= t.zones[z].To
	}
	return true
}

func (f *Flow) cellText(k int, c Span) []byte {
	u := f.units[k]
	return u.Text[c.From-u.Indent() : c.To-u.Indent()]
}

// wholeRow says why a row cannot be a list: some column has lines with none
// above them.
func (f *Flow) wholeRow(t *listTable, r listRowAt) string {
	for z := range r.cells {
		if len(r.at[z]) > 0 && r.at[z][0] != r.from {
			return "a cell goes on below an empty one"
		}
	}
	return ""
}

// layRow lays a row as lines: its first cell, and each other one behind its
// heading. What the lines after the first hold stands in the cells of the first,
// so these lines are left out as they were.
func (f *Flow) layRow(t *listTable, r listRowAt, moved book.ReasonID) {
	u := f.units[r.from]
	_, guides := u.parts()
	for _, d := range guides {
		f.Book.AddCut(int(u.Vol), u.Line, book.Cut{From: int32(d.From), To: int32(d.To), Reason: f.Why.Cell})
	}
	for k := r.from + 1; k < r.to; k++ {
		f.Book.Out[f.units[k].Vol][f.units[k].Line] = f.Why.Cell
	}
	for z, cells := range r.cells {
		if len(cells) == 0 {
			continue
		}
		bl := book.Block{Kind: book.Line, Form: book.TableRow, Moved: moved, Run: 4, First: 2}
		if z == 0 {
			bl.First, bl.Blank = 0, f.blank(r.from)
			for _, turn := range u.Turns {
				if p, _, ok := f.turnPiece(turn); ok {
					bl = f.ownLine(bl, p, true)
				}
			}
			f.seeInline(u)
		} else {
			bl.Pieces = append(bl.Pieces, book.Piece{Vol: -1, Tool: TableLabel(t.heads[z]), Reason: f.Why.Table})
		}
		p := book.Piece{Vol: u.Vol, Line: u.Line, From: int32(cells[0].From), To: int32(cells[0].To)}
		for n := 1; n < len(cells); n++ {
			if p.Tool == nil {
				p.Tool, p.Reason = append([]byte(nil), f.cellText(r.from, cells[0])...), f.Why.Cell
			}
			p.Tool = append(append(p.Tool, cell.Blank), f.cellText(r.at[z][n], cells[n])...)
		}
		bl.Pieces = append(bl.Pieces, p)
		f.Book.Blocks = append(f.Book.Blocks, bl)
	}
	f.notesOf(r.from, r.to)
}
