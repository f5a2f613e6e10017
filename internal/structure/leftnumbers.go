package structure

import (
	"continuo/internal/cell"
)

// This file tells text whose lines are numbered at the left margin, every fifth or
// so: number or letters of the number at the margin, the text of all lines further
// in (a UK sample in UEB of 2022: verse at cell 5, prose from cell 4).

// leftNumber reads the number that a line at the margin begins with, words after
// it; 0 for none.
func leftNumber(u *Unit) int {
	if u.From != 0 || u.Rule {
		return 0
	}
	w := firstWord(u.Text)
	if len(w) > 0 && w[0] == '#' {
		w = w[1:]
	}
	if len(w) == 0 || len(w) > 4 || len(w)+1 >= len(u.Text) {
		return 0
	}
	n := 0
	for _, c := range w {
		if c < 'a' || c > 'j' {
			return 0
		}
		n = n*10 + int(c-'a'+1)%10
	}
	return n
}

// leftNumbers is how many lines must be numbered so.
const leftNumbers = 5

// leftNumbered reports whether lines of a volume are numbered at the left margin:
// the numbers there grow by one step, of two or more, five times in a row at least,
// and most lines between stand further in. It returns the indent of most of these, 0
// where lines are not numbered.
func leftNumbered(v *Volume) int {
	last, step, row, best := 0, 0, 0, 0
	var at [24]int        // lines further in, by indent
	var since, all [2]int // lines at the margin, and further in: since the last number, between numbers
	for i := v.firstUnitOf(v.BodyPage); i < len(v.Units); i++ {
		n := leftNumber(&v.Units[i])
		if n == 0 {
			in := v.Units[i].From
			since[boolInt(in >= 2)]++
			at[min(max(in, 0), int32(len(at)-1))] += boolInt(row > 0 && in >= 2)
			continue
		}
		switch d := n - last; {
		case d == step && d >= 2:
			row++
			all[0], all[1] = all[0]+since[0], all[1]+since[1]
		case d >= 2:
			step, row = d, 1
		default:
			row = 0
		}
		last, since = n, [2]int{}
		best = max(best, row)
	}
	if best < leftNumbers || all[1] < 4*all[0] || all[1] < best {
		return 0
	}
	usual := 0
	for in, n := range at {
		if n > at[usual] {
			usual = in
		}
	}
	return usual
}

// atLeftNumber reports whether unit i begins with a line number in a volume whose
// lines are numbered at the left margin: it goes on no line.
func (f *Flow) atLeftNumber(i int) bool {
	return f.left[f.units[i].Vol] > 0 && leftNumber(f.units[i]) > 0
}

// numberedLeft reports whether a run is prose whose lines are numbered at the left
// margin, so that they stay as they are: hardly a line had room for the next word.
func (f *Flow) numberedLeft(a, b int) bool {
	if f.left[f.units[a].Vol] == 0 {
		return false
	}
	numbered, known, fits := 0, 0, 0
	for i := a; i < b; i++ {
		n := f.atLeftNumber(i)
		numbered += boolInt(n)
		if i == a || !f.gap[i].known {
			continue
		}
		known++
		word := 0 // of a numbered line: the number and the blanks after it come before its first word
		if t := f.units[i].Text; n {
			for word = len(firstWord(t)); word < len(t) && t[word] == cell.Blank; word++ {
			}
		}
		p, u := f.units[i-1], f.units[i]
		fits += boolInt(p.Avail-int(p.To)-1-len(firstWord(u.Text[word:])) >= f.tolerance[p.Vol])
	}
	return numbered > 0 && known >= 3 && fits*5 <= known
}

// besideLeftNumbers reports whether unit i stands among lines that are numbered at
// the left margin, and as most of these do: no blank line parts it from one, ten lines away at most.
func (f *Flow) besideLeftNumbers(i int) bool {
	if u := f.units[i]; f.left[u.Vol] == 0 || u.Indent() != f.left[u.Vol] || u.HasPhrase {
		return false
	}
	for k := i; k >= max(0, i-10); k-- {
		if f.atLeftNumber(k) {
			return true
		}
		if f.gap[k].hard {
			break
		}
	}
	for k := i + 1; k < min(len(f.units), i+11) && !f.gap[k].hard; k++ {
		if f.atLeftNumber(k) {
			return true
		}
	}
	return false
}
