package finders

import (
	"bytes"

	"continuo/internal/book"
	"continuo/internal/cell"
)

// keptWords is how many words after its mark stay with a print page whose mark
// stands more than once in the book.
const keptWords = 2

// Keeps lists the cells that the setter should keep on one line, so that they
// can be searched for: the marks of print pages, and the words after one that
// stands more than once. The other strings begin a block; they stand on its
// first line as far as it goes.
func Keeps(b *book.Book) []book.Keep {
	times := map[string]int{}
	marks := make([]string, len(b.Turns))
	for i, m := range b.Turns {
		marks[i] = string(pageMark(b, m))
		times[marks[i]]++
	}
	var out []book.Keep
	for i, m := range b.Turns {
		again := times[marks[i]] > 1
		if !again && bytes.IndexByte([]byte(marks[i]), cell.Blank) < 0 {
			continue // nothing in it can break
		}
		from, to, words := setSpan(b, m)
		if again {
			to = afterWords(words, to, keptWords)
		}
		out = append(out, book.Keep{Block: m.Block, From: int32(from), To: int32(to)})
	}
	return out
}

// setSpan is the place of a mark among the cells of its block as they are set,
// and these cells.
func setSpan(b *book.Book, m book.PageMark) (from, to int, words []byte) {
	bl := &b.Blocks[m.Block]
	for k := range bl.Pieces {
		n := len(words)
		words = b.AppendPiece(words, bl, k)
		if int32(k) != m.Piece {
			continue
		}
		if n > 0 && bl.Pieces[k].Join == 0 && len(words) > n {
			n++
		}
		from, to = n+b.SetOffset(bl, k, int(m.From)), n+b.SetOffset(bl, k, int(m.To))
	}
	return from, to, words
}

// afterWords is the end of n more words after cell to.
func afterWords(words []byte, to, n int) int {
	for ; n > 0 && to < len(words); n-- {
		for to < len(words) && words[to] == cell.Blank {
			to++
		}
		for to < len(words) && words[to] != cell.Blank {
			to++
		}
	}
	return to
}
