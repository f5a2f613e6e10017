package book

import (
	"testing"

	"continuo/internal/source"
)

// pieces makes a block of lines of one source, each a piece; a line that
// begins with "+" is joined to the one before it.
func pieces(t *testing.T, kind Kind, lines ...string) (*Book, *Block) {
	t.Helper()
	b := NewBook([]*source.File{parse(t, "x\n")})
	bl := &Block{Kind: kind}
	for _, l := range lines {
		p := Piece{Vol: -1, Tool: []byte(l)}
		if l != "" && l[0] == '+' {
			p.Join, p.Tool = 1, p.Tool[1:]
		}
		bl.Pieces = append(bl.Pieces, p)
	}
	return b, bl
}

func TestAppendPiece(t *testing.T) {
	for _, c := range []struct {
		kind  Kind
		lines []string
		want  string
	}{
		{Para, []string{"  ! old", "f]ry  cross$ "}, "! old f]ry cross$"},
		{Para, []string{"! f]", "+ry", "cross$"}, "! f]ry cross$"},
		{Para, []string{"", "! old", "", "+ f]ry"}, "! oldf]ry"},
		{Para, []string{"+! old"}, "! old"},
		{Line, []string{"  apples    #ab ", "c"}, "apples    #ab c"},
		{Entry, []string{"! f]ry", "#ab"}, "! f]ry #ab"},
	} {
		b, bl := pieces(t, c.kind, c.lines...)
		var got []byte
		for i := range bl.Pieces {
			got = b.AppendPiece(got, bl, i)
		}
		if string(got) != c.want {
			t.Errorf("%s %q: %q, want %q", c.kind, c.lines, got, c.want)
		}
	}
}

// TestSetOffset: a cell is found again at its offset in what was set.
func TestSetOffset(t *testing.T) {
	for _, kind := range []Kind{Para, Line} {
		text := "  ! old   f]ry  "
		b, bl := pieces(t, kind, text)
		set := b.AppendPiece(nil, bl, 0)
		for i := range text {
			at := b.SetOffset(bl, 0, i)
			if text[i] != ' ' && (at >= len(set) || set[at] != text[i]) {
				t.Errorf("%s: cell %d of %q is said to stand at %d of %q", kind, i, text, at, set)
			}
		}
		if got := b.SetOffset(bl, 0, len(text)); got != len(set) {
			t.Errorf("%s: the end stands at %d, want %d", kind, got, len(set))
		}
		if got := b.SetOffset(bl, 0, 0); got != 0 {
			t.Errorf("%s: the start stands at %d", kind, got)
		}
	}
}
