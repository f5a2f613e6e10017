// Package profile holds house settings: how a library wants its editions made.
package profile

// Profile is one house's settings. The zero value is not valid; start from
// Default.
type Profile struct {
	Name string `toml:"name"`
	// Statement is the print wording that stands in place of the volume
	// statement; it is written in the book's own code. Empty: none.
	Statement string `toml:"statement"`
	// StatementCells, when set, is used as it is (Braille ASCII) instead.
	StatementCells string `toml:"statement_cells"`
	// HeadingIndent is the indent of centred headings in cells.
	HeadingIndent int `toml:"heading_indent"`
	// Turns says how print page turns are written: "source" (as the source
	// has them), "inline" (`"3#ab`) or "row" (`---#ab`).
	Turns string `toml:"turns"`
}

// Default returns the settings that apply when no profile is given.
func Default() Profile {
	return Profile{Name: "default", Statement: "Continuous braille edition", HeadingIndent: 4, Turns: "source"}
}
