package cli

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf16"
)

// full is a place that takes no results.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no space left") }

// Results that cannot be written are never lost without a word.
func TestResultsThatAreLost(t *testing.T) {
	for _, args := range [][]string{{"look", "testdata/pond1.brf"}, {"help"}, {"version"}, {"profile", "show", "uk"}} {
		var told bytes.Buffer
		if code := Run(args, full{}, &told); code != Failed || !strings.Contains(told.String(), "no space left") {
			t.Errorf("%v: exit code %d, told %q", args, code, told.String())
		}
	}
}

// A name that the file system refuses is told as such, and nothing is written.
func TestNamesThatCannotBe(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{strings.Repeat("y", 300) + ".brf", strings.Repeat("y", 250) + ".brf"} {
		var told bytes.Buffer
		code := Run([]string{"make", "testdata/pond1.brf", "testdata/pond2.brf", "-o", filepath.Join(dir, name)}, &bytes.Buffer{}, &told)
		if code != Failed || strings.Contains(told.String(), "exists") {
			t.Errorf("exit code %d, told %q", code, told.String())
		}
	}
	if list, _ := os.ReadDir(dir); len(list) > 0 {
		t.Errorf("left %v", list)
	}
}

// volume returns a volume of the tests.
func volume(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile("testdata/pond1.brf")
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// Braille ASCII in UTF-16, as shells of Windows write it, is braille without a
// doubt; tabs are told once a file.
func TestOddBytes(t *testing.T) {
	dir := t.TempDir()
	wide := []byte{0xFF, 0xFE}
	for _, u := range utf16.Encode([]rune(volume(t))) {
		wide = append(wide, byte(u), byte(u>>8))
	}
	tabs := strings.ReplaceAll(volume(t), "\n  ", "\n\t")
	for name, c := range map[string]struct {
		text  string
		looks int
	}{"wide.brf": {string(wide), 0}, "tabs.brf": {tabs, 1}} {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(c.text), 0o666); err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		Run([]string{"look", path}, &out, &out)
		if n := strings.Count(out.String(), "read as"); n != c.looks {
			t.Errorf("%s: told %d times:\n%s", name, n, out.String())
		}
	}
}
