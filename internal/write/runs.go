package write

import (
	"continuo/internal/book"
)

// Run is a stretch of the text of a block: cells that belong to the same print
// page turn, to the same link, or to none.
type Run struct {
	Cells []byte
	Mark  int // index into Book.Turns, -1 for none
	Link  int // index into Book.Links, -1 for none
}

// Marks finds turns and links by the block and piece that they stand in.
type Marks struct {
	turns, links map[[2]int32][]int
}

// MarksOf prepares the turns and links of a book.
func MarksOf(b *book.Book) *Marks {
	m := &Marks{map[[2]int32][]int{}, map[[2]int32][]int{}}
	for i, t := range b.Turns {
		k := [2]int32{t.Block, t.Piece}
		m.turns[k] = append(m.turns[k], i)
	}
	for i, l := range b.Links {
		k := [2]int32{l.Block, l.Piece}
		m.links[k] = append(m.links[k], i)
	}
	return m
}

// Runs returns the text of block i as it stands in the edition when set as one
// line, without its indent.
func (m *Marks) Runs(b *book.Book, i int) []Run {
	bl := &b.Blocks[i]
	var text []byte
	var marks, links []int32 // one more than the index, for every cell; 0 for none
	for k := range bl.Pieces {
		at := len(text)
		text = b.AppendPiece(text, bl, k)
		if at > 0 && len(text) > at && bl.Pieces[k].Join == 0 {
			at++ // the blank between two pieces
		}
		marks = append(marks, make([]int32, len(text)-len(marks))...)
		links = append(links, make([]int32, len(text)-len(links))...)
		paint := func(over []int32, from, to int32, n int) {
			for j := at + b.SetOffset(bl, k, int(from)); j < min(at+b.SetOffset(bl, k, int(to)), len(over)); j++ {
				over[j] = int32(n) + 1
			}
		}
		for _, n := range m.turns[[2]int32{int32(i), int32(k)}] {
			paint(marks, b.Turns[n].From, b.Turns[n].To, n)
		}
		for _, n := range m.links[[2]int32{int32(i), int32(k)}] {
			paint(links, b.Links[n].From, b.Links[n].To, n)
		}
	}
	return cut(text, marks, links)
}

// cut makes runs of the cells that have the same mark and link.
func cut(text []byte, marks, links []int32) []Run {
	var out []Run
	for from, to := 0, 0; from < len(text); from = to {
		for to = from + 1; to < len(text) && marks[to] == marks[from] && links[to] == links[from]; to++ {
		}
		out = append(out, Run{text[from:to], int(marks[from]) - 1, int(links[from]) - 1})
	}
	return out
}

// Text is the cells of runs.
func Text(runs []Run) []byte {
	var out []byte
	for _, r := range runs {
		out = append(out, r.Cells...)
	}
	return out
}
