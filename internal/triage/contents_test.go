package triage

import (
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
