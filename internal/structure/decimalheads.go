package structure

import (
	"bytes"
	"slices"

	"continuo/internal/cell"
)

// This file finds the headings of sections that begin with a decimal number, "3.2 Rivers", at the margin or
// at any indent: their numbers count on through the title (common practice of textbooks).

// decimalHabit is how many such headings, each counting on from the one before, show that a title has them.
const decimalHabit = 4

// decimalRow is the headings of sections with decimal numbers found so far in a title.
type decimalRow struct {
	found   []decimalHead
	a, b    int // the last number
	on, all int
}

// decimalHead is lines of a volume from one up to another.
type decimalHead struct {
	v        *Volume
	from, to int
}

// add takes the heading that unit i begins, if it begins one; the number counts on where it is the next of its chapter, or the
// first of a later one.
func (r *decimalRow) add(v *Volume, i int) {
	a, b, ok := decimalNumber(v.Units[i].Text)
	if !ok {
		return
	}
	n := v.decimalHead(i)
	if n == 0 {
		return
	}
	r.all++
	if a == r.a && b == r.b+1 || a > r.a && b == 1 {
		r.on++
		r.found = append(r.found, decimalHead{v, i, i + n})
	}
	r.a, r.b = a, b
}

// mark makes headings of the lines found, where nearly all numbers count on.
func (r *decimalRow) mark() {
	if r.on < decimalHabit || r.on*10 < r.all*9 {
		return
	}
	for _, h := range r.found {
		for k := h.from; k < h.to; k++ {
			u := &h.v.Units[k]
			u.Side = u.Side || !u.Centred
		}
	}
}

// decimalNumber reads the number of a section, "3.2", that a text begins with before other words.
func decimalNumber(t []byte) (a, b int, ok bool) {
	if t[0] != '#' || !decimal(t) {
		return 0, 0, false
	}
	w := bytes.TrimRight(firstWord(t), "4")
	at := bytes.IndexAny(w, "41.")
	if at < 0 {
		return 0, 0, false
	}
	x, okX := cell.ParseLabel(w[:at])
	y, okY := cell.ParseLabel(slices.Concat([]byte("#"), w[at+1:]))
	return x.Value, y.Value, okX && okY && !y.Roman && y.Last == y.Value
}

// decimalHead is how many lines, four at most, a heading takes that unit i begins: set apart before, it ends no sentence and what
// stands under it is set apart or begins at another cell. 0 if it begins none.
func (v *Volume) decimalHead(i int) int {
	if u := &v.Units[i]; u.Rule || u.wide || u.Blanks == 0 && !u.PageTop {
		return 0
	}
	for n := 1; n <= 4 && i+n < len(v.Units); n++ {
		u, next := &v.Units[i+n-1], &v.Units[i+n]
		if next.Page == u.Page && next.Blanks == 0 && !next.Rule && (next.From == u.From || u.Centred && next.Centred) {
			continue
		}
		if EndsSentence(u.Text) || endsClause(u.Text) || dividedWord(u.Text) || next.Page != u.Page || next.Rule && next.Blanks == 0 {
			return 0
		}
		return n
	}
	return 0
}
