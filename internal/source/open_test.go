package source

import (
	"archive/zip"
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

func TestNatural(t *testing.T) {
	want := []string{"", "a", "A1", "a01", "a2b", "a10", "book", "V2", "v10", "v10.1", "v010.2"}
	got := slices.Clone(want)
	slices.Reverse(got)
	slices.SortFunc(got, func(a, b string) int {
		if Natural(a, b) {
			return -1
		} else if Natural(b, a) {
			return 1
		}
		return 0
	})
	if !slices.Equal(got, want) {
		t.Errorf("got %q", got)
	}
}

// tree writes files into a new folder.
func tree(t *testing.T, files map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	for name, text := range files {
		p := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(p), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(p, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

func names(files []*File) string {
	var out []string
	for _, f := range files {
		out = append(out, f.Name)
	}
	return strings.Join(out, " ")
}

func skips(dir string, skipped []Skipped) map[string]string {
	out := map[string]string{}
	for _, s := range skipped {
		p := strings.TrimPrefix(s.Path, dir)
		out[strings.TrimLeft(filepath.ToSlash(p), "/: ")] = s.Why
	}
	return out
}

const (
	brailleText = ",! s=e 0 \"us & ,he k ,x4\n,no o!r way4\n"
	printText   = "The sea is here, and he knows it. No other way, he said.\nThen he went, slowly.\n"
)

// mixed is a folder with everything that stands beside volumes.
var mixed = map[string]string{
	"book v10.BRF": brailleText, "book v2.brf": brailleText, "book v1.brl": brailleText, "prelim": brailleText,
	"part.3": brailleText, "cells.txt": string(encode(brailleText, 0x2800)), "ascii.txt": brailleText,
	"story.txt": printText, "x.brf": brailleText, "x.brf.account.jsonl": "{}", "x.brf.report.txt": "x", "x.finders.txt": "x",
	"continuo.toml": "a=1", ".hidden.brf": brailleText, "book.pef": onePEF, "other.xml": "<a/>", "cover.jpg": "x", "notes": printText, "sub/v1.brf": brailleText,
}

func TestOpenFolder(t *testing.T) {
	dir := tree(t, mixed)
	files, skipped, err := Open([]string{dir})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := names(files), "ascii.txt book v1.brl book v2.brf book v10.BRF book.pef cells.txt part.3 prelim"; got != want {
		t.Errorf("got %s", got)
	}
	got := skips(dir, skipped)
	for name, why := range map[string]string{
		"story.txt": "print", "notes": "print", "x.brf": "edition", "x.brf.account.jsonl": "this program", "x.brf.report.txt": "this program", "x.finders.txt": "this program",
		"continuo.toml": "this program", ".hidden.brf": "hidden", "other.xml": "ending", "cover.jpg": "ending", "sub": "beside braille files",
	} {
		if !strings.Contains(got[name], why) {
			t.Errorf("%s: %q, want %q", name, got[name], why)
		}
		delete(got, name)
	}
	if len(got) > 0 {
		t.Errorf("also skipped: %v", got)
	}
	if files[0].Path != filepath.Join(dir, "ascii.txt") {
		t.Errorf("path %s", files[0].Path)
	}
}

func TestOpenTitles(t *testing.T) {
	dir := tree(t, map[string]string{"sea/v1.brf": brailleText, "sea/v2.brf": brailleText, "hill/a/v1.brf": brailleText, "readme": printText, "readme.txt": printText})
	files, _, err := Open([]string{dir})
	if err != nil {
		t.Fatal(err)
	}
	if got := names(files); got != "hill/a/v1.brf sea/v1.brf sea/v2.brf" {
		t.Errorf("got %s", got)
	}
}

func TestOpenFiles(t *testing.T) {
	dir := tree(t, map[string]string{"v10.brf": brailleText, "v9.brf": brailleText, "odd.xyz": brailleText})
	p := func(n string) string { return filepath.Join(dir, n) }
	files, skipped, err := Open([]string{p("v10.brf"), p("v9.brf"), p("odd.xyz"), p("v9.brf")})
	if err != nil {
		t.Fatal(err)
	}
	if got := names(files); got != "odd.xyz v9.brf v10.brf" {
		t.Errorf("got %s", got)
	}
	if got := skips(dir, skipped); len(got) != 1 || got["v9.brf"] != "named twice" {
		t.Errorf("skipped %v", got)
	}
}

// One file by two paths is read once (os.SameFile, as Windows has it for other
// capitals and short names); two names in one folder are two volumes.
func TestOpenOneFileTwice(t *testing.T) {
	dir := tree(t, map[string]string{"a/v1.brf": brailleText, "a/v2.brf": brailleText + "a"})
	a, link := filepath.Join(dir, "a"), filepath.Join(dir, "same")
	if err := os.Symlink(a, link); err != nil {
		t.Skip(err)
	}
	if _, err := os.Stat(link); err != nil { // Wine 10 makes links that lead nowhere
		t.Skip(err)
	}
	files, skipped, err := Open([]string{a, link, filepath.Join(link, "v1.brf")})
	if err != nil || names(files) != "v1.brf v2.brf" || len(skipped) != 3 {
		t.Errorf("%s, %v, %v", names(files), skipped, err)
	}
	if err := os.Link(filepath.Join(a, "v1.brf"), filepath.Join(a, "v3.brf")); err != nil {
		t.Skip(err)
	}
	if files, _, err := Open([]string{a}); err != nil || names(files) != "v1.brf v2.brf v3.brf" {
		t.Errorf("links in one folder: %s, %v", names(files), err)
	}
}

func TestOpenErrors(t *testing.T) {
	dir := tree(t, map[string]string{"a/v1.brf": brailleText, "a/v2.brf": "", "a/v3.brf": "\x00\x80\x81", "b/x.jpg": "x", "bad.zip": "PK", "c/d": printText})
	big := filepath.Join(dir, "big.brf")
	if err := os.WriteFile(big, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Truncate(big, MaxBytes+1); err != nil {
		t.Fatal(err)
	}
	for arg, want := range map[string][]string{
		"a":       {`"v2.brf": not a braille file: it is empty`, `"v3.brf": not a braille file`},
		"b":       {"no braille file in"},
		"c":       {"no braille file in"},
		"bad.zip": {"not a readable zip"},
		"gone":    {"gone"},
		"big.brf": {"too large"},
	} {
		files, _, err := Open([]string{filepath.Join(dir, arg)})
		if err == nil || files != nil {
			t.Errorf("%s: no error", arg)
			continue
		}
		for _, w := range want {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%s: got %v, want %s", arg, err, w)
			}
		}
	}
	if _, _, err := Open(nil); err == nil {
		t.Error("nothing named, and no error")
	}
}

// zipOf writes a zip of the files into a new folder.
func zipOf(t *testing.T, files [][2]string) string {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, f := range files {
		w, err := z.Create(f[0])
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprint(w, f[1])
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	p := filepath.Join(t.TempDir(), "title.ZIP")
	if err := os.WriteFile(p, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	return p
}

func TestOpenZip(t *testing.T) {
	p := zipOf(t, [][2]string{
		{"vols/v10.brf", brailleText}, {"vols/v2.brf", brailleText}, {"../../etc/v1.brf", brailleText}, {`win\v3.brf`, brailleText}, {"/abs.brf", brailleText},
		{"vols/", ""}, {"readme.txt", printText}, {"__MACOSX/v1.brf", "x"}, {"inner.zip", "x"}, {"ed.brf", brailleText}, {"ed.brf.account.jsonl", "{}"},
	})
	files, skipped, err := Open([]string{p})
	if err != nil {
		t.Fatal(err)
	}
	if got := names(files); got != "abs.brf etc/v1.brf vols/v2.brf vols/v10.brf win/v3.brf" {
		t.Errorf("got %s", got)
	}
	if files[0].Path != p || files[0].SHA256 == "" {
		t.Errorf("path %s", files[0].Path)
	}
	if got := skips(p, skipped); len(got) != 5 {
		t.Errorf("skipped %v", got)
	}
}

func TestOpenZipBomb(t *testing.T) {
	p := zipOf(t, [][2]string{{"v1.brf", strings.Repeat("a", 8<<20)}})
	if _, _, err := Open([]string{p}); err == nil || !strings.Contains(err.Error(), "packed more tightly") {
		t.Errorf("got %v", err)
	}
	raw, err := os.ReadFile(zipOf(t, [][2]string{{"v1.brf", brailleText}}))
	if err != nil {
		t.Fatal(err)
	}
	for i := range raw { // any one damaged byte: an error or the same text
		bad := bytes.Clone(raw)
		bad[i] ^= 0x55
		q := filepath.Join(t.TempDir(), "x.zip")
		if err := os.WriteFile(q, bad, 0o644); err != nil {
			t.Fatal(err)
		}
		if files, _, err := Open([]string{q}); err == nil && show(files[0]) != strings.ReplaceAll(brailleText, "\n", "/")+"|" {
			t.Errorf("byte %d: damaged text was read without a word", i)
		}
	}
}

func TestLooksPrint(t *testing.T) {
	for text, want := range map[string]bool{printText: true, brailleText: false, "": false, "abc": false, strings.ToUpper(brailleText): false, "no s3tence m>ks h]e": false, "! wat] ran d[n to! qu.\nshe tr$ ag.9 & ,\nagain4": false, string(utf16Bytes([]rune(printText), false)): true, string(utf16Bytes([]rune(printText), true)): true} {
		if looksPrint([]byte(text)) != want {
			t.Errorf("%.20q: got %v", text, !want)
		}
	}
}
