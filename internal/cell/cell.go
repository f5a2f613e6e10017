// Package cell holds braille cells and their encodings. It imports nothing of
// the project.
//
// Inside the program a cell is one byte of canonical Braille ASCII: the North
// American mapping of 64 signs to 0x20..0x5F (Rules of Unified English Braille
// 2013, 1.1.2), with letters in lower case. A blank is 0x20. A byte above 0x7F
// or below 0x20 in a text of cells is not a cell: it is foreign matter that the
// source held and that is carried along unchanged, never dropped.
package cell

import (
	"bytes"
	"iter"
)

// Blank is the cell without dots.
const Blank = ' '

// order lists the Braille ASCII sign of each dot pattern, from no dots to dots
// 1-2-3-4-5-6, bit 0 being dot 1 (the order of Unicode's U+2800 block).
const order = " a1b'k2l@cif/msp\"e3h9o6r^djg>ntq,*5<-u8v.%[$+x!&;:4\\0z7(_?w]#y)="

var (
	fold  [256]byte // raw byte to canonical cell; 0 when it is no cell
	toDot [256]byte // canonical cell to dot pattern
)

func init() {
	for d := 0; d < 64; d++ {
		c := order[d]
		toDot[c] = byte(d)
		fold[c] = c
		if c >= 'a' && c <= 'z' {
			fold[c-0x20] = c
		}
		if c >= '@' && c <= '_' && (c < 'A' || c > 'Z') {
			fold[c|0x20] = c // ` { | } ~ DEL for @ [ \ ] ^ _
		}
	}
}

// Fold returns the canonical cell of one byte of Braille ASCII in either case,
// with the forms ` { | } ~ and DEL, and whether the byte is a cell at all.
func Fold(b byte) (c byte, ok bool) { c = fold[b]; return c, c != 0 }

// FoldTable maps each raw byte to its canonical cell, 0 for a byte that is none.
func FoldTable() *[256]byte { return &fold }

// Is reports whether b is a canonical cell.
func Is(b byte) bool { return b < 0x80 && fold[b] == b && b != 0 }

// Dots returns the dot pattern of a canonical cell, bit 0 for dot 1 to bit 5
// for dot 6.
func Dots(c byte) byte { return toDot[c] }

// FromDots returns the canonical cell of a dot pattern (the low six bits).
func FromDots(d byte) byte { return order[d&63] }

// Rune returns the Unicode braille character of a canonical cell.
func Rune(c byte) rune { return 0x2800 + rune(toDot[c]) }

// FromRune returns the canonical cell of a six-dot Unicode braille character.
func FromRune(r rune) (c byte, ok bool) {
	if r < 0x2800 || r > 0x283F {
		return 0, false
	}
	return order[r-0x2800], true
}

// Words yields the spans [from, to) of text between runs of blanks.
func Words(text []byte) iter.Seq2[int, int] {
	return func(yield func(from, to int) bool) {
		for i := 0; i < len(text); {
			if text[i] == Blank {
				i++
				continue
			}
			j := i + 1
			for j < len(text) && text[j] != Blank {
				j++
			}
			if !yield(i, j) {
				return
			}
			i = j
		}
	}
}

// Guide reports whether a run of a cell leads from an entry to its number: dots 5 (Rules
// of Unified English Braille 2013, 16.5.1), 3-6 (seen in older British books), and dots
// 2, 3, 2-5 and 2-5-6 (common practice).
func Guide(c byte) bool {
	switch c {
	case '"', '-', '\'', '1', '3', '4':
		return true
	}
	return false
}

// Fields splits text at runs of blanks, as spans [from, to).
func Fields(text []byte) [][2]int {
	if len(text) == 0 {
		return nil
	}
	out := make([][2]int, 0, 8)
	for from, to := range Words(text) {
		out = append(out, [2]int{from, to})
	}
	return out
}

// Indent counts the blanks at the start of text.
func Indent(text []byte) int {
	n := 0
	for n < len(text) && text[n] == Blank {
		n++
	}
	return n
}

// Marks counts the cells of text that are not blank.
func Marks(text []byte) int { return len(text) - bytes.Count(text, []byte{Blank}) }

// Unicode returns text as Unicode braille; foreign bytes become U+FFFD.
func Unicode(text []byte) string {
	out := make([]rune, len(text))
	for i, c := range text {
		if Is(c) {
			out[i] = Rune(c)
		} else {
			out[i] = 0xFFFD
		}
	}
	return string(out)
}

// NoCell stands in Unicode braille for a byte that is no cell: all eight dots,
// which no six-dot text holds.
const NoCell = 0x28FF

// AppendBraille appends text as Unicode braille, one character a byte; a byte
// that is no cell is NoCell.
func AppendBraille(dst, text []byte) []byte {
	for _, c := range text {
		u := rune(NoCell)
		if Is(c) {
			u = Rune(c)
		}
		dst = append(dst, 0xE2, 0x80|byte(u>>6)&0x3F, 0x80|byte(u)&0x3F)
	}
	return dst
}
