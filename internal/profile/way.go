package profile

import (
	"fmt"
	"strings"
)

// WayWords is the wording of the page "finding your way" in another language
// than English: cells, in Braille ASCII, as they are to stand. {cells} is where
// the cells to search for stand, {blanks} says how many blanks come before them.
type WayWords struct {
	Title    string `toml:"title"`    // heads the page
	Start    string `toml:"start"`    // that a search begins at the start of the book
	Contents string `toml:"contents"` // the others: a line each, not written when empty
	Heading  string `toml:"heading"`
	Pages    string `toml:"pages"`
	Apart    string `toml:"pages_apart"`
	Notes    string `toml:"notes"`
	Index    string `toml:"index"`
	Words    string `toml:"words"`
	// Blanks says "one blank and", "two blanks and", and so on.
	Blanks []string `toml:"blanks"`
}

// maxWayLine is how many cells a line of the page has at most, without the
// cells to search for (package check allows 120 with them).
const maxWayLine = 90

// Marks in the wording of the page.
const (
	WayCells  = "{cells}"
	WayBlanks = "{blanks}"
)

// wayLine is a line of the wording: its key, and the marks that it must hold.
type wayLine struct {
	key   string
	text  *string
	marks []string
}

func (w *WayWords) lines() []wayLine {
	both, cells := []string{WayBlanks, WayCells}, []string{WayCells}
	return []wayLine{{"title", &w.Title, nil}, {"start", &w.Start, nil}, {"contents", &w.Contents, both}, {"heading", &w.Heading, both}, {"pages", &w.Pages, cells},
		{"pages_apart", &w.Apart, cells}, {"notes", &w.Notes, both}, {"index", &w.Index, both}, {"words", &w.Words, cells}}
}

// problems checks the wording and folds its cells to lower case.
func (w *WayWords) problems() []problem {
	var out []problem
	bad := func(key, format string, a ...any) {
		out = append(out, problem{"way." + key, fmt.Sprintf(format, a...)})
	}
	for _, l := range w.lines() {
		switch why := wayFault(l.text, l.marks); {
		case *l.text == "" && (l.key == "title" || l.key == "start"):
			bad(l.key, "the page needs it")
		case why != "" && *l.text != "":
			bad(l.key, "%s", why)
		}
	}
	if len(w.Blanks) != MaxIndent && w.blanksNamed() {
		bad("blanks", "wanted for one blank to %d, a wording each; %d are given", MaxIndent, len(w.Blanks))
	}
	for i := range w.Blanks {
		if why := wayFault(&w.Blanks[i], nil); why != "" {
			bad(fmt.Sprintf("blanks[%d]", i), "%s", why)
		}
	}
	return out
}

// blanksNamed reports whether a line says how many blanks there are.
func (w *WayWords) blanksNamed() bool {
	for _, l := range w.lines() {
		if strings.Contains(*l.text, WayBlanks) {
			return true
		}
	}
	return false
}

// wayFault says what is wrong with a line that must hold marks, each once and in
// this order, and folds its cells.
func wayFault(text *string, marks []string) string {
	var parts []string
	rest := *text
	for _, m := range marks {
		before, after, ok := strings.Cut(rest, m)
		if !ok {
			return fmt.Sprintf("%s must stand in it, in the order %s", m, strings.Join(marks, " "))
		}
		parts, rest = append(parts, canonicalLine(before), m), after
	}
	parts = append(parts, canonicalLine(rest))
	for _, p := range parts {
		if p != WayCells && p != WayBlanks && strings.ContainsAny(p, "{}") {
			return "{ and } stand for nothing else; as cells they are [ and ]"
		}
	}
	plain := strings.NewReplacer(WayCells, "", WayBlanks, "").Replace(*text)
	if i := notCell(plain); i >= 0 {
		return fmt.Sprintf("%q is not a cell of Braille ASCII", plain[i:i+1])
	}
	if len(plain) > maxWayLine {
		return fmt.Sprintf("%d cells are given, the limit is %d", len(plain), maxWayLine)
	}
	*text = strings.Join(parts, "")
	return ""
}

// canonicalLine folds cells, but for braces, which are marks.
func canonicalLine(s string) string {
	if strings.ContainsAny(s, "{}") {
		return s
	}
	return canonical(s)
}
