package english

import (
	"fmt"
	"slices"
	"strings"
)

// PhraseList is the structure words of one more language, as a profile gives
// them. It is used beside the English lists, never instead of them.
type PhraseList struct {
	lx *lexicon
}

// NewPhraseList makes a list of phrases of another language. phrases has a line
// a phrase, "id: wording | wording", with {n} and {m} for numbers, as the
// English list; the ids are the PhraseID constants. cells has the forms of
// every word of the wordings in canonical cells, without capital signs, and
// numbers the words that are numbers (they need forms too). The error names
// the phrase or word at fault.
func NewPhraseList(phrases []string, cells map[string][]string, numbers map[string]int) (*PhraseList, error) {
	var lines []string
	for w, forms := range cells {
		if w == "" || strings.ContainsAny(w, " \t\n") || len(forms) == 0 {
			return nil, fmt.Errorf("word %q: one word and its cells are wanted", w)
		}
		for _, f := range forms {
			if f == "" || strings.ContainsAny(f, " \t\n") {
				return nil, fmt.Errorf("word %q: %q is no form in cells", w, f)
			}
		}
		lines = append(lines, w+" "+strings.Join(forms, " "))
	}
	slices.Sort(lines)
	lx := &lexicon{}
	lx.addForms(lines)
	for w, n := range numbers {
		id := lx.ids[w]
		if id == 0 || n < 1 {
			return nil, fmt.Errorf("number word %q: no cells are given for it, or it is no number from 1 on", w)
		}
		lx.nums[id] = int32(n)
	}
	for _, p := range phrases {
		id, _, _ := strings.Cut(p, ":")
		if !knownPhrase(PhraseID(strings.TrimSpace(id))) {
			return nil, fmt.Errorf("phrase %q: there is no such id", strings.TrimSpace(id))
		}
	}
	if err := lx.addPhrases(phrases); err != nil {
		return nil, err
	}
	return &PhraseList{lx}, nil
}

// knownPhrase reports whether the English list has the id.
func knownPhrase(id PhraseID) bool {
	for _, l := range dataLines(phrasesText) {
		if strings.HasPrefix(l, string(id)+":") {
			return true
		}
	}
	return false
}

// PhraseWords lists the different words of phrase lines and number words that
// need cells, in order, for a translator to write.
func PhraseWords(phrases []string, numbers map[string]int) []string {
	var out []string
	for w := range numbers {
		out = append(out, w)
	}
	for _, p := range phrases {
		_, wordings, _ := strings.Cut(p, ":")
		for _, w := range strings.Fields(strings.ReplaceAll(wordings, "|", " ")) {
			if w[0] != '{' {
				out = append(out, strings.Trim(w, "[]"))
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// Lookup is the function Lookup for the list's language.
func (l *PhraseList) Lookup(line []byte) (Phrase, bool) { return l.lx.match(line, true) }

// Prefix is the function Prefix for the list's language.
func (l *PhraseList) Prefix(line []byte) (Phrase, bool) { return l.lx.match(line, false) }

// Words finds structure phrases in lines of cells. Its zero value knows the
// English lists; More is asked after them.
type Words struct{ More *PhraseList }

// Lookup is the function Lookup over all lists.
func (w Words) Lookup(line []byte) (Phrase, bool) {
	if p, ok := Lookup(line); ok || w.More == nil {
		return p, ok
	}
	return w.More.Lookup(line)
}

// Prefix is the function Prefix over all lists.
func (w Words) Prefix(line []byte) (Phrase, bool) {
	if p, ok := Prefix(line); ok || w.More == nil {
		return p, ok
	}
	return w.More.Prefix(line)
}

// Number is the number, in digits, roman or words, that a line begins with; 0 if it begins with none.
func (w Words) Number(line []byte) int {
	if n := theLexicon().leading(line); n > 0 || w.More == nil {
		return n
	}
	return w.More.lx.leading(line)
}

func (lx *lexicon) leading(line []byte) int {
	sc := scanner{lx: lx, line: trimLine(line)}
	if len(sc.line) == 0 || !lx.mayStart(sc.line) || !sc.has(0) {
		return 0
	}
	n, _ := sc.number(0)
	return n
}
