package convert

import (
	"slices"
	"testing"
)

func TestGaps(t *testing.T) {
	for name, c := range map[string]struct {
		numbers []int // by page, 0 none
		want    []int
	}{
		"none":                            {[]int{1, 2, 3, 0, 5, 6}, nil},
		"a leaf is missing":               {[]int{1, 2, 5, 6, 7}, []int{3}},
		"at the end":                      {[]int{1, 2, 3, 9}, []int{4}},
		"a number that is no page number": {[]int{1, 2, 9, 4, 5}, nil},
		"blank backs left out":            {[]int{1, 2, 3, 5, 6, 7, 8, 9, 11, 12, 13, 15, 16}, nil},
		"one page is missing":             {[]int{1, 2, 3, 5, 6, 7}, []int{4}},
	} {
		var seen []numbered
		for p, n := range c.numbers {
			if n > 0 {
				seen = append(seen, numbered{p, n})
			}
		}
		if got := gaps(seen); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
}

// TestBegunLate: the first page of the text is numbered 1, or by its place in the file (common practice).
func TestBegunLate(t *testing.T) {
	for first, want := range map[numbered]bool{{4, 1}: false, {4, 2}: true, {4, 5}: false, {2, 2}: false, {5, 3}: true, {4, 90}: false} {
		if begunLate(first) != want {
			t.Errorf("%v: %v", first, !want)
		}
	}
}

func TestEndsSentence(t *testing.T) {
	for cells, want := range map[string]bool{"! 5d4": true, "is x80": true, "! 5d": false, "": false, "he sd6": true, "go ! way \"o ( ! o!r": false} {
		if got := EndsSentence([]byte(cells)); got != want {
			t.Errorf("%q: %v", cells, got)
		}
	}
}

// TestEndsWithin: a last word without punctuation, and what ends a text without it. Roman
// numbers without a letter sign are words: it, do, very.
func TestEndsWithin(t *testing.T) {
	for cells, want := range map[string]bool{"he s[ x": true, "\\ ( ! /reet4 ,h[ d": true, "he 0 v": true, "*apt] #ab": false, "! 5d4": false, "n1": false} {
		if got := EndsWithin([]byte(cells)); got != want {
			t.Errorf("%q: %v", cells, got)
		}
	}
	for cells, want := range map[string]bool{"all he 0 =": true, "_! duties >": true, "! bell 0": true, "! bell4": false, "(! bell>": false} {
		if got := wordsign([]byte(cells)); got != want {
			t.Errorf("%q: %v", cells, got)
		}
	}
}
