package cell

import (
	"bytes"
	"strconv"
)

// Label is a page label as it stands on a braille page: a braille page number
// or a print page number. The forms are those of UK and North American paper
// layouts: `#ab`, `;iv`, `iv`, `a#c` (continued), `t#a`, `;p#f`, `#a-#b`,
// `#a-ij`, `#ab;a` (12a), `1#fa` (volume digit first), `,a#c` (A3), `,a-#c`
// `a,a#c` (A3, continued).
type Label struct {
	Roman  bool   // the number is roman
	Bare   bool   // roman without a letter sign: could be a word
	Prefix string // cells before the number: letters, a lower digit, a letter sign excluded
	Value  int    // first number, at least 0
	Last   int    // end of a range, or Value
	After  int    // number after a hyphen, whether it ends a range or is the page of a chapter (9-1); 0 if there is none
	Short  bool   // the number after the hyphen has no number sign of its own (EBAE)
	Suffix string // letter after the number (12a), without its letter sign
}

// Own is the part of the prefix that belongs to the print page number itself: the
// letters of an appendix (",a" of A3) or the number of a chapter ("#i-" of 9-1).
// Small letters say that the page goes on (BANA Braille Formats 2016, 1.11 to
// 1.14), and a digit names the volume.
func (l Label) Own() string {
	for i := range l.Prefix {
		if c := l.Prefix[i]; c == ',' || c == '#' {
			return l.Prefix[i:]
		}
	}
	return ""
}

// Compound is the label read as the page of a chapter: `#i-#a` is page 1 of
// chapter 9, not a range of pages. A label without a hyphen is given back as it is.
func (l Label) Compound() Label {
	if l.After > 0 && !l.Roman && l.Own() == "" {
		l.Prefix += string(Number(l.Value)) + "-"
		l.Value, l.Last, l.After = l.After, l.After, 0
	}
	return l
}

// Cells is a label in cells, without continuation letters and ranges.
func (l Label) Cells() []byte {
	if l.Roman {
		return append([]byte{';'}, Roman(l.Value)...)
	}
	n, own := Number(l.Value), l.Own()
	if l.Short && own != "" && own[0] == '#' {
		n = n[1:]
	}
	out := append([]byte(own), n...)
	if l.Suffix != "" {
		out = append(append(out, ';'), l.Suffix...)
	}
	return out
}

// SamePage reports whether a label names the print page of another, which may be
// read as the page of a chapter.
func (l Label) SamePage(print Label) bool {
	if own := print.Own(); own != "" && own[0] == '#' {
		l = l.Compound()
	}
	return l.Value == print.Value && l.Roman == print.Roman && l.Own() == print.Own()
}

// Before is what stands before the number, as people write it: "a", "A-", "9-".
func (l Label) Before() string {
	var out []byte
	up := false
	for i := 0; i < len(l.Prefix); i++ {
		switch c := l.Prefix[i]; {
		case c == ',':
			up = true
		case c == '#':
			v, n := digits([]byte(l.Prefix[i+1:]))
			out = strconv.AppendInt(out, int64(v), 10)
			i += n
		case up && c >= 'a' && c <= 'z':
			out = append(out, c-'a'+'A')
		default:
			out = append(out, c)
		}
	}
	return string(out)
}

// String is a label as people write it: t1, iv, 12a, 7-9, A3, 9-1.
func (l Label) String() string {
	if l.Roman {
		return l.Before() + string(Roman(l.Value))
	}
	t := l.Before() + strconv.Itoa(l.Value) + l.Suffix
	if l.Last > l.Value {
		t += "-" + strconv.Itoa(l.Last)
	}
	return t
}

// ParseLabel reads a whole token as a page label.
func ParseLabel(tok []byte) (Label, bool) {
	var l Label
	if !mayBeLabel(tok) {
		return l, false
	}
	if i := hyphenBetween(tok); i > 0 {
		if one, ok := parseOne(tok); ok {
			return one, true
		}
		first, ok := parseOne(tok[:i])
		if !ok {
			return l, false
		}
		last, ok := parseOne(tok[i+1:])
		if !first.Roman && (!ok || last.Bare) { // EBAE does not repeat the number sign: #a-ij; #c-d is no roman 500
			if v, n := digits(tok[i+1:]); n == len(tok)-i-1 {
				last, ok, first.Short = Label{Value: v}, true, true
			}
		}
		if !ok {
			return l, false
		}
		first.Last, first.After = last.Value, last.Value
		if last.Roman != first.Roman || last.Value < first.Value {
			first.Last = first.Value
		}
		return first, true
	}
	return parseOne(tok)
}

// mayBeLabel is a quick test that holds for every page label: it has a number sign
// or ends in the letter of a roman number.
func mayBeLabel(tok []byte) bool {
	n := len(tok)
	return n > 0 && n <= 14 && (romanValue(tok[n-1]) > 0 || bytes.IndexByte(tok, '#') >= 0)
}

func hyphenBetween(tok []byte) int {
	for i := 1; i < len(tok)-1; i++ {
		if tok[i] == '-' {
			return i
		}
	}
	return -1
}

func parseOne(tok []byte) (Label, bool) {
	var l Label
	i := 0
	if i < len(tok) && tok[i] == ';' {
		i++
	}
	for j := i; j < len(tok) && j-i <= 6; j++ { // prefix before the number sign
		if tok[j] != '#' {
			continue
		}
		if !prefixOK(tok[i:j]) {
			return l, false
		}
		l.Prefix = string(tok[i:j])
		v, n := digits(tok[j+1:])
		if n == 0 || j > i && letters(tok[i:j]) && tok[j+1] < 'a' { // "able", "table" and a full stop
			return l, false
		}
		l.Value, l.Last = v, v
		rest := tok[j+1+n:]
		if len(rest) == 0 {
			return l, true
		}
		if rest[0] == ';' {
			rest = rest[1:]
		}
		if len(rest) > 0 && rest[0] == ',' {
			rest = rest[1:]
		}
		if len(rest) == 1 && rest[0] >= 'a' && rest[0] <= 'z' {
			l.Suffix = string(rest)
			return l, true
		}
		return l, false
	}
	l.Bare = i == 0
	// a;iv: continuation letters before a letter sign
	for j := i; j < len(tok) && j-i <= 2; j++ {
		if tok[j] == ';' && j > i && prefixOK(tok[i:j]) {
			l.Prefix, l.Bare = string(tok[i:j]), false
			i = j + 1
			break
		}
	}
	for i < len(tok) && tok[i] == ',' { // capitals sign of an upper-case roman
		i++
	}
	if l.Prefix != "" && !letters([]byte(l.Prefix)) && (tok[i-1] == ',' || i+1 == len(tok)) {
		return l, false // a quotation mark and the word I
	}
	if v, ok := roman(tok[i:]); ok {
		l.Roman, l.Value, l.Last = true, v, v
		return l, true
	}
	return l, false
}

// prefixOK: up to two letters (continuation letters, t, p), or one lower digit
// (the volume); or up to two letters with a capital sign, a hyphen after them or
// not, continuation letters before them or not.
func prefixOK(p []byte) bool {
	if k := bytes.IndexByte(p, ','); k >= 0 {
		own := bytes.TrimSuffix(p[k+1:], []byte{'-'})
		return letters(p[:k]) && (len(own) > 0 || k == 0) && (letters(own) || len(own) == 1 && own[0] >= '0' && own[0] <= '9')
	}
	return letters(p) || len(p) == 1 && p[0] >= '0' && p[0] <= '9'
}

// letters reports whether cells are two letters at most.
func letters(p []byte) bool {
	for _, c := range p {
		if c < 'a' || c > 'z' {
			return false
		}
	}
	return len(p) <= 2
}

// digits reads braille digits a..j (or the lower ones 0..9) and returns the
// value and how many cells were read; more than five digits read as none.
func digits(t []byte) (v, n int) {
	upper := len(t) > 0 && t[0] >= 'a' && t[0] <= 'j'
	for n < len(t) {
		c := t[n]
		switch {
		case upper && c >= 'a' && c <= 'i':
			v = v*10 + int(c-'a') + 1
		case upper && c == 'j':
			v *= 10
		case !upper && c >= '0' && c <= '9':
			v = v*10 + int(c-'0')
		default:
			return v, n
		}
		n++
		if n > 5 {
			return 0, 0
		}
	}
	return v, n
}

func roman(t []byte) (int, bool) {
	if len(t) == 0 || len(t) > 9 {
		return 0, false
	}
	n := 0
	for i, c := range t {
		v := romanValue(c)
		if v == 0 {
			return 0, false
		}
		if i+1 < len(t) && romanValue(t[i+1]) > v {
			n -= v
		} else {
			n += v
		}
	}
	if n <= 0 || string(Roman(n)) != string(t) {
		return 0, false
	}
	return n, true
}

// romanValue is the value of a roman letter, 0 of any other cell.
func romanValue(c byte) int {
	switch c {
	case 'i':
		return 1
	case 'v':
		return 5
	case 'x':
		return 10
	case 'l':
		return 50
	case 'c':
		return 100
	case 'd':
		return 500
	case 'm':
		return 1000
	}
	return 0
}

// Roman returns n as lower-case roman letters.
func Roman(n int) []byte {
	var out []byte
	for _, p := range []struct {
		v int
		s string
	}{{1000, "m"}, {900, "cm"}, {500, "d"}, {400, "cd"}, {100, "c"}, {90, "xc"}, {50, "l"}, {40, "xl"}, {10, "x"}, {9, "ix"}, {5, "v"}, {4, "iv"}, {1, "i"}} {
		for n >= p.v {
			out = append(out, p.s...)
			n -= p.v
		}
	}
	return out
}

// Number returns n in cells: number sign and digits.
func Number(n int) []byte {
	out := []byte{'#'}
	var tmp []byte
	for {
		d := n % 10
		if d == 0 {
			tmp = append(tmp, 'j')
		} else {
			tmp = append(tmp, byte('a'+d-1))
		}
		if n /= 10; n == 0 {
			break
		}
	}
	for i := len(tmp) - 1; i >= 0; i-- {
		out = append(out, tmp[i])
	}
	return out
}

// BetweenHyphens is what stands between one or two hyphens on both sides of a text, with
// blanks or without: the page number in - #c - (common practice, from typed pages). It is
// nil for any other text.
func BetweenHyphens(text []byte) []byte {
	n := 0
	for n < len(text) && text[n] == '-' {
		n++
	}
	if n == 0 || n > 2 || len(text) <= 2*n+1 || !bytes.HasSuffix(text, text[:n]) {
		return nil
	}
	inner := bytes.Trim(text[n:len(text)-n], " ")
	if len(inner) < 2 || inner[0] != ';' && bytes.IndexByte(inner, '#') < 0 || bytes.IndexByte(inner, Blank) >= 0 || bytes.IndexByte(inner, '-') >= 0 {
		return nil
	}
	return inner
}
