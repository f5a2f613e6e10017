package decide

import (
	"errors"
	"strings"
	"testing"
)

const sample = `# by hand
version = 1

# a chapter begins there
[[answer]]
id = 'line-3fa9c2d1b0-9f2c'
kind = 'head-or-heading'
choice = 'keep'
cells = [',! POND']
who = 'Ann'

[[correction]]
old = '5gine'
new = 'eng9e' # told by a reader
who = 'Ben'

[[answer]]
id = 'title-0123456789abcd'
kind = 'volume-missing'
choice = 'wait'
`

func TestParse(t *testing.T) {
	f, err := Parse("x", []byte(sample))
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Answers) != 2 || len(f.Corrections) != 1 || f.Answers[0].Cells[0] != ",! pond" || f.Corrections[0].New != "eng9e" {
		t.Errorf("%+v", f)
	}
	if f, err := Parse("x", nil); err != nil || len(f.Answers) != 0 {
		t.Errorf("an empty file: %+v, %v", f, err)
	}
}

func TestParseErrors(t *testing.T) {
	for _, c := range []struct {
		name, old, new string
		line           int
		why            string
	}{
		{"unknown key", "who = 'Ann'", "whom = 'Ann'", 10, `unknown key`},
		{"no id", "'line-3fa9c2d1b0-9f2c'", "'line 12'", 5, "no id of a place"},
		{"unknown kind", "'head-or-heading'", "'head'", 5, "no kind of question"},
		{"another kind's id", "'head-or-heading'", "'hyphen-in-doubt'", 5, `begins with "hyphen"`},
		{"another kind's choice", "'keep'", "'take-out'", 5, "keep or leave-out"},
		{"no cells", "cells = [',! POND']\n", "", 5, "cells of the place are missing"},
		{"no braille", "',! POND'", "'caf\u00e9'", 5, "not a cell"},
		{"version", "version = 1", "version = 2", 0, "version 2"},
		{"nothing new", "'eng9e'", "''", 12, "new cells are missing"},
		{"no change", "'eng9e'", "'5GINE '", 12, "the same"},
		{"long", "'eng9e'", "'" + strings.Repeat("a", 201) + "'", 12, "at most 200"},
		{"two lines", "'Ben'", `"Ben\nAnn"`, 12, "one line"},
		{"twice", "'title-0123456789abcd'\nkind = 'volume-missing'\nchoice = 'wait'", "'line-3fa9c2d1b0-9f2c'\nkind = 'head-or-heading'\nchoice = 'keep'\ncells = ['a']", 17, "decided twice"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if !strings.Contains(sample, c.old) {
				t.Fatalf("%q is not in the sample", c.old)
			}
			_, err := Parse("house.toml", []byte(strings.Replace(sample, c.old, c.new, 1)))
			var e *Error
			if !errors.As(err, &e) || e.Line != c.line || !strings.Contains(e.Why, c.why) {
				t.Errorf("got %v, want line %d, %q", err, c.line, c.why)
			}
		})
	}
}

// What is written by hand stays: comments and the other entries.
func TestEdit(t *testing.T) {
	a := Answer{ID: "hyphen-0000000000-0000", Kind: "hyphen-in-doubt", Choice: "keep", Cells: []string{"it's-", `a"b\`}, Who: `Ann "A"`, Why: "can't tell"}
	text, err := Put("x", []byte(sample), a)
	if err != nil {
		t.Fatal(err)
	}
	f, err := Parse("x", text)
	if err != nil || f.Answer(a.ID) == nil || f.Answer(a.ID).Cells[0] != "it's-" || f.Answer(a.ID).Cells[1] != `a"b\` || f.Answer(a.ID).Who != a.Who {
		t.Fatalf("%+v, %v in\n%s", f, err, text)
	}
	if !strings.HasPrefix(string(text), sample) {
		t.Errorf("what stood there was changed:\n%s", text)
	}
	a.Choice = "take-out"
	if text, err = Put("x", text, a); err != nil || strings.Count(string(text), a.ID) != 1 {
		t.Errorf("answered again: %v\n%s", err, text)
	}
	if text, err = Remove("x", text, a.ID); err != nil || strings.TrimSpace(string(text)) != strings.TrimSpace(sample) {
		t.Errorf("taken back: %v\n%s", err, text)
	}
	if text, err = Remove("x", text, "correction 1"); err != nil || strings.Contains(string(text), "5gine") || !strings.Contains(string(text), "# by hand") {
		t.Errorf("correction taken back: %v\n%s", err, text)
	}
	if _, err = Remove("x", text, "correction 1"); err == nil {
		t.Error("a correction that is not there was taken back")
	}
	if _, err := AddCorrection("x", []byte(sample), Correction{Old: "5gine", New: "b"}); err == nil {
		t.Error("the same cells were mended twice")
	}
}

// Random text ends in a file or an error, and what is accepted can be written
// to.
func FuzzParse(f *testing.F) {
	f.Add([]byte(sample))
	f.Add([]byte("[[answer]]\nid=1"))
	f.Fuzz(func(t *testing.T, text []byte) {
		d, err := Parse("x", text)
		if err != nil {
			return
		}
		out, err := Put("x", text, Answer{ID: "line-0000000000-0000", Kind: "head-or-heading", Choice: "keep", Cells: []string{"a"}})
		if err != nil {
			return
		}
		again, err := Parse("x", out)
		if err != nil || again.Answer("line-0000000000-0000") == nil || len(again.Corrections) != len(d.Corrections) {
			t.Errorf("%v\n%s", err, out)
		}
	})
}
