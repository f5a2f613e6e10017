package structure

import "testing"

// TestLetterEnd: only lines far in can be of the end of a letter; a last line that
// is not far in, and a line before a closing line, are none.
func TestLetterEnd(t *testing.T) {
	wide := &Unit{From: 2, Text: []byte(",! ,a 3m,isn9g li# on ! ,c/le r1d1"), Phrase: &noPhrase}
	closing := &Unit{From: 8, Text: []byte(",yrs s9c]ely1"), Phrase: &noPhrase}
	f := &Flow{passage: passage{units: []*Unit{wide, closing, wide}, gap: make([]gap, 3)}}
	for i, want := range []bool{false, true, false} {
		if got := f.letterEnd(i); got != want {
			t.Errorf("line %d: %v, want %v", i, got, want)
		}
	}
}
