package profile

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"continuo/internal/lazy"
	"continuo/internal/tomlpos"
)

// Words are the structure words of one more language: what title pages,
// contents and ends of volumes say in it. They are known beside the English
// ones, never instead of them.
type Words struct {
	// Language is its tag (BCP 47), for people: "cy", "eo", "pt-BR".
	Language string `toml:"language"`
	// Table is the liblouis table, or list of tables, that writes the words
	// without cells; empty when all cells are given.
	Table string `toml:"table"`
	// Phrases has a line a phrase, "id: wording | wording", in print, lower
	// case after reading. {n} and {m} are numbers, {x} a number or letter, {r}
	// page labels to the end of the line; a word in [brackets] may be absent.
	Phrases []string `toml:"phrases"`
	// Numbers are words for numbers, from 1 on, lower case after reading.
	Numbers map[string]int `toml:"numbers"`
	// Cells has the forms of words in Braille ASCII, lower case after reading.
	Cells map[string][]string `toml:"cells"`

	file  string
	lines map[string]int
}

// Limits of [words]: far more than any list needs, and small enough that a
// slip of the pen cannot make a conversion slow.
const (
	MaxPhrases  = 500 // phrases, and words with cells or numbers
	maxWording  = 12  // words of one wording
	maxOptional = 3   // words of one wording that may be absent
	maxForm     = 40  // cells of one form
	maxNumber   = 9999
)

// Fault is an error about a key of [words]: "table", "phrases[2]" (counted
// from 0), "cells.WORD", "numbers.WORD"; or about [words] as a whole, "".
func (w *Words) Fault(key, format string, a ...any) *Error {
	why := fmt.Sprintf(format, a...)
	if key == "" {
		return &Error{w.file, w.lines["words"], "words: " + why}
	}
	return &Error{w.file, tomlpos.Of(w.lines, "words."+key), "words." + key + ": " + why}
}

// normal folds print and cells to lower case. Words that differ only in their
// case are a problem.
func (w *Words) normal() []problem {
	var out []problem
	for i, p := range w.Phrases {
		w.Phrases[i] = strings.ToLower(p)
	}
	numbers, cells := map[string]int{}, map[string][]string{}
	for _, word := range slices.Sorted(maps.Keys(w.Numbers)) {
		low := strings.ToLower(word)
		if _, twice := numbers[low]; twice {
			out = append(out, problem{"words.numbers." + word, "given twice"})
		}
		numbers[low] = w.Numbers[word]
	}
	for _, word := range slices.Sorted(maps.Keys(w.Cells)) {
		low := strings.ToLower(word)
		if _, twice := cells[low]; twice {
			out = append(out, problem{"words.cells." + word, "given twice"})
		}
		cells[low] = []string{}
		for _, form := range w.Cells[word] {
			cells[low] = append(cells[low], canonical(form))
		}
	}
	w.Numbers, w.Cells = numbers, cells
	return out
}

// problems checks the values, in the order of the keys.
func (w *Words) problems() []problem {
	var out []problem
	bad := func(key, format string, a ...any) {
		out = append(out, problem{"words." + key, fmt.Sprintf(format, a...)})
	}
	if !languageTag().MatchString(w.Language) {
		bad("language", "a language tag such as \"cy\" is wanted, not %q", w.Language)
	}
	if w.Table != "" && !tableName().MatchString(w.Table) {
		bad("table", "%q is no name of a liblouis table, such as \"cy-cy-g2.ctb\"", w.Table)
	}
	if len(w.Phrases) == 0 {
		bad("phrases", "at least one phrase is wanted")
	}
	if n := max(len(w.Phrases), len(w.Numbers), len(w.Cells)); n > MaxPhrases {
		bad("phrases", "%d phrases or words are given, the limit is %d", n, MaxPhrases)
		return out
	}
	used := map[string]bool{}
	for i, p := range w.Phrases {
		if why := phraseFault(p, used); why != "" {
			bad(fmt.Sprintf("phrases[%d]", i), "%s", why)
		}
	}
	out = append(out, w.numberFaults(used)...)
	return append(out, w.cellFaults(used)...)
}

var (
	languageTag = lazy.Regexp(`^[A-Za-z]{2,8}(-[A-Za-z0-9]{1,8})*$`)
	tableName   = lazy.Regexp(`^[^\s\x00-\x1F\x7F-][^\x00-\x1F\x7F]*$`)
	phraseID    = lazy.Regexp(`^[a-z]+(-[a-z]+)*$`)
)

// phraseFault says what is wrong with one phrase; its words are put into used.
func phraseFault(p string, used map[string]bool) string {
	id, wordings, ok := strings.Cut(p, ":")
	if !ok || !phraseID().MatchString(strings.TrimSpace(id)) {
		return fmt.Sprintf("%q is not \"id: wording\"", p)
	}
	for _, wording := range strings.Split(wordings, "|") {
		if why := wordingFault(strings.Fields(wording), used); why != "" {
			return fmt.Sprintf("wording %q: %s", strings.TrimSpace(wording), why)
		}
	}
	return ""
}

// wordingFault says what is wrong with the words of one wording.
func wordingFault(words []string, used map[string]bool) string {
	fixed, optional := 0, 0
	for i, word := range words {
		switch {
		case word == "{n}", word == "{m}", word == "{x}":
		case word == "{r}" && i == len(words)-1:
		case word == "{o}":
			return "write ordinal words as {n} and give them in [words.numbers]"
		case strings.ContainsAny(strings.TrimSuffix(strings.TrimPrefix(word, "["), "]"), "{}[]") || (word[0] == '[') != (word[len(word)-1] == ']') || word == "[]":
			return fmt.Sprintf("%q is no word; there are {n}, {m}, {x}, {r} at the end, and [word]", word)
		case word[0] == '[':
			optional++
			used[word[1:len(word)-1]] = true
		default:
			fixed++
			used[word] = true
		}
	}
	switch {
	case fixed == 0:
		return "it has no word that is always there"
	case len(words) > maxWording || optional > maxOptional:
		return fmt.Sprintf("at most %d words, and %d of them in brackets", maxWording, maxOptional)
	}
	return ""
}

// numberFaults checks the number words and puts them into used.
func (w *Words) numberFaults(used map[string]bool) []problem {
	var out []problem
	for _, word := range slices.Sorted(maps.Keys(w.Numbers)) {
		used[word] = true
		if why := wordFault(word); why != "" {
			out = append(out, problem{"words.numbers." + word, why})
		}
		if n := w.Numbers[word]; n < 1 || n > maxNumber {
			out = append(out, problem{"words.numbers." + word, fmt.Sprintf("must be 1 to %d, not %d", maxNumber, n)})
		}
	}
	return out
}

// cellFaults checks the cells; used are the words of phrases and numbers.
func (w *Words) cellFaults(used map[string]bool) []problem {
	var out []problem
	for _, word := range slices.Sorted(maps.Keys(w.Cells)) {
		bad := func(format string, a ...any) {
			out = append(out, problem{"words.cells." + word, fmt.Sprintf(format, a...)})
		}
		if !used[word] {
			bad("the word is in no phrase and is no number")
		}
		if len(w.Cells[word]) == 0 {
			bad("no cells are given")
		}
		for _, form := range w.Cells[word] {
			switch i := notCell(form); {
			case form == "" || strings.Contains(form, " "):
				bad("%q is not the cells of one word", form)
			case i >= 0:
				bad("%q in %q is not a cell of Braille ASCII", []rune(form[i:])[0], form)
			case len(form) > maxForm:
				bad("%d cells are given, the limit is %d", len(form), maxForm)
			}
		}
	}
	return out
}

func wordFault(word string) string {
	if word == "" || strings.ContainsAny(word, " \t\r\n[]{}|:") {
		return fmt.Sprintf("%q is not one word", word)
	}
	return ""
}
