package assemble

import (
	"strings"

	"continuo/internal/book"
	"continuo/internal/layout"
	"continuo/internal/structure"
)

// This file finds headings that are not centred by the contents list: lines of the text,
// each begun anew, that spell an entry out to the letter (a heading stands in the contents
// list with its words; British and North American practice alike).

// maxSpelled is over how many lines the words of one entry may stand.
const maxSpelled = 5

// spelled is the lines of the text that spell an entry out.
type spelled struct{ vol, from, to int }

// markSpelled marks the lines that spell out an entry as those of a heading where they
// stand once only in the text, or once only set apart, and no centred heading has the words.
func (a *assembly) markSpelled() {
	keys, firsts := a.entryKeys()
	if len(keys) == 0 {
		return
	}
	found := map[string][]spelled{}
	for i, v := range a.vols {
		if v.RepeatOf != nil {
			continue
		}
		for k := a.bodyUnit(v); k < v.End[0]; k++ {
			if u := &v.Units[k]; u.Rule || !firsts[firstKey(u.Text)] || a.fates[i][k] != asText {
				continue
			}
			if key, to := a.spells(i, k, keys); to > k {
				found[key] = append(found[key], spelled{i, k, to})
			}
		}
	}
	for key, all := range found {
		if s, one := a.oneApart(all); one {
			a.markLines(s)
			a.joinSpelled(key, s)
		}
	}
}

// joinSpelled joins the entry whose words are key, and no other's, to the lines that spell it out.
func (a *assembly) joinSpelled(key string, s spelled) {
	at := -1
	for k := range a.list.lines {
		if l := &a.list.lines[k]; l.kind == book.Entry && structure.HeadingKey(l.norm) == key {
			if at >= 0 {
				return
			}
			at = k
		}
	}
	if l := &a.list.lines[at]; l.confidence == 0 {
		l.to, l.confidence = place{vol: s.vol, unit: s.from}, spelledOut
	}
}

// spelledOut is the confidence of an entry whose words stand in one place of the text only, as lines begun anew.
const spelledOut = 0.9

// entryKeys is the words of the entries that no centred heading has, and their first words.
func (a *assembly) entryKeys() (keys, firsts map[string]bool) {
	keys, firsts = map[string]bool{}, map[string]bool{}
	for k := range a.list.lines {
		l := &a.list.lines[k]
		if key := structure.HeadingKey(l.norm); l.kind == book.Entry && len(key) > 3 && !a.centredHead(key) {
			keys[key] = true
			first, _, _ := strings.Cut(key, " ")
			firsts[first] = true
		}
	}
	return keys, firsts
}

// centredHead reports whether centred lines have the words of an entry.
func (a *assembly) centredHead(key string) bool {
	for _, p := range a.heads[key] {
		v := a.vols[p.vol]
		if u := &v.Units[p.unit]; u.Side || u.Centred && !v.Levels[min(u.Indent(), len(v.Levels)-1)] {
			return true
		}
	}
	return false
}

// firstKey is the first word of a text as keys have it.
func firstKey(t []byte) string { return structure.HeadingKey(layout.Normal(firstToken(t))) }

// spells tells which entry the lines from unit k on spell out, and the unit after the last.
func (a *assembly) spells(i, k int, keys map[string]bool) (key string, to int) {
	v := a.vols[i]
	if !v.BeginsAnew(k) {
		return "", 0
	}
	var words []string
	for n := k; n < len(v.Units) && n < k+maxSpelled && a.headingLine(i, k, n); n++ {
		words = append(words, structure.HeadingKey(layout.Normal(v.Units[n].Text)))
		if s := strings.Join(words, " "); keys[s] && (n+1 == len(v.Units) || v.BeginsAnew(n+1) || v.Units[n+1].From != v.Units[n].From) {
			key, to = s, n+1
		}
	}
	return key, to
}

// headingLine reports whether unit n can be a line of the heading that unit k begins.
func (a *assembly) headingLine(i, k, n int) bool {
	v := a.vols[i]
	u, first := &v.Units[n], &v.Units[k]
	if u.Rule || a.fates[i][n] != asText || len(u.Text) > v.TextWidth-2 || n > k && (u.Page != first.Page || u.Blanks > 2 || len(u.Turns) > 0) {
		return false
	}
	return u.From == first.From || u.Centred && first.Centred || u.From >= 3 && first.From >= 3 && u.Blanks > 0
}

// oneApart is the one place, of those where an entry is spelled out, that is set apart; or the
// only place.
func (a *assembly) oneApart(all []spelled) (s spelled, one bool) {
	apart := 0
	for _, x := range all {
		if a.vols[x.vol].Alone(x.from) {
			apart++
			s = x
		}
	}
	if apart == 0 && len(all) == 1 {
		s, apart = all[0], 1
	}
	return s, apart == 1
}

func (a *assembly) markLines(s spelled) {
	v := a.vols[s.vol]
	for k := s.from; k < s.to; k++ {
		v.Units[k].Side = true
	}
}
