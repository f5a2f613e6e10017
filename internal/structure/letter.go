package structure

import (
	"bytes"
	"strings"

	"continuo/internal/cell"
	"continuo/internal/layout"
)

// closings are words that the closing line of a letter holds, in every English
// code, contracted or not: yours, sincerely, faithfully, affectionately, I remain your obedient servant. It ends
// in a comma and stands far in, as the signature under it does (BANA, Braille
// Formats 2016, section 12, from memory; common practice).
var closings = setOf("yours yrs sincerely s9c]ely s9c]e,y faithfully fai?;lly fai?fully affectionate a6ec;nate a6ectionate affectionately a6ec;n,tely a6ec;nately a6ectionately respectfully respect;lly remain rema9 obedient ob$i5t servant s]vant loving lov+ truly")

func setOf(words string) map[string]bool {
	m := map[string]bool{}
	for _, w := range strings.Fields(words) {
		m[w] = true
	}
	return m
}

// letterEnd reports whether unit i is of the closing or the signature of a
// letter: lines far in, the first of them a closing line, or the group before
// them one.
func (f *Flow) letterEnd(i int) bool {
	if f.units[i].HasPhrase {
		return false
	}
	first := f.farIn(i)
	if first > i {
		return false
	}
	if f.closing(first) {
		return true
	}
	if first == 0 || f.units[first-1].Rule {
		return false
	}
	before, last := f.farIn(first-1), f.units[first-1].Text
	return before < first && last[len(last)-1] == '1' && f.closing(before) // no signature yet
}

// farIn is the first of the lines that unit i stands among, without a blank line
// between, that all begin in cell 5 or further in, under the number of a part perhaps; i+1
// when unit i does not.
func (f *Flow) farIn(i int) int {
	if f.units[i].From < 4 || f.units[i].Rule {
		return i + 1
	}
	for i > 0 && !f.gap[i].hard && f.units[i-1].From >= 4 && !f.units[i-1].Rule && !f.units[i-1].HasPhrase {
		i--
	}
	return i
}

// closing reports whether unit i is the closing line of a letter, over two lines perhaps: up to five
// words, one of them a word of closings, or up to eight with two of them, a comma at the end.
func (f *Flow) closing(i int) bool {
	t := f.units[i].Text
	if t[len(t)-1] != '1' && i+1 < len(f.units) && !f.gap[i+1].hard && f.units[i].From >= 4 && f.units[i+1].From >= 4 && len(t) < 40 {
		t = append(append(bytes.Clone(t), cell.Blank), f.units[i+1].Text...)
	}
	if len(t) < 3 || t[len(t)-1] != '1' || manyWords(t, 8) {
		return false
	}
	words, found := strings.Fields(layout.Normal(t[:len(t)-1])), 0
	for _, w := range words {
		found += boolInt(closings[w])
	}
	return found > 0 && len(words) <= 5 || found > 1
}

// salutations are the words by which a letter opens, in every English code, contracted or
// not: dear, dearest, and those after them that stand alone.
var salutations = setOf("dear dearest de> de>e/ sir sirs madam")

// salutation reports whether unit i opens a letter: up to five words that end in a comma,
// the first or second one of salutations, on a line on which the text under it would have
// gone on, or which steps in.
func (f *Flow) salutation(i int) bool {
	if i+1 >= len(f.units) || !salutes(f.units[i].Text) {
		return false
	}
	next := f.gap[i+1]
	return next.hard || next.fits || f.units[i+1].Indent() > f.units[i].Indent()
}

// salutes reports whether a text is up to five words that end in a comma, the first or second one of salutations.
func salutes(t []byte) bool {
	if len(t) < 3 || t[len(t)-1] != '1' || !maySalute(t) || manyWords(t, 5) {
		return false
	}
	words := strings.Fields(layout.Normal(t[:len(t)-1]))
	return len(words) <= 5 && (salutations[words[0]] || len(words) > 1 && salutations[words[1]])
}

// overLetter reports whether a letter begins under unit i: up to four lines that stand further
// in, its place and date, and a salutation under them (BANA, Braille Formats 2016, section 12, from memory; common practice).
func (v *Volume) overLetter(i int) bool {
	for k := i + 1; k < len(v.Units) && k <= i+5 && v.Units[k].Page == v.Units[i].Page; k++ {
		u := &v.Units[k]
		if u.From <= max(2, v.Units[i].From) {
			return k > i+1 && salutes(u.Text)
		}
		if u.Rule || u.Blanks > 1 || u.Blanks > 0 && k > i+1 {
			return false
		}
	}
	return false
}

// maySalute reports whether the first or the second word of a text begins as one of salutations
// does: a cheap question for the many lines that end in a comma.
func maySalute(t []byte) bool {
	for n := 0; n < 2 && len(t) > 0; n++ {
		w := bytes.TrimLeft(t, entrySigns)
		if bytes.HasPrefix(w, []byte("de")) || bytes.HasPrefix(w, []byte("sir")) || bytes.HasPrefix(w, []byte("mad")) {
			return true
		}
		k := bytes.IndexByte(t, cell.Blank)
		if k < 0 {
			return false
		}
		t = t[k+1:]
	}
	return false
}

// manyWords reports whether a text has more than so many words with letters: such a line opens
// and closes no letter.
func manyWords(t []byte, most int) bool {
	words, within := 0, false
	for _, c := range t {
		switch {
		case c == cell.Blank:
			within = false
		case !within && c >= 'a' && c <= 'z':
			within = true
			words++
		}
	}
	return words > most
}

// letterLine reports whether unit i goes on no line before: it opens a letter, closes one over a signature after the end of
// a sentence, is that signature, or a line far in stands right before it, at another cell or one that closes a letter.
func (f *Flow) letterLine(i int) bool {
	before := f.units[i-1].Indent()
	return before >= farIn && (f.units[i].Indent() != before || f.closing(i-1)) || f.salutation(i) ||
		f.signature(i) && f.closing(i-1) || f.signature(i+1) && f.closing(i) && EndsSentence(f.units[i-1].Text)
}

// signature reports whether unit i may be a name under the line that closes a letter: four words at most without a mark of
// punctuation at the end, over a blank line or what begins anew or stands at another cell.
func (f *Flow) signature(i int) bool {
	if i >= len(f.units) || f.gap[i].hard {
		return false
	}
	u := f.units[i]
	if p := f.units[i-1].Text; p[len(p)-1] != '1' || len(u.Text) > 30 || endsClause(u.Text) || bytes.Count(u.Text, []byte{cell.Blank}) >= NameWords {
		return false
	}
	return i+1 >= len(f.units) || f.gap[i+1].hard || !f.full(i+1) || f.units[i+1].Indent() != u.Indent()
}
