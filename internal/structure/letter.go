package structure

import (
	"strings"

	"continuo/internal/layout"
)

// closings are words that the closing line of a letter holds, in every English
// code, contracted or not: yours, sincerely, faithfully, affectionately. It ends
// in a comma and stands far in, as the signature under it does (BANA, Braille
// Formats 2016, section 12, from memory; common practice).
var closings = setOf("yours yrs sincerely s9c]ely s9c]e,y faithfully fai?;lly fai?fully affectionately a6ec;n,tely a6ec;nately a6ectionately respectfully respect;lly")

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
	before := f.farIn(first - 1)
	return before < first && f.closing(before)
}

// farIn is the first of the lines that unit i stands among, without a blank line
// between, that all begin in cell 5 or further in; i+1 when unit i does not.
func (f *Flow) farIn(i int) int {
	if f.units[i].From < 4 || f.units[i].Rule {
		return i + 1
	}
	for i > 0 && !f.gap[i].hard && f.units[i-1].From >= 4 && !f.units[i-1].Rule {
		i--
	}
	return i
}

// closing reports whether unit i is the closing line of a letter: up to five
// words, one of them a word of closings, a comma at the end.
func (f *Flow) closing(i int) bool {
	t := f.units[i].Text
	if len(t) < 3 || t[len(t)-1] != '1' {
		return false
	}
	words := strings.Fields(layout.Normal(t[:len(t)-1]))
	for _, w := range words {
		if len(words) <= 5 && closings[w] {
			return true
		}
	}
	return false
}
