package structure

import (
	"bytes"
	"fmt"
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
	head     int // the one unit of headings, -1 when they are none or more
	body     int // first row under the headings
	underAt  int // the line that underlines the headings, -1 when it is a rule or none
}

// tableAt finds the table that begins with unit i.
func (f *Flow) tableAt(i int) (grid, bool) {
	g := grid{from: i, head: -1, body: i, underAt: -1}
	if i < f.noTable || !f.units[i].wide || f.units[i].Rule || f.heading(i) {
		return g, false
	}
	j, lined := i, false
	for ; j < len(f.units); j++ {
		u := f.units[j]
		under := Underlines(u.Text)
		switch {
		case j > i && u.Blanks > 1, f.heading(j) && j > i && !u.wide:
		case (under || u.Rule) && !lined && j > i && j <= i+4:
			lined = true
			if g.body = j + 1; j == i+1 {
				g.head = i
			}
			if under {
				g.underAt = j
			}
			continue
		case u.Rule:
		case under || f.inColumns(i, j):
			continue
		}
		break
	}
	g.to = j
	for g.to > g.body && !f.units[g.to-1].wide {
		g.to--
	}
	if !lined {
		g.body = i
	}
	sure := f.sureTable(g, lined)
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

// inColumns reports whether unit j can be a row of a table that began with
// unit i: it holds columns, or goes on one of them further in.
func (f *Flow) inColumns(i, j int) bool {
	u := f.units[j]
	return u.wide || j > i && u.Blanks == 0 && j+1 < len(f.units) && f.units[j+1].Blanks == 0 && u.Indent() > f.units[i].Indent() && f.units[j-1].wide
}

// sureTable reports whether the columns of a table stand at the same cells.
// With a line under its headings three rows of two columns will do; without, it
// takes five rows of three columns, of which a number at the margin is none.
func (f *Flow) sureTable(g grid, lined bool) bool {
	starts, ends := map[int]int{}, map[int]int{}
	rows, columns := 0, 0
	for k := g.body; k < g.to; k++ {
		cols := Columns(f.units[k].Text, f.units[k].Indent())
		if len(cols) < 2 || Underlines(f.units[k].Text) {
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
	for _, n := range starts {
		aligned += boolInt(n*10 >= rows*7)
	}
	for at, n := range ends {
		if n*10 >= rows*7 && !f.startAligned(g, at, starts, rows) {
			aligned++
		}
	}
	lines := g.to - g.body
	if rows*10 < lines*6 {
		return false
	}
	if lined {
		return rows >= 3 && aligned >= 1
	}
	return rows >= 5 && aligned >= 2 && columns*2 >= rows*5
}

// startAligned reports whether the column that ends at a cell is one whose
// starts are aligned too, so that it is not counted twice.
func (f *Flow) startAligned(g grid, end int, starts map[int]int, rows int) bool {
	for k := g.body; k < g.to; k++ {
		for n, c := range Columns(f.units[k].Text, f.units[k].Indent()) {
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
	var heads []Span
	if f.Style.Tables == "list" {
		heads, t.Why = f.listable(g)
		t.AsList = t.Why == ""
	}
	f.Tables = append(f.Tables, t)
	for k := g.from; k < g.to; k++ {
		switch {
		case f.units[k].Rule && !f.units[k].wide:
			f.single(k, book.Rule, int16(min(f.units[k].Indent(), f.Style.HeadingIndent)), moved)
		case t.AsList && k >= g.body && !f.sameHeads(g, k):
			f.listRow(g, k, heads, moved)
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

// sameHeads reports whether unit k is the headings of a table again, or the
// line under them.
func (f *Flow) sameHeads(g grid, k int) bool {
	return bytes.Equal(f.units[k].Text, f.units[g.head].Text) || Underlines(f.units[k].Text)
}

// listable tells the headings of the columns when each cell of every row
// stands under one heading, and else why the table stays as it is.
func (f *Flow) listable(g grid) ([]Span, string) {
	if g.head < 0 {
		return nil, "its headings are not one line with a line under it"
	}
	h := f.units[g.head]
	heads := Columns(h.Text, h.Indent())
	under := heads
	if g.underAt >= 0 {
		if u := f.units[g.underAt]; len(cell.Fields(u.Text)) == len(heads) {
			under = nil
			for _, x := range cell.Fields(u.Text) {
				under = append(under, Span{u.Indent() + x[0], u.Indent() + x[1]})
			}
		}
	}
	width := make([]Span, len(heads))
	for n := range heads {
		width[n] = Span{min(heads[n].From, under[n].From), max(heads[n].To, under[n].To)}
	}
	base := h.Indent()
	for k := g.body; k < g.to; k++ {
		base = min(base, f.units[k].Indent())
	}
	if len(Columns(f.units[g.body].Text, 0)) == len(heads)+1 && width[0].From > base { // nothing stands over the first column
		width = append([]Span{{base, base + 1}}, width...)
	}
	for k := g.body; k < g.to; k++ {
		if f.sameHeads(g, k) || f.units[k].Rule {
			continue
		}
		if why := f.plainRow(f.units[k], width, base); why != "" {
			return nil, fmt.Sprintf("%s in row %d", why, k-g.body+1)
		}
	}
	return width, ""
}

// plainRow says why a row cannot be made a list, or nothing.
func (f *Flow) plainRow(u *Unit, heads []Span, base int) string {
	last := -1
	cols := Columns(u.Text, u.Indent())
	for n, c := range cols {
		at := under(c, heads)
		switch {
		case GuideDots(u.Text[c.From-u.Indent() : c.To-u.Indent()]):
			return "guide dots stand"
		case n == 0 && (c.From > base || at > 0):
			return "the first column is empty, or a cell goes on,"
		case n == 0:
			at = 0
		case at < 0 || at <= last:
			return "a cell stands under no heading, or under two,"
		}
		last = at
	}
	if len(cols) != len(heads) {
		return "not every heading has a cell"
	}
	return ""
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

// GuideDots reports whether a text ends or begins in guide dots: dots 5 or 3
// three times or more (Rules of Unified English Braille 2013, 16.5).
func GuideDots(t []byte) bool {
	for _, c := range []string{`"""`, "'''", "---"} {
		if bytes.HasSuffix(t, []byte(c)) || bytes.HasPrefix(t, []byte(c)) {
			return true
		}
	}
	return false
}

// listRow lays a row as lines: its first cell, and each other one under its
// heading.
func (f *Flow) listRow(g grid, k int, heads []Span, moved book.ReasonID) {
	u, h := f.units[k], f.units[g.head]
	for n, c := range Columns(u.Text, u.Indent()) {
		bl := book.Block{Kind: book.Line, Form: book.TableRow, Moved: moved, Run: 4}
		if n == 0 {
			bl.Blank = f.blank(k)
			for _, t := range u.Turns {
				if p, _, ok := f.turnPiece(t); ok {
					bl = f.ownLine(bl, p, true)
				}
			}
			f.seeInline(u)
		} else {
			bl.First = 2
			head := heads[under(c, heads)]
			bl.Pieces = append(bl.Pieces, book.Piece{Vol: -1, Tool: TableLabel(headText(h, head)), Reason: f.Why.Table})
		}
		bl.Pieces = append(bl.Pieces, book.Piece{Vol: u.Vol, Line: u.Line, From: int32(c.From), To: int32(c.To)})
		f.Book.Blocks = append(f.Book.Blocks, bl)
	}
	f.notesOf(k, k+1)
}

// headText is the heading in the column at cells of s.
func headText(h *Unit, s Span) []byte {
	for _, c := range Columns(h.Text, h.Indent()) {
		if c.From >= s.From && c.To <= s.To {
			return h.Text[c.From-h.Indent() : c.To-h.Indent()]
		}
	}
	return nil
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
