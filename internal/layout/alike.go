package layout

import (
	"math/bits"
	"strings"

	"continuo/internal/cell"
	"continuo/internal/english"
)

// This file compares heads with heads and with headings: alike but for slips, or shortened.

// Normal is the text of a line as heads are compared: without indicators of
// capitals and typeforms and with single blanks. A text of nothing but such signs
// is compared by its cells.
func Normal(t []byte) string {
	var buf [160]byte
	return string(AppendNormal(buf[:0], t))
}

// AppendNormal appends what Normal gives to dst and returns it.
func AppendNormal(dst, t []byte) []byte {
	at := len(dst)
	if dst = singleBlanks(english.AppendStrip(dst, t), at); len(dst) == at {
		dst = singleBlanks(append(dst, t...), at)
	}
	return dst
}

// singleBlanks takes the blanks at the start and the end of s[at:] away, and all but one
// of each run of blanks.
func singleBlanks(s []byte, at int) []byte {
	n, last := at, byte(cell.Blank)
	for _, c := range s[at:] {
		if c != cell.Blank || last != cell.Blank {
			s[n] = c
			n++
		}
		last = c
	}
	if n > at && last == cell.Blank {
		n--
	}
	return s[:n]
}

// Alike reports whether two texts are the same but for a slip or two: one cell
// in eight wrong, missing, doubled or changed over with its neighbour, and one
// more. Texts that name different numbers are not alike.
func Alike(a, b string) bool {
	if a == b {
		return true
	}
	if len(a) == 3 && len(b) == 3 && (a[0] == b[1] && a[1] == b[0] && a[2] == b[2] || a[0] == b[0] && a[1] == b[2] && a[2] == b[1]) {
		return sameNumber(a, b) // of so few cells only two changed over
	}
	if len(a) < 4 || len(b) < 4 || len(a) > 120 || len(b) > 120 {
		return false
	}
	most := 1 + min(len(a), len(b))/8
	if len(a)-len(b) > most || len(b)-len(a) > most || !shareCells(a, b, most) {
		return false
	}
	return distance(a, b, most) <= most && sameNumber(a, b)
}

// shortForm reports whether words are a heading with some of its words left
// out: in the same order, beginning with its first or second word, a third of
// it or more.
func shortForm(heading, words []string) bool {
	if len(words) == 0 || len(heading) < 2 || words[0] != heading[0] && words[0] != heading[1] {
		return false
	}
	k, cells, all := 0, 0, 0
	for _, h := range heading {
		all += len(h)
		if k < len(words) && (words[k] == h || k+1 == len(words) && words[k] == bare(h)) {
			k++
			cells += len(h)
		}
	}
	return k == len(words) && cells*3 >= all && cells >= 3 && sameNumber(strings.Join(heading, " "), strings.Join(words, " "))
}

// shortened reports whether one text is the first words of the other, two or
// more of them.
func shortened(a, b string) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	if len(a) < 6 || len(a) >= len(b) || b[:len(a)] != a || b[len(a)] != cell.Blank {
		return false
	}
	for i := 1; i < len(a); i++ {
		if a[i] == cell.Blank {
			return sameNumber(a, b)
		}
	}
	return false
}

// beginsLike reports whether the first words of a heading, two or more but not all, are a
// text, with a slip or two.
func beginsLike(heading, text string) bool {
	h, n := strings.Fields(heading), len(strings.Fields(text))
	if n < 2 || n >= len(h) || len(text) < 6 {
		return false
	}
	h[n-1] = bare(h[n-1]) // "chapter 2: the mill"
	return Alike(strings.Join(h[:n], " "), text)
}

// bare is a word without a comma, semicolon, colon or full stop at its end.
func bare(word string) string {
	if n := len(word) - 1; (n > 2 || n == 2 && word[0] == '#') && strings.IndexByte("1234", word[n]) >= 0 {
		return word[:n]
	}
	return word
}

// shareCells is a quick test that must hold when a and b are at most n slips
// apart: they have nearly the same cells.
func shareCells(a, b string, n int) bool {
	if bits.OnesCount64(kinds(a)^kinds(b)) > 2*n {
		return false
	}
	var count [64]int8
	for i := 0; i < len(a); i++ {
		count[a[i]&63]++
	}
	for i := 0; i < len(b); i++ {
		count[b[i]&63]--
	}
	off := 0
	for _, c := range count {
		off += int(max(c, -c))
	}
	return off <= 2*n
}

// kinds has a bit for each cell that stands in a text.
func kinds(t string) (set uint64) {
	for i := 0; i < len(t); i++ {
		set |= 1 << (t[i] & 63)
	}
	return set
}

// distance counts the slips between a and b; above limit any larger number
// may come back.
func distance(a, b string, limit int) int {
	var rows [3][128]int
	prev2, prev, cur := &rows[0], &rows[1], &rows[2]
	for j := 0; j <= len(b); j++ {
		prev[j] = j
	}
	for i := 1; i <= len(a); i++ {
		cur[0] = i
		low := i
		for j := 1; j <= len(b); j++ {
			d := min(prev[j]+1, cur[j-1]+1)
			if a[i-1] == b[j-1] {
				d = min(d, prev[j-1])
			} else {
				d = min(d, prev[j-1]+1)
			}
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				d = min(d, prev2[j-2]+1)
			}
			cur[j] = d
			low = min(low, d)
		}
		if low > limit {
			return low
		}
		prev2, prev, cur = prev, cur, prev2
	}
	return prev[len(b)]
}

// sameNumber reports whether two texts do not name different chapters: what
// differs in them is neither a number sign's digits nor a roman number nor the number
// of a structure word.
func sameNumber(a, b string) bool {
	if digitsOf(a) != digitsOf(b) || otherRoman(strings.Fields(a), strings.Fields(b)) {
		return false
	}
	p, ok := english.Prefix([]byte(a))
	q, ok2 := english.Prefix([]byte(b))
	return !ok || !ok2 || p.N == q.N || p.N == 0 || q.N == 0 || len(p.Tail) > 0 && len(q.Tail) > 0 && p.ID != q.ID
}

// otherRoman reports whether two texts of as many words have other roman numbers, of
// two letters or more, at the same place.
func otherRoman(a, b []string) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] == b[i] || len(a[i]) < 2 || len(b[i]) < 2 {
			continue
		}
		x, ok := cell.ParseLabel([]byte(";" + strings.TrimPrefix(a[i], ";")))
		y, ok2 := cell.ParseLabel([]byte(";" + strings.TrimPrefix(b[i], ";")))
		if ok && ok2 && x.Roman && y.Roman && x.Value != y.Value {
			return true
		}
	}
	return false
}

func digitsOf(s string) string {
	var out []byte
	for i := 0; i < len(s); i++ {
		if s[i] != '#' {
			continue
		}
		for i < len(s) && s[i] != cell.Blank {
			out = append(out, s[i])
			i++
		}
	}
	return string(out)
}
