// Package english knows the six English braille codes: it tells them apart,
// reads their cells to print, writes short print wording in cells, finds the
// structure words of braille books in every code, and joins words that were
// divided at a line end. It imports only package cell, and all cells are
// canonical cells of that package.
//
// Published sources: Rules of Unified English Braille, second edition 2013
// (UEB); British Braille, 2004 (SEB); English Braille American Edition 1994,
// revised 2002 (EBAE). Sections are named beside the facts taken from them.
package english

import "strings"

// Code is one of the three English literary braille codes.
type Code int

// The codes. UnknownCode is the honest answer where the cells do not tell.
const (
	UnknownCode Code = iota
	UEB              // Unified English Braille
	SEB              // Standard English Braille, as British Braille 2004 restates it
	EBAE             // English Braille American Edition
)

// String returns the short name of the code, "unknown" for UnknownCode.
func (c Code) String() string {
	switch c {
	case UEB:
		return "UEB"
	case SEB:
		return "SEB"
	case EBAE:
		return "EBAE"
	}
	return "unknown"
}

// Older reports whether the code is one of the two that UEB replaced.
func (c Code) Older() bool { return c == SEB || c == EBAE }

// Variant is a code with its grade, and whether capitals are shown.
type Variant struct {
	Code       Code
	Contracted bool
	Capitals   bool
}

// String returns for example "UEB contracted, with capitals".
func (v Variant) String() string {
	var b strings.Builder
	if v.Code == UnknownCode {
		b.WriteString("English code not known")
	} else {
		b.WriteString(v.Code.String())
	}
	if v.Contracted {
		b.WriteString(" contracted")
	} else {
		b.WriteString(" uncontracted")
	}
	if v.Capitals {
		b.WriteString(", with capitals")
	} else {
		b.WriteString(", without capitals")
	}
	return b.String()
}

// Variants lists the twelve variants of the three codes.
func Variants() []Variant {
	var out []Variant
	for _, c := range []Code{UEB, SEB, EBAE} {
		for _, g := range []bool{true, false} {
			out = append(out, Variant{c, g, true}, Variant{c, g, false})
		}
	}
	return out
}
