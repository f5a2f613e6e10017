package assemble

import (
	"continuo/internal/diag"
	"continuo/internal/layout"
	"continuo/internal/structure"
)

// tellTables tells which tables stay in columns though the profile wants
// lists, and where columns go on the page that faces.
func (a *assembly) tellTables() {
	for _, t := range a.flow.Tables {
		if t.Why != "" {
			a.find(diag.Note, "table-kept", a.vols[t.Vol], t.Line, "a table of %d rows stays in columns: %s", t.Rows, t.Why)
		}
	}
	for _, fp := range a.facing {
		a.find(diag.Look, "facing-pages", a.vols[fp.vol], fp.line, "columns of one table stand on two pages that face each other: rows on the same lines; the edition has one page after the other")
	}
}

// facingPair is two pages that face each other: page and the one after it.
type facingPair struct {
	vol  int
	page int32
	line int32 // first line of the table
}

// findFacing finds the tables whose columns go on on the page that faces, and
// keeps the flow from making lists of them: the rows of the second page have no
// first column.
func (a *assembly) findFacing() {
	pages := map[[2]int32]bool{}
	for i, v := range a.vols {
		for p := 0; p+1 < len(v.Pages) && v.RepeatOf == nil; p++ {
			if line, ok := facing(v, p); ok {
				a.facing = append(a.facing, facingPair{i, int32(p), line})
				pages[[2]int32{int32(i), int32(p)}], pages[[2]int32{int32(i), int32(p) + 1}] = true, true
				p++
			}
		}
	}
	a.flow.Facing = func(u *structure.Unit) bool { return pages[[2]int32{u.Vol, u.Page}] }
}

// facingRows is how many rows two pages must share to be taken for one table.
const facingRows = 5

// facing reports whether pages p and p+1 hold a table whose columns go on the
// page that faces: the same lines have text, a line parts headings from rows on
// both at the same place, and the columns stand elsewhere (BANA, Braille
// Formats 2016, 1.12). A table that only goes on has its columns at the same
// cells, or its headings once more.
func facing(v *structure.Volume, p int) (int32, bool) {
	if !ruled(v, p) || !ruled(v, p+1) {
		return 0, false
	}
	left, right := rowsOf(v, p), rowsOf(v, p+1)
	if len(left.lines) < facingRows || left.rule < 0 || left.rule != right.rule {
		return 0, false
	}
	if layout.Alike(layout.Normal(v.TextOf(left.first)), layout.Normal(v.TextOf(right.first))) {
		return 0, false
	}
	same := 0
	for at := range left.lines {
		same += boolInt(right.lines[at])
	}
	if same*10 < 9*max(len(left.lines), len(right.lines)) || left.wide*10 < 6*len(left.lines) || right.wide*10 < 4*len(right.lines) {
		return 0, false
	}
	shared := 0
	for at := range left.starts {
		shared += boolInt(right.starts[at])
	}
	return left.first, shared*2 <= min(len(left.starts), len(right.starts)) || len(left.starts) != len(right.starts)
}

// ruled reports whether a page has a line that can part headings from rows.
func ruled(v *structure.Volume, p int) bool {
	for i := v.Pages[p].First; i < v.Pages[p].Last; i++ {
		if v.Lines[i].Role != layout.Text {
			continue
		}
		if t := v.TextOf(i); structure.Underlines(t) || structure.IsRule(t) {
			return true
		}
	}
	return false
}

// pageRows are the lines with text on a page, by their place on it.
type pageRows struct {
	first  int32
	lines  map[int]bool
	starts map[int]bool // cells at which columns begin in three rows or more
	wide   int          // lines with columns
	rule   int          // place of the first line that parts headings from rows, -1 for none
}

func rowsOf(v *structure.Volume, p int) pageRows {
	r := pageRows{first: -1, lines: map[int]bool{}, starts: map[int]bool{}, rule: -1}
	pg := v.Pages[p]
	begin := map[int]int{}
	for i := pg.First; i < pg.Last; i++ {
		if v.Lines[i].Role != layout.Text {
			continue
		}
		t, at := v.TextOf(i), int(i-pg.First)
		if r.first < 0 {
			r.first = i
		}
		if structure.Underlines(t) || structure.IsRule(t) {
			if r.rule < 0 {
				r.rule = at
			}
			continue
		}
		r.lines[at] = true
		cols := structure.Columns(t, int(v.Lines[i].Text.From))
		r.wide += boolInt(len(cols) > 1)
		for _, c := range cols {
			begin[c.From]++
		}
	}
	for at, n := range begin {
		if n >= 3 {
			r.starts[at] = true
		}
	}
	return r
}
