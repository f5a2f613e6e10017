package finders

import (
	"bytes"
	"math/rand/v2"
	"testing"
)

// TestFirsts holds the tree against a plain search, over texts of few
// different cells in which much repeats.
func TestFirsts(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 11))
	for range 3000 {
		code := make([]byte, 1+rnd.IntN(90))
		for i := range code {
			code[i] = byte(rnd.IntN(1 + rnd.IntN(4)))
			if rnd.IntN(60) == 0 {
				code[i] = foreign
			}
		}
		var spans []span
		for range rnd.IntN(12) {
			from := rnd.IntN(len(code))
			spans = append(spans, span{int32(from), int32(min(len(code), from+rnd.IntN(9)))})
		}
		for i, got := range firsts(code, spans) {
			if want := plainFirst(code, spans[i]); got != want {
				t.Fatalf("text %v, string %v of %v: %d cells, want %d", code, spans[i], spans, got, want)
			}
		}
	}
}

// plainFirst searches for each beginning of a string.
func plainFirst(code []byte, x span) int32 {
	for n := int32(1); x.from+n <= x.to; n++ {
		s := code[x.from : x.from+n]
		if s[n-1] == foreign {
			break
		}
		if bytes.Index(code, s) == int(x.from) {
			return n
		}
	}
	return x.to - x.from + 1
}
