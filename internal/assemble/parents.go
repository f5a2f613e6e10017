package assemble

import (
	"bytes"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/diag"
	"continuo/internal/structure"
)

// ParentClass is the class of reasons for names of books before the headings of
// their chapters.
const ParentClass = "parent"

// maxParent is the longest name that is written before a heading, in cells.
const maxParent = 60

// parents writes the name of its book before every heading that says only a
// number, in books of books, so that one search finds it.
func (a *assembly) parents() {
	if !a.o.Profile.ParentNames {
		return
	}
	list := structure.FindParents(a.b, a.vols)
	n := 0
	short := a.shortNames(list)
	for _, p := range list {
		name := append([]byte(nil), short[string(p.Work)]...)
		if len(p.Over) > 0 {
			name = append(append(name, cell.Blank), p.Over...)
		}
		name = clean(name)
		if len(name) == 0 || len(name) > maxParent {
			continue
		}
		why := a.why(ParentClass, "name of the book before the heading of a chapter", p.Evidence, p.Sure)
		bl := &a.b.Blocks[p.Block]
		if bl.Kind != book.Heading { // a heading at cell 5
			bl.Kind, bl.First, bl.Run = book.Heading, int16(a.o.Profile.HeadingIndent), int16(a.o.Profile.HeadingIndent)+2
		}
		bl.Pieces = append([]book.Piece{{Vol: -1, Tool: name, Reason: why}}, bl.Pieces...)
		n++
	}
	if n > 0 {
		a.find(diag.Note, "parents", a.vols[a.first()], -1, "%d headings that say only a number carry the name of their book", n)
	}
	a.nParents = n
}

// shortNames gives the names of books as they are written before headings: in
// full or, where a heading with it would go over the end of a line of the paper
// and could not be searched for, its first words, when these name no other book.
func (a *assembly) shortNames(list []structure.Parent) map[string][]byte {
	need, out := map[string]int{}, map[string][]byte{}
	for _, p := range list {
		n := p.Own + 1
		if len(p.Over) > 0 {
			n += len(p.Over) + 1
		}
		need[string(p.Work)] = max(need[string(p.Work)], n)
	}
	width := 0
	for _, v := range a.vols {
		width = max(width, v.Width)
	}
	for work, n := range need {
		out[work] = []byte(work)
		room := width - a.o.Profile.HeadingIndent - n
		cut := []byte(work)
		for (len(cut) > room || structure.BreaksOff(cut)) && bytes.IndexByte(cut, cell.Blank) > 0 {
			cut = cut[:bytes.LastIndexByte(cut, cell.Blank)]
		}
		if len(cut) <= room && len(cut) >= 4 && onlyOne(need, string(cut)) {
			out[work] = cut
		}
	}
	return out
}

// onlyOne reports whether one of the names only begins with some words.
func onlyOne(names map[string]int, words string) bool {
	n := 0
	for name := range names {
		if len(name) >= len(words) && name[:len(words)] == words {
			n++
		}
	}
	return n == 1
}
