package book

import (
	"reflect"
	"testing"

	"continuo/internal/source"
)

func parse(t *testing.T, text string) *source.File {
	t.Helper()
	f, err := source.Parse("v1.brf", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestWhyKeepsOneIDEach(t *testing.T) {
	b := NewBook(nil)
	one := b.Why(Reason{Class: "head", Why: "x", Confidence: 1})
	two := b.Why(Reason{Class: "head", Why: "x", Confidence: 0.9})
	if one == 0 || two == 0 || one == two {
		t.Errorf("ids %d and %d", one, two)
	}
	if again := b.Why(Reason{Class: "head", Why: "x", Confidence: 1}); again != one || len(b.Reasons) != 3 {
		t.Errorf("the same reason has ids %d and %d, %d reasons", one, again, len(b.Reasons))
	}
}

func TestCutsStandInOrder(t *testing.T) {
	b := NewBook([]*source.File{parse(t, "#a  ! old f]ry   #b\n")})
	why := b.Why(Reason{Class: "page-number"})
	for _, from := range []int32{17, 0, 9, 4} {
		b.AddCut(0, 0, Cut{From: from, To: from + 2, Reason: why})
	}
	for i, want := range []int32{0, 4, 9, 17} {
		if got := b.Cuts[0][0][i].From; got != want {
			t.Errorf("cut %d begins at cell %d, want %d", i, got, want)
		}
	}
}

func TestText(t *testing.T) {
	b := NewBook([]*source.File{parse(t, "\n  ! old f]ry\n")})
	if got := string(b.Text(Piece{Line: 1, From: 4, To: 7})); got != "old" {
		t.Errorf("cells of a line: %q", got)
	}
	if got := string(b.Text(Piece{Line: 1, From: 4, To: 7, Tool: []byte("new")})); got != "new" {
		t.Errorf("cells of the tool in their place: %q", got)
	}
	if got := string(b.Text(Piece{Vol: -1, Tool: []byte("x")})); got != "x" {
		t.Errorf("cells of the tool: %q", got)
	}
}

func TestKindsHaveNames(t *testing.T) {
	seen := map[string]bool{}
	for k := TitleLine; k <= Label; k++ {
		if s := k.String(); s == "" || seen[s] {
			t.Errorf("kind %d: %q", k, s)
		}
		seen[k.String()] = true
	}
}

// TestInsert: links and marks go on pointing at their blocks.
func TestInsert(t *testing.T) {
	b := NewBook(nil)
	b.Blocks = make([]Block, 4)
	b.Links = []Link{{Block: 0, Target: 2}, {Block: 3, Target: 1}}
	b.Turns = []PageMark{{Block: 1}, {Block: 2}}
	b.Insert(2, make([]Block, 3))
	if len(b.Blocks) != 7 || b.Links[0] != (Link{Block: 0, Target: 5}) || b.Links[1] != (Link{Block: 6, Target: 1}) || b.Turns[0].Block != 1 || b.Turns[1].Block != 5 {
		t.Errorf("%d blocks, links %v, turns %v", len(b.Blocks), b.Links, b.Turns)
	}
}

// Links and marks go on pointing at what they pointed at when blocks before it
// are taken out, and go with what is taken out.
func TestRemove(t *testing.T) {
	b := &Book{Blocks: make([]Block, 6), Links: []Link{{Block: 0, Target: 5}, {Block: 1, Target: 2}, {Block: 3, Target: 0}, {Block: 4, Target: 1}}, Turns: []PageMark{{Block: 1}, {Block: 2}, {Block: 4}}}
	b.Remove(2, 4)
	want := &Book{Blocks: make([]Block, 4), Links: []Link{{Block: 0, Target: 3}, {Block: 2, Target: 1}}, Turns: []PageMark{{Block: 1}, {Block: 2}}}
	if !reflect.DeepEqual(b, want) {
		t.Errorf("%+v", b)
	}
}
