package finders_test

import (
	"bytes"
	"fmt"
	"sort"
	"strings"

	"continuo/internal/finders"
)

// naive searches the bytes of an edition as a display would, twice: with its
// line ends as they are, and with each read as one blank. It shares nothing
// with the search that the finders come from.
type naive struct {
	list    *finders.List
	edition []byte   // as written, line ends CR LF
	flat    []byte   // the same, line ends one blank
	lines   []string // in lower case
	starts  []int    // of each line in flat
	hits    map[int][2]int
}

func newNaive(edition []byte, list *finders.List) *naive {
	n := &naive{list: list, edition: edition, flat: bytes.ReplaceAll(edition, []byte("\r\n"), []byte(" "))}
	n.lines = strings.Split(strings.ToLower(string(edition)), "\r\n")
	for i, at := 0, 0; i < len(n.lines); i++ {
		n.starts = append(n.starts, at)
		at += len(n.lines[i]) + 1
	}
	n.hits = map[int][2]int{}
	return n
}

// lands says what is wrong with a promised finder, "" when nothing is.
func (n *naive) lands(i int) string {
	f := &n.list.Finders[i]
	s := n.list.Cells(f.Search)
	at, flat := n.hit(i)
	switch {
	case len(bytes.TrimSpace(s)) == 0 || bytes.ContainsAny(s, "\r\n"):
		return fmt.Sprintf("%q is no search string", s)
	case at < 0 || flat < 0:
		return fmt.Sprintf("%q is not found (%+v)", s, f)
	}
	line, other := 1+bytes.Count(n.edition[:at], []byte("\r\n")), n.flatLine(flat)
	if line != other {
		return fmt.Sprintf("%q is found on line %d, and with line ends as blanks on line %d", s, line, other)
	}
	if line < f.Line || line > f.Line+9 {
		return fmt.Sprintf("%q is found on line %d, wanted is line %d", s, line, f.Line)
	}
	name, want := strings.ToLower(string(bytes.TrimSpace(s))), string(f.Name)
	if line > f.Line && !strings.Contains(want, name) {
		return fmt.Sprintf("%q is found on line %d, which is no line of %q", s, line, want)
	}
	if line == f.Line && !strings.HasPrefix(name, want) && !strings.HasPrefix(want, name) && !strings.HasPrefix(strings.TrimSpace(n.lines[line-1]), name) {
		return fmt.Sprintf("%q is found on line %d, but not where %q stands", s, line, want)
	}
	return ""
}

// plain says what is wrong with the string without blanks.
func (n *naive) plain(f *finders.Finder) string {
	s := n.list.Cells(f.Plain)
	at, flat := bytes.Index(n.edition, s), bytes.Index(n.flat, s)
	if at < 0 || flat < 0 || s[0] == ' ' {
		return fmt.Sprintf("%q is not found", s)
	}
	if line := 1 + bytes.Count(n.edition[:at], []byte("\r\n")); line != n.flatLine(flat) || line < f.Line || line > f.Line+9 {
		return fmt.Sprintf("%q is found on line %d", s, line)
	}
	return ""
}

// hit is where a finder is found in both readings.
func (n *naive) hit(i int) (at, flat int) {
	if h, ok := n.hits[i]; ok {
		return h[0], h[1]
	}
	at, flat = n.search(i)
	n.hits[i] = [2]int{at, flat}
	return at, flat
}

func (n *naive) search(i int) (at, flat int) {
	f := &n.list.Finders[i]
	s := n.list.Cells(f.Search)
	from, fromFlat := 0, 0
	if f.From != finders.Start {
		a, b := n.hit(f.From)
		if a < 0 || b < 0 {
			return -1, -1
		}
		from, fromFlat = a+1, b+1
		if start := 1 + bytes.LastIndexByte(n.edition[:a], '\n'); nth(n.edition, s, start, 1) != nth(n.edition, s, from, 1) {
			return -1, -1 // a display that goes on from the start of the line finds another place
		}
	}
	return nth(n.edition, s, from, f.Times), nth(n.flat, s, fromFlat, f.Times)
}

// nth is the n-th hit of s from a place on.
func nth(text, s []byte, from, n int) int {
	for ; n > 0; n-- {
		k := bytes.Index(text[from:], s)
		if k < 0 {
			return -1
		}
		from += k + 1
	}
	return from - 1
}

// flatLine is the line of an offset of the flat text, from 1.
func (n *naive) flatLine(flat int) int { return sort.SearchInts(n.starts, flat+1) }

// score counts targets and promises of a class.
type score struct{ targets, promised int }

// judge proves every promise and adds up the classes.
func judge(edition []byte, list *finders.List, sum map[finders.Class]*score) []string {
	n := newNaive(edition, list)
	var wrong []string
	for i := range list.Finders {
		f := &list.Finders[i]
		s := sum[f.Class]
		if s == nil {
			s = &score{}
			sum[f.Class] = s
		}
		s.targets++
		if !f.Promised() {
			continue
		}
		s.promised++
		if w := n.lands(i); w != "" {
			wrong = append(wrong, fmt.Sprintf("%v on line %d: %s", f.Class, f.Line, w))
		}
		if f.Plain != nil {
			if w := n.plain(f); w != "" {
				wrong = append(wrong, fmt.Sprintf("%v on line %d, without blanks: %s", f.Class, f.Line, w))
			}
		}
	}
	return wrong
}
