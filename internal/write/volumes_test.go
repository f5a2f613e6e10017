package write_test

import (
	"fmt"
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/cell"
	"continuo/internal/profile"
	"continuo/internal/source"
	"continuo/internal/write"
	"continuo/internal/write/pef"
)

// chapters is a book of so many chapters, each a heading and a paragraph of so
// many words.
func chapters(t testing.TB, n, words int) *write.Edition {
	t.Helper()
	b := book.NewBook(nil)
	why := b.Why(book.Reason{Class: "statement", Why: "set by the test"})
	add := func(bl book.Block, text string) {
		bl.Pieces = []book.Piece{{Vol: -1, Tool: []byte(text), Reason: why}}
		b.Blocks = append(b.Blocks, bl)
	}
	for k := range n {
		add(book.Block{Kind: book.Heading, Level: 1, First: 4, Run: 4}, "*apt] "+string(cell.Number(k+1)))
		add(book.Block{Kind: book.Para, First: 2}, strings.TrimSpace(strings.Repeat("go+ ", words)))
	}
	e, _ := set(t, b, 40)
	return e
}

// volumesOf writes a book in volumes and reads the rows of their pages back.
func volumesOf(t *testing.T, e *write.Edition, p profile.Paper) [][][]string {
	t.Helper()
	data, err := pef.Write(e, pef.Options{Paper: p})
	if err != nil {
		t.Fatal(err)
	}
	files, err := source.ParseAll("a.pef", data)
	if err != nil {
		t.Fatal(err)
	}
	var out [][][]string
	for _, f := range files {
		var pages [][]string
		for _, p := range f.Pages {
			var rows []string
			for i := p.First; i < p.Last; i++ {
				rows = append(rows, string(f.Text(int(i))))
			}
			pages = append(pages, rows)
		}
		out = append(out, pages)
	}
	return out
}

// A volume has no more pages than asked for, ends before a chapter where its
// last fifth has one, else where it is full; page numbers run on.
func TestPEFVolumes(t *testing.T) {
	size := profile.Paper{Cells: 20, Lines: 11, VolumePages: 10} // ten lines of five words a page, and the number
	for _, c := range []struct {
		name            string
		chapters, words int
		pages           string // of each volume
		heads           bool   // every volume begins with a chapter
	}{
		{"chapters of three pages end volumes after nine", 8, 4 + 28*5, "[9 9 6]", true},
		{"no chapter is near: full volumes", 1, 4 + 248*5, "[10 10 5]", false},
		{"a book that fits is one volume", 3, 4 + 28*5, "[9]", true},
	} {
		got := volumesOf(t, chapters(t, c.chapters, c.words), size)
		var pages []int
		n := 0
		for v, list := range got {
			pages = append(pages, len(list))
			for _, p := range list {
				n++
				if want := string(cell.Number(n)); strings.TrimSpace(p[0]) != want {
					t.Errorf("%s: page %d has the number %q", c.name, n, p[0])
				}
			}
			if head := strings.Contains(list[0][1], "*apt]"); head != (c.heads || v == 0) {
				t.Errorf("%s: volume %d begins with %q", c.name, v+1, list[0][1])
			}
		}
		if fmt.Sprint(pages) != c.pages {
			t.Errorf("%s: pages %v, want %s", c.name, pages, c.pages)
		}
	}
}

// On both sides of the paper the blank back of a last leaf counts: a volume
// begins with an odd number, which stands on right-hand pages.
func TestPEFVolumesBothSides(t *testing.T) {
	got := volumesOf(t, chapters(t, 8, 4+28*5), profile.Paper{Cells: 20, Lines: 11, VolumePages: 10, BothSides: true})
	for v, want := range []int{1, 11, 21} {
		if v >= len(got) || strings.TrimSpace(got[v][0][0]) != string(cell.Number(want)) {
			t.Errorf("volume %d does not begin with page %d: %q", v+1, want, got[v][0][0])
		}
	}
}
