package check

import (
	"bytes"
	"fmt"
)

// What a page that tells how to find one's way may be: paragraphs, cells of
// each, and the lines of the edition, from its start or to its end, within
// which it stands.
const (
	maxWay      = 24
	maxWayCells = 120
	wayLines    = 200
)

// checkWay looks at the page "finding your way": it is short, stands in one
// place with nothing of the sources in it, and near the start or the end.
func (f *faces) checkWay() {
	n := 0
	var last tool
	for _, t := range f.v.r.tools {
		if f.v.acc.reasons[t.reason].Class != "way" {
			continue
		}
		why := ""
		switch {
		case n == maxWay:
			why = fmt.Sprintf("it has more than %d paragraphs", maxWay)
		case len(t.cells) > maxWayCells:
			why = "it is too long for a page that tells the way"
		case t.edition > wayLines && t.edition < f.v.r.ed.count-wayLines:
			why = "it stands far from both ends of the edition"
		case n > 0 && (t.src != last.src || t.line != last.line || t.account > last.account+2):
			why = "it does not stand together with the rest of the page"
		}
		if why != "" {
			f.v.add(Problem{Edition: t.edition, Account: t.account, What: fmt.Sprintf("written by the tool as %q, but %s: %q", "way", why, clip(t.cells))})
		}
		n, last = n+1, t
	}
}

// checkOldWay looks at a page "finding your way" of an edition before that is
// left out: a page of this edition, with the same heading and half of its words
// at least, must stand in its place, and it must be what such a page may be.
func (f *faces) checkOldWay() {
	var old []left
	for _, l := range f.left {
		if l.class == "way" {
			old = append(old, l)
		}
	}
	if len(old) == 0 {
		return
	}
	first := old[0]
	if why := f.wrongOldWay(old); why != "" {
		f.v.at(first.src, first.line, "left out as %q, but %s: %q", "way", why, clip(first.text))
	}
}

func (f *faces) wrongOldWay(old []left) string {
	var words, heading [][]byte
	have := map[string]int{}
	for _, t := range f.v.r.tools {
		if f.v.acc.reasons[t.reason].Class != "way" {
			continue
		}
		list := bytes.Fields(t.cells)
		if heading == nil {
			heading = list
		}
		for _, w := range list {
			have[string(w)]++
		}
	}
	first, last, n := old[0], old[len(old)-1], 0
	for i, l := range old {
		if !l.whole || l.src != first.src || i > 0 && l.line > old[i-1].line+2 {
			return "it is no page in one piece"
		}
		n += len(l.text)
		words = append(words, bytes.Fields(l.text)...)
	}
	same := 0
	for _, w := range words {
		if have[string(w)] > 0 {
			have[string(w)]--
			same++
		}
	}
	switch {
	case heading == nil || len(words) < len(heading) || !bytes.Equal(bytes.Join(words[:len(heading)], []byte(" ")), bytes.Join(heading, []byte(" "))):
		return "no page with its heading stands in its place"
	case 2*same < len(words):
		return "the page in its place says something else"
	case n > maxWay*maxWayCells:
		return "it is too long for a page that tells the way"
	case first.line > wayLines && last.line < len(f.v.src[first.src].Lines)-wayLines:
		return "it stands far from both ends"
	}
	return ""
}
