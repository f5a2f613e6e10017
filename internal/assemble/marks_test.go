package assemble

import (
	"testing"

	"continuo/internal/book"
	"continuo/internal/source"
)

// The forms of print page turns are those of W3C w3c-wai-hc 1997, 0306 and
// 0312, and of BANA Braille Formats 2016, 1.11.
func TestTurnMarks(t *testing.T) {
	f, err := source.Parse("v.brf", []byte("\"3#ab\none \"3#ac two \"3 #ad three\n\"3 no label\n"))
	if err != nil {
		t.Fatal(err)
	}
	b := book.NewBook([]*source.File{f})
	why := b.Why(book.Reason{Class: "turn"})
	line := func(n int32) book.Piece { return book.Piece{Line: n, To: int32(len(f.Text(int(n))))} }
	b.Blocks = []book.Block{
		{Kind: book.Turn, Pieces: []book.Piece{line(0)}},
		{Kind: book.Para, Pieces: []book.Piece{line(1), {Vol: -1, Tool: []byte("---#ae"), Reason: why}}},
		{Kind: book.Para, Pieces: []book.Piece{line(2)}},
		{Kind: book.Turn, Pieces: []book.Piece{{Vol: -1, Tool: []byte("---"), Reason: why}}},
	}
	got := turnMarks(b, func(_, line int32) bool { return line == 1 })
	want := []struct{ block, piece, from, to, value int }{{0, 0, 0, 5, 12}, {1, 0, 4, 9, 13}, {1, 0, 14, 20, 14}, {1, 1, 0, 6, 15}}
	if len(got) != len(want) {
		t.Fatalf("%d marks, want %d: %v", len(got), len(want), got)
	}
	for i, w := range want {
		g := got[i]
		if int(g.Block) != w.block || int(g.Piece) != w.piece || int(g.From) != w.from || int(g.To) != w.to || g.Label.Value != w.value {
			t.Errorf("mark %d: %+v, want %+v", i, g, w)
		}
	}
}
