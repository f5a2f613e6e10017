package catalogue

import (
	"path/filepath"
	"testing"
)

// The version changes with what is written here or by another program, and with
// nothing else.
func TestVersion(t *testing.T) {
	path := filepath.Join(t.TempDir(), FileName)
	c, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	other, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer other.Close()
	version := func() int64 {
		t.Helper()
		n, err := c.Version(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		return n
	}
	before := version()
	if _, err := c.Stats(t.Context()); err != nil || version() != before {
		t.Errorf("reading changes the version: %v", err)
	}
	for name, x := range map[string]*Catalogue{"here": c, "elsewhere": other} {
		before := version()
		if err := x.Set(t.Context(), "name", name); err != nil || version() == before {
			t.Errorf("what is written %s does not change the version: %v", name, err)
		}
	}
}
