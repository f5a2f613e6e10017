package cell

import "encoding/binary"

// Mask has a bit for each of the first 64 cells of a line, the first cell in
// the lowest bit, set where the cell is not blank.
func Mask(line []byte) (marks uint64) {
	line = line[:min(len(line), 64)]
	shift := 0
	for ; len(line) >= 8; line, shift = line[8:], shift+8 {
		marks |= marksOf(binary.LittleEndian.Uint64(line)) << shift
	}
	if len(line) > 0 {
		var rest [8]byte
		copy(rest[:], line)
		marks |= marksOf(binary.LittleEndian.Uint64(rest[:])) & (1<<len(line) - 1) << shift
	}
	return marks
}

// marksOf has a bit for each of eight cells.
func marksOf(cells uint64) uint64 {
	const low, blanks = 0x7f7f7f7f7f7f7f7f, Blank * 0x0101010101010101
	x := cells ^ blanks
	x = ((x&low + low) | x) &^ low // the top bit of each byte that is not 0
	return x >> 7 * 0x0102040810204080 >> 56
}
