// Package profile holds house settings: how a library wants its editions made.
//
// A profile is a small TOML file. It is read strictly: a key that is not known,
// a value of the wrong kind or out of range is an error with file and line, so
// that a slip of the pen never passes for a setting.
package profile

import (
	"fmt"
	"sort"
	"strings"

	"continuo/internal/cell"
	"continuo/internal/decide"
)

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
	// Paper is the page of formats with pages.
	Paper Paper `toml:"paper"`
	// Way says where a short page that tells how to find one's way stands:
	// "none", "front" (after the title page) or "end".
	Way string `toml:"finding_your_way"`
	// WayWords is the wording of that page; nil for English.
	WayWords *WayWords `toml:"way"`
	// Finders says whether files of search strings are written beside editions.
	Finders bool `toml:"finders"`
	// EntryMark is the mark before the headwords of dictionary entries, in
	// Braille ASCII, or NoMark.
	EntryMark string `toml:"entry_mark"`
	// Contents says what is done where a book has no contents list: "source"
	// (nothing) or "headings" (one is made of its headings).
	Contents string `toml:"contents"`
	// Notes says where notes that stand within the text go: "end" (after the
	// text, where their mark finds them there, else after their paragraph) or
	// "paragraph".
	Notes string `toml:"notes"`
	// ParentNames says whether chapter headings of books of books carry the
	// name of their book.
	ParentNames bool `toml:"parent_names"`
	// Tables says how tables in columns are set: "keep" (rows as they are) or
	// "list" (each cell of a row on a line, under its heading).
	Tables string `toml:"tables"`
	// Words are the structure words of one more language; nil for none.
	Words *Words `toml:"words"`
	// Files is how the house stores its volumes; nil for DefaultFiles.
	Files *Files `toml:"files"`
	// Layout is how the house lays out its pages; nil when it is not said.
	Layout *Layout `toml:"layout"`
	// Rules are house rules: what people decided for all places that are alike.
	Rules []decide.Rule `toml:"rule"`
}

// MaxIndent is the largest heading indent, in cells: more would leave no room
// for the heading on the shortest displays in use (12 to 20 cells; common
// practice).
const MaxIndent = 12

// Default returns the settings that apply when no profile is given.
func Default() Profile {
	return Profile{Name: "default", Statement: "Continuous braille edition", HeadingIndent: 4, Turns: "source", Way: "none", EntryMark: EntryMarks[0], Notes: "end", Contents: "source", Tables: "keep", ParentNames: true}
}

// wayPlaces are the values of Way.
var wayPlaces = []string{"none", "front", "end"}

// turnForms are the values of Turns.
var turnForms = []string{"source", "inline", "row"}

// contentsForms are the values of Contents.
var contentsForms = []string{"source", "headings"}

// tableForms are the values of Tables.
var tableForms = []string{"keep", "list"}

// notePlaces are the values of Notes.
var notePlaces = []string{"end", "paragraph"}

// problem is a value that cannot stand: the key it belongs to and why.
type problem struct{ key, why string }

// problems checks the values of p, in the order of the keys.
func (p Profile) problems() []problem {
	var out []problem
	bad := func(key, format string, a ...any) { out = append(out, problem{key, fmt.Sprintf(format, a...)}) }
	if strings.TrimSpace(p.Name) == "" {
		bad("name", "the profile needs a name")
	}
	if i := strings.IndexFunc(p.Statement, isControl); i >= 0 {
		bad("statement", "must be one line of print")
	}
	if i := notCell(p.StatementCells); i >= 0 {
		bad("statement_cells", "%q is not a cell of Braille ASCII", p.StatementCells[i:i+1])
	}
	if p.HeadingIndent < 0 || p.HeadingIndent > MaxIndent {
		bad("heading_indent", "must be 0 to %d cells, not %d", MaxIndent, p.HeadingIndent)
	}
	if !contains(turnForms, p.Turns) {
		bad("turns", "must be one of %s, not %q", quoted(turnForms), p.Turns)
	}
	if !contains(contentsForms, p.Contents) {
		bad("contents", "must be one of %s, not %q", quoted(contentsForms), p.Contents)
	}
	if !contains(tableForms, p.Tables) {
		bad("tables", "must be one of %s, not %q", quoted(tableForms), p.Tables)
	}
	if !contains(notePlaces, p.Notes) {
		bad("notes", "must be one of %s, not %q", quoted(notePlaces), p.Notes)
	}
	if !contains(wayPlaces, p.Way) {
		bad("finding_your_way", "must be one of %s, not %q", quoted(wayPlaces), p.Way)
	}
	if key, why := p.Paper.Problem(); why != "" {
		out = append(out, problem{"paper." + key, why})
	}
	if why := badMark(p.EntryMark); why != "" {
		bad("entry_mark", "%s", why)
	}
	if p.Layout != nil {
		out = append(out, p.Layout.problems()...)
	}
	for i, r := range p.Rules {
		if why := r.Fault(); why != "" {
			bad(fmt.Sprintf("rule[%d]", i), "%s", why)
		}
	}
	if p.WayWords != nil {
		out = append(out, p.WayWords.problems()...)
	}
	if p.Words != nil {
		out = append(out, p.Words.problems()...)
	}
	if p.Files != nil {
		out = append(out, p.Files.problems()...)
	}
	return out
}

func isControl(r rune) bool { return r < 0x20 || r == 0x7F }

// notCell returns the place of the first byte that is no cell, or -1.
func notCell(s string) int {
	for i := 0; i < len(s); i++ {
		if _, ok := cell.Fold(s[i]); !ok {
			return i
		}
	}
	return -1
}

// canonical folds cells to lower case; what is no cell stays as it is.
func canonical(s string) string {
	out := []byte(s)
	for i := range out {
		if c, ok := cell.Fold(s[i]); ok {
			out[i] = c
		}
	}
	return string(out)
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

func quoted(list []string) string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = fmt.Sprintf("%q", s)
	}
	return strings.Join(out, ", ")
}

// Names lists the profiles that come with the program, in order.
func Names() []string {
	var out []string
	for name := range shipped {
		out = append(out, name)
	}
	sort.Strings(out)
	return out
}
