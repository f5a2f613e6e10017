package source

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"unicode/utf8"
)

// This file finds the volumes that somebody put one after the other into one file.
// Volumes of a title have title pages that are the same line for line but for what
// says which volume it is: that is seen without reading the code (common practice, in
// every code "volume" has these letters).

const (
	titleLines  = 24      // lines of a title page that are compared
	volumeLines = 60      // lines that a volume has at least
	titleBytes  = 8 << 10 // hold these lines, of Unicode braille too
	besideBytes = 200     // bytes beside a text in which its line begins
	underBytes  = 1 << 10 // bytes after a text in which the lines under it stand
)

// bodyLine is a line of a file as its bytes stand.
type bodyLine struct {
	cut  int    // offset of where a file begins that is cut off before it
	text []byte // without blanks at both ends
	page bool   // a form feed stands before it
}

// parseVolumes is Parse of a file that may hold several volumes. The Bytes and the
// SHA256 of each are those of its own part of the file.
func parseVolumes(name string, raw []byte, sum string) ([]*File, error) {
	var cuts []int
	if len(raw) <= MaxBytes {
		cuts = volumeCuts(raw)
	}
	if len(cuts) == 0 {
		f, err := parse(name, raw, sum)
		if err != nil {
			return nil, err
		}
		return []*File{f}, nil
	}
	whole := sha256.Sum256(raw)
	var out []*File
	for i, from := range append([]int{0}, cuts...) {
		to := len(raw)
		if i < len(cuts) {
			to = cuts[i]
		}
		f, err := Parse(fmt.Sprintf("%s volume %d", name, i+1), raw[from:to])
		if err != nil {
			return nil, err
		}
		f.Whole = hex.EncodeToString(whole[:])
		out = append(out, f)
	}
	return out, nil
}

// volumeCuts is where the second volume of a file and those after it begin, nil where
// there is one.
func volumeCuts(raw []byte) (cuts []int) {
	raw = fold(raw)
	if !titleAgain(raw) {
		return nil
	}
	if enc, _ := detect(raw); enc != ASCII && enc != UTF8 {
		return nil // a part of such a file does not say how it is written
	}
	lines := bodyLines(raw)
	start := titleStart(lines)
	first := titlePage(lines, start)
	said := []string{}
	for i, last := start+volumeLines, start; i < len(lines) && len(cuts) < maxVolumes; i++ {
		if i-last < volumeLines || !holds(first.first(), lines[i].text) {
			continue
		}
		page := titlePage(lines, i)
		if len(page.lines) < 2 || !holds(first.lines, page.lines[1]) && !hasStem(page.lines[1]) || page.listsVolumes() {
			continue // a page of text with its head, or of a list of volumes
		}
		is, ok := sameTitlePage(first, page)
		if !ok || slices.Contains(said, is) {
			continue
		}
		at := i
		for !lines[at].page && len(lines[at-1].text) == 0 && (lines[at-1].page || i-at < start) { // the blank lines at the top of the title page
			at--
		}
		said, last = append(said, is), i
		cuts = append(cuts, lines[at].cut)
	}
	return cuts
}

// fold is a file with one case and one form of each cell where its title page mixes
// upper and lower case; no offset changes.
func fold(raw []byte) []byte {
	top := raw[:min(len(raw), 1<<10)]
	isLower := func(c byte) bool { return c >= 'a' && c <= 'z' }
	isUpper := func(c byte) bool { return c >= 'A' && c <= 'Z' }
	if !slices.ContainsFunc(top, isLower) || !slices.ContainsFunc(top, isUpper) {
		return raw
	}
	out := slices.Clone(raw)
	for i, c := range out {
		if c >= '@' && c <= '_' {
			out[i] = c + 'a' - 'A'
		}
	}
	return out
}

// titleAgain is a quick test of a file's title page: one of its first lines stands alone
// further down again, and over another of its lines or over what speaks of a volume.
func titleAgain(raw []byte) bool {
	lines := bodyLines(raw[:min(len(raw), titleBytes)])
	start := titleStart(lines)
	if start < 0 {
		return false
	}
	first := titlePage(lines, start)
	return slices.ContainsFunc(first.first(), func(t []byte) bool { return aloneAgain(raw, t, first.lines) })
}

// titleStart is the line with which the title page begins, -1 if there is none: the first with cells, or
// the one that says the same on the next page under a half title of a few lines (common practice of
// publishers, followed on paper).
func titleStart(lines []bodyLine) int {
	start := firstText(lines)
	half, over := 0, 0 // lines with cells on the first page, and of the second so far
	for i := max(start, 0); i < len(lines) && i < start+volumeLines && half <= 4 && over < 3; i++ {
		if lines[i].page && i > start && over == 0 || over > 0 {
			over++
		} else if len(lines[i].text) > 0 {
			half++
		}
		if over > 0 && bytes.Equal(lines[i].text, lines[start].text) {
			return i
		}
	}
	return start
}

// firstText is the first line with cells, -1 if there is none.
func firstText(lines []bodyLine) int {
	return slices.IndexFunc(lines, func(l bodyLine) bool { return len(l.text) > 0 })
}

// aloneAgain reports whether a text stands alone on two lines or more, of which one after
// the first has one of lines, or what speaks of a volume, under it. A rule under the title
// stands at the start of the text too.
func aloneAgain(raw, text []byte, lines [][]byte) bool {
	n := 0
	for at := 0; ; {
		k := bytes.Index(raw[at:], text)
		if k < 0 {
			return false
		}
		before, after := raw[:at+k], raw[at+k+len(text):]
		at += k + len(text)
		before, after = before[max(0, len(before)-besideBytes):], after[:min(len(after), underBytes)]
		if !endsLine(before) || !beginsLine(after) {
			continue
		}
		if n++; n < 2 {
			continue
		}
		under := bytes.TrimLeftFunc(after, func(c rune) bool { return blankRune(c) || c == '\r' || c == '\n' || c == '\f' })
		if end := bytes.IndexAny(under, "\r\n\f"); end >= 0 {
			under = trimBlanks(under[:end])
		}
		if rule := len(bytes.Trim(under, string(under[:min(1, len(under))]))) == 0; !rule && holds(lines, under) || hasStem(after) {
			return true
		}
	}
}

func endsLine(t []byte) bool {
	t = bytes.TrimRightFunc(t, blankRune)
	return len(t) == 0 || bytes.IndexByte([]byte("\r\n\f"), t[len(t)-1]) >= 0
}

func beginsLine(t []byte) bool {
	t = bytes.TrimLeftFunc(t, blankRune)
	return len(t) == 0 || bytes.IndexByte([]byte("\r\n\f"), t[0]) >= 0
}

// bodyLines are the lines of a file; a form feed ends one too.
func bodyLines(raw []byte) []bodyLine {
	out := make([]bodyLine, 0, len(raw)/24)
	l := bodyLine{}
	for i := 0; i < len(raw); {
		n := 0
		for i+n < len(raw) && !ending[raw[i+n]] {
			n++
		}
		l.text = trimBlanks(raw[i : i+n])
		if !l.page {
			l.cut = i
		}
		end := i + n
		if end == len(raw) {
			return append(out, l)
		}
		if raw[end] == '\f' {
			if n > 0 || l.page {
				out = append(out, l)
			}
			i = end + 1
			if n > 0 && i < len(raw) { // a line end right after text and a form feed belongs to these
				i += lineEnd(raw[i:])
			}
			l = bodyLine{page: true, cut: i}
			continue
		}
		out = append(out, l)
		i = end + lineEnd(raw[end:])
		l = bodyLine{}
	}
	return out
}

// ending marks the bytes that end a line.
var ending = [256]bool{'\r': true, '\n': true, '\f': true}

// lineEnd is how many bytes the line end takes with which text begins, 0 if with none.
func lineEnd(text []byte) int {
	switch {
	case bytes.HasPrefix(text, []byte("\r\n")):
		return 2
	case len(text) > 0 && (text[0] == '\r' || text[0] == '\n'):
		return 1
	}
	return 0
}

func trimBlanks(t []byte) []byte {
	t = bytes.Trim(t, " ")
	if n := len(t); n == 0 || mark(t[0]) && mark(t[n-1]) {
		return t
	}
	return bytes.TrimFunc(t, blankRune)
}

// mark reports whether a byte is a whole character of ASCII that is not blank.
func mark(c byte) bool { return c > ' ' && c < utf8.RuneSelf }

func blankRune(c rune) bool { return c == ' ' || c == '\t' || c == 0x2800 || c == 0xFEFF }

// title is the lines with cells of a title page, and over the end of the page: what says
// the volume may stand on a second one.
type title struct {
	lines [][]byte
	own   int // of these, those that a form feed shows to be on the page itself
}

func titlePage(lines []bodyLine, i int) (t title) {
	for k := i; k < len(lines) && k < i+volumeLines && len(t.lines) < titleLines; k++ {
		if k > i && lines[k].page && t.own == 0 {
			t.own = len(t.lines)
		}
		if len(lines[k].text) > 0 {
			t.lines = append(t.lines, lines[k].text)
		}
	}
	return t
}

// first are the lines with one of which the title page of each volume begins.
func (t title) first() [][]byte { return t.lines[:min(3, len(t.lines))] }

// listsVolumes reports whether a page names three volumes: a general contents list goes on there
// under its head, and no volume begins.
func (t title) listsVolumes() bool {
	lines, named := t.lines, [][]byte{}
	if t.own > 0 {
		lines = lines[:t.own]
	}
	for _, l := range lines {
		if which := afterStem(l); len(which) > 0 && !holds(named, which) {
			named = append(named, which)
		}
	}
	return len(named) >= 3
}

// sameTitlePage reports whether two pages are the title pages of two volumes: two lines
// at least are the same, two thirds of those on the second above a line that says
// another volume among them. It returns what that line says.
func sameTitlePage(x, y title) (says string, ok bool) {
	a, b := x.lines, y.lines
	same, i, k := 0, 0, 0 // lines before i and k are dealt with
	for n := 0; n <= len(a); n++ {
		m := len(b)
		if n < len(a) {
			if m = slices.IndexFunc(b[k:], func(t []byte) bool { return bytes.Equal(t, a[n]) }); m < 0 {
				continue
			}
			m += k
		}
		if at := otherVolume(a[i:n], b[k:m], n <= x.own && m <= y.own); at >= 0 && says == "" {
			if same == 0 || 3*same < 2*(k+at) {
				return "", false
			}
			says = string(b[k+at])
		}
		if n < len(a) && !holds(a[:n], a[n]) { // the running head is one more line, not another
			same++
		}
		i, k = n+1, m+1
	}
	return says, says != "" && same >= 2
}

// otherVolume finds two lines that differ and speak of volumes, or, on the title pages
// themselves, that differ in one word of several: "book 1 of 3" and "book 2 of 3". It
// returns the place of the second, -1 for none.
func otherVolume(a, b [][]byte, own bool) int {
	for _, x := range a {
		for k, y := range b {
			if hasStem(x) && hasStem(y) && !sameVolume(x, y) || own && len(a) == len(b) && oneWordOff(x, y) {
				return k
			}
		}
	}
	return -1
}

func holds(list [][]byte, t []byte) bool {
	return slices.ContainsFunc(list, func(x []byte) bool { return bytes.Equal(x, t) })
}

// hasStem reports whether a text has what "volume" begins with, in either case or in
// Unicode braille.
func hasStem(t []byte) bool {
	return slices.ContainsFunc([]string{"vol", "VOL", "\u2827\u2815\u2807"}, func(stem string) bool { return bytes.Contains(t, []byte(stem)) })
}

// sameVolume reports whether two lines say the same after the last word for volume: "in 5
// volumes, volume 2" on the title page, "volume 2" under the title above the text.
func sameVolume(x, y []byte) bool {
	a, b := afterStem(x), afterStem(y)
	return len(a) > 0 && bytes.Equal(a, b)
}

// afterStem is the word after the last one that has the stem of "volume".
func afterStem(t []byte) (after []byte) {
	words := bytes.FieldsFunc(t, blankRune)
	for i, w := range words {
		if hasStem(w) && i+1 < len(words) {
			after = bytes.TrimRight(words[i+1], "7'\">14")
		}
	}
	return after
}

func oneWordOff(x, y []byte) bool {
	p, q := bytes.FieldsFunc(x, blankRune), bytes.FieldsFunc(y, blankRune)
	if len(p) != len(q) || len(p) < 2 || !bytes.Equal(p[0], q[0]) {
		return false
	}
	off := 0
	for i := range p {
		if !bytes.Equal(p[i], q[i]) {
			off++
		}
	}
	return off == 1
}
