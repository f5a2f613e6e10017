package assemble

import (
	"strings"
	"testing"

	"continuo/internal/book"
	"continuo/internal/source"
)

// TestSpeeches: the name of the speaker, a full stop, the speech (English
// Braille American Edition, appendix A, section 8); prose with a short first
// sentence now and then is none.
func TestSpeeches(t *testing.T) {
	play := []string{",anne4 ,:o is \"!8", ",ben4 ,a fr5d4", ",anne4 ,s8", ",ben4 ,op5 ! door4", ",anne4 ,n[8", ",ben4 ,at once6", "7he knocks ag47"}
	prose := []string{",no4 ,he did n go4", ",! bell rang twice4", ",n[ all 0 still4", ",we wait$4", ",! f]ry came4", ",he 0 late4", ",no4 ,n yet4"}
	list := []string{"#a4 milk", "#b4 eggs", "#c4 fl\\r", "#d4 salt", "#e4 y1/", "#f4 wat]", "#a4 milk"}
	for _, c := range []struct {
		lines []string
		want  int
	}{{play, 6}, {prose, 0}, {list, 0}} {
		f, err := source.Parse("v.brf", []byte(strings.Join(c.lines, "\n")+"\n"))
		if err != nil {
			t.Fatal(err)
		}
		a := &assembly{b: book.NewBook([]*source.File{f})}
		for k, l := range c.lines {
			a.b.Blocks = append(a.b.Blocks, book.Block{Kind: book.Line, Pieces: []book.Piece{{Line: int32(k), To: int32(len(l))}}})
		}
		a.speeches()
		n := 0
		for _, bl := range a.b.Blocks {
			n += boolInt(bl.Form == book.Speech)
		}
		if n != c.want {
			t.Errorf("%q: %d speeches, want %d", c.lines[0], n, c.want)
		}
	}
}
