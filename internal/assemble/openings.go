package assemble

import (
	"continuo/internal/layout"
	"continuo/internal/structure"
)

// sameOpenings moves the start of the text behind the first pages of a volume that stand
// again, line for line, at the start of another: no two volumes of a book begin with the
// same pages of text. So preliminary matter is told where no word says what it is, such as a title
// page without a volume statement and a page about the author (common practice).
func (a *assembly) sameOpenings() {
	first := a.vols[a.first()]
	for _, v := range a.vols {
		if v == first || v.RepeatOf != nil || first.Prelim || v.Prelim {
			continue
		}
		for from := 0; from < len(first.Units) && first.Units[from].Page < 4; from = pageAfter(first, from) {
			if p, q := sameOpening(first, v, from); p > 0 {
				first.BodyPage, v.BodyPage = max(first.BodyPage, p), max(v.BodyPage, q)
				break
			}
		}
	}
}

// sameOpening counts the first pages of two volumes that hold the same lines, but for volume
// statements, from a unit of the first on (it may have a half title before): the page after them in each, 0 when they have fewer than four lines together or
// are more than a third of either volume.
func sameOpening(v, w *structure.Volume, from int) (p, q int32) {
	i, k, lines := from, 0, 0
	for i < len(v.Units) && k < len(w.Units) {
		to, end := pageAfter(v, i), pageAfter(w, k)
		n := samePage(v, w, i, to, k, end)
		if n == 0 {
			break
		}
		lines += n
		p, q = v.Units[i].Page+1, w.Units[k].Page+1
		i, k = to, end
	}
	if lines < 4 || int(p)*3 > len(v.Pages) || int(q)*3 > len(w.Pages) {
		return 0, 0
	}
	return p, q
}

// pageAfter is the first unit after the page of unit i.
func pageAfter(v *structure.Volume, i int) int {
	p := v.Units[i].Page
	for i < len(v.Units) && v.Units[i].Page == p {
		i++
	}
	return i
}

// samePage counts the lines that two pages have alike, statements left aside; 0 when one
// has a line that the other lacks.
func samePage(v, w *structure.Volume, i, to, k, end int) (n int) {
	for {
		for i < to && v.Units[i].Statement() {
			i++
		}
		for k < end && w.Units[k].Statement() {
			k++
		}
		if i == to || k == end {
			if i < to || k < end {
				return 0
			}
			return n
		}
		if layout.Normal(v.Units[i].Text) != layout.Normal(w.Units[k].Text) {
			return 0
		}
		n++
		i++
		k++
	}
}
