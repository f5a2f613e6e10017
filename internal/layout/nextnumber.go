package layout

import (
	"continuo/internal/cell"
	"continuo/internal/english"
)

// nextNumber reports whether an edge line is the heading that goes on the
// numbers of the headings before it: "chapter 6", and the last heading of a
// chapter in the volume is of chapter 5; or chapter 1 after another. In books of books the same heading
// stands at the top of a page again and again, as a running head does; but a
// running head repeats the number of the last heading, in the volume before perhaps.
func (v *Volume) nextNumber(e *edgeLine, hb *headbook) bool {
	p, ok := v.partNumber(v.spanOf(e))
	if !ok || p.N < 1 {
		return false
	}
	first := true
	for i := e.line - 1; i >= 0 && e.page-int(v.PageOf[i]) < longestPage; i-- {
		l := &v.Lines[i]
		if l.Role == Text && first {
			if first = false; p.N == 1 && v.Centred(i) && !v.atLevel(i) {
				if q, ok := v.partNumber(v.TextOf(i)); (!ok || q.ID != p.ID && q.N > 0) && v.setApart(i) && v.headsAgain(e, p) < 6 {
					return true // the name of a book or an act, and its first chapter or scene on the next page
				}
			}
		}
		if l.Role != Text || l.Text.From < 3 || !v.Centred(i) && !v.sideHeading(i) {
			continue
		}
		if q, ok := v.partNumber(v.TextOf(i)); ok && q.ID == p.ID && q.N > 0 {
			return q.N == p.N-1 || p.N == 1 && q.N > 1
		}
	}
	return v.headsAgain(e, p) == 0 && !v.saysHeadBefore(e, hb)
}

// headsAgain counts the pages near an edge line, six before and six after it,
// that have the same kind and number on their first line, as a running head has.
func (v *Volume) headsAgain(e *edgeLine, p english.Phrase) (pages int) {
	for k := max(0, e.page-6); k <= e.page+6 && k < len(v.Pages); k++ {
		top := v.Pages[k].Top
		if k == e.page || top < 0 {
			continue
		}
		if q, ok := v.partNumber(v.TextOf(top)); ok && q.ID == p.ID && q.N == p.N {
			pages++
		}
	}
	return pages
}

// partNumber reads a heading that says a kind and a number, or a number alone.
func (v *Volume) partNumber(t []byte) (english.Phrase, bool) {
	if l, ok := cell.ParseLabel(t); ok && !l.Bare && l.Prefix == "" && l.Suffix == "" {
		return english.Phrase{N: l.Value}, true
	}
	return v.Words.Lookup(t)
}
