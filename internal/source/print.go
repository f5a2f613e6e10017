package source

import "bytes"

// looksPrint tells print from Braille ASCII in the first 64 KiB: in print the
// comma and the full stop end words, as cells they stand before letters; and
// there are fewer words that only braille writes so than such ends. Both signs
// are wanted: a book without capitals may have one cell of dot 6 or dots 4-6,
// and that at the end of a word.
func looksPrint(raw []byte) bool {
	if enc, bom := detect(raw); (enc == UTF16LE || enc == UTF16BE) && hasCells(raw[bom:], enc == UTF16BE) {
		return false // halves of cells look like commas and full stops
	}
	raw = bytes.ReplaceAll(raw[:min(len(raw), 64<<10)], []byte{0}, nil) // print in UTF-16 too
	ends, starts := stops(raw, 2)
	return ends > starts && brailleWords(raw) < ends
}

// stops counts commas and full stops that end words, and those that begin them, up to
// where one in share of all of them begins a word.
func stops(raw []byte, share int) (ends, starts int) {
	all := bytes.Count(raw, []byte{','}) + bytes.Count(raw, []byte{'.'})
	for i := 1; i+1 < len(raw) && share*starts < all; i++ {
		if b := raw[i]; b != ',' && b != '.' {
			continue
		}
		before, after := raw[i-1] > ' ', raw[i+1] > ' '
		switch {
		case before && !after:
			ends++
		case !before && after:
			starts++
		}
	}
	return ends, starts
}

// brailleWords counts the words that show signs of braille alone.
func brailleWords(raw []byte) int {
	n := 0
	for w := range bytes.FieldsSeq(raw) {
		if brailleWord(w) {
			n++
		}
	}
	return n
}

// fewCells is the size, in signs that are not blank, up to which a text file
// must show that it is braille: about one page (25 lines of 40 cells; common
// practice). Such files beside volumes are mostly notes for people.
const fewCells = 1000

// shortPrint tells whether raw is a short text in ASCII that shows no more
// signs of braille than of print. A file with form feeds is taken for braille.
func shortPrint(raw []byte) bool {
	enc, bom := detect(raw)
	if enc == UTF8 || bytes.IndexByte(raw, '\f') >= 0 {
		return false
	}
	if enc != ASCII && hasCells(raw[bom:], enc == UTF16BE) {
		return false
	}
	words := bytes.Fields(bytes.ReplaceAll(raw[bom:], []byte{0}, nil))
	cells, braille, print := 0, 0, 0
	for _, w := range words {
		if cells += len(w); cells > fewCells {
			return false
		}
		switch {
		case printWord(w):
			print++
		case brailleWord(w):
			braille++
		}
	}
	return cells > 0 && braille <= print
}

// hasCells tells whether a text in UTF-16 holds cells of the braille block.
func hasCells(raw []byte, big bool) bool {
	hi := 1
	if big {
		hi = 0
	}
	for i := hi; i < len(raw); i += 2 {
		if raw[i] == 0x28 {
			return true
		}
	}
	return false
}

// printWord tells whether a word is written as print is and braille is not: a
// capital before small letters (files in Braille ASCII keep to one case), a
// comma, full stop, question mark or exclamation mark of print after letters,
// or an address or file name.
func printWord(w []byte) bool {
	last := len(w) - 1
	if last > 0 && lower(w[last-1]) && bytes.IndexByte([]byte(".,"), w[last]) >= 0 {
		return true
	}
	for i := 1; i < last; i++ {
		if w[i] == '.' && letter(w[i-1]) && letter(w[i+1]) || w[i] == ':' && w[i+1] == '/' {
			return true
		}
	}
	return last > 0 && w[0] >= 'A' && w[0] <= 'Z' && lower(w[1])
}

// brailleWord tells whether a word shows signs that print has not: a number
// sign before a digit's letter, a capital or letter sign before a letter,
// lower signs after letters (full stop, comma, semicolon, question mark),
// contractions inside a word, or one alone. They are common to the English
// codes; that number and capital signs stand so is common to most codes.
func brailleWord(w []byte) bool {
	last := len(w) - 1
	switch {
	case last == 0:
		return bytes.IndexByte([]byte("!&=()"), w[0]) >= 0
	case w[0] == '#' && bytes.IndexByte([]byte("abcdefghijABCDEFGHIJ"), w[1]) >= 0:
		return true
	case (w[0] == ',' || w[0] == ';' || w[0] == '"') && (letter(w[1]) || w[1] == ','):
		return w[last] != '"' // print in quotes
	case letter(w[last-1]) && bytes.IndexByte([]byte("124680"), w[last]) >= 0:
		return true
	}
	for i := 1; i < last; i++ {
		if letter(w[i-1]) && letter(w[i+1]) && bytes.IndexByte([]byte("!=<>*%?:$]\\[(+13579"), w[i]) >= 0 {
			return true
		}
	}
	return bytes.IndexByte([]byte("!=<*%?$]\\["), w[0]) >= 0 && letter(w[1]) || letter(w[last-1]) && bytes.IndexByte([]byte("$]>+%"), w[last]) >= 0
}

func lower(b byte) bool  { return b >= 'a' && b <= 'z' }
func letter(b byte) bool { return lower(b | 0x20) }
