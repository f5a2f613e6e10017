package layout

import "continuo/internal/cell"

// markDividers marks the lines under the heads, or over the numbers at the foot,
// that part them from the text on every page that has one: the same cell repeated
// over half of the width or more (a divider line beside the number is one of the
// layouts that were counted over public files). Lines of boxes stand there by
// chance, frame text of the page and stay.
func markDividers(vols []*Volume) {
	for _, foot := range []bool{false, true} {
		var parting [256]int // rows by their cell
		pages := 0
		lines := make([][]int32, len(vols))
		for k, v := range vols {
			found, n := v.dividers(foot)
			for _, i := range found {
				if v.framesNothing(i, foot) {
					parting[v.TextOf(i)[0]]++
				}
			}
			lines[k], pages = found, pages+n
		}
		best := byte(0)
		for c := range parting {
			if parting[c] > parting[best] {
				best = byte(c)
			}
		}
		if parting[best] < 4 || parting[best]*5 < pages*4 {
			continue
		}
		for k, v := range vols {
			for _, i := range lines[k] {
				if v.TextOf(i)[0] == best {
					v.Lines[i].Role, v.Lines[i].Sure = Head, 0.95
				}
			}
		}
	}
}

// dividers finds the rows right beside the heads or numbers of a volume; pages is
// how many pages have text and one of these, alone on its line or beside text: where
// text may share its line, a row has it to itself only because it is too long.
func (v *Volume) dividers(foot bool) (lines []int32, pages int) {
	for p := range v.Pages {
		edge, next := v.edgeOf(p, foot)
		if edge < 0 || v.Pages[p].Top == v.Pages[p].Bottom {
			continue
		}
		e := &v.Lines[edge]
		if e.Role == Text && (e.Left.To > 0 || e.Right.To > 0) {
			pages++
			continue
		}
		if e.Role != Head && e.Role != Number || next < v.Pages[p].First || next >= v.Pages[p].Last {
			continue
		}
		if pages++; v.Lines[next].Role == Text && v.isRow(next) {
			lines = append(lines, next)
		}
	}
	return lines, pages
}

// edgeOf is the first or last line of a page that is not blank, -1 if there is
// none, and the line next to it.
func (v *Volume) edgeOf(p int, foot bool) (edge, next int32) {
	if foot {
		return v.Pages[p].Bottom, v.Pages[p].Bottom - 1
	}
	return v.Pages[p].Top, v.Pages[p].Top + 1
}

// framesNothing reports whether the rows of the page of row i, but for itself and
// the one next to the other edge, pair off: it does not open or close a box with one
// of them.
func (v *Volume) framesNothing(i int32, foot bool) bool {
	p := int(v.PageOf[i])
	_, other := v.edgeOf(p, !foot)
	rows := 0
	for k := v.Pages[p].First; k < v.Pages[p].Last; k++ {
		if k != i && k != other && v.Lines[k].Role == Text && v.isRow(k) {
			rows++
		}
	}
	return rows%2 == 0
}

// isRow reports whether line i is one cell repeated over half of the width or more.
func (v *Volume) isRow(i int32) bool {
	t := v.TextOf(i)
	return len(t)*2 >= v.Width && allOne(t)
}

// allOne reports whether a text is one cell repeated.
func allOne(t []byte) bool {
	for _, c := range t {
		if c != t[0] || c == cell.Blank {
			return false
		}
	}
	return len(t) > 0
}
