package structure

import (
	"continuo/internal/cell"
)

// narrow judges a run anew whose lines all end before the numbers that stand
// at the right margin of line-numbered text: these make its lines shorter.
func (f *Flow) narrow(a, b int) {
	edge := f.Vols[f.units[a].Vol].NumberEdge
	if edge == 0 {
		return
	}
	for i := a; i < b; i++ {
		if int(f.units[i].To) > edge && !marginNumber(f.units[i]) {
			return
		}
	}
	for i := a + 1; i < b; i++ {
		p, u := f.units[i-1], f.units[i]
		if f.gap[i].known && p.Avail > edge {
			f.gap[i].fits = slack(p, u)-(p.Avail-edge)+tailLen(p) >= 0
		}
	}
}

// numberedProse reports whether a run is prose whose lines are numbered at the
// right margin, so that lines are referred to by their numbers: they stay as they
// are (BANA, Braille Formats 2016, section 15), and no number comes to stand
// within a sentence.
func (f *Flow) numberedProse(a, b int, m model) bool {
	edge := f.Vols[f.units[a].Vol].NumberEdge
	if edge == 0 || m != prose && m != block && m != mixed {
		return false
	}
	numbered := false
	for i := a; i < b; i++ {
		if marginNumber(f.units[i]) {
			numbered = true
		} else if int(f.units[i].To) > edge {
			return false
		}
	}
	return numbered
}

// tailLen is how many cells at the end of a unit are a margin number and the
// blanks before it.
func tailLen(u *Unit) int {
	if !marginNumber(u) {
		return 0
	}
	n := len(u.Text)
	for n > 0 && u.Text[n-1] != cell.Blank {
		n--
	}
	for n > 0 && u.Text[n-1] == cell.Blank {
		n--
	}
	return len(u.Text) - n
}

// marginNumber reports whether a unit ends in a number after two blanks or
// more.
func marginNumber(u *Unit) bool {
	n := len(u.Text)
	for n > 0 && u.Text[n-1] != cell.Blank {
		n--
	}
	if n < 2 || u.Text[n-2] != cell.Blank {
		return false
	}
	_, ok := cell.ParseLabel(u.Text[n:])
	return ok
}
