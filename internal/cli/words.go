package cli

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"continuo/internal/cell"
	"continuo/internal/convert"
	"continuo/internal/english"
	"continuo/internal/louis"
	"continuo/internal/profile"
)

// useProfile puts the house settings and their structure words into opt; an
// empty name leaves it as it is.
func useProfile(opt *convert.Options, nameOrFile string) error {
	if nameOrFile == "" {
		return nil
	}
	p, err := profile.Find(nameOrFile)
	if err == nil {
		opt.Profile = p
		opt.Words, err = structureWords(p.Words)
	}
	if err == nil {
		return nil
	}
	hint := "docs/usage.md lists the keys of a profile"
	if _, e := os.Stat(nameOrFile); errors.Is(e, fs.ErrNotExist) {
		hint = profile.OwnHint
	}
	return &fault{code: Failed, what: err.Error(), hint: hint, from: err}
}

// ownWords says which structure words a profile brings, if any.
func (c console) ownWords(w *profile.Words) {
	if w != nil {
		c.say("structure words: English, and %s of the profile (%s)", count(len(w.Phrases), "phrase"), w.Language)
	}
}

// structureWords makes the phrases of a profile ready.
func structureWords(w *profile.Words) (english.Words, error) {
	if w == nil {
		return english.Words{}, nil
	}
	cells, err := wordCells(w)
	if err != nil {
		return english.Words{}, err
	}
	list, err := phraseList(w, cells)
	return english.Words{More: list}, err
}

// wordCells are the forms in cells of all words of a profile. Words without
// cells are written by liblouis.
func wordCells(w *profile.Words) (map[string][]string, error) {
	cells := map[string][]string{}
	var missing []string
	for _, word := range english.PhraseWords(w.Phrases, w.Numbers) {
		if forms := w.Cells[word]; len(forms) > 0 {
			cells[word] = forms
		} else {
			missing = append(missing, word)
		}
	}
	if len(missing) > 0 {
		written, err := writeWords(w, missing)
		if err != nil {
			return nil, err
		}
		for i, word := range missing {
			cells[word] = written[i]
		}
	}
	return cells, nil
}

// phraseList makes the list; what is wrong with one phrase is told at it.
func phraseList(w *profile.Words, cells map[string][]string) (*english.PhraseList, error) {
	for i, p := range w.Phrases {
		if _, err := english.NewPhraseList([]string{p}, cells, nil); err != nil {
			return nil, w.Fault(fmt.Sprintf("phrases[%d]", i), "%s", err)
		}
	}
	for word, forms := range cells {
		cells[word] = bare(forms)
	}
	list, err := english.NewPhraseList(w.Phrases, cells, w.Numbers)
	if err != nil {
		return nil, w.Fault("", "%s", err)
	}
	return list, nil
}

// bare adds to each form the one without the signs that are taken off a line
// before its words are looked up.
func bare(forms []string) []string {
	out := slices.Clone(forms)
	for _, f := range forms {
		if s := english.Strip([]byte(f)); len(s) > 0 {
			out = append(out, string(s))
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// writeWords lets liblouis write words with the table of a profile: in lower
// case, with a capital and in capitals, because the table's own signs for
// capitals need not be the English ones.
func writeWords(w *profile.Words, words []string) ([][]string, error) {
	if w.Table == "" {
		return nil, w.Fault("", "no cells are given for %s; give them in [words.cells], or name a liblouis table with the key table", someWords(words))
	}
	t, ok := louis.Find()
	if !ok {
		return nil, w.Fault("table", "%s is not found, which writes the words without cells: %s; give their cells in [words.cells], or install liblouis", louis.Program, someWords(words))
	}
	var lines []string
	for _, word := range words {
		lines = append(lines, word, capital(word), strings.ToUpper(word))
	}
	got, err := t.Forward(context.Background(), w.Table, lines)
	if err != nil {
		return nil, w.Fault("table", "%s", err)
	}
	out := make([][]string, len(words))
	for i, braille := range got {
		form, ok := cellsOf(braille)
		if !ok {
			return nil, w.Fault("table", "liblouis writes %q as %q, which is not one word of six-dot cells; give its cells in [words.cells]", lines[i], braille)
		}
		out[i/3] = append(out[i/3], form)
	}
	return out, nil
}

// cellsOf turns a word of Unicode braille into cells.
func cellsOf(braille string) (string, bool) {
	var out []byte
	for _, r := range braille {
		c, ok := cell.FromRune(r)
		if !ok || c == cell.Blank {
			return "", false
		}
		out = append(out, c)
	}
	return string(out), len(out) > 0
}

func capital(word string) string {
	r, n := utf8.DecodeRuneInString(word)
	return string(unicode.ToTitle(r)) + word[n:]
}

// someWords names the first of many words.
func someWords(words []string) string {
	const most = 8
	if n := len(words) - most; n > 0 {
		return strings.Join(words[:most], ", ") + fmt.Sprintf(" and %d more", n)
	}
	return strings.Join(words, ", ")
}
