package structure

import (
	"bytes"
	"slices"
	"strings"

	"continuo/internal/book"
	"continuo/internal/cell"
)

// This file recognises tables in columns: two blanks or more between columns,
// which stand at the same cells in row after row, under headings that a line
// parts from them (BANA, Braille Formats 2016, section 11; Rules of Unified
// English Braille 2013, 16.2: headings underlined one by one). Their rows stay
// lines. By profile a row becomes lines of "heading: value".

// Span is a run of cells of a line, the second not included.
type Span struct{ From, To int }

// Columns divides a text into what two blanks or more part; its first cell
// stands at cell from.
func Columns(t []byte, from int) (out []Span) {
	for k := 0; k < len(t); k++ {
		if t[k] == cell.Blank {
			continue
		}
		at := k
		for k < len(t) && !(t[k] == cell.Blank && (k+1 == len(t) || t[k+1] == cell.Blank)) {
			k++
		}
		out = append(out, Span{from + at, from + k})
	}
	return out
}

// underlining is the cells that lines under headings are made of, and the line
// sign before them.
const underlining = "\"3-=7g12"

// Underlines reports whether a line underlines the headings of columns one by
// one: rows of dots 2-5 after a line sign, or of one cell, two of them or more.
func Underlines(t []byte) bool {
	for _, c := range t {
		if c != cell.Blank && strings.IndexByte(underlining, c) < 0 {
			return false // most lines of text end here
		}
	}
	n := 0
	for from, to := range cell.Words(t) {
		w := t[from:to]
		n++
		sign := w[0] == '"'
		if w = bytes.TrimPrefix(w, []byte{'"'}); len(w) == 0 {
			return false
		}
		if w[0] == '"' || len(bytes.Trim(w, string(w[:1]))) > 0 || !sign && len(w) < 2 {
			return false
		}
	}
	return n >= 2
}

// Table is a table that was found.
type Table struct {
	Vol, Line int32 // its first line
	Rows      int
	AsList    bool
	Why       string // why it stays in columns, when the profile wants lists
}

// grid is a table in the units at hand.
type grid struct {
	from, to int // units
	top      int // the first unit with columns: upper lines of a heading may stand over it
	body     int // first row under the headings
	heads    int // the unit after the headings, a line under them not counted
	underAt  int // the line that underlines the headings, -1 when it is a rule or none
}

// tableAt finds the table that begins with unit i.
func (f *Flow) tableAt(i int) (grid, bool) {
	g := grid{from: i, body: i, underAt: -1}
	if i < f.noTable || f.units[i].Rule || !f.headTop(i) && (!f.units[i].wide || f.heading(i)) {
		return g, false
	}
	g.top = f.topOfHeads(i)
	j, lined := g.top, false
	for ; j < len(f.units); j++ {
		u := f.units[j]
		under := Underlines(u.Text)
		switch {
		case j > g.top && j >= g.body && f.again(i, j, max(g.body, g.top+1)-i):
			j += max(g.body, g.top+1) - i - 1
			continue
		case j > i && u.Blanks > 1, j > i && !u.wide && f.heading(j) && !f.underCell(g.top, j):
		case (under || u.Rule) && !lined && j > i && j <= i+headingLines && f.onOnePage(i, j+1):
			lined = true
			g.heads = j
			g.body = j + 1
			if under {
				g.underAt = j
			}
			continue
		case u.Rule:
		case under || f.inColumns(g.top, j):
			continue
		}
		break
	}
	g.to = j
	for g.to > g.body && !f.units[g.to-1].columned() {
		g.to--
	}
	if !lined {
		g.body = i
	}
	sure := f.sureTable(g, lined)
	g.to = f.lastCells(g.top, g.to)
	if sure && !lined {
		g.body += f.unlinedHeads(g)
		g.heads = g.body
	}
	if !sure && g.to-i > 60 { // a long list: every line of it would be tried
		f.noTable = g.to
	}
	return g, sure
}

// tableBegins reports whether a table begins with unit i.
func (f *Flow) tableBegins(i int) bool {
	_, ok := f.tableAt(i)
	return ok
}

// columned reports whether the line of a unit holds columns: parted by two blanks
// or by guide dots.
func (u *Unit) columned() bool {
	if u.wide {
		return true
	}
	if !bytes.Contains(u.Text, []byte(`""`)) {
		return false
	}
	cells, guides := u.parts()
	return len(guides) > 0 && len(cells) > 1
}

// inColumns reports whether unit j can be a row of a table that began with
// unit i: it holds columns, or goes on one of them further in.
func (f *Flow) inColumns(i, j int) bool {
	return f.units[j].columned() || f.cellGoesOn(i, j) && (j+1 < len(f.units) && f.units[j+1].Blanks == 0 || f.underCell(i, j))
}

// cellGoesOn reports whether unit j, one cell alone, can go on a cell of the
// lines before it in a table that began with unit i: further in than the first
// column, right under columns or a line like itself.
func (f *Flow) cellGoesOn(i, j int) bool {
	if j <= i || f.units[j].Blanks > 0 || f.units[j].Indent() <= f.units[i].Indent() || f.units[j].Rule {
		return false
	}
	return f.units[j-1].columned() || f.units[j-1].Indent() == f.units[j].Indent() && f.cellGoesOn(i, j-1)
}

// underCell reports whether unit j can go on a cell of the row before it: it
// stands two cells further in than one of those.
func (f *Flow) underCell(i, j int) bool {
	if !f.cellGoesOn(i, j) {
		return false
	}
	for j--; !f.units[j].columned(); j-- {
	}
	cells, _ := f.units[j].parts()
	return slices.ContainsFunc(cells, func(c Span) bool { return c.From+2 == f.units[j+1].Indent() })
}

// lastCells is the unit after the lines that go on the last row of a table that
// ends before unit j: on its page, with a blank line after them.
func (f *Flow) lastCells(i, j int) int {
	k := j
	for k < len(f.units) && f.units[k].Page == f.units[j-1].Page && f.underCell(i, k) && !Underlines(f.units[k].Text) {
		k++
	}
	if k < len(f.units) && f.units[k].Blanks == 0 {
		return j
	}
	return k
}

// sureTable reports whether the columns of a table stand at the same cells.
// With a line under its headings three rows of two columns will do; without, it
// takes five rows of three columns, of which a number at the margin is none.
func (f *Flow) sureTable(g grid, lined bool) bool {
	starts, ends := map[int]int{}, map[int]int{}
	rows, columns, on := 0, 0, 0
	for k := g.body; k < g.to; k++ {
		cols, _ := f.units[k].parts()
		if len(cols) < 2 || Underlines(f.units[k].Text) {
			on += boolInt(len(cols) == 1 && f.underCell(g.top, k))
			continue
		}
		rows++
		columns += len(cols)
		for _, c := range cols[1:] {
			starts[c.From]++
			ends[c.To]++
		}
	}
	aligned := 0
	for at, n := range starts { // the lines of a cell after its first stand two cells further in
		aligned += boolInt(n*10 >= rows*7 || n*10 >= rows*4 && (n+starts[at+2])*10 >= rows*7)
	}
	for at, n := range ends {
		if n*10 >= rows*7 && !f.startAligned(g, at, starts, rows) {
			aligned++
		}
	}
	lines := g.to - g.body - on // lines of cells after their first are no rows
	if rows*10 < lines*6 {
		return false
	}
	if lined {
		return rows >= 3 && aligned >= 1 || rows >= 2 && f.underlined(g)
	}
	return rows >= 5 && aligned >= 2 && columns*2 >= rows*5
}

// underlined reports whether as many lines as the headings have columns stand
// under these, one by one: nothing but a table has them.
func (f *Flow) underlined(g grid) bool {
	if g.underAt < 0 {
		return false
	}
	h := f.units[g.underAt-1]
	cells, _ := h.parts()
	n := len(f.underlines(g))
	return n == len(cells) || n == len(cells)+1
}

// startAligned reports whether the column that ends at a cell is one whose
// starts are aligned too, so that it is not counted twice.
func (f *Flow) startAligned(g grid, end int, starts map[int]int, rows int) bool {
	for k := g.body; k < g.to; k++ {
		cells, _ := f.units[k].parts()
		for n, c := range cells {
			if n > 0 && c.To == end && starts[c.From]*10 >= rows*7 {
				return true
			}
		}
	}
	return false
}

func boolInt(b bool) int {
	if b {
		return 1
	}
	return 0
}

// table lays a table: every line a row, or lists of "heading: value".
func (f *Flow) table(g grid, moved book.ReasonID) {
	u := f.units[g.from]
	t := Table{Vol: u.Vol, Line: u.Line, Rows: g.to - g.body}
	var list *listTable
	if f.Style.Tables == "list" {
		list, t.Why = f.asList(g)
		t.AsList = list != nil
	}
	f.Tables = append(f.Tables, t)
	next := 0 // row of the list
	for k := g.from; k < g.to; k++ {
		switch {
		case list != nil && next < len(list.rows) && list.rows[next].from == k:
			f.layRow(list, list.rows[next], moved)
			k = list.rows[next].to - 1
			next++
		case list != nil && list.gone[k]:
			f.Book.Out[f.units[k].Vol][f.units[k].Line] = f.Why.Heads
		case f.units[k].Rule && !f.units[k].wide:
			f.single(k, book.Rule, int16(min(f.units[k].Indent(), f.Style.HeadingIndent)), moved)
		default:
			f.tableRow(k, moved)
		}
	}
}

// tableRow lays one line of a table as it is.
func (f *Flow) tableRow(k int, moved book.ReasonID) {
	u := f.units[k]
	bl := book.Block{Kind: book.Line, Form: book.TableRow, First: int16(u.Indent()), Run: int16(min(u.Indent()+2, 10)), Moved: moved, Blank: f.blank(k)}
	f.Book.Blocks = append(f.Book.Blocks, f.addUnit(bl, k, true))
	f.notesOf(k, k+1)
}

// under is the one heading that a cell of a row stands under, or -1.
func under(c Span, heads []Span) int {
	at := -1
	for n, h := range heads {
		if c.From < h.To && h.From < c.To {
			if at >= 0 {
				return -1
			}
			at = n
		}
	}
	return at
}

// TableLabel is a heading as it stands before a value: with a colon (dots 2-5
// in every English code) unless a mark of punctuation ends it, or all its cells
// are lower ones, which a colon would make another word of.
func TableLabel(head []byte) []byte {
	out := append([]byte(nil), head...)
	if lower := bytes.Trim(out, ",;'0123456789-"); len(lower) == 0 || bytes.IndexByte([]byte("1234678'"), out[len(out)-1]) >= 0 {
		return out
	}
	return append(out, '3')
}
