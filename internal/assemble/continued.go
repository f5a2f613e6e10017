package assemble

import (
	"strings"

	"continuo/internal/english"
	"continuo/internal/layout"
	"continuo/internal/structure"
)

// continuedAgain leaves out the heading at the start of a later volume's text that
// says that a chapter goes on, "chapter 3 (continued)" (common practice): its words
// are those of headings in a volume before.
func (a *assembly) continuedAgain(i int, v *structure.Volume) {
	from := 0
	for from < len(v.Units) && (a.fates[i][from] != asText || v.Units[from].Page < v.BodyPage) {
		from++
	}
	var words []string
	start := from
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
		}
		if !last {
			continue
		}
		if len(words) > 0 && a.headedBefore(i, strings.Join(words, " ")) {
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

// headedBefore reports whether words are those of headings, one under the other, in a
// volume before volume i.
func (a *assembly) headedBefore(i int, words string) bool {
	for j := i - 1; j >= 0; j-- {
		v := a.vols[j]
		for k := range v.Units {
			if a.fates[j][k] == asText && headlike(&v.Units[k]) && v.Units[k].Page >= v.BodyPage && a.headed(j, k, words) {
				return true
			}
		}
	}
	return false
}

// headed reports whether words are those of the headings from unit k on.
func (a *assembly) headed(vol, k int, words string) bool {
	v, at := a.vols[vol], ""
	for n := k; n < len(v.Units) && n < k+6 && !v.Units[n].Rule && headlike(&v.Units[n]); n++ {
		if n > k {
			at += " "
		}
		at += layout.Normal(v.Units[n].Text)
		if at == words {
			return true
		}
		if !strings.HasPrefix(words, at) {
			return false
		}
	}
	return false
}
