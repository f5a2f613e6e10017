package assemble

import (
	"strings"

	"continuo/internal/english"
	"continuo/internal/layout"
	"continuo/internal/structure"
)

// goesOnAgain leaves out the headings at the start of a later volume's text that say
// what goes on there: the name of a numbered part that has begun in the volumes before, and
// a chapter's "(continued)". It reports whether it left any out.
func (a *assembly) goesOnAgain(i int, v *structure.Volume) bool {
	why := a.why("repeat", "heading of a part that goes on", "the same number and words as the last such heading before", 0.9)
	first := a.textStart(i, v)
	a.continuedAgain(i, v) // its lines can begin with the name of the part
	k := a.textStart(i, v)
	for end := a.begunBefore(i, v, k); k < end; k++ {
		a.leave(i, k, why)
	}
	a.continuedAgain(i, v)
	a.withinSentence(i, v)
	next, begun := a.textStart(i, v), a.bodyUnit(v)
	if next < len(v.Units) && next > begun && a.b.Out[i][v.Units[next-1].Line] != 0 {
		v.Units[next].Blanks, v.Units[next].PageTop = 0, true // the text begins here
	}
	return next > first
}

// textStart is the first unit of a volume's text that is not left out.
func (a *assembly) textStart(i int, v *structure.Volume) int {
	k := 0
	for k < len(v.Units) && (a.fates[i][k] != asText || v.Units[k].Page < v.BodyPage) {
		k++
	}
	return k
}

// continuedAgain leaves out the heading at the start of a later volume's text that
// says that a chapter goes on, "chapter 3 (continued)" (common practice): its words
// are those of headings in a volume before.
func (a *assembly) continuedAgain(i int, v *structure.Volume) {
	from := a.textStart(i, v)
	var words []string
	start, numbered := from, false
	for k := from; k < len(v.Units) && k < from+6; k++ {
		u := &v.Units[k]
		if u.Rule && len(words) == 0 { // under the title
			from = k + 1
			continue
		}
		if u.Rule || !headlike(u) || u.Page != v.Units[from].Page || u.HasPhrase && structure.NotesHeading(*u.Phrase) { // notes may go on over volumes
			return
		}
		rest, last := english.CutContinued(u.Text)
		if n := layout.Normal(rest); n != "" {
			words = append(words, n)
			p, ok := v.Words.Lookup(rest)
			numbered = ok && p.N > 0 && len(p.Tail) == 0 && len(words) == 1
		}
		if !last {
			continue
		}
		if len(words) > 0 && a.headedBefore(i, strings.Join(words, " "), numbered) {
			why := a.why("repeat", "heading of a chapter that goes on", "says so; the same heading in a volume before", 0.95)
			for ; start < from; start++ {
				a.leave(i, start, a.framed())
			}
			for ; from <= k; from++ {
				a.leave(i, from, why)
			}
		}
		return
	}
}

// withinSentence leaves out headings at the start of a later volume's text that have the words of the
// last ones before, where a sentence goes on over them: the volume before ends within
// one, and the text under the headings begins at the margin and without a capital (common practice).
func (a *assembly) withinSentence(i int, v *structure.Volume) {
	from := a.textStart(i, v)
	to := from
	for to < len(v.Units) && to < from+6 && v.Units[to].Centred && !v.Units[to].Rule {
		to++
	}
	if to == from || to >= len(v.Units) || v.Units[to].From != 0 || !goesOnSentence(v.Units[to].Text, a.det.Capitals) {
		return
	}
	before := a.vols[i-1]
	k := before.End[0] - 1
	for k >= 0 && (a.fates[i-1][k] != asText || before.Units[k].Rule) {
		k--
	}
	if k < 0 || before.Units[k].Centred || structure.EndsSentence(before.Units[k].Text) || before.Units[k].Page < before.BodyPage {
		return
	}
	words := a.headsIn(i, from, to)
	for tries := 0; k >= 0 && tries < maxBetween; k-- {
		n := k + 1
		if u := &before.Units[k]; a.fates[i-1][k] != asText || !headline(u) && !u.Side {
			continue
		}
		for k > 0 && headline(&before.Units[k-1]) {
			k--
		}
		tries++
		if last := a.headsIn(i-1, k, n); last == words || strings.HasSuffix(last, " "+words) {
			why := a.why("repeat", "heading of a chapter that goes on", "the words of the last heading, within a sentence", 0.9)
			for ; from < to; from++ {
				a.leave(i, from, why)
			}
			return
		}
	}
}

// maxBetween is how many headings of a volume may say what the next volume begins with: dates in the middle and the like
// stand after that of the chapter.
const maxBetween = 3

// headsIn joins the words of some units.
func (a *assembly) headsIn(vol, from, to int) string {
	var words []string
	for ; from < to; from++ {
		words = append(words, layout.Normal(a.vols[vol].Units[from].Text))
	}
	return strings.Join(words, " ")
}

// goesOnSentence reports whether a text begins within a sentence: without a capital, where
// the book has them, and not with an opening quotation mark or bracket.
func goesOnSentence(t []byte, capitals bool) bool {
	switch t[0] {
	case '8', '7', '#', '"', '.':
		return false
	}
	return !capitals || t[0] != ','
}

// headedBefore reports whether words are those of headings, one under the other, in a
// volume before volume i, or, where they name a numbered part, those that a heading begins with.
func (a *assembly) headedBefore(i int, words string, numbered bool) bool {
	for j := i - 1; j >= 0; j-- {
		v := a.vols[j]
		for k := range v.Units {
			if a.fates[j][k] == asText && headlike(&v.Units[k]) && v.Units[k].Page >= v.BodyPage && a.headed(j, k, words, numbered) {
				return true
			}
		}
	}
	return false
}

// headed reports whether words are those of the headings from unit k on.
func (a *assembly) headed(vol, k int, words string, numbered bool) bool {
	v, at := a.vols[vol], ""
	for n := k; n < len(v.Units) && n < k+6 && !v.Units[n].Rule && headlike(&v.Units[n]); n++ {
		if n > k {
			at += " "
		}
		at += layout.Normal(v.Units[n].Text)
		if at == words {
			return true
		}
		if rest, ok := strings.CutPrefix(at, words); ok && numbered {
			return strings.IndexByte(" 1234-", rest[0]) >= 0
		}
		if !strings.HasPrefix(words, at) {
			return false
		}
	}
	return false
}

// begunBefore is the unit after the name of a numbered part at unit k that stands as the
// last of its kind in the volumes before, with the lines under it that stand under it
// there too; k when there is none.
func (a *assembly) begunBefore(i int, v *structure.Volume, k int) int {
	if k >= len(v.Units) {
		return k
	}
	kind := numberedPart(&v.Units[k])
	for j := i - 1; j >= 0 && kind != ""; j-- {
		for n := len(a.vols[j].Units) - 1; n >= 0; n-- {
			u := &a.vols[j].Units[n]
			if a.fates[j][n] != asText || u.Page < a.vols[j].BodyPage || numberedPart(u) != kind {
				continue
			}
			for ; k < len(v.Units) && n < len(a.vols[j].Units) && a.sameHeadline(j, n, &v.Units[k]); n++ {
				k++
			}
			return k
		}
	}
	return k
}

// numberedPart is what kind of part a line of a heading names, where it names its number
// and nothing else; "" when it does not.
func numberedPart(u *structure.Unit) english.PhraseID {
	if !headline(u) || !u.HasPhrase || u.Phrase.N == 0 || len(u.Phrase.Tail) > 0 {
		return ""
	}
	switch u.Phrase.ID {
	case english.Part, english.Book, english.Chapter, english.Section, english.Act:
		return u.Phrase.ID
	}
	return ""
}

// headline reports whether a unit can be a line of a heading by its place.
func headline(u *structure.Unit) bool { return u.Centred && !u.Rule }

// sameHeadline reports whether a unit of a volume is a line of a heading with the words
// of another unit.
func (a *assembly) sameHeadline(vol, k int, u *structure.Unit) bool {
	o := &a.vols[vol].Units[k]
	return headline(o) && headline(u) && a.fates[vol][k] == asText && layout.Normal(o.Text) == layout.Normal(u.Text)
}
