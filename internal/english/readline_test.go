package english

import "testing"

// TestReadLine: guide dots, rows of dots 5, 3-6 or 3 (common practice), become three
// full stops.
func TestReadLine(t *testing.T) {
	for _, c := range []struct {
		v           Variant
		cells, want string
	}{
		{Variant{Code: UEB, Contracted: true, Capitals: true}, `,*apt] #bi """""""" #hb`, "Chapter 29 ... 82"},
		{Variant{Code: SEB, Contracted: true, Capitals: true}, ",*apt] #ad -------------------- #aa", "Chapter 14 ... 11"},
		{Variant{Code: SEB, Contracted: true, Capitals: true}, ",*apt]  ''''''  #aa", "Chapter ... 11"},
		{Variant{Code: UEB, Contracted: true, Capitals: true}, "  ,! ,bell  ", "The Bell"},
	} {
		if got := ReadLine([]byte(c.cells), c.v); got != c.want {
			t.Errorf("%s: %q, want %q", c.cells, got, c.want)
		}
	}
}
