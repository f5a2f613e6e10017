package layout

import "continuo/internal/cell"

// markDividers marks the lines under the heads, or over the numbers at the foot,
// that part them from the text on every page that has one: one cell repeated over
// half of the width or more (a divider line beside the number is one of the layouts
// that were counted over public files).
func markDividers(vols []*Volume) {
	for _, foot := range []bool{false, true} {
		with, pages := 0, 0
		var lines [][]int32
		for _, v := range vols {
			found, n := v.dividers(foot)
			lines, with, pages = append(lines, found), with+len(found), pages+n
		}
		if with < 4 || with*5 < pages*4 {
			continue
		}
		for k, v := range vols {
			for _, i := range lines[k] {
				v.Lines[i].Role, v.Lines[i].Sure = Head, 0.95
			}
		}
	}
}

// dividers finds the rules right beside the heads or numbers of a volume; pages is
// how many pages have one of these and text.
func (v *Volume) dividers(foot bool) (lines []int32, pages int) {
	for p := range v.Pages {
		pg := &v.Pages[p]
		edge, next := pg.Top, pg.Top+1
		if foot {
			edge, next = pg.Bottom, pg.Bottom-1
		}
		if edge < 0 || pg.Top == pg.Bottom || next < pg.First || next >= pg.Last || v.Lines[edge].Role != Head && v.Lines[edge].Role != Number {
			continue
		}
		pages++
		if t := v.TextOf(next); v.Lines[next].Role == Text && len(t)*2 >= v.Width && allOne(t) {
			lines = append(lines, next)
		}
	}
	return lines, pages
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
