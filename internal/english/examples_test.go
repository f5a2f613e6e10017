package english

import (
	"os"
	"strings"
	"testing"
)

// TestPublishedExamples reads and writes the examples of testdata/examples.txt.
func TestPublishedExamples(t *testing.T) {
	b, err := os.ReadFile("testdata/examples.txt")
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for i, l := range strings.Split(string(b), "\n") {
		if l == "" || l[0] == '#' {
			continue
		}
		f := strings.Split(l, " | ")
		if len(f) != 4 {
			t.Fatalf("testdata/examples.txt:%d: want four fields", i+1)
		}
		for _, c := range []Code{UEB, SEB, EBAE} {
			if !strings.Contains(f[0], c.String()[:1]) {
				continue
			}
			n++
			v := Variant{c, true, true}
			if got := Read([]byte(f[3]), v); got != f[2] {
				t.Errorf("line %d, %s: %v reads %q as %q, want %q", i+1, f[1], c, f[3], got, f[2])
			}
			if got, err := Write(f[2], v); err != nil || string(got) != f[3] {
				t.Errorf("line %d, %s: %v writes %q as %q (%v), want %q", i+1, f[1], c, f[2], got, err, f[3])
			}
		}
	}
	if n < 148 {
		t.Errorf("%d examples, want 148 at least", n)
	}
}
