package catalogue

import (
	"errors"
	"os"
	"path/filepath"
	"runtime"
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

// A catalogue that may not be written to says so, and is still read and copied.
func TestUnwritable(t *testing.T) {
	if os.Geteuid() == 0 || runtime.GOOS == "windows" {
		t.Skip("nothing is forbidden here")
	}
	dir := t.TempDir()
	path := filepath.Join(dir, FileName)
	c, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	c.Close()
	for p, mode := range map[string]os.FileMode{path: 0o444, dir: 0o555} {
		if err := os.Chmod(p, mode); err != nil {
			t.Fatal(err)
		}
	}
	defer os.Chmod(dir, 0o755)
	if _, err := Open(path); !errors.Is(err, ErrUnwritable) {
		t.Errorf("opened to write: %v", err)
	}
	r, err := OpenReadOnly(path)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	to := filepath.Join(t.TempDir(), "copy.db")
	if err := r.Backup(t.Context(), to); err != nil {
		t.Error(err)
	}
	if _, err := OpenReadOnly(to); err != nil {
		t.Error(err)
	}
}
