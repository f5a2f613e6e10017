package profile

import (
	"fmt"
	"strings"
)

// Layout is how a house usually lays out its braille pages: the table [layout]
// of a profile. It never changes how a volume is read, for that is found in the
// volume itself; a volume that is laid out otherwise is told. Zero and "" mean
// that nothing is said.
type Layout struct {
	Cells       int    `toml:"cells"`        // a line
	Lines       int    `toml:"lines"`        // a page
	BraillePage string `toml:"braille_page"` // where its number stands, as continuo look says it
	PrintPage   string `toml:"print_page"`
	Spacing     string `toml:"spacing"` // single or double
}

// corners are the places of numbers, as continuo look names them.
var corners = []string{"line 1, left", "line 1, centre", "line 1, right", "last line, left", "last line, centre", "last line, right", "none"}

func (l *Layout) problems() []problem {
	var out []problem
	bad := func(key, format string, a ...any) {
		out = append(out, problem{"layout." + key, fmt.Sprintf(format, a...)})
	}
	if l.Cells != 0 && (l.Cells < 10 || l.Cells > 100) {
		bad("cells", "must be 10 to 100, not %d", l.Cells)
	}
	if l.Lines != 0 && (l.Lines < 5 || l.Lines > 60) {
		bad("lines", "must be 5 to 60, not %d", l.Lines)
	}
	if l.BraillePage != "" && !contains(corners, l.BraillePage) {
		bad("braille_page", "must be one of %s, not %q", quoted(corners), l.BraillePage)
	}
	if l.PrintPage != "" && !contains(corners, l.PrintPage) {
		bad("print_page", "must be one of %s, not %q", quoted(corners), l.PrintPage)
	}
	if l.Spacing != "" && l.Spacing != "single" && l.Spacing != "double" {
		bad("spacing", "must be single or double, not %q", l.Spacing)
	}
	return out
}

// Differs says in words how a volume differs from the house's layout, "" when
// it does not. braille and print are where its numbers stand, "" for nowhere.
func (l *Layout) Differs(cells, lines int, braille, print string, double bool) string {
	if l == nil {
		return ""
	}
	out := ""
	say := func(format string, a ...any) {
		if out != "" {
			out += "; "
		}
		out += fmt.Sprintf(format, a...)
	}
	if l.Cells > 0 && cells > l.Cells || l.Lines > 0 && lines != l.Lines {
		say("pages of %d cells and %d lines, the house has %s and %s", cells, lines, orAny(l.Cells), orAny(l.Lines))
	}
	if l.BraillePage != "" && !strings.Contains(or(braille, "none"), l.BraillePage) {
		say("braille page number: %s, the house has %s", or(braille, "none"), l.BraillePage)
	}
	if l.PrintPage != "" && !strings.Contains(or(print, "none"), l.PrintPage) {
		say("print page number: %s, the house has %s", or(print, "none"), l.PrintPage)
	}
	if l.Spacing != "" && double != (l.Spacing == "double") {
		say("line spacing other than %s", l.Spacing)
	}
	return out
}

func or(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

func orAny(n int) string {
	if n == 0 {
		return "any"
	}
	return fmt.Sprint(n)
}
