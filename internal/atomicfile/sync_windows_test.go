package atomicfile

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"golang.org/x/sys/windows"
)

// hold opens a file as most programs of Windows do: others may read and write,
// and may not replace it.
func hold(t *testing.T, path string) (release func()) {
	t.Helper()
	name, err := windows.UTF16PtrFromString(path)
	if err != nil {
		t.Fatal(err)
	}
	h, err := windows.CreateFile(name, windows.GENERIC_READ, windows.FILE_SHARE_READ|windows.FILE_SHARE_WRITE, nil, windows.OPEN_EXISTING, 0, 0)
	if err != nil {
		t.Fatal(err)
	}
	return func() { windows.CloseHandle(h) }
}

// A file that is open for a moment is waited for; one that stays open is an
// error, and nothing has changed.
func TestOpenElsewhere(t *testing.T) {
	dir := t.TempDir()
	a, b := filepath.Join(dir, "a"), filepath.Join(dir, "b")
	put(t, a, "1")
	put(t, b, "1")
	release := hold(t, b)
	go func() {
		time.Sleep(100 * time.Millisecond)
		release()
	}()
	if err := WriteAll([]Item{{a, []byte("2")}, {b, []byte("2")}}); err != nil {
		t.Error(err)
	}
	if got := listing(t, dir); got != "a=2 b=2" {
		t.Errorf("left %s", got)
	}
	release = hold(t, b)
	err := WriteAll([]Item{{a, []byte("3")}, {b, []byte("3")}})
	if err == nil || !strings.Contains(err.Error(), `b": it is open in another program`) {
		t.Errorf("got %v", err)
	}
	if got := listing(t, dir); got != "a=2 b=2" {
		t.Errorf("left %s", got)
	}
	release()
}

// A file marked read-only is not replaced.
func TestReadOnlyFile(t *testing.T) {
	dir := t.TempDir()
	a := filepath.Join(dir, "a")
	put(t, a, "1")
	if err := os.Chmod(a, 0o444); err != nil {
		t.Fatal(err)
	}
	if err := Write(a, []byte("2")); err == nil || !strings.Contains(err.Error(), "read-only") {
		t.Errorf("got %v", err)
	}
	if got := listing(t, dir); got != "a=1" {
		t.Errorf("left %s", got)
	}
}
