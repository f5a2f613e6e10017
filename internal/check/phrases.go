package check

import (
	"slices"

	"continuo/internal/cell"
)

// Kind says what a structure phrase of another language names.
type Kind uint8

// The kinds of phrases that the faces of reasons ask for.
const (
	NamesVolume   Kind = iota // which volume, of how many
	NamesPages                // braille or print pages, and labels of columns
	NamesContents             // the heading of a contents list
	NamesEnd                  // the end of a volume, or where the book goes on
)

// Phrase is one wording: for each word its forms in canonical cells; no forms
// stand for a number or a letter.
type Phrase struct {
	Kind  Kind
	Words [][]string
}

// Words are the structure words of one more language, beside the English ones
// that the check knows. Numbers are the forms of number words. The zero value
// has none.
type Words struct {
	Phrases []Phrase
	Numbers []string
}

// phraseBook is Words made ready: forms after bare.
type phraseBook struct {
	phrases []Phrase
	numbers map[string]bool
}

func newPhraseBook(w Words) *phraseBook {
	b := &phraseBook{numbers: map[string]bool{}}
	for _, n := range w.Numbers {
		b.numbers[string(bare([]byte(n)))] = true
	}
	for _, p := range w.Phrases {
		q := Phrase{Kind: p.Kind}
		named := false
		for _, forms := range p.Words {
			var out []string
			for _, f := range forms {
				if f := string(bare([]byte(f))); f != "" {
					out = append(out, f)
				}
			}
			named = named || len(out) > 0
			q.Words = append(q.Words, out)
		}
		if named { // numbers alone name nothing
			b.phrases = append(b.phrases, q)
		}
	}
	return b
}

// names tells whether a phrase of one of the kinds stands in text, its words
// one after another.
func (b *phraseBook) names(text []byte, kinds ...Kind) bool {
	if len(b.phrases) == 0 {
		return false
	}
	fs := cell.Fields(text)
	for _, p := range b.phrases {
		if !slices.Contains(kinds, p.Kind) {
			continue
		}
		for i := 0; i+len(p.Words) <= len(fs); i++ {
			if b.at(p, text, fs[i:]) {
				return true
			}
		}
	}
	return false
}

func (b *phraseBook) at(p Phrase, text []byte, fs [][2]int) bool {
	for i, forms := range p.Words {
		tok := text[fs[i][0]:fs[i][1]]
		if w := string(bare(tok)); len(forms) > 0 && !slices.Contains(forms, w) || len(forms) == 0 && !b.number(tok, w) {
			return false
		}
	}
	return true
}

// number tells whether a token is a number or a letter.
func (b *phraseBook) number(tok []byte, w string) bool {
	return isLabel(tok) || numberWords[w] || b.numbers[w] || len(w) == 1 && w[0] >= 'a' && w[0] <= 'z'
}
