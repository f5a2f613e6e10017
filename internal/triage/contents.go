package triage

import (
	"bytes"

	"continuo/internal/book"
)

// contents looks for entries of the contents list that no heading of the text
// answers to: the text may end before it. It asks only where most entries have
// found their headings, and only of entries of the first rank: sub-headings are
// often not told from text.
func contents(b *book.Book) []sign {
	if b == nil {
		return nil
	}
	linked := map[int32]bool{}
	for _, l := range b.Links {
		if l.Kind == book.ListRef {
			linked[l.Block] = true
		}
	}
	var all []int32
	first := int16(99)
	for i := range b.Blocks {
		if bl := &b.Blocks[i]; bl.Kind == book.Entry {
			all = append(all, int32(i))
			first = min(first, bl.First)
		}
	}
	var gone []int32
	found := 0
	for _, i := range all {
		switch bl := &b.Blocks[i]; {
		case linked[i]:
			found++
		case bl.First == first && bytes.IndexByte(entryText(b, bl), '#') >= 0:
			gone = append(gone, i)
		}
	}
	if len(gone) == 0 || found < 2 || found < 2*len(gone) {
		return nil
	}
	return []sign{look("heading-missing", "the contents list %q, and no heading of the text is that; %d such in all", entryText(b, &b.Blocks[gone[0]]), len(gone))}
}

func entryText(b *book.Book, bl *book.Block) []byte {
	var out []byte
	for i, p := range bl.Pieces {
		if i > 0 {
			out = append(out, ' ')
		}
		out = append(out, b.Text(p)...)
	}
	return out
}
