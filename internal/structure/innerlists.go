package structure

import (
	"strings"

	"continuo/internal/english"
	"continuo/internal/layout"
)

// This file marks the entries of contents lists within the text, as those of a second work bound with the
// first: each is a line of its own, and none of its lines is a heading.

// entryPart says what a unit is in a contents list within the text.
type entryPart uint8

const (
	noEntry entryPart = iota
	entryFirst
	entryMore // it goes on the entry of the unit before
)

// innerEntries is how many entries with numbers such a list has at least.
const innerEntries = 3

// findInnerLists marks the entries of contents lists under a heading of that wording within the text.
func (v *Volume) findInnerLists() {
	for i := v.firstUnitOf(v.BodyPage); i < len(v.Units); i++ {
		u := &v.Units[i]
		if !u.is(english.Contents) || !u.Centred || !v.Alone(i) || v.inContents(i) {
			continue
		}
		to := v.contentsEnd(i, false)
		if v.entryShare(i+1, to) >= 0.6 {
			v.markEntries(i+1, to)
		}
		i = to - 1
	}
}

// ofAnotherWork reports whether the contents list under heading i is of a work within the text: the text whose
// headings an earlier list names has begun, and no volume statement stands between.
func (v *Volume) ofAnotherWork(i int) bool {
	n := len(v.Contents)
	if n == 0 {
		return false
	}
	last := v.Contents[n-1]
	if last.General || i-last.To < innerText {
		return false
	}
	for k := last.To; k < i; k++ {
		if v.Units[k].Statement() {
			return false
		}
	}
	heads := v.headingKeysOf(last.To, i)
	for k := last.From + 1; k < last.To; k++ {
		end := v.entryLast(k, last.To)
		if end < 0 {
			continue
		}
		if heads.has(v.entryWords(k, end)) {
			return true
		}
		k = end
	}
	return false
}

// innerText is how many lines of text stand before such a list at least.
const innerText = 20

// entryWords is the words of the entry of units i to end, without its number, as headings are compared.
func (v *Volume) entryWords(i, end int) string {
	var words []string
	for k := i; k < end; k++ {
		words = append(words, layout.Normal(v.Units[k].Text))
	}
	text, _ := withoutNumber(v.Units[end].Text)
	return HeadingKey(strings.Join(append(words, layout.Normal(text)), " "))
}

// inContents reports whether a unit is of a contents list of the volume.
func (v *Volume) inContents(i int) bool {
	for _, c := range v.Contents {
		if i >= c.From && i < c.To {
			return true
		}
	}
	return false
}

// markEntries marks the entries with numbers among the units of a list, if there are enough.
func (v *Volume) markEntries(from, to int) {
	n := 0
	for i := from; i < to; i++ {
		if last := v.entryLast(i, to); last >= 0 && !v.Units[i].Rule {
			n, i = n+1, last
		}
	}
	if n < innerEntries {
		return
	}
	for i := from; i < to; i++ {
		last := v.entryLast(i, to)
		if last < 0 || v.Units[i].Rule {
			continue
		}
		v.Units[i].entry = entryFirst
		for i < last {
			i++
			v.Units[i].entry = entryMore
		}
	}
}

// InnerEntry reports whether a unit is of an entry of a contents list within the text.
func (u *Unit) InnerEntry() bool { return u.entry != noEntry }

// innerEntry tells of units that are of a contents list within the text whether they go on the one before:
// on holds this for the units a up to b.
func (f *Flow) innerEntry(a, b int, on []bool) {
	for i := a + 1; i < b; i++ {
		switch p, u := f.units[i-1].entry, f.units[i].entry; {
		case u == entryFirst, u == noEntry && p != noEntry:
			on[i-a] = false
		case u == entryMore:
			on[i-a] = p != noEntry
		}
	}
}
