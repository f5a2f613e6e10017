// Package testkit is used by tests only. It is a press: it takes open English
// texts from installed packages, has them put into braille by liblouis, sets
// them as the paper volumes of a library with everything varied that the UK
// and North American layout standards allow, and keeps the truth: which words
// must be in a continuous edition, in which order, where the print pages turn,
// and which lines are page furniture. Nothing here knows how the converter
// works.
//
// Published sources of the layouts: Rules of Unified English Braille 2013;
// UKAAF, Guiding Principles for the Presentation of Braille 2016; BANA,
// Braille Formats 1997, 2011 and 2016; English Braille American Edition 1994.
package testkit

import (
	"encoding/binary"
	"hash/fnv"
)

// Dice gives numbers that depend on the seed and a name only, so that a book
// set twice is set alike however many other numbers were drawn.
type Dice uint64

// N returns a number from 0 to n-1 for the place that parts name.
func (d Dice) N(n int, parts ...any) int {
	if n <= 1 {
		return 0
	}
	return int(d.hash(parts) % uint64(n))
}

// Chance reports true in percent of 100 places.
func (d Dice) Chance(percent int, parts ...any) bool { return d.N(100, parts...) < percent }

// Between returns a number from lo to hi.
func (d Dice) Between(lo, hi int, parts ...any) int { return lo + d.N(hi-lo+1, parts...) }

func (d Dice) hash(parts []any) uint64 {
	h := fnv.New64a()
	var b [8]byte
	binary.LittleEndian.PutUint64(b[:], uint64(d))
	h.Write(b[:])
	for _, p := range parts {
		switch v := p.(type) {
		case string:
			h.Write([]byte(v))
		case int:
			binary.LittleEndian.PutUint64(b[:], uint64(v))
			h.Write(b[:])
		default:
			panic("testkit: dice take strings and ints")
		}
		h.Write([]byte{0xff})
	}
	x := h.Sum64() // finish as SplitMix64 does, so that low bits are well mixed
	x ^= x >> 30
	x *= 0xbf58476d1ce4e5b9
	x ^= x >> 27
	x *= 0x94d049bb133111eb
	return x ^ x>>31
}

// pick returns one of the choices.
func pick[T any](d Dice, choices []T, parts ...any) T { return choices[d.N(len(choices), parts...)] }
