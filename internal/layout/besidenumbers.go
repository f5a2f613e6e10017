package layout

import (
	"continuo/internal/cell"
)

// This file tells what stands beside a page number on its line: text, or the head of its page.

// addBeside counts what stands beside the taken numbers of a volume: at the top
// of pages, and at the foot.
func (n *numbers) addBeside(v *Volume, heads *[2]map[string]int) {
	for i, use := range n.taken {
		if use == Nothing {
			continue
		}
		if rest := n.rest(v, &n.cands[i]); rest != "" {
			heads[n.cands[i].slot/BottomLeft][rest]++
		}
	}
}

// headsLike reports whether a text is like a head that stands beside numbers
// on three pages or more.
func headsLike(heads map[string]int, rest string) bool {
	if rest == "" {
		return false
	}
	if heads[rest] >= 3 {
		return true
	}
	sum, stem := 0, stemOf(rest)
	for h, n := range heads {
		if Alike(h, rest) || shortened(h, rest) || stem != "" && stemOf(h) == stem {
			sum += n
		}
	}
	return sum >= 3
}

// stemOf is a head without the number that it ends in ("chapter"), "" where it
// ends in none.
func stemOf(h string) string {
	from := lastToken([]byte(h))
	if _, ok := cell.ParseLabel([]byte(h[from:])); !ok || from < 4 {
		return ""
	}
	return h[:from]
}

// rest is what stands on a candidate's line beside the candidates.
func (n *numbers) rest(v *Volume, c *cand) string {
	s := restSpan(v.Raw(c.line), c)
	return Normal(v.Raw(c.line)[s.From:s.To])
}

// restSpan is the span of a candidate's line beside it, without a label at the line's
// other end.
func restSpan(t []byte, c *cand) Span {
	from, to := 0, len(t)
	if int(c.tok.To) == len(t) {
		to = int(c.tok.From)
		if e := firstTokenEnd(t, 0); gapAfter(t, e) >= 2 && cell.Indent(t) == 0 {
			if _, ok := cell.ParseLabel(t[:e]); ok {
				from = e
			}
		}
	} else {
		from = int(c.tok.To)
		if k := lastToken(t); k > from && gapBefore(t, k) >= 2 {
			if _, ok := cell.ParseLabel(t[k:]); ok {
				to = k
			}
		}
	}
	return Span{int32(from), int32(max(from, to))}
}

// restInMiddle reports whether what stands on a candidate's line beside the labels at
// its ends is words in the middle, three blanks from either.
func (v *Volume) restInMiddle(c *cand) bool {
	t := v.Raw(c.line)
	s := restSpan(t, c)
	l := Line{Left: Span{0, s.From}}
	if int(s.To) < len(t) {
		l.Right = Span{s.To, int32(len(t))}
	}
	words := s
	words.From += int32(gapAfter(t[:s.To], int(s.From)))
	words.To -= int32(gapBefore(t, int(s.To)))
	return words.From < words.To && words.From-s.From >= 3 && (int(s.To) == len(t) || s.To-words.To >= 3) && v.inMiddle(words, &l)
}
