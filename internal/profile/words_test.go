package profile

import (
	"errors"
	"reflect"
	"strings"
	"testing"
)

const harbour = `name = "harbour"

[words]
language = "cy"
table = "cy-cy-g2.ctb"
phrases = [
  "volume: Cyfrol {n} | {n} gyfrol",  # title page
  "contents: [y] cynnwys",
]

[words.numbers]
Un = 1
dau = 2

[words.cells]
Cyfrol = ["CYFROL", "cyfr"]
un = ["un"]
`

func TestWords(t *testing.T) {
	p, err := Parse("harbour.toml", []byte(harbour))
	if err != nil {
		t.Fatal(err)
	}
	w := p.Words
	if w.Language != "cy" || w.Table != "cy-cy-g2.ctb" {
		t.Errorf("language %q, table %q", w.Language, w.Table)
	}
	if want := []string{"volume: cyfrol {n} | {n} gyfrol", "contents: [y] cynnwys"}; !reflect.DeepEqual(w.Phrases, want) {
		t.Errorf("phrases %q", w.Phrases)
	}
	if want := map[string]int{"un": 1, "dau": 2}; !reflect.DeepEqual(w.Numbers, want) {
		t.Errorf("numbers %v", w.Numbers)
	}
	if want := map[string][]string{"cyfrol": {"cyfrol", "cyfr"}, "un": {"un"}}; !reflect.DeepEqual(w.Cells, want) {
		t.Errorf("cells %v", w.Cells)
	}
	for key, line := range map[string]int{"": 3, "table": 5, "phrases[1]": 8, "numbers.un": 12, "cells.cyfrol": 16, "phrases[7]": 6, "cells.none": 15} {
		if got := w.Fault(key, "x"); got.Line != line || got.File != "harbour.toml" {
			t.Errorf("%q: %v, want line %d", key, got, line)
		}
	}
}

func TestWordsErrors(t *testing.T) {
	cases := []struct {
		name, old, new string // one change of harbour
		line           int
		why            string
	}{
		{"no language", `language = "cy"`, "", 3, "language tag"},
		{"language in words", `"cy"`, `"the Welsh language"`, 4, "language tag"},
		{"table like a flag", `"cy-cy-g2.ctb"`, `"--version"`, 5, "no name of a liblouis table"},
		{"key", `table =`, `tabel =`, 5, "unknown key"},
		{"no colon", `"contents: [y] cynnwys"`, `"cynnwys"`, 8, `"id: wording"`},
		{"no words", `[y] cynnwys`, `[y]`, 8, "always there"},
		{"empty wording", `{n} gyfrol"`, `"`, 7, "always there"},
		{"numbers alone", `{n} gyfrol"`, `{n} {m}"`, 7, "always there"},
		{"odd brace", `{n} gyfrol"`, `{k} gyfrol"`, 7, `"{k}" is no word`},
		{"ordinal", `{n} gyfrol"`, `{o} gyfrol"`, 7, "[words.numbers]"},
		{"range inside", `{n} gyfrol"`, `{r} gyfrol"`, 7, "{r} at the end"},
		{"two words in brackets", `[y] cynn`, `[y r] cynn`, 8, `"[y" is no word`},
		{"number in brackets", `[y] cynn`, `[{n}] cynn`, 8, "is no word"},
		{"many optional", `[y] cynn`, `[a] [b] [c] [d] cynn`, 8, "3 of them in brackets"},
		{"phrases of another kind", `"contents: [y] cynnwys"`, `4`, 8, ""},
		{"number nought", `dau = 2`, `dau = 0`, 13, "1 to 9999, not 0"},
		{"number in words", `dau = 2`, `dau = "two"`, 13, ""},
		{"number of two words", `dau = 2`, `"dau ddeg" = 20`, 13, "not one word"},
		{"number twice", `dau = 2`, `UN = 1`, 12, "given twice"},
		{"cells of nothing", `un = ["un"]`, `tri = ["tri"]`, 17, "in no phrase"},
		{"two cells words", `un = ["un"]`, `un = ["u n"]`, 17, "cells of one word"},
		{"no cells", `un = ["un"]`, `un = []`, 17, "no cells"},
		{"no cell", `un = ["un"]`, "un = [\"\u00fbn\"]", 17, "'\u00fb' in \"\u00fbn\" is not a cell"},
		{"cells not in a list", `un = ["un"]`, `un = "un"`, 17, ""},
		{"long form", `["un"]`, `["` + strings.Repeat("u", 41) + `"]`, 17, "limit is 40"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if strings.Count(harbour, c.old) == 0 {
				t.Fatalf("%q is not in the profile", c.old)
			}
			_, err := Parse("house.toml", []byte(strings.Replace(harbour, c.old, c.new, 1)))
			var e *Error
			if !errors.As(err, &e) {
				t.Fatalf("got %v, want a profile error", err)
			}
			if e.Line != c.line || !strings.Contains(e.Why, c.why) {
				t.Errorf("got %v, want line %d, %q", e, c.line, c.why)
			}
		})
	}
}

// The name of a file is shown as people write it; a line end in it is not.
func TestErrorName(t *testing.T) {
	e := &Error{"C:\\houses\\a\nb.toml", 2, "x"}
	if got, want := e.Error(), `profile "C:\houses\a\nb.toml" line 2: x`; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}
