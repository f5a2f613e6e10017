package english

import "strings"

// run writes a run of letters that is not to become a wordsign or shortform:
// the fewest cells, and of equal ways the one with the better signs (UEB 10.10:
// strong before lower, and so on).
func (s *signs) run(w string) string {
	n := len(w)
	type best struct {
		cost int
		sign string
		next int
	}
	var buf [40]best
	ways := buf[:]
	if n+1 > len(buf) {
		ways = make([]best, n+1)
	}
	for i := n - 1; i >= 0; i-- {
		b := best{cost: ways[i+1].cost + 100, sign: w[i : i+1], next: i + 1}
		if c := w[i]; c >= 'a' && c <= 'z' {
			for k := range s.byLetter[c-'a'] {
				g := &s.byLetter[c-'a'][k]
				if !strings.HasPrefix(w[i:], g.print) || !s.fits(g, w, i) {
					continue
				}
				cost := ways[i+len(g.print)].cost + 100*len(g.cells) + g.rank
				if cost < b.cost {
					b = best{cost, g.cells, i + len(g.print)}
				}
			}
		}
		ways[i] = b
	}
	var out strings.Builder
	for i := 0; i < n; i = ways[i].next {
		out.WriteString(ways[i].sign)
	}
	return out.String()
}

// fits reports whether groupsign g may stand at position i of w.
func (s *signs) fits(g *group, w string, i int) bool {
	end := i + len(g.print)
	for k := range g.rules {
		if g.rules[k].holds(w, i, end) {
			return g.rules[k].use
		}
	}
	switch g.place {
	case byRule:
		return freeShortform(g.print, w, i, end)
	case atStart:
		return i == 0 && end < len(w) && syllableStart(g.print, w[end:])
	case inMiddle:
		return i > 0 && end < len(w)
	case notAtStart:
		return i > 0
	}
	return true
}

// freeShortform reports whether a shortform may be used in a longer word that
// no list names (UEB 10.9.3): braille and great anywhere, children before a
// consonant, some others at the start of a word before a consonant.
func freeShortform(print, w string, i, end int) bool {
	switch print {
	case "braille", "great":
		return true
	case "children":
		return end == len(w) || !isVowel(w[end])
	case "blind", "first", "friend", "good", "letter", "little", "quick":
		return i == 0 && end < len(w) && !isVowel(w[end]) && (len(w)-end > 1 || w[end] == 's' || w[end] == 'r')
	}
	return false
}

// syllableStart guesses whether be, con, dis or com is the first syllable of a
// word that goes on with rest (UEB 10.6.1).
func syllableStart(prefix, rest string) bool {
	v := isVowel(rest[0]) && rest[0] != 'y'
	switch prefix {
	case "be":
		if v {
			return strings.HasPrefix(rest, "in") || strings.HasPrefix(rest, "it")
		}
		return len(rest) > 1 && rest[0] != 'x' && (isVowel(rest[1]) || rest[1] == 'r' || rest[1] == 'l' ||
			(rest[1] == 'h' || rest[1] == 'w') && strings.IndexByte("cstw", rest[0]) >= 0)
	case "con":
		return !v
	case "dis":
		return rest[0] != 'h' && rest[0] != 'c' && rest[0] != 'k' || len(rest) > 2 && rest[0] != 'h'
	}
	return true // com
}

func isVowel(c byte) bool { return strings.IndexByte("aeiouy", c) >= 0 }

// word writes a whole word that stands alone. Letters that would read as a
// wordsign or shortform get a letter sign, or no contraction (UEB 5.7.1, 10.9.5).
func (s *signs) word(w string) string {
	if c, ok := s.words[w]; ok {
		return c
	}
	if c, ok := s.short[w]; ok {
		return c
	}
	cells := s.run(w)
	if !s.readsAsWord(cells) {
		return cells
	}
	if s.readsAsWord(w) {
		return ";" + w
	}
	return w
}

// readsAsWord reports whether cells that stand alone are a wordsign or a
// shortform.
func (s *signs) readsAsWord(cells string) bool {
	_, word := s.wordOf[cells]
	_, short := s.shortOf[cells]
	return word || short
}
