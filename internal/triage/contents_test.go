package triage

import (
	"strings"
	"testing"

	"continuo/internal/book"
)

// TestContents: entries of the contents list that have found no heading.
func TestContents(t *testing.T) {
	for _, c := range []struct {
		what    string
		entries []string // those with "-" before them have found none
		want    bool
	}{
		{"all there", []string{",*apt] #a", ",*apt] #b", ",9dex"}, false},
		{"the last chapter is not", []string{",*apt] #a", ",*apt] #b", "-,*apt] #c"}, true},
		{"the index is not", []string{",*apt] #a", ",*apt] #b", "-,9dex"}, true},
		{"nor in a list of two", []string{",*apt] #a", "-,9dex"}, true},
		{"one without a number within the list", []string{",*apt] #a", "-,pause", ",*apt] #b"}, false},
		{"hardly any is", []string{"-! bell", "-! rope", ",*apt] #b", "-,9dex"}, false},
	} {
		b := &book.Book{}
		for i, e := range c.entries {
			if e[0] == '-' {
				e = e[1:]
			} else {
				b.Links = append(b.Links, book.Link{Kind: book.ListRef, Block: int32(i)})
			}
			b.Blocks = append(b.Blocks, book.Block{Kind: book.Entry, Pieces: []book.Piece{{Vol: -1, Tool: []byte(e)}}})
		}
		if got := len(contents(b)) > 0; got != c.want {
			t.Errorf("%s: %v", c.what, got)
		}
	}
}

// TestListInText: the rest of a contents list without page numbers, taken for verse, says what the headings say, line by
// line; so do a few lines of text by chance.
func TestListInText(t *testing.T) {
	heads := []string{"H ,b[s & oars", "  ! rope", "H ,! old f]ry", "  ! rope", "H ,m>ket days", "  ! rope", "H ,! la/ s1son", "  ! rope"}
	for _, c := range []struct {
		lines []string
		want  int
	}{
		{[]string{"E ,b[s & oars", "  ,b[s & oars", "  ,! old f]ry", "  ,m>ket days", "  ,! la/ s1son"}, 1},
		{[]string{"E ,b[s & oars", "  ,b[s & oars", "  ,! old f]ry", "  n[4", "  ,m>ket days", "  ,! la/ s1son"}, 0},
		{[]string{"  ,b[s & oars", "  ,! old f]ry", "  ,m>ket days", "  ,! la/ s1son"}, 0}, // no contents list
	} {
		lines := append(append([]string{}, c.lines...), heads...)
		b, _ := small(t, lines...)
		if strings.HasPrefix(c.lines[0], "E ") {
			b.Blocks[0].Kind, b.Blocks[0].Pieces[0].From = book.Entry, 2
		}
		if got := len(listInText(b)); got != c.want {
			t.Errorf("%q: %d, want %d", c.lines, got, c.want)
		}
	}
}
