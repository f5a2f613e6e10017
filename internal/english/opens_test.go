package english

import (
	"maps"
	"math/rand/v2"
	"slices"
	"testing"
)

// TestMayStart holds the quick look at the first two cells of a line against
// the tokens themselves: it may never turn a line away that a phrase begins
// with.
func TestMayStart(t *testing.T) {
	lx := theLexicon()
	turned := 0
	try := func(line []byte) {
		line = trimLine(line)
		if len(line) == 0 || lx.mayStart(line) {
			return
		}
		turned++
		var sc scanner
		sc.lx, sc.line = lx, line
		if sc.next() && lx.starts(&sc.toks[0]) {
			t.Errorf("%q is turned away", line)
		}
	}
	for a := byte(' '); a < 0x60; a++ {
		for b := byte(' '); b < 0x60; b++ {
			for c := byte(' '); c < 0x60; c++ {
				try([]byte{lower(a), lower(b), lower(c)})
			}
		}
	}
	rnd := rand.New(rand.NewPCG(1, 2))
	cells := []byte(" -,.\"'1234;#abeilmtvx09!&=()_@^7")
	for _, form := range slices.Sorted(maps.Keys(lx.forms)) {
		for range 200 {
			line := []byte(form)
			for range rnd.IntN(5) {
				at := rnd.IntN(len(line) + 1)
				line = append(line[:at], append([]byte{cells[rnd.IntN(len(cells))]}, line[at:]...)...)
			}
			try(line)
		}
	}
	if turned < 100_000 {
		t.Errorf("only %d lines are turned away: the look is of no use", turned)
	}
}

func lower(c byte) byte {
	if c >= 'A' && c <= 'Z' {
		return c + 0x20
	}
	return c
}
