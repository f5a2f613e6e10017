package assemble

import (
	"continuo/internal/book"
	"continuo/internal/diag"
	"continuo/internal/english"
)

// innerEntries is how many entries with numbers make a contents list.
const innerEntries = 3

// tellInnerLists tells contents lists that stand within the text, as that of a
// second work in the same volumes does: they stay as they are, with their numbers.
func (a *assembly) tellInnerLists() {
	for i := range a.b.Blocks {
		bl := &a.b.Blocks[i]
		if bl.Kind != book.Heading || bl.Part == book.ContentsList || len(bl.Pieces) == 0 || bl.Pieces[0].Vol < 0 {
			continue
		}
		p := bl.Pieces[0]
		if ph, ok := a.vols[p.Vol].Words.Lookup(a.headText(i)); !ok || ph.ID != english.Contents {
			continue
		}
		n := 0
		for k := i + 1; k < len(a.b.Blocks) && a.b.Blocks[k].Kind != book.Heading; k++ {
			t := a.headText(k)
			e, ok := splitEntry(t)
			n += boolInt(ok && e.from-len(e.text) > 2) // guide dots between
		}
		if n >= innerEntries {
			a.find(diag.Note, "contents-within", a.vols[p.Vol], p.Line, "a contents list of %d entries stands within the text, as that of a second work does; it stays there, and its numbers may be those of the paper pages", n)
		}
	}
}
