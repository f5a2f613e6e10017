package triage

import "testing"

// Every fifth line of a poem may have its number (BANA, Braille Formats 2016, section 13); none is 0, which a page number
// is that has lost a digit.
func TestPageNumber(t *testing.T) {
	for label, want := range map[string]bool{"#ab": true, "#aj": false, "#e": false, "#j": true, " #j": true, "p#e": true, "fifth": false} {
		if got := pageNumber([]byte(label)); got != want {
			t.Errorf("%q: page number %v, want %v", label, got, want)
		}
	}
}
