package main

import (
	"path/filepath"
	"strings"
	"testing"

	"continuo/internal/convert"
	"continuo/internal/finders"
	"continuo/internal/louis"
	"continuo/internal/source"
)

// turnSign marks a print page turn among the words of a unit.
const turnSign = "turn "

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
		if tok.turn != "" {
			u.words = append(u.words, turnSign+number(tok.turn))
			continue
		}
		u.words = append(u.words, tok.cells)
	}
	return u
}

// edition makes the edition of a title from the volumes that are kept, without
// the marks before headwords.
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
	text := strings.ReplaceAll(strings.ToLower(string(r.Edition)), "\r\n", "\n")
	if mark := r.Stats.EntryMark; mark != "" {
		text = strings.ReplaceAll(text, "\n"+mark, "\n")
	}
	return strings.Split(text, "\n")
}

// turnAt reads a print page turn at the start of text, in the forms of the
// paper editions and the edition's own, and returns its label and how many
// words it takes.
func turnAt(text []string) (label string, n int) {
	switch {
	case len(text) > 1 && text[0] == `"3` && strings.HasPrefix(text[1], "#"):
		return text[1], 2
	case strings.HasPrefix(text[0], `"3#`):
		return text[0][2:], 1
	case strings.HasPrefix(text[0], "---"):
		return strings.TrimLeft(text[0], "-"), 1
	}
	return "", 0
}

// Every paragraph, line of verse and item must stand in the edition whole, in
// order, with each print page turn at its word, and begin on a line of its own,
// paragraphs in cell 3. The words are liblouis' straight translation of the
// print text.
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

// matches compares words with the text of lines. A turn between two units may
// stand inside neither; a compound may be divided at its hyphen.
func matches(lines, words []string) bool {
	var text []string
	for _, line := range lines[:min(len(lines), len(words)+8)] {
		text = append(text, strings.Fields(line)...)
	}
	if _, n := turnAt(text); n > 0 && !strings.HasPrefix(words[0], turnSign) {
		text = text[n:] // the turn stood before the paragraph
	}
	i := 0
	for _, w := range words {
		if i >= len(text) {
			return false
		}
		want, isTurn := strings.CutPrefix(w, turnSign)
		label, n := turnAt(text[i:])
		switch {
		case isTurn && label == want:
			i += n
		case text[i] == w:
			i++
		case i+1 < len(text) && strings.HasSuffix(text[i], "-") && text[i]+text[i+1] == w:
			i += 2
		default:
			return false
		}
	}
	return true
}

// Nothing of the paper may be left: no page line, no line that says which
// volume this is or that one ends, no form feed.
func TestEditionsHoldNoFurniture(t *testing.T) {
	paper := map[string][]string{
		"bell":    {`! bell "u ! wat]`, "5d ( ,volume", "volumes", ",volume ,", "brl page"},
		"baker":   {"5d ( volume", "9 two volumes", "volume two"},
		"weather": {",,5d ,,( ,,volume", ",volumes", ",volume #", "brl pages"},
	}
	for _, h := range houses() {
		for i, line := range edition(t, h) {
			for _, p := range paper[h.text] {
				if strings.Contains(line, p) || strings.Contains(line, "\f") {
					t.Errorf("%s, line %d: %q holds %q", h.text, i+1, line, p)
				}
			}
		}
	}
}

// The one contents list must name each chapter with its print page; braille
// pages are dead. The older British volumes have no print page before the first
// turn, so that their first chapter stands without.
func TestContentsHavePrintPages(t *testing.T) {
	for _, h := range houses() {
		lines := edition(t, h)
		for words, label := range chapterPages(t, h) {
			if h.text == "baker" && label == "3" {
				continue
			}
			if !entryOf(lines, words, number(label)) {
				t.Errorf("%s: no line of contents with %q and %q", h.text, words, number(label))
			}
		}
	}
}

// chapterPages maps the chapters of a title, in cells, to their print pages.
func chapterPages(t *testing.T, h *house) map[string]string {
	t.Helper()
	text, err := readTitle(filepath.Join("..", "data", h.text, "print.txt"))
	if err != nil {
		t.Fatal(err)
	}
	tr := newTranslator(h.code)
	var out map[string]string
	for range 2 {
		out = map[string]string{}
		label := ""
		for _, b := range text.blocks {
			if b.kind == chapter && label != "" {
				print := b.text
				if h.text == "bell" {
					print = strings.Replace(print, ": ", " ", 1)
				}
				out[tr.cells(print)] = label
			}
			if b.kind == turn {
				label = b.text
			}
			for _, line := range append(b.lines, b.text) {
				for _, m := range mark.FindAllStringSubmatch(line, -1) {
					if m[1] != "" {
						label = m[1]
					}
				}
			}
		}
		if _, err := tr.flush(); err != nil {
			t.Skip(err)
		}
	}
	return out
}

// entryOf looks for a line of contents, which may run over.
func entryOf(lines []string, words, label string) bool {
	for i := range lines {
		text := strings.Join(strings.Fields(strings.Join(lines[i:min(i+2, len(lines))], " ")), " ")
		if rest, ok := strings.CutPrefix(text, words+" "); ok && strings.HasPrefix(strings.TrimLeft(rest, `"- `), label) {
			return true
		}
	}
	return false
}

// The glossary of the handbook is found: every headword has the mark before it,
// and a search for the mark and the word lands on the entry.
func TestGlossaryHasFinders(t *testing.T) {
	files, _, err := source.Open([]string{filepath.Join("..", "data", "weather")})
	if err != nil {
		t.Fatal(err)
	}
	o := convert.Defaults()
	o.Finders = true
	r, err := convert.Make(files, o)
	if err != nil {
		t.Fatal(err)
	}
	if all, promised := r.Finders.Count(finders.Word); all != 17 || promised != 17 {
		t.Errorf("%d headwords, %d have a finder; the glossary has 17", all, promised)
	}
	text := strings.ReplaceAll(strings.ToLower(string(r.Edition)), "\r\n", " ")
	if i := strings.Index(text, r.Stats.EntryMark+"veer"); i >= 0 || strings.Index(text, r.Stats.EntryMark+"ve]3") < strings.Index(text, r.Stats.EntryMark+"vane3") {
		t.Error("the entries do not stand in the order of the print text")
	}
}
