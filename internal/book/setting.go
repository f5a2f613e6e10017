package book

import (
	"bytes"

	"continuo/internal/cell"
)

// Flows says whether blocks of a kind are running text, in which line ends and
// runs of blanks of the sources mean nothing.
func (k Kind) Flows() bool { return k == Para || k == Entry || k == Heading }

// AppendPiece appends the text of piece i of a block to dst, which holds the
// pieces of the block before it, as every edition sets it: one blank between
// two pieces unless they are joined, no blanks at the ends of a piece, and in
// running text one blank for a run of them.
func (b *Book) AppendPiece(dst []byte, bl *Block, i int) []byte {
	text := b.Text(bl.Pieces[i])
	if len(text) == 0 {
		return dst
	}
	if len(dst) > 0 && bl.Pieces[i].Join == 0 {
		dst = append(dst, cell.Blank)
	}
	return appendSet(dst, text, bl.Kind.Flows())
}

// ends returns the span of text without the blanks at its ends.
func ends(text []byte) (from, to int) {
	to = len(text)
	for from < to && text[from] == cell.Blank {
		from++
	}
	for to > from && text[to-1] == cell.Blank {
		to--
	}
	return from, to
}

func appendSet(dst, text []byte, flow bool) []byte {
	from, to := ends(text)
	text = text[from:to]
	for flow {
		k := bytes.Index(text, []byte{cell.Blank, cell.Blank})
		if k < 0 {
			break
		}
		dst = append(dst, text[:k+1]...)
		for text = text[k+1:]; text[0] == cell.Blank; {
			text = text[1:]
		}
	}
	return append(dst, text...)
}

// SetOffset tells how many cells of the text of piece i are set before cell
// offset of it: the place of that cell in what AppendPiece appends for the
// piece, the blank before it not counted.
func (b *Book) SetOffset(bl *Block, i, offset int) int {
	text := b.Text(bl.Pieces[i])
	from, to := ends(text)
	offset = min(max(offset, from), to)
	if !bl.Kind.Flows() {
		return offset - from
	}
	n := 0
	for k := from; k < offset; k++ {
		if text[k] != cell.Blank || text[k-1] != cell.Blank {
			n++
		}
	}
	return n
}
