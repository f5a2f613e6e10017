package assemble

import (
	"strings"

	"continuo/internal/cell"
	"continuo/internal/layout"
	"continuo/internal/structure"
)

// This file joins entries that give a number and the first line of what stands under it, as the contents of hymn
// books and of collections of sonnets do, to headings that are the number alone.

// numberHead is a heading that is a number alone, and the words right under it.
type numberHead struct {
	place
	number string // its cells
	words  string // of the first lines of text under it, as headings are compared
}

// minNumberHeads is how many such headings a book has whose entries are looked for under them.
const minNumberHeads = 4

// numberHeads are the headings of the text that are a number alone, found once.
func (a *assembly) numberHeads() []numberHead {
	if a.numbered != nil {
		return *a.numbered
	}
	var all []numberHead
	for _, p := range a.places {
		t := a.vols[p.vol].Units[p.unit].Text
		if l, ok := cell.ParseLabel(t); ok && !l.Bare && t[0] == '#' && !a.vols[p.vol].EndsName(p.unit) {
			all = append(all, numberHead{p, string(t), a.wordsUnder(p)})
		}
	}
	if len(all) < minNumberHeads {
		all = nil
	}
	a.numbered = &all
	return all
}

// wordsUnder is the words of the two lines of text under a heading, without the number of a stanza.
func (a *assembly) wordsUnder(p place) string {
	v := a.vols[p.vol]
	var words []string
	for k := p.unit + 1; k < len(v.Units) && k < p.unit+5 && len(words) < 2; k++ {
		u := &v.Units[k]
		if u.Rule || u.Side || len(words) == 0 && (u.Centred || u.From >= 4) && v.Units[min(k+1, len(v.Units)-1)].Blanks > 0 {
			continue // a line that belongs to the heading, as the metre
		}
		t := u.Text[structure.SkipTurns(u.Text):]
		if e, ok := leftEntry(t); ok && len(words) == 0 {
			t = e.text
		}
		words = append(words, layout.Normal(t))
	}
	return structure.HeadingKey(strings.Join(words, " "))
}

// firstLines are the headings that an entry names by the words under them: its own number is theirs, or it has
// none and three words at least.
func (a *assembly) firstLines(key string) (out []place) {
	heads := a.numberHeads()
	if len(heads) == 0 {
		return nil
	}
	number, rest, _ := strings.Cut(key, " ")
	if number == "" || number[0] != '#' {
		number, rest = "", key
	}
	if n := strings.Count(rest, " "); rest == "" || number == "" && n < 2 {
		return nil
	}
	for i := range heads {
		h := &heads[i]
		if (number == "" || number == h.number) && (h.words == rest || strings.HasPrefix(h.words, rest+" ")) {
			out = append(out, h.place)
		}
	}
	return out
}
