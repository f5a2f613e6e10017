package finders_test

import (
	"bytes"
	"math/rand/v2"
	"slices"
	"testing"

	"continuo/internal/cell"
	"continuo/internal/finders"
)

// A promised string that is searched from the start lands on its own line first,
// without going over a line end.
func TestTryLandsWhereItIsPromised(t *testing.T) {
	list, lines := smallWithLines(t)
	for _, l := range lines {
		for i := range l {
			l[i] = cell.FoldTable()[l[i]]
		}
	}
	seen := 0
	for i := range list.Finders {
		f := &list.Finders[i]
		if !f.Promised() || f.From != finders.Start || f.Times > 1 {
			continue
		}
		hits, total := finders.Try(lines, f.Search, 1, 1)
		if total == 0 || hits[0].Line != f.Line || hits[0].Over {
			t.Errorf("%q is promised on line %d and found at %+v", f.Search, f.Line, hits)
		}
		seen++
	}
	if seen < 3 {
		t.Fatalf("only %d strings", seen)
	}
}

// Against a search of every place.
func TestTryFindsAll(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	cells := func(least, most int) []byte {
		out := make([]byte, least+r.IntN(most-least+1))
		for i := range out {
			out[i] = "ab "[r.IntN(3)]
		}
		return out
	}
	for range 3000 {
		var lines [][]byte
		for range 1 + r.IntN(8) {
			lines = append(lines, bytes.TrimRight(cells(0, 6), " "))
		}
		search, from := cells(1, 4), r.IntN(10)
		hits, total := finders.Try(lines, search, from, 1000)
		if want := every(lines, search, from); !slices.Equal(hits, want) || total != len(want) {
			t.Fatalf("%q from %d in %q: %v, want %v", search, from, lines, hits, want)
		}
	}
}

// every looks at every place of the lines, one by one.
func every(lines [][]byte, search []byte, from int) (out []finders.Hit) {
	for n := max(from, 1); n <= len(lines); n++ {
		rest := bytes.Join(lines[n-1:], []byte(" "))
		own := len(lines[n-1]) + 1
		for at := 0; at < own && at < len(rest); at++ {
			if bytes.HasPrefix(rest[at:], search) {
				end := at + len(search)
				out = append(out, finders.Hit{Line: n, From: at, To: min(end, own-1), Over: end > own-1})
			}
		}
	}
	return out
}
