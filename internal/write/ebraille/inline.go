package ebraille

import (
	"fmt"
	"slices"
	"unicode/utf8"

	"continuo/internal/book"
	"continuo/internal/cell"
)

// span is a part of a block's text that is an element of its own.
type span struct {
	from, to    int
	open, close string
}

// cellUTF8 has the three bytes of each cell; a zero first byte marks a byte
// that is no cell.
var cellUTF8 = func() (t [256][3]byte) {
	for c := range 256 {
		if b := byte(c); cell.Is(b) {
			utf8.EncodeRune(t[c][:], cell.Rune(b))
		}
	}
	return t
}()

// set returns the text of a block as it is set, and keeps where its pieces
// begin. The result lives until the next call.
func (w *writer) set(block int) []byte {
	bl := &w.b.Blocks[block]
	w.cells, w.starts = w.cells[:0], w.starts[:0]
	for i := range bl.Pieces {
		before := len(w.cells)
		w.cells = w.b.AppendPiece(w.cells, bl, i)
		if before > 0 && len(w.cells) > before && bl.Pieces[i].Join == 0 {
			before++
		}
		w.starts = append(w.starts, before)
	}
	return w.cells
}

// place turns cells of a piece into a span of the block's text, without blanks
// at its ends. The block must be the one that was set last.
func (w *writer) place(bl *book.Block, piece, first, end int32) (from, to int, ok bool) {
	if piece < 0 || int(piece) >= len(bl.Pieces) || first < 0 || end < first {
		return 0, 0, false
	}
	start := w.starts[piece]
	from, to = start+w.b.SetOffset(bl, int(piece), int(first)), start+w.b.SetOffset(bl, int(piece), int(end))
	to = min(to, len(w.cells))
	for from < to && w.cells[from] == cell.Blank {
		from++
	}
	for to > from && w.cells[to-1] == cell.Blank {
		to--
	}
	return from, to, to > from
}

// spans lists the elements within a block that was set last. note asks for a
// link back from the block's first word to the reference of the note.
func (w *writer) spans(block int, note bool) []span {
	marks := w.marks[block]
	var out []span
	for _, m := range marks {
		if m.page >= 0 {
			out = append(out, span{m.from, m.to, "<span" + pageAttributes(w.pages[m.page]) + ">", "</span>"})
			continue
		}
		out = append(out, span{m.from, m.to, w.linkTag(m), "</a>"})
	}
	r, ok := w.refs[block]
	if !ok || !note {
		return out
	}
	for _, f := range cell.Fields(w.cells) {
		if free(marks, f[0], f[1]) {
			out = append(out, span{f[0], f[1], fmt.Sprintf(`<a role="doc-backlink" href="%s#%s">`, w.files[w.fileOf[r.block]].name, r.id), "</a>"})
			break
		}
	}
	slices.SortFunc(out, func(a, b span) int { return a.from - b.from })
	return out
}

// free says whether cells from up to to are part of none of the marks.
func free(marks []mark, from, to int) bool {
	for _, m := range marks {
		if from < m.to && m.from < to {
			return false
		}
	}
	return true
}

func pageAttributes(p page) string {
	return fmt.Sprintf(` id="%s" role="doc-pagebreak" epub:type="pagebreak" aria-label="%s"`, p.id, string(appendCells(nil, p.number, false, nil)))
}

func (w *writer) linkTag(m mark) string {
	href := w.href(int(m.link.Target))
	if m.link.Kind == book.NoteRef {
		return fmt.Sprintf(`<a id="%s" href="%s" role="doc-noteref" epub:type="noteref">`, m.id, href)
	}
	return fmt.Sprintf(`<a href="%s">`, href)
}

// href is where a block stands, as seen from another content file.
func (w *writer) href(block int) string {
	name := w.files[w.fileOf[block]].name
	if w.anchor[block] == "" {
		return name
	}
	return name + "#" + w.anchor[block]
}

// words appends the text of a block with its elements. With pre every blank is
// a cell of its own.
func (w *writer) words(dst []byte, block int, note, pre bool) []byte {
	cells := w.set(block)
	return w.between(dst, cells, w.spans(block, note), 0, len(cells), pre)
}

// between appends cells from up to to with the elements that lie within.
func (w *writer) between(dst, cells []byte, spans []span, from, to int, pre bool) []byte {
	for _, s := range spans {
		if s.from < from || s.to > to {
			continue
		}
		dst = appendCells(dst, cells[from:s.from], pre, &w.ed.Foreign)
		dst = append(dst, s.open...)
		dst = appendCells(dst, cells[s.from:s.to], pre, &w.ed.Foreign)
		dst = append(dst, s.close...)
		from = s.to
	}
	return appendCells(dst, cells[from:to], pre, &w.ed.Foreign)
}

// appendCells appends cells as Unicode braille. A blank is U+0020, in a run all
// but the last are U+2800; with pre all of them are. A byte that is no cell is
// the cell of all eight dots, as in the other formats, and is counted.
func appendCells(dst, cells []byte, pre bool, foreign *int) []byte {
	for i, c := range cells {
		u := &cellUTF8[c]
		switch {
		case u[0] == 0:
			dst = append(dst, "\u28FF"...)
			if foreign != nil {
				*foreign++
			}
		case c == cell.Blank && !pre && (i+1 == len(cells) || cells[i+1] != cell.Blank):
			dst = append(dst, ' ')
		default:
			dst = append(dst, u[0], u[1], u[2])
		}
	}
	return dst
}

// plain is cells as the text of an attribute or of the contents.
func plain(cells []byte) string { return string(appendCells(nil, cells, false, nil)) }
