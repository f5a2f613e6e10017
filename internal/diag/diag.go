// Package diag holds findings: what the program noticed about a title, with a
// place. A finding of kind Loss can never be silenced.
package diag

import "fmt"

// Severity orders findings by how much they ask of a person.
type Severity int

const (
	Note Severity = iota // a fact worth knowing; nothing to do
	Look                 // a place that wants a person's eye
	Stop                 // the title as a whole is in doubt
)

func (s Severity) String() string { return [...]string{"note", "look", "stop"}[s] }

// Place is where in the sources a finding belongs; Page and Line are 1-based,
// 0 when they do not apply. Page counts the braille pages in the file.
type Place struct {
	File       string
	Page, Line int
}

func (p Place) String() string {
	switch {
	case p.File == "":
		return ""
	case p.Line > 0 && p.Page > 0:
		return fmt.Sprintf("%s page %d line %d", p.File, p.Page, p.Line)
	case p.Page > 0:
		return fmt.Sprintf("%s page %d", p.File, p.Page)
	}
	return p.File
}

// Finding is one thing noticed. ID is a short kebab-case kind, stable between
// versions; Text says it in plain words; Cells is the braille at the place, if
// that helps.
type Finding struct {
	ID       string
	Severity Severity
	Place    Place
	Text     string
	Cells    string
	Question string // id of the question that a person can answer about it; "" none
}
