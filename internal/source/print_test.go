package source

import (
	"path/filepath"
	"strings"
	"testing"
)

func TestShortPrint(t *testing.T) {
	utf16 := func(s string) string { return string(utf16Bytes([]rune(s), true)) }
	for text, want := range map[string]bool{
		"hello":        true,
		"hello\n":      true,
		"Hello world!": true,
		"scanned by the harbour library\nsee vol1.brf and vol2.brf": true,
		"https://books.example/catalogue?id=4":                      true,
		"README\n======\nThe Pond, 2 volumes.\n":                    true,
		utf16("hello"):                                              true,
		"":                                                          false, // told by Parse
		// braille: UEB 2013, 4.3 (the), 6.1 (numbers), 8.3 (capitals), 10.4 (groupsigns)
		brailleText:                            false,
		strings.ToUpper(brailleText):           false,
		"#bjjd":                                false,
		",hello":                               false,
		"volume #a":                            false,
		"hello\fhello":                         false,
		"go[n 9 ! sea":                         false,
		strings.Repeat("hello ", fewCells/5+1): false, // long enough to be judged by its layout
		string(encode("hello", 0x2800)):        false,
		utf16(string([]rune{0x2813, 0x2811, '\n'})): false,
	} {
		if got := shortPrint([]byte(text)); got != want {
			t.Errorf("%.30q: got %v", text, got)
		}
	}
}

// A note for people beside the volumes is no volume, in a folder or a zip; one
// that is named is read.
func TestOpenNotes(t *testing.T) {
	notes := map[string]string{"readme.txt": "hello", "README": "two volumes", "cells.txt": brailleText, "v1.brf": brailleText,
		"a.md": "hello", "b.html": "<p>hello", "c.pdf": "%PDF-1.4", "d.doc": "hello", "e.docx": "PK"}
	dir := tree(t, notes)
	var packed [][2]string
	for name, text := range notes {
		packed = append(packed, [2]string{name, text})
	}
	for _, p := range []string{dir, zipOf(t, packed)} {
		files, skipped, err := Open([]string{p})
		if err != nil {
			t.Fatal(err)
		}
		if got := names(files); got != "cells.txt v1.brf" {
			t.Errorf("%s: got %s", p, got)
		}
		got := skips(p, skipped)
		for name, why := range map[string]string{"readme.txt": "name it as a source if it is a volume", "README": "short text", "a.md": `ending ".md"`, "b.html": "ending", "c.pdf": "ending", "d.doc": "ending", "e.docx": "ending"} {
			if !strings.Contains(got[name], why) {
				t.Errorf("%s: %s: %q, want %q", p, name, got[name], why)
			}
		}
	}
	files, skipped, err := Open([]string{filepath.Join(dir, "readme.txt")})
	if err != nil || len(files) != 1 || len(skipped) != 0 {
		t.Errorf("a file that is named: %v, %v, %v", names(files), skipped, err)
	}
}

func TestQuote(t *testing.T) {
	for name, want := range map[string]string{
		`C:\books\v1.brf`: `"C:\books\v1.brf"`, `\\shelf\v1.brf`: `"\\shelf\v1.brf"`, "a\nb": `"a\nb"`, "a\x1b[2Jb": `"a\x1b[2Jb"`, `say "a"`: `"say \"a\""`, "caf\u00e9 1.brf": "\"caf\u00e9 1.brf\"",
	} {
		if got := Quote(name); got != want {
			t.Errorf("%q: got %s, want %s", name, got, want)
		}
	}
	_, err := Parse(`C:\books\v1.brf`, nil)
	if err == nil || !strings.HasPrefix(err.Error(), `"C:\books\v1.brf": `) {
		t.Errorf("got %v", err)
	}
}
