package testkit

import (
	"bytes"
	"testing"
)

func TestTexts(t *testing.T) {
	texts, err := Texts()
	Need(t, err)
	for _, x := range texts {
		n := map[UnitKind]int{}
		size := 0
		for _, u := range x.Units {
			n[u.Kind]++
			for _, l := range u.Lines {
				size += len(l)
			}
		}
		t.Logf("%s: %d headings, %d paragraphs, %d stanzas, %d letters", x.Name, n[Heading], n[Para], n[Verse], size)
		if size < 50000 {
			t.Errorf("%s: only %d letters", x.Name, size)
		}
	}
}

// The expected cells are wordings of the published codes, as the Rules of
// Unified English Braille 2013 (1.3) and British Braille 2004 give them.
func TestTranslate(t *testing.T) {
	for _, c := range []struct {
		code     Code
		in, want string
	}{
		{Code{"ueb", true, true}, "In Two Volumes", ",9 ,two ,volumes"},
		{Code{"seb", true, false}, "End of Volume One", `5d ( volume "o`},
		{Code{"ueb", true, true}, "END OF VOLUME 1", ",,,5d ( volume,' #a"},
		{Code{"ebae", true, true}, "End of the Volume", ",5d (! ,volume"},
	} {
		got, err := Translate(c.code, []string{c.in})
		Need(t, err)
		if !bytes.Equal(got[0], []byte(c.want)) {
			t.Errorf("%s %q: %q, want %q", c.code, c.in, got[0], c.want)
		}
	}
}
