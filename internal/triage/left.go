package triage

import (
	"bytes"
	"strings"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/layout"
)

// leftHeads looks for lines kept as text that are like a page head: the words
// of the title or of a heading, or their beginning, with a page label set off
// by three blanks at the end or start.
func leftHeads(b *book.Book, title string) []sign {
	if b == nil {
		return nil
	}
	known := map[string]bool{}
	if t := layout.Normal([]byte(title)); len(t) >= minHead {
		known[t] = true
	}
	for i := range b.Blocks {
		if bl := &b.Blocks[i]; bl.Kind == book.Heading {
			if t := layout.Normal(entryText(b, bl)); len(t) >= minHead {
				known[t] = true
			}
		}
	}
	for i := range b.Blocks {
		if titleAmong(b, i, title) {
			return []sign{lookAt("head-left", firstPiece(&b.Blocks[i]), sourceText(b, &b.Blocks[i]), "a line like a page head stands in the text")}
		}
		switch bl := &b.Blocks[i]; bl.Kind {
		case book.Entry, book.Rule, book.Turn, book.Label, book.Para:
		default:
			for _, p := range bl.Pieces {
				if t := b.Text(p); p.Tool == nil && likeHead(t, known) {
					return []sign{lookAt("head-left", p, t, "a line like a page head stands in the text")}
				}
			}
		}
	}
	return nil
}

// titleAmong reports whether a block has the words of the title, or two and more that
// it begins with, where these are no text: between two entries of a contents list,
// before a page label and other words, or after a page label of the preliminary pages.
func titleAmong(b *book.Book, i int, title string) bool {
	bl := &b.Blocks[i]
	if bl.Part == book.TitlePage || bl.Part == book.Prelims {
		t := bytes.TrimSpace(sourceText(b, bl))
		if i := bytes.Index(t, []byte("   ")); i > 0 {
			if _, label := cell.ParseLabel(t[:i]); label && beginsTitle(t[i:], title) { // "ii" and the title
				return true
			}
			if _, label := cell.ParseLabel(bytes.TrimSpace(t[i:])); label && beginsTitle(t[:i], title) {
				return true
			}
		}
	}
	switch bl.Kind {
	case book.TitleLine, book.Rule, book.Turn, book.Label:
		return false
	}
	entries := i > 0 && i+1 < len(b.Blocks) && b.Blocks[i-1].Kind == book.Entry && b.Blocks[i+1].Kind == book.Entry
	if !entries && (bl.Kind == book.Entry || bl.Kind == book.Para && bl.Part != book.Prelims) {
		return false
	}
	t := bytes.TrimSpace(sourceText(b, bl))
	if entries {
		return beginsTitle(t, title)
	}
	for i, x := range cell.Fields(t) {
		if i == 0 { // no words before it
			continue
		}
		if isLabel(t[x[0]:x[1]]) {
			return x[1] < len(t) && beginsTitle(t[:x[0]], title)
		}
	}
	return false
}

// beginsTitle reports whether words are those of the title or two at least that it
// begins with.
func beginsTitle(t []byte, title string) bool {
	w := layout.Normal(bytes.TrimSpace(t))
	return len(w) >= minHead && strings.IndexByte(w, ' ') > 0 && strings.HasPrefix(layout.Normal([]byte(title))+" ", w+" ")
}

// minHead is how many cells words must have to be known again.
const minHead = 6

func likeHead(t []byte, known map[string]bool) bool {
	t = bytes.TrimSpace(t)
	rest := []byte(nil)
	if i := bytes.LastIndex(t, []byte("   ")); i > 0 && isLabel(t[i+3:]) {
		rest = t[:i]
	} else if i := bytes.Index(t, []byte("   ")); i > 0 && isLabel(t[:i]) {
		rest = t[i:]
	}
	words := layout.Normal(bytes.TrimSpace(rest))
	if len(words) < minHead {
		return false
	}
	for k := range known {
		if layout.Alike(words, k) || len(words) < len(k) && k[:len(words)] == words {
			return true
		}
	}
	return false
}

func isLabel(t []byte) bool {
	l, ok := cell.ParseLabel(bytes.TrimSpace(t))
	return ok && !l.Bare
}

// firstPiece is the first piece of a block that is of the sources.
func firstPiece(bl *book.Block) book.Piece {
	for _, p := range bl.Pieces {
		if p.Tool == nil {
			return p
		}
	}
	return book.Piece{}
}
