package cli

import (
	"slices"
	"strings"

	"continuo/internal/check"
	"continuo/internal/english"
	"continuo/internal/profile"
)

// namedBy says what the phrases of a profile name on the face of a line that
// was left out; others do not matter to the check.
var namedBy = map[english.PhraseID]check.Kind{
	english.Volume: check.NamesVolume, english.InVolumes: check.NamesVolume, english.PrelimVolume: check.NamesVolume,
	english.BraillePages: check.NamesPages, english.PrintPages: check.NamesPages, english.PagesRange: check.NamesPages,
	english.BraillePage: check.NamesPages, english.PrintPage: check.NamesPages, english.Page: check.NamesPages, english.Columns: check.NamesPages,
	english.Contents: check.NamesContents, english.GeneralContents: check.NamesContents,
	english.EndOfVolume: check.NamesEnd, english.ContinuedIn: check.NamesEnd, english.ContinuedFrom: check.NamesEnd,
}

// checkWords are the structure words of a profile as plain lists, for the check
// shares no code with the makers.
func checkWords(nameOrFile string) (check.Words, error) {
	var out check.Words
	if nameOrFile == "" {
		return out, nil
	}
	p, err := profile.Find(nameOrFile)
	if err == nil && p.Words != nil {
		var cells map[string][]string
		if cells, err = wordCells(p.Words); err == nil {
			_, err = phraseList(p.Words, cells) // tells slips at their lines
			out = plainWords(p.Words, cells)
		}
	}
	if err != nil {
		return out, refuse("docs/usage.md lists the keys of a profile", "%s", err)
	}
	return out, nil
}

func plainWords(w *profile.Words, cells map[string][]string) check.Words {
	var out check.Words
	for word := range w.Numbers {
		out.Numbers = append(out.Numbers, cells[word]...)
	}
	slices.Sort(out.Numbers)
	for _, p := range w.Phrases {
		id, wordings, _ := strings.Cut(p, ":")
		kind, ok := namedBy[english.PhraseID(strings.TrimSpace(id))]
		if !ok {
			continue
		}
		for _, wording := range strings.Split(wordings, "|") {
			for _, words := range withOptional(strings.Fields(wording)) {
				out.Phrases = append(out.Phrases, check.Phrase{Kind: kind, Words: formsOf(words, cells)})
			}
		}
	}
	return out
}

// withOptional spells a wording out: with and without each word in brackets.
func withOptional(words []string) [][]string {
	for i, w := range words {
		if w[0] != '[' {
			continue
		}
		with := slices.Concat(words[:i], []string{strings.Trim(w, "[]")}, words[i+1:])
		without := slices.Concat(words[:i], words[i+1:])
		return append(withOptional(with), withOptional(without)...)
	}
	return [][]string{words}
}

// formsOf are the forms of each word; none for a number. Page labels at the end
// ({r}) may be absent.
func formsOf(words []string, cells map[string][]string) [][]string {
	var out [][]string
	for _, w := range words {
		switch {
		case w == "{r}":
		case w[0] == '{':
			out = append(out, nil)
		default:
			out = append(out, cells[w])
		}
	}
	return out
}
