package cell

import (
	"math/rand/v2"
	"testing"
)

// TestMask holds the bits against the cells, for lines of any bytes up to more
// cells than there are bits.
func TestMask(t *testing.T) {
	rnd := rand.New(rand.NewPCG(2, 7))
	for range 5000 {
		line := make([]byte, rnd.IntN(80))
		for i := range line {
			if line[i] = byte(rnd.IntN(256)); rnd.IntN(3) == 0 {
				line[i] = Blank
			}
		}
		want := uint64(0)
		for i := range line[:min(len(line), 64)] {
			if line[i] != Blank {
				want |= 1 << i
			}
		}
		if got := Mask(line); got != want {
			t.Fatalf("%q: %b, want %b", line, got, want)
		}
	}
}
