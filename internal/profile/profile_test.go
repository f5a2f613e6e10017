package profile

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
)

// Every profile that comes with the program must load and name itself.
func TestShipped(t *testing.T) {
	want := map[string]string{"uk": "inline", "north-america": "row"}
	if len(Names()) != len(want) {
		t.Fatalf("Names() = %v, want the %d of the table", Names(), len(want))
	}
	for _, name := range Names() {
		p, err := Find(name)
		if err != nil {
			t.Fatal(err)
		}
		if p.Name != name || p.Turns != want[name] || p.HeadingIndent != 4 {
			t.Errorf("%s: %+v", name, p)
		}
	}
}

func TestParse(t *testing.T) {
	cases := []struct {
		name, text string
		want       Profile
	}{
		{"empty is the default", "", Default()},
		{"one value", "heading_indent = 0\n", func() Profile { p := Default(); p.HeadingIndent = 0; return p }()},
		{"no statement", "statement = \"\"\n", func() Profile { p := Default(); p.Statement = ""; return p }()},
		{"cells are folded", "statement_cells = ',3T9UOUS'\n", func() Profile { p := Default(); p.StatementCells = ",3t9uous"; return p }()},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got, err := Parse("x.toml", []byte(c.text))
			if err != nil || !reflect.DeepEqual(got, c.want) {
				t.Errorf("got %+v, %v; want %+v", got, err, c.want)
			}
		})
	}
}

func TestParseErrors(t *testing.T) {
	cases := []struct {
		name, text string
		line       int
		why        string
	}{
		{"unknown key", "name = \"a\"\n\nhedding_indent = 4\n", 3, `unknown key "hedding_indent"`},
		{"unknown table", "[more]\nx = 1\n", 1, `unknown key "more`},
		{"wrong kind", "# house\nheading_indent = \"four\"\n", 2, "not text in quotes"},
		{"not toml", "name = \n", 1, ""},
		{"contents of nothing", "contents = \"none\"\n", 1, "contents"},
		{"a place for notes that is none", "notes = \"margin\"\n", 1, "notes"},
		{"key twice", "turns = \"row\"\nturns = \"row\"\n", 2, "turns"},
		{"indent too large", "heading_indent = 13\n", 1, "0 to 12 cells"},
		{"indent below nothing", "\nheading_indent = -1\n", 2, "0 to 12 cells"},
		{"turns", "turns = \"margin\"\n", 1, `"source", "inline", "row"`},
		{"no name", "name = \" \"\n", 1, "needs a name"},
		{"statement of two lines", "statement = \"a\\nb\"\n", 1, "one line"},
		{"no cell", "statement_cells = \"caf\u00e9\"\n", 1, "not a cell"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := Parse("house.toml", []byte(c.text))
			var e *Error
			if !errors.As(err, &e) {
				t.Fatalf("got %v, want a profile error", err)
			}
			if e.Line != c.line || e.File != "house.toml" || !strings.Contains(e.Why, c.why) {
				t.Errorf("got %v (line %d), want line %d, %q", e, e.Line, c.line, c.why)
			}
		})
	}
}

// All that is wrong is told at once, line by line: unknown keys, values of the
// wrong kind, values out of range.
func TestCheck(t *testing.T) {
	for _, c := range []struct {
		name, text string
		want       []string
	}{
		{"nothing", "name = \"x\"\nturns = \"row\"\n", nil},
		{"of every kind", "name = \"x\"\nturns = \"margin\"\nheading_indnt = 4\nheading_indent = \"four\"\n[paper]\nwidht = 30\n[words]\nlanguage = \"cy\"\nphrases = [\"nonsense\"]\n",
			[]string{"2 turns", "3 unknown key \"heading_indnt\"", "4 heading_indent: must be a whole number, not text in quotes", "6 unknown key \"paper.widht\"", "9 words.phrases[0]"}},
		{"two of the wrong kind", "heading_indent = \"a\"\nname = 3\n", []string{"1 heading_indent: must be a whole number, not text in quotes", "2 name: must be text in quotes, not a whole number"}},
		{"lists and tables", "rule = 1\npaper = [1]\n[words]\nphrases = true\n", []string{"1 rule: must be a list, not a whole number", "2 paper: must be a table, not a list", "3 ", "4 words.phrases: must be a list, not true or false"}},
		{"no TOML", "heading_indent = \"a\nname = 3\nturns = \"x\"\n", []string{"1 "}},
		{"a table where a value is wanted", "[name]\na = 1\n[turns]\n", []string{"1 "}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := Check("x", []byte(c.text))
			if len(got) != len(c.want) {
				t.Fatalf("got %v, want %v", got, c.want)
			}
			for i, e := range got {
				if s := fmt.Sprint(e.Line, " ", e.Why); !strings.HasPrefix(s, c.want[i]) {
					t.Errorf("got %q, want %q", s, c.want[i])
				}
			}
			if _, err := Parse("x", []byte(c.text)); (err == nil) != (len(c.want) == 0) {
				t.Errorf("Parse says %v", err)
			}
		})
	}
}

func TestLoad(t *testing.T) {
	file := filepath.Join(t.TempDir(), "house.toml")
	if err := os.WriteFile(file, []byte("name = \"house\"\nturns = \"row\"\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	p, err := Find(file)
	if err != nil || p.Name != "house" || p.Turns != "row" {
		t.Errorf("got %+v, %v", p, err)
	}
	if _, err := Find(file + "x"); err == nil || !strings.Contains(err.Error(), "north-america, uk") {
		t.Errorf("a file that is not there: %v", err)
	}
}

// Random text must end in a profile or an error, never in a panic.
func FuzzParse(f *testing.F) {
	f.Add([]byte("name = \"a\"\nturns = \"row\""))
	f.Add([]byte("[a.b]\nc=[1,2"))
	f.Fuzz(func(t *testing.T, text []byte) {
		p, err := Parse("x", text)
		if err == nil && len(p.problems()) > 0 {
			t.Errorf("accepted a profile with problems: %+v", p)
		}
	})
}

// TestEntryMark: the mark before headwords is two or three cells without a
// letter or a blank, or none.
func TestEntryMark(t *testing.T) {
	for _, c := range []struct {
		text, want, bad string
	}{
		{"", ";;", ""},
		{"entry_mark = \"^^\"\n", "^^", ""},
		{"entry_mark = \"`;\"\n", "@;", ""},
		{"entry_mark = \"none\"\n", NoMark, ""},
		{"entry_mark = \";\"\n", "", "two or three cells"},
		{"entry_mark = \";;;;\"\n", "", "two or three cells"},
		{"entry_mark = \";x\"\n", "", "no letter"},
		{"entry_mark = \"; \"\n", "", "no blank"},
		{"entry_mark = \";é\"\n", "", "not a cell"},
	} {
		p, err := Parse("house.toml", []byte(c.text))
		switch {
		case c.bad == "" && (err != nil || p.EntryMark != c.want):
			t.Errorf("%q: mark %q, error %v; want %q", c.text, p.EntryMark, err, c.want)
		case c.bad != "" && (err == nil || !strings.Contains(err.Error(), c.bad)):
			t.Errorf("%q: error %v, want one with %q", c.text, err, c.bad)
		}
	}
}
