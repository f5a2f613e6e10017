package structure

import (
	"bytes"

	"continuo/internal/cell"
)

// This file tells sentences that stand in the middle again and again, refrains and directions under headings, from
// headings.

// sayings is how often the words of a sentence in the middle are said where they are a refrain.
const sayings = 3

// countSayings counts the lines further in than paragraphs by their words, in text of which at most a quarter of the lines in
// the middle between blank lines end in a full stop: headings of old books do.
func (f *Flow) countSayings() {
	f.said = map[string]int{}
	for _, u := range f.units {
		if u.From >= 3 {
			f.said[string(u.Text)]++
		}
	}
	all, stops := 0, 0
	for i, u := range f.units {
		if f.gap[i].hard && u.Centred && f.said[string(u.Text)] == 1 && (i+1 == len(f.units) || f.gap[i+1].hard) {
			all++
			stops += boolInt(fullStop(u.Text))
		}
	}
	if 4*stops > all {
		f.said = nil
	}
}

// fullStop reports whether a sentence ends a text in a full stop, a closing sign behind it or not.
func fullStop(t []byte) bool {
	t = bytes.TrimRight(t, "0.'")
	return EndsSentence(t) && t[len(t)-1] == '4'
}

// refrain reports whether unit i is of a sentence that is said again and again, see saidAgain.
func (f *Flow) refrain(i int) bool {
	for a := i; a >= 0 && a > i-refrainLines; a-- {
		if f.saidAgain(a) > i {
			return true
		}
		if f.gap[a].hard {
			return false
		}
	}
	return false
}

// refrainLines is how many lines a refrain has at most.
const refrainLines = 6

// saidAgain is the unit after a sentence of three words or more that begins with unit a, in the middle or where headings
// do, and ends in a full stop, each of its lines said again and again: where one has room for the next, a comma or the like ends
// it. It is 0 where there is none.
func (f *Flow) saidAgain(a int) int {
	words := 0
	for k := a; k < min(len(f.units), a+refrainLines); k++ {
		u := f.units[k]
		if k == a && !u.Centred && !u.Side || f.said[string(u.Text)] < sayings || k > a && (f.gap[k].hard || f.gap[k].fits && !endsClause(f.units[k-1].Text)) {
			return 0
		}
		words += bytes.Count(u.Text, []byte{cell.Blank}) + 1
		if fullStop(u.Text) {
			return boolInt(words >= 3) * (k + 1)
		}
	}
	return 0
}
