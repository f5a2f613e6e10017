package profile

import (
	"strings"
	"testing"
)

// TestWayWords: the wording of the page "finding your way" is refused at its
// line when it cannot be written as it stands; capitals and other forms of the
// same cells are folded.
func TestWayWords(t *testing.T) {
	blanks := `blanks = ["a","b","c","d","e","f","g","h","i","j","k","l"]` + "\n"
	for _, c := range []struct{ name, text, want string }{
		{"whole", "[way]\ntitle = \"A\"\nstart = \"`B\"\nnotes = \"C {blanks} {cells} D\"\n" + blanks, ""},
		{"no blanks needed", "[way]\ntitle = \"a\"\nstart = \"b\"\npages = \"c {cells}\"\n", ""},
		{"no title", "[way]\nstart = \"b\"\n", "way.title: the page needs it"},
		{"no cells", "[way]\ntitle = \"a\"\nstart = \"b\"\nwords = \"c\"\n", "line 5: way.words: {cells} must stand in it"},
		{"wrong order", "[way]\ntitle = \"a\"\nstart = \"b\"\nindex = \"{cells} {blanks}\"\n" + blanks, "line 5: way.index: {cells} must stand in it, in the order {blanks} {cells}"},
		{"twice", "[way]\ntitle = \"a\"\nstart = \"b\"\nwords = \"{cells} {cells}\"\n", "line 5: way.words: { and } stand for nothing else"},
		{"no cell", "[way]\ntitle = \"café\"\nstart = \"b\"\n", "line 3: way.title: "},
		{"too long", "[way]\ntitle = \"" + strings.Repeat("a", 91) + "\"\nstart = \"b\"\n", "line 3: way.title: 91 cells are given, the limit is 90"},
		{"blanks missing", "[way]\ntitle = \"a\"\nstart = \"b\"\nindex = \"{blanks} {cells}\"\nblanks = [\"a\"]\n", "line 6: way.blanks: wanted for one blank to 12"},
		{"unknown key", "[way]\ntitle = \"a\"\nstart = \"b\"\nchapter = \"c\"\n", "line 5"},
	} {
		p, err := Parse("house.toml", []byte("name = \"house\"\n"+c.text))
		switch {
		case c.want == "" && err != nil:
			t.Errorf("%s: %v", c.name, err)
		case c.want == "" && c.name == "whole" && (p.WayWords.Title != "a" || p.WayWords.Start != "@b" || p.WayWords.Notes != "c {blanks} {cells} d"):
			t.Errorf("%s: %+v", c.name, p.WayWords)
		case c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)):
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
}
