package assemble

import (
	"bytes"

	"continuo/internal/book"
	"continuo/internal/cell"
)

// speeches marks the speeches of a play: between two headings half of the
// paragraphs or more begin with a name, and the names come again and again
// (English Braille American Edition, appendix A, section 8: the name at the
// margin, then a full stop; UKAAF, Guiding Principles 2016, appendix K).
func (a *assembly) speeches() {
	for i := 0; i < len(a.b.Blocks); {
		j := i
		for j < len(a.b.Blocks) && a.b.Blocks[j].Kind != book.Heading {
			j++
		}
		a.speechesIn(i, j)
		i = j + 1
	}
}

// speechesIn marks the speeches among the blocks i up to j.
func (a *assembly) speechesIn(i, j int) {
	count := map[string]int{}
	all, named := 0, 0
	for k := i; k < j; k++ {
		if bl := &a.b.Blocks[k]; spoken(bl) {
			all++
			if n := a.speaker(bl); n != "" {
				named++
				count[n]++
			}
		}
	}
	if named < 6 || named*2 < all || len(count)*2 > named {
		return
	}
	for k := i; k < j; k++ {
		if bl := &a.b.Blocks[k]; spoken(bl) && count[a.speaker(bl)] >= 2 {
			bl.Form = book.Speech
		}
	}
}

// spoken reports whether a block can be a speech.
func spoken(bl *book.Block) bool {
	return bl.Part == book.Text && !bl.Cont && len(bl.Pieces) > 0 && (bl.Kind == book.Para || bl.Kind == book.Line) && (bl.Form == book.Plain || bl.Form == book.Verse || bl.Form == book.ListItem)
}

// speaker is the name that a block begins with: one to three words, the last
// with a full stop or colon, and words after it. Numbers are no names.
func (a *assembly) speaker(bl *book.Block) string {
	t := a.b.Text(bl.Pieces[0])
	n := 0
	for from, to := range cell.Words(t) {
		w := t[from:to]
		if n++; n > 3 || bytes.IndexByte(w, '#') >= 0 {
			return ""
		}
		for len(w) > 1 && w[len(w)-1] == '\'' { // the end of capitals or of a typeform
			w = w[:len(w)-1]
		}
		if c := w[len(w)-1]; len(w) > 1 && (c == '4' || c == '3') {
			if to == len(t) && len(bl.Pieces) == 1 {
				return ""
			}
			return string(t[:to])
		}
	}
	return ""
}
