package cli

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/spf13/cobra"

	"continuo/internal/check"
	"continuo/internal/convert"
	"continuo/internal/demo"
	"continuo/internal/diag"
	"continuo/internal/english"
	"continuo/internal/source"
)

// How errors are told: in lower case, each line with its label, then the hint.
func TestReportError(t *testing.T) {
	cases := []struct {
		err  error
		code int
		want string
	}{
		{nil, Done, ""},
		{person, Look, ""},
		{errors.New("disk full"), Failed, "continuo: error: disk full\n"},
		{errors.Join(errors.New("a"), errors.New("b")), Failed, "continuo: error: a\ncontinuo: error: b\n"},
		{wrong("try this", "no %q", "x"), Wrong, "continuo: error: no \"x\"\nhint: try this\n"},
		{refuse("", "no"), Failed, "continuo: error: no\n"},
		{fmt.Errorf("outside: %w", wrong("h", "inside")), Wrong, "continuo: error: inside\nhint: h\n"},
		{&fault{code: Failed, what: "two", more: []string{"title 1: a"}, hint: "h"}, Failed, "continuo: error: two\ntitle 1: a\nhint: h\n"},
	}
	for _, c := range cases {
		var out bytes.Buffer
		if code := report(c.err, &out); code != c.code || out.String() != c.want {
			t.Errorf("%v: code %d, %q; want %d, %q", c.err, code, out.String(), c.code, c.want)
		}
	}
}

// Findings: those that want a person's eye come first, each on one line.
func TestFindingLines(t *testing.T) {
	list := []diag.Finding{
		{ID: "a", Severity: diag.Note, Text: "a fact"},
		{ID: "b", Severity: diag.Look, Place: diag.Place{File: "v1.brf", Page: 3, Line: 4}, Text: "a\nplace", Cells: "abc  d"},
		{ID: "c", Severity: diag.Stop, Place: diag.Place{File: "v2.brf"}, Text: "in doubt"},
	}
	want := "stop: v2.brf: in doubt\nlook: v1.brf page 3 line 4: a place; cells: abc d\nnote: a fact"
	if got := strings.Join(findingLines(list, english.Variant{}), "\n"); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	if n := wanting(list); n != 2 {
		t.Errorf("wanting = %d, want 2", n)
	}
	if got := wants(1) + "; " + wants(2); got != "1 place wants a person's eye; 2 places want a person's eye" {
		t.Error(got)
	}
}

// A failed proof says how many problems there are, and how many it left out.
func TestProof(t *testing.T) {
	var out bytes.Buffer
	c := console{&out, &out}
	c.proof(check.Report{NProblems: 3, Problems: []check.Problem{{Source: "v1.brf", Page: 2, Line: 1, What: "gone"}}}, "", nil)
	for _, want := range []string{"not proved: 3 problems\n", "problem 1: \"v1.brf\" page 2 line 1: gone\n", "problems not shown: 2\n"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("%q is not in\n%s", want, out.String())
		}
	}
}

// Every command has help with an example, every flag its words; the outcome
// word of each line of help stands in its first 20 cells.
func TestHelpIsWhole(t *testing.T) {
	root := rootCommand(console{&bytes.Buffer{}, &bytes.Buffer{}})
	for _, cmd := range append(root.Commands(), root) {
		if cmd.Short == "" || cmd.Example == "" {
			t.Errorf("%s: no short text or no example", cmd.Name())
		}
		checkHelp(t, cmd)
	}
}

func checkHelp(t *testing.T, cmd *cobra.Command) {
	t.Helper()
	var out bytes.Buffer
	cmd.SetOut(&out)
	printHelp(cmd)
	for _, line := range strings.Split(strings.TrimSpace(out.String()), "\n") {
		if strings.Contains(line, "\t") || strings.Contains(strings.TrimLeft(line, " "), "  ") {
			t.Errorf("%s: help in columns: %q", cmd.Name(), line)
		}
	}
	for _, code := range codes {
		if !strings.Contains(out.String(), code) {
			t.Errorf("%s: help without %q", cmd.Name(), code)
		}
	}
}

// What the README shows as before and after must be what the program makes of
// the demo's volumes.
func TestReadmeIsTrue(t *testing.T) {
	readme, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	var paper, editions []byte
	for _, title := range demo.Titles {
		folder, err := title.Write(dir)
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range title.Volumes {
			text, _ := title.Volume(name)
			paper = append(paper, text...)
		}
		files, _, err := source.Open([]string{folder})
		if err != nil {
			t.Fatal(err)
		}
		r, err := convert.Make(files, convert.Defaults())
		if err != nil {
			t.Fatal(err)
		}
		editions = append(editions, r.Edition...)
	}
	unix := func(b []byte) string { return strings.NewReplacer("\r", "", "\f", "").Replace(string(b)) }
	_, section, _ := strings.Cut(unix(readme), "## Before and after")
	section, _, _ = strings.Cut(section, "\n## ")
	blocks := strings.Split(section, "```\n")
	if len(blocks) != 9 {
		t.Fatalf("%d blocks in the README, want 4", len(blocks)/2)
	}
	for i := 1; i < len(blocks); i += 2 {
		where, text := "paper", unix(paper)
		if i%4 == 3 {
			where, text = "edition", unix(editions)
		}
		if !strings.Contains(text, blocks[i]) {
			t.Errorf("not in the %s:\n%s", where, blocks[i])
		}
	}
}

// Without liblouis' program look says so and goes on.
func TestLookWithoutLouis(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("PATH", dir)
	var out, err bytes.Buffer
	if code := Run([]string{"look", filepath.Join("testdata", "pond1.brf")}, &out, &err); code == Failed || code == Wrong {
		t.Fatalf("exit code %d: %s", code, err.String())
	}
	if want := "\nliblouis: not found; English braille does not need it\n"; !strings.Contains(out.String(), want) {
		t.Errorf("%q is not in\n%s", want, out.String())
	}
	out.Reset()
	Run([]string{"look", "--json", filepath.Join("testdata", "pond1.brf")}, &out, &err)
	if !strings.Contains(out.String(), `"found": false`) {
		t.Errorf("no word on liblouis in\n%s", out.String())
	}
}
