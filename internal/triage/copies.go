package triage

import (
	"encoding/binary"
	"hash/crc32"
	"iter"
	"maps"
	"slices"

	"continuo/internal/catalogue"
	"continuo/internal/source"
)

// Two volumes of a book have no more lines in common than refrains, heads and
// title pages; two copies of one volume nearly all.
const (
	longLine  = 12 // cells of a line that is compared
	fewLines  = 60 // volumes with fewer such lines are not
	copyShare = 0.6
)

// copies looks for a volume that is there twice with other bytes: one that was
// mended and the one before, or one copy that is damaged.
func copies(list []*source.File) []sign {
	if len(list) < 2 || !mayBeCopies(list) {
		return nil
	}
	all := 0
	for _, f := range list {
		all += len(f.Lines)
	}
	first := make(map[uint32]int32, all) // lines by their checksum
	var out []sign
	for i, f := range list {
		lines := 0
		shared := map[int32]int{}
		for sum := range longLines(f, 1) {
			lines++
			if o, ok := first[sum]; !ok {
				first[sum] = int32(i)
			} else if int(o) != i {
				shared[o]++
			}
		}
		for _, o := range slices.Sorted(maps.Keys(shared)) {
			if n, g := shared[o], list[o]; lines >= fewLines && float64(n) >= copyShare*float64(lines) && g.SHA256 != f.SHA256 {
				out = append(out, sign{kind: "volume-twice", state: catalogue.Stop, weight: weightOf("volume-missing", catalogue.Stop),
					text: f.Name + " and " + g.Name + " have most lines in common: two copies of one volume, and they are not the same"})
			}
		}
	}
	return out
}

// sampled is one in how many kinds of lines mayBeCopies looks at.
const sampled = 8

// mayBeCopies is a quick test: of the lines that begin in one of eight ways a quarter
// stands in two volumes, or they are too few to tell.
func mayBeCopies(list []*source.File) bool {
	first := map[uint32]int32{}
	for i, f := range list {
		lines, shared := 0, 0
		for sum := range longLines(f, sampled) {
			lines++
			if o, ok := first[sum]; !ok {
				first[sum] = int32(i)
			} else if int(o) != i {
				shared++
			}
		}
		if i > 0 && (lines < fewLines || 4*shared >= lines) {
			return true
		}
	}
	return false
}

// longLines gives the checksums of the long lines of a file: of those that begin in one of so many ways.
func longLines(f *source.File, ways uint64) iter.Seq[uint32] {
	return func(yield func(uint32) bool) {
		for l := range f.Lines {
			if t := f.Text(l); len(t) >= longLine && begins(t)%ways == 0 && !yield(crc32.ChecksumIEEE(t)) {
				return
			}
		}
	}
}

// begins is a number made of the first eight cells of a line.
func begins(t []byte) uint64 {
	return binary.LittleEndian.Uint64(t) * 0x9E3779B97F4A7C15 >> 32
}
