package source

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestOpenMembers(t *testing.T) {
	dir := t.TempDir()
	put := func(name, text string) string {
		p := filepath.Join(dir, name)
		if err := os.WriteFile(p, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
		return p
	}
	a, b := put("a2.brf", brailleText), put("a10.brf", brailleText+"x")
	note := put("notes.txt", printText)
	files, skipped, err := OpenMembers([]Member{{Path: b}, {Path: a, Name: "vol1-a2.brf"}, {Path: note}})
	if err != nil || len(files) != 2 || files[0].Name != "a10.brf" || files[1].Name != "vol1-a2.brf" || len(skipped) != 1 || !strings.Contains(skipped[0].Why, "print") {
		t.Errorf("%v %v %v", files, skipped, err)
	}
	empty := put("empty.brf", "")
	if _, _, err := OpenMembers([]Member{{Path: a}, {Path: empty}, {Path: filepath.Join(dir, "gone.brf")}}); err == nil || !strings.Contains(err.Error(), "empty") || !strings.Contains(err.Error(), "gone.brf") {
		t.Errorf("got %v", err)
	}
	if _, _, err := OpenMembers([]Member{{Path: note}}); err == nil {
		t.Error("print alone is no braille")
	}
}

func TestKindOf(t *testing.T) {
	for name, want := range map[string]Kind{"a.brf": Braille, "A.BRL": Braille, "a.txt": Maybe, "a": Maybe, "a.01": Maybe, "a.zip": Zip, "a.ZIP": Zip,
		"a.doc": Other, ".hidden.brf": Other, "x.account.jsonl": Other, "title.toml": Other} {
		if got, _ := KindOf(name); got != want {
			t.Errorf("%s: %d, want %d", name, got, want)
		}
	}
}

func TestStrayCase(t *testing.T) {
	text := strings.Repeat("THE CAT SAT ON A MAT\n", 300)
	for _, c := range []struct {
		text string
		want int64
	}{{text, 0}, {strings.Replace(text, "CAT", "cAT", 2), 2}, {strings.ToLower(text), 0}, {strings.Replace(text, "THE", "the", 150), 0}, {strings.Replace(text[:200], "C", "c", 1), 0}} {
		f, err := Parse("x.brf", []byte(c.text))
		if err != nil {
			t.Fatal(err)
		}
		if got := StrayCase(f); got != c.want {
			t.Errorf("%.20q: %d, want %d", c.text, got, c.want)
		}
	}
}

// Unicode braille in UTF-16 is no print, whatever the halves of its cells look
// like; found with a name that does not say braille.
func TestSniffUTF16(t *testing.T) {
	dir := t.TempDir()
	var cells []rune
	for i := range 3000 {
		cells = append(cells, rune(0x2800+[]int{0x2c, 0x2e, 0x00, 0x13, 0x2e, 0x00, 0x01}[i%7]))
		if i%30 == 29 {
			cells = append(cells, '\n')
		}
	}
	for _, big := range []bool{false, true} {
		p := filepath.Join(dir, "a.txt")
		if err := os.WriteFile(p, utf16Bytes(cells, big), 0o666); err != nil {
			t.Fatal(err)
		}
		if !Sniff(p) {
			t.Errorf("big-endian %v: taken for print", big)
		}
		if files, skipped, err := Open([]string{dir}); err != nil || len(files) != 1 {
			t.Errorf("%v %v", skipped, err)
		}
	}
}
