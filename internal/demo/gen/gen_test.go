package main

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"continuo/internal/louis"
)

// madeWith is the version of liblouis whose tables the volumes were set with;
// another may contract a word another way.
const madeWith = "3.24.0"

// The volumes that are kept must be what the generator makes of the print
// texts, so that a change of a text is not forgotten.
func TestVolumesAreUpToDate(t *testing.T) {
	lou, ok := louis.Find()
	if !ok || lou.Version() != madeWith {
		t.Skipf("needs lou_translate %s (Debian: liblouis-bin)", madeWith)
	}
	for _, h := range houses() {
		vols, err := set(h, filepath.Join("..", "data"))
		if err != nil {
			t.Fatal(err)
		}
		if len(vols) != len(h.names) {
			t.Fatalf("%s: %d volumes, want %d", h.text, len(vols), len(h.names))
		}
		for i, v := range vols {
			kept, err := os.ReadFile(filepath.Join("..", "data", h.text, h.names[i]))
			if err != nil || !bytes.Equal(kept, h.bytes(v)) {
				t.Errorf("%s is not what the print text gives; run go generate in internal/demo (%v)", h.names[i], err)
			}
		}
	}
}

// Quotation marks and dashes of the print texts.
func TestDirected(t *testing.T) {
	for in, want := range map[string]string{
		`"Now," he said, "run!"`:          `“Now,” he said, “run!”`,
		`"--and the river's gone."`:       `“—and the river's gone.”`,
		`"crooked--"`:                     `“crooked—”`,
		`"Here. 'Paid 4 pounds.' And."`:   `“Here. ‘Paid 4 pounds.’ And.”`,
		`"I have put 'Kept,'" he said.`:   `“I have put ‘Kept,’” he said.`,
		`the Haverills' hens, don't (or)`: `the Haverills' hens, don't (or)`,
	} {
		if got := directed(in); got != want {
			t.Errorf("directed(%q) = %q, want %q", in, got, want)
		}
	}
}

// A long paragraph goes to the translator in pieces; nothing may get lost.
func TestSentences(t *testing.T) {
	var long string
	for range 60 {
		long += "He said a word. "
	}
	n := 0
	for _, p := range sentences(long) {
		if len(p) > 400 {
			t.Errorf("a piece of %d characters", len(p))
		}
		n += len(bytes.Fields([]byte(p)))
	}
	if n != 240 {
		t.Errorf("%d words, want 240", n)
	}
}
