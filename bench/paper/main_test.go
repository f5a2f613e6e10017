package main

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
)

// The large title must be what the benchmark says it is: six volumes, 600
// pages or a few more, all of one size.
func TestLargeTitle(t *testing.T) {
	dir := t.TempDir()
	if err := write(dir, 6, 100); err != nil {
		t.Fatal(err)
	}
	files, _ := filepath.Glob(filepath.Join(dir, "*.brf"))
	pages := 0
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, page := range bytes.Split(bytes.TrimSuffix(text, []byte("\f")), []byte("\f")) {
			pages++
			if n := bytes.Count(page, []byte("\n")); n != height {
				t.Errorf("%s: a page of %d lines", f, n)
			}
			for _, line := range bytes.Split(page, []byte("\n")) {
				if len(line) > width {
					t.Errorf("%s: %q is too long", f, line)
				}
			}
		}
	}
	if len(files) != 6 || pages < 600 || pages > 630 {
		t.Errorf("%d volumes, %d pages", len(files), pages)
	}
}
