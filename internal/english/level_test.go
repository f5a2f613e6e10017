package english

import "testing"

// Numbers above and below the line: Rules of UEB 2013, section 3.24; the note
// reference after digits section 6.5.2; examples from memory.
func TestReadLevel(t *testing.T) {
	for cells, want := range map[string]string{
		",h;5#b,o":           "H₂O",
		"m;9#b":              "m²",
		",! ,long ,ebb;9#a1": "The Long Ebb¹,",
		"\"w;9#ab4":          "work¹².",
		"#aidf9#c":           "1946³",
		"9 ;9 b;5":           "in ⠔ b⠢",
	} {
		if got := Read([]byte(cells), Variant{UEB, true, true}); got != want {
			t.Errorf("%q: got %q, want %q", cells, got, want)
		}
	}
	if got := Read([]byte(",ebb;9#a1"), Variant{SEB, true, true}); got == "Ebb¹," {
		t.Error("SEB has no such sign")
	}
}
