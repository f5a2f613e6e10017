package main

import (
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"continuo/internal/convert"
	"continuo/internal/louis"
	"continuo/internal/source"
)

// unit is a paragraph, a line of verse or an item of a list: its words in
// cells, straight from liblouis, and the indent of its first line.
type unit struct {
	words  []string
	indent int
}

// truth lists the units of the text of a title, in the order of the print text.
func truth(t *testing.T, h *house) []unit {
	t.Helper()
	text, err := readTitle(filepath.Join("..", "data", h.text, "print.txt"))
	if err != nil {
		t.Fatal(err)
	}
	tr := newTranslator(h.code)
	var out []unit
	for range 2 { // the second time all is known
		out = nil
		for _, b := range text.blocks {
			switch b.kind {
			case paragraph:
				out = append(out, newUnit(tr, b.text, 2))
			case verse, items:
				for _, line := range b.lines {
					if !turnAlone.MatchString(line) && line != "" {
						out = append(out, newUnit(tr, strings.TrimPrefix(line, "- "), -1))
					}
				}
			}
		}
		if _, err := tr.flush(); err != nil {
			t.Fatal(err)
		}
	}
	return out
}

func newUnit(tr *translator, print string, indent int) unit {
	u := unit{indent: indent}
	for _, tok := range tr.tokens(print, &[]string{}) {
		if tok.turn == "" {
			u.words = append(u.words, tok.cells)
		}
	}
	return u
}

// edition makes the edition of a title from the volumes that are kept.
func edition(t *testing.T, h *house) []string {
	t.Helper()
	files, _, err := source.Open([]string{filepath.Join("..", "data", h.text)})
	if err != nil {
		t.Fatal(err)
	}
	r, err := convert.Make(files, convert.Defaults())
	if err != nil {
		t.Fatal(err)
	}
	return strings.Split(strings.ReplaceAll(strings.ToLower(string(r.Edition)), "\r\n", "\n"), "\n")
}

// inText is a print page turn inside a paragraph, alone on its line in the
// edition, or a blank between its sign and number.
var inText = regexp.MustCompile(`^("3|"3#[a-j]+|---+(#[a-j]+|;[ivxl]+)|#[a-j]+)$`)

// Every paragraph, line of verse and item must stand in the edition whole, in
// order, and begin on a line of its own, paragraphs in cell 3. The words are
// liblouis' straight translation of the print text.
func TestEditionsHoldTheText(t *testing.T) {
	lou, ok := louis.Find()
	if !ok || lou.Version() != madeWith {
		t.Skipf("needs lou_translate %s (Debian: liblouis-bin)", madeWith)
	}
	for _, h := range houses() {
		t.Run(h.text, func(t *testing.T) {
			lines := edition(t, h)
			at := 0
			for _, u := range truth(t, h) {
				next, ok := find(lines, at, u)
				if !ok {
					t.Errorf("not whole, not in order or not on a line of its own (indent %d): %s", u.indent, strings.Join(u.words, " "))
					continue
				}
				at = next
			}
		})
	}
}

// find looks for the unit from line at on, and returns the line after its
// first one.
func find(lines []string, at int, u unit) (int, bool) {
	for i := at; i < len(lines); i++ {
		indent := len(lines[i]) - len(strings.TrimLeft(lines[i], " "))
		if u.indent >= 0 && indent != u.indent || !strings.Contains(lines[i], u.words[0]) {
			continue
		}
		if matches(lines[i:], u.words) {
			return i + 1, true
		}
	}
	return at, false
}

// matches compares words with the text of lines; print page turns are passed
// over, and a compound may be divided at its hyphen.
func matches(lines, words []string) bool {
	var text []string
	for _, line := range lines[:min(len(lines), len(words)+8)] {
		text = append(text, strings.Fields(line)...)
	}
	i := 0
	for _, w := range words {
		for i < len(text) && text[i] != w && inText.MatchString(text[i]) {
			i++
		}
		if i+1 < len(text) && strings.HasSuffix(text[i], "-") && text[i]+text[i+1] == w {
			i++
		} else if i >= len(text) || text[i] != w {
			return false
		}
		i++
	}
	return true
}
