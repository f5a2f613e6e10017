package english

import (
	_ "embed"
	"strings"
)

// rules.txt holds where a groupsign that would fit is not used, or one that
// would not be guessed is: facts about English words, see its first lines.
//
//go:embed rules.txt
var rulesText string

// rule is one line of rules.txt: the letters around a groupsign.
type rule struct {
	before, after string // letters on both sides; ^ at the front and $ at the end are the word's ends
	use           bool   // the sign is used here, not forbidden
}

// holds reports whether the rule speaks of the letters w[i:end].
func (r *rule) holds(w string, i, end int) bool {
	before, after := r.before, r.after
	if before != "" && before[0] == '^' {
		if w[:i] != before[1:] {
			return false
		}
	} else if !strings.HasSuffix(w[:i], before) {
		return false
	}
	if n := len(after) - 1; n >= 0 && after[n] == '$' {
		return w[end:] == after[:n]
	}
	return strings.HasPrefix(w[end:], after)
}

// byHand holds rules that no word list shows: words of older English that the
// lists of shortforms allow (UEB 2013, appendix 1) or that the older codes take with added
// letters (as liblouis writes them), names that look like one.
const byHand = "+^be(little) UE|+^inso(much)$ USE|+^(behind)hand USE|+^(between)s$ USE|+^(braille)d$ USE|+^(braille)r USE|+^t(would)$ USE|^(friend)ed$ S|+^(should)est$ USE|+^(would)est$ USE|+^(could)est$ USE|+^(said)st$ USE|+^foras(much)$ USE" +
	"|+^(perceive)st$ SE|+^(perceive)th$ SE|+^(receive)st$ SE|+^(receive)th$ SE|+^(deceive)st$ SE|+^(deceive)th$ SE|+^(conceive)st$ SE|+^(conceive)th$ SE|+^(declare)st$ SE|+^(declare)th$ SE|+^(rejoice)st$ SE|+^(rejoice)th$ SE"

// loadRules reads the rules of one code. A line is the letters with the sign
// in round brackets, a blank, and the codes it holds for: U, S, E. A + before
// the letters makes it a use.
func loadRules(code Code) map[string][]rule {
	out := map[string][]rule{}
	letter := "?USE"[code]
	for _, l := range append(strings.Split(byHand, "|"), dataLines(rulesText)...) {
		pattern, codes, _ := strings.Cut(l, " ")
		if strings.IndexByte(codes, letter) < 0 {
			continue
		}
		r := rule{use: pattern[0] == '+'}
		pattern = strings.TrimPrefix(pattern, "+")
		open, end := strings.IndexByte(pattern, '('), strings.IndexByte(pattern, ')')
		sign := pattern[open+1 : end]
		r.before, r.after = pattern[:open], pattern[end+1:]
		out[sign] = append(out[sign], r)
	}
	return out
}
