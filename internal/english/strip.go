package english

import "slices"

// Strip takes the capital and typeform indicators off the word starts and word
// ends of a line of cells, so that two lines that differ only in these compare
// equal. The result is line itself when there is nothing to take off.
//
// Indicators (UEB 8 and 9; British Braille 2004 and EBAE 1994, capitals and
// italics): capital signs dot 6, one to three; capital terminator 6 3; UEB
// typeform signs 46, 456, 45 or 4 with 23, 2, 2356 and 3; the older italic
// sign 46, one or two.
func Strip(line []byte) []byte {
	if !mayHaveIndicator(line) {
		return line
	}
	return AppendStrip(make([]byte, 0, len(line)), line)
}

func mayHaveIndicator(line []byte) bool {
	for _, c := range line {
		if indicatorCell[c] {
			return true
		}
	}
	return false
}

// indicatorCell marks the cells that begin a capital or typeform indicator.
var indicatorCell = cellSet(",.^_@")

// AppendStrip appends the stripped line to dst and returns it, as Strip does.
func AppendStrip(dst, line []byte) []byte {
	at := len(dst)
	dst = slices.Grow(dst, len(line))
	out := dst[at : at+len(line)]
	n := 0
	start := true // at a word start
	for i := 0; i < len(line); i++ {
		c := line[i]
		if t := telling[c]; t != 0 {
			if t&indicating != 0 {
				if k := indicatorAt(line, i, start); k > 0 {
					i += k - 1
					continue
				}
			}
			start = c == ' ' || t&opening != 0 && opensWord(line, i, start)
		} else {
			start = false
		}
		out[n] = c
		n++
	}
	return dst[:at+n]
}

// What a cell may be at a word start.
const (
	opening    = 1 << iota // a word may start after it, see opensWord
	indicating             // a capital or typeform indicator may begin with it
)

// telling says of each cell which of these it may be.
var telling = func() (set [256]uint8) {
	for _, c := range []byte(" -'87<;\".@(&=!)609") {
		set[c] |= opening
	}
	for c := range set {
		if indicatorCell[c] {
			set[c] |= indicating
		}
	}
	return set
}()

// opensWord reports whether a word can start after the cell at i: after a
// blank, a hyphen or dash, and after opening punctuation at a word start.
func opensWord(line []byte, i int, start bool) bool {
	switch c := line[i]; c {
	case ' ', '-':
		return true
	case '\'': // AUTHOR'S in capitals
		return i+1 < len(line) && line[i+1] == ','
	case '8', '7', '<', ';':
		return start
	case '"', '.', '@':
		return start && i+1 < len(line) && line[i+1] == '<'
	case '(', '&', '=', '!', ')', '6', '0', '9': // older codes: words joined
		return start && i+1 < len(line) && line[i+1] == ','
	}
	return false
}

// indicatorAt returns the length of the capital or typeform indicator at i,
// 0 if there is none.
func indicatorAt(line []byte, i int, start bool) int {
	next := byte(' ')
	if i+1 < len(line) {
		next = line[i+1]
	}
	switch line[i] {
	case ',':
		return capitalAt(line, i, next, start)
	case '.', '^', '_', '@':
		if next == '\'' && !start {
			return 2
		}
		if start && (next == '1' || next == '2' || next == '7') {
			return 2
		}
		if line[i] == '.' && start {
			return italicAt(line, i, next)
		}
	}
	return 0
}

func capitalAt(line []byte, i int, next byte, start bool) int {
	if next == '\'' && (!start || i > 0 && line[i-1] != ' ' && (i+2 == len(line) || line[i+2] == ' ')) {
		return 2
	}
	if !start {
		return 0
	}
	switch next {
	case ',':
		return 1
	case '-': // com in the older codes, or the dash of UEB
		if (i == 0 || line[i-1] == ' ' || line[i-1] == ',') && i+2 < len(line) && letterCell[line[i+2]] {
			return 1
		}
		return 0
	case ' ', '7', '8', '\'':
		return 0
	case '0':
		// The closing inner quote of UEB, unless a capital follows joined "by".
		if i+2 >= len(line) || line[i+2] == ' ' {
			return 0
		}
	}
	return 1
}

// italicAt: the older italic sign stands before a letter, a contraction or a
// capital sign; before a bracket 46 is part of another sign.
func italicAt(line []byte, i int, next byte) int {
	switch next {
	case ' ', '<', '>', '=', '/', '0', '3', '4', '5', '6', '8', '9', '-', '\'':
		return 0
	case '.':
		if i+2 >= len(line) || line[i+2] == ' ' || line[i+2] == '.' {
			return 0
		}
	}
	return 1
}
