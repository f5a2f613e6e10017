package layout

import (
	"bytes"
	"slices"

	"continuo/internal/cell"
)

// This file takes down what contents lists name twice: two chapters with one title. The second
// stands on the page that the list says, and is no head that repeats the first.

// listedPages is how many pages at the start of a volume may hold its contents list.
const listedPages = 12

// addListed takes down the entries of a volume's contents list, by their words, with their numbers.
func (hb *headbook) addListed(v *Volume) {
	for p := 0; p < min(listedPages, len(v.Pages)/3); p++ {
		for i := v.Pages[p].First; i < v.Pages[p].Last; i++ {
			t := v.TextOf(i)
			if v.Lines[i].Role != Text || !ofContents(t) {
				continue
			}
			at := bytes.LastIndexByte(t, cell.Blank)
			label, _ := cell.ParseLabel(t[at+1:])
			words := bytes.TrimRight(t[:at], " ")
			if n := len(words); n > 2 && cell.Guide(words[n-1]) && words[n-1] == words[n-2] {
				words = bytes.TrimRight(words, string(words[n-1:]))
			}
			if key := Normal(words); key != "" && !slices.Contains(hb.listed[key], label.Value) {
				hb.listed[key] = append(hb.listed[key], label.Value)
			}
		}
	}
}

// listedHere reports whether a contents list has the words of an edge line more than once, and once with the
// number that stands beside the line.
func (v *Volume) listedHere(e *edgeLine, hb *headbook) bool {
	pages := hb.listed[e.norm]
	if len(pages) < 2 || !e.number || !e.top {
		return false
	}
	l := &v.Lines[e.line]
	raw := v.Raw(e.line)
	for _, s := range []Span{l.Left, l.Right} {
		if label, ok := cell.ParseLabel(raw[s.From:s.To]); ok && s.To > s.From && slices.Contains(pages, label.Value) {
			return true
		}
	}
	return false
}
