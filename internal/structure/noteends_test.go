package structure

import (
	"testing"

	"continuo/internal/layout"
)

// volumeOf makes a volume of text lines on pages of 26 lines, 38 cells wide; "\f"
// begins a page.
func volumeOf(text ...string) *Volume {
	v := &Volume{Volume: &layout.Volume{Width: 38, TextWidth: 38}}
	page := int32(0)
	for _, t := range text {
		top := t == "\f"
		if top {
			page++
			continue
		}
		n := 0
		for t[n] == ' ' {
			n++
		}
		v.Units = append(v.Units, Unit{Line: int32(len(v.Units)), Page: page, From: int32(n), To: int32(len(t)), Avail: 38, Text: []byte(t[n:]), Phrase: &noPhrase})
	}
	v.Notes = [2]int{len(v.Units), len(v.Units)}
	return v
}

// TestNoteEnds: where a note within the text ends, when its last line is full and
// ends a sentence (BANA, Braille Formats 2016, section 16: notes begin in cell 7,
// runovers in cell 5).
func TestNoteEnds(t *testing.T) {
	for _, c := range []struct {
		name string
		text []string
		want int
	}{
		{"a paragraph follows", []string{"      99#a !n !y s5t ! old f]ry ag1 e4", "  ye old m5 ( ! riv] h se5 x -e & g", "ag4"}, 1},
		{"its runover follows", []string{"      99#a !n !y s5t ! old f]ry ag1 e4", "    ye old m5 ( ! riv] h se5 x -e & g", "    ag4"}, 3},
		{"it goes on over the page", []string{"      99#a !n !y s5t ! old f]ry ag1 6e,", "    ye old m5 ( ! riv] h se5 x -e & g8", "\f", "    & !y answ]$1 let ! f]ry g", "  ! old man"}, 3},
	} {
		if got := volumeOf(c.text...).noteEnd(0); got != c.want {
			t.Errorf("%s: %d lines, want %d", c.name, got, c.want)
		}
	}
}
