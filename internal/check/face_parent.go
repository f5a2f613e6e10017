package check

import (
	"bytes"

	"continuo/internal/cell"
)

const (
	maxParent   = 60  // cells of a name before a heading
	parentLines = 150 // lines before and after a heading among which a head may name its book
)

// needParents makes the names before headings findable in the text that is kept.
func (f *faces) needParents() {
	for _, t := range f.v.r.tools {
		if f.v.acc.reasons[t.reason].Class == "parent" {
			f.titles.need(t.cells)
		}
	}
}

// wrongParent judges the name of a book before the heading of a chapter: it
// stands at the start of its line, right before source text that begins its own
// line and holds a number; its words are those of a head near by, or of a
// heading that is kept before it.
func (f *faces) wrongParent(t tool) string {
	switch {
	case len(t.cells) > maxParent || len(words(t.cells)) == 0:
		return "it is too long for a name, or has no word"
	case t.src >= len(f.v.src) || t.edition < 1 || t.edition > len(f.v.ed.lines):
		return "no heading follows"
	}
	text := f.v.src[t.src].Text(t.line)
	if cell.Marks(text[:min(t.from, len(text))]) > 0 {
		return "the text after it does not begin its line"
	}
	if !bytes.HasPrefix(bytes.TrimLeft(f.v.ed.lines[t.edition-1], " "), t.cells) && len(bytes.TrimSpace(f.v.ed.lines[t.edition-1])) >= len(t.cells) {
		return "it does not begin a line"
	}
	if !holdsNumber(text) {
		return "no number stands in the heading after it"
	}
	if f.headNear(t) || f.titles.found(t.cells, f.base[t.src]+t.line) || f.headingsApart(t) {
		return ""
	}
	return "its words stand in no head near by and in no heading before it"
}

// headingsApart tells whether a name is that of a play and of its act, whose
// headings stand before it, each at its own place: no head need name them.
func (f *faces) headingsApart(t tool) bool {
	want, before := words(t.cells), f.base[t.src]+t.line
	for k := 1; k < len(want); k++ {
		play, act := bytes.Join(want[:k], []byte{cell.Blank}), bytes.Join(want[k:], []byte{cell.Blank})
		if len(play) >= 4 && holdsNumber(act) && f.titles.found(play, before) && f.titles.found(act, before) {
			return true
		}
	}
	return false
}

// holdsNumber tells whether a heading has a page label or a number word.
func holdsNumber(text []byte) bool {
	for _, x := range cell.Fields(text) {
		tok := bytes.TrimRight(text[x[0]:x[1]], "3") // "lesson 1: the flood"
		if isLabel(tok) || numberWords[string(bare(tok))] || isLabel(append([]byte{';'}, bytes.TrimLeft(tok, ",;")...)) {
			return true
		}
	}
	return false
}

// headNear tells whether a head that was left out near a heading holds the
// words of a name, in order; the last words may be those of a heading of a
// lower kind, which stands before it too.
func (f *faces) headNear(t tool) bool {
	want := words(t.cells)
	if f.headLines == nil {
		f.headLines = make([][]left, len(f.v.src))
		for _, l := range f.left {
			if l.class == "head" {
				f.headLines[l.src] = append(f.headLines[l.src], l)
			}
		}
	}
	for _, l := range f.headLines[t.src] {
		if d := l.line - t.line; d > parentLines || -d > parentLines {
			continue
		}
		rest, _, _ := edges(l.text)
		have := words(rest)
		if len(have) == 0 {
			have = words(l.text)
		}
		n := common(want, have)
		if n >= size(want) {
			return true
		}
		// a play and its act: the head names the play, a line before the act
		for k := len(want) - 1; k > 0 && n > 0; k-- {
			if common(want[:k], have) >= size(want[:k]) && f.titles.found(bytes.Join(want[k:], []byte{cell.Blank}), f.base[t.src]+t.line) {
				return true
			}
		}
	}
	return false
}
