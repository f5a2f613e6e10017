package finders_test

import (
	"testing"

	"continuo/internal/book"
	"continuo/internal/finders"
)

// TestMarkAloneOnItsLine: the mark of a note stands alone on its line, and the words after it are those
// of other notes with the same mark. No promised string goes over the line end, and no hit that only
// one reading of line ends finds is counted (the search of a display goes through the file's bytes).
func TestMarkAloneOnItsLine(t *testing.T) {
	lines := []string{"x #b ,see #b ,so", ",notes", "#a ,so 9 all copies", "#b ,so 9 a few copies", "#b ,see ! a3.t ( ! ye>", "#b", ",see ! a3.t ( ! ye>", "#b ,see ! a3.t ( ! ye>"}
	blocks := []book.Block{{Kind: book.Para, Part: book.Text}, {Kind: book.Heading, First: 4, Run: 4, Part: book.NotesPart}}
	for _, l := range lines[2:] {
		bl := book.Block{Kind: book.Para, Part: book.NotesPart, Form: book.Note}
		if l[0] != '#' {
			bl.Form, bl.Cont = book.NoteMore, true
		}
		blocks = append(blocks, bl)
	}
	src, edition := setBook(t, blocks, lines, 40)
	list := finders.Make(src)
	sum := map[finders.Class]*score{}
	for _, w := range judge(edition, list, sum) {
		t.Error(w)
	}
	if s := sum[finders.Note]; s == nil || s.targets != 5 || s.promised < 3 {
		t.Errorf("notes: %+v", s)
	}
}
