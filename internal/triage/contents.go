package triage

import (
	"bytes"
	"slices"
	"strings"

	"continuo/internal/book"
	"continuo/internal/layout"
)

// contents looks for entries of the contents list that no heading of the text
// answers to: the text may end before it. It asks only where most entries have
// found their headings, where all of them come last and are of a kind with
// some that did (chapter 1 is there, chapters 2 and 3 are not), or where it is the last one alone; and
// only of entries of the first rank, for sub-headings are often not told from text: those with a number, and the last one.
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
	first, last := int16(99), int32(-1) // the last entry that found its heading
	kinds := map[string]bool{}          // first words of entries that found theirs
	for i := range b.Blocks {
		if bl := &b.Blocks[i]; bl.Kind == book.Entry {
			all = append(all, int32(i))
			first = min(first, bl.First)
			if linked[int32(i)] {
				last = int32(i)
				kinds[entryKind(b, bl)] = true
			}
		}
	}
	var gone []int32
	found, tail := 0, 0
	for _, i := range all {
		switch bl := &b.Blocks[i]; {
		case linked[i]:
			found++
		case bl.First == first && (i == all[len(all)-1] || bytes.IndexByte(entryText(b, bl), '#') >= 0):
			gone = append(gone, i)
			tail += is(i > last && (kinds[entryKind(b, bl)] || found > 0 && found == len(all)-1))
		}
	}
	if len(gone) == 0 || tail < len(gone) && (found < 2 || found < 2*len(gone)) {
		return nil
	}
	return []sign{lookAt("heading-missing", b.Blocks[gone[0]].Pieces[0], entryText(b, &b.Blocks[gone[0]]), "an entry of the contents list that no heading of the text answers to, %d such in all", len(gone))}
}

// contentsTwice looks for the heading of the contents list in the text of a later volume
// without a list under it: a list that goes on into the text without a page end may have
// stayed there.
func contentsTwice(b *book.Book) []sign {
	if b == nil {
		return nil
	}
	heading, vol := "", int32(0)
	for i := range b.Blocks {
		bl := &b.Blocks[i]
		if len(bl.Pieces) != 1 || bl.Pieces[0].Tool != nil || bl.Kind == book.Entry {
			continue
		}
		list := i+1 < len(b.Blocks) && b.Blocks[i+1].Kind == book.Entry
		switch t := b.Text(bl.Pieces[0]); {
		case heading == "" && list:
			heading, vol = layout.Normal(t), bl.Pieces[0].Vol
		case heading != "" && !list && bl.Pieces[0].Vol > vol && layout.Normal(t) == heading:
			return []sign{lookAt("head-left", bl.Pieces[0], b.Text(bl.Pieces[0]), "the heading of the contents list stands in the text again")}
		}
	}
	return nil
}

// entriesInText looks for lines of the text with guide dots and a page label at the end that
// begin with the words of a heading: entries of a contents list.
func entriesInText(b *book.Book) []sign {
	if b == nil {
		return nil
	}
	var names map[string]bool
	for i := range b.Blocks {
		bl := &b.Blocks[i]
		if bl.Kind == book.Entry || bl.Kind == book.Heading || len(bl.Pieces) != 1 || bl.Pieces[0].Tool != nil {
			continue
		}
		t := bytes.TrimSpace(b.Text(bl.Pieces[0]))
		dots := bytes.Index(t, []byte(` """`))
		if dots < 0 || !isLabel(t[bytes.LastIndexByte(t, ' ')+1:]) {
			continue
		}
		if names == nil {
			names = headings(b)
		}
		for words := headWords(t[:dots]); words != ""; words = words[:max(0, strings.LastIndexByte(words, ' '))] {
			if names[words] {
				return []sign{lookAt("head-left", bl.Pieces[0], t, "an entry of a contents list stands in the text")}
			}
		}
	}
	return nil
}

// entriesInRow is how many lines of text in a row, each with the words of a heading, are of a contents list.
const entriesInRow = 4

// listInText looks for lines of the text in a row that say what headings and contents entries do and nothing else: the
// rest of a contents list that shows no page numbers.
func listInText(b *book.Book) []sign {
	if !hasContents(b) {
		return nil
	}
	names, entries := map[string]bool{}, map[string]bool{}
	for i := range b.Blocks {
		switch bl := &b.Blocks[i]; bl.Kind {
		case book.Heading:
			names[headWords(sourceText(b, bl))] = true
		case book.Entry:
			entries[headWords(entryText(b, bl))] = true
		}
	}
	row := 0
	for i := range b.Blocks {
		bl := &b.Blocks[i]
		if bl.Kind != book.Line && bl.Kind != book.Para || bl.Form == book.Note || len(bl.Pieces) != 1 || bl.Pieces[0].Tool != nil {
			row = 0
			continue
		}
		if k := headWords(b.Text(bl.Pieces[0])); len(k) < minHead || !names[k] && !entries[k] {
			row = 0
		} else if row++; row == entriesInRow {
			return []sign{lookAt("head-left", bl.Pieces[0], b.Text(bl.Pieces[0]), "lines in a row that say what the headings say stand in the text: the rest of a contents list")}
		}
	}
	return nil
}

// hasContents reports whether a contents list is in the book.
func hasContents(b *book.Book) bool {
	return b != nil && slices.ContainsFunc(b.Blocks, func(bl book.Block) bool { return bl.Kind == book.Entry })
}

// entryKind is the first word of an entry, "chapter" of "chapter 3".
func entryKind(b *book.Book, bl *book.Block) string {
	kind, _, _ := strings.Cut(layout.Normal(bytes.TrimSpace(entryText(b, bl))), " ")
	return kind
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
