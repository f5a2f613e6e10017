package atomicfile

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"unicode/utf8"
)

// listing is every file of a folder with its bytes, in order.
func listing(t *testing.T, dir string) string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, e := range entries {
		data, _ := os.ReadFile(filepath.Join(dir, e.Name()))
		out = append(out, e.Name()+"="+string(data))
	}
	return strings.Join(out, " ")
}

// symlink makes a link, or skips the test where links cannot be made: Windows
// asks for a right that not everybody has, and Wine makes none and says
// nothing.
func symlink(t *testing.T, to, path string) {
	t.Helper()
	if err := os.Symlink(to, path); err != nil || !exists(path) {
		t.Skipf("no symbolic links here: %v", err)
	}
}

func exists(path string) bool {
	_, err := os.Lstat(path)
	return err == nil
}

func put(t *testing.T, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func TestWrite(t *testing.T) {
	dir := t.TempDir()
	for _, text := range []string{"one", "two, longer", ""} {
		if err := Write(filepath.Join(dir, "x.brf"), []byte(text)); err != nil {
			t.Fatal(err)
		}
		if got := listing(t, dir); got != "x.brf="+text {
			t.Errorf("got %s", got)
		}
	}
}

func TestWriteAll(t *testing.T) {
	dir := t.TempDir()
	put(t, filepath.Join(dir, "b"), "old")
	err := WriteAll([]Item{{filepath.Join(dir, "a"), []byte("1")}, {filepath.Join(dir, "b"), []byte("2")}, {filepath.Join(dir, "c"), nil}})
	if err != nil {
		t.Fatal(err)
	}
	if got := listing(t, dir); got != "a=1 b=2 c=" {
		t.Errorf("got %s", got)
	}
}

func TestLinkIsReplaced(t *testing.T) {
	dir := t.TempDir()
	put(t, filepath.Join(dir, "source"), "text")
	target := filepath.Join(dir, "x")
	symlink(t, "source", target)
	if err := Write(target, []byte("new")); err != nil {
		t.Fatal(err)
	}
	if got := listing(t, dir); got != "source=text x=new" {
		t.Errorf("got %s", got)
	}
}

func TestRefused(t *testing.T) {
	dir := t.TempDir()
	put(t, filepath.Join(dir, "file"), "f")
	if err := os.Mkdir(filepath.Join(dir, "sub"), 0o755); err != nil {
		t.Fatal(err)
	}
	good := Item{filepath.Join(dir, "good"), []byte("g")}
	for name, c := range map[string]struct {
		path, want string
	}{
		"target is a folder":    {filepath.Join(dir, "sub"), "is a folder"},
		"no such folder":        {filepath.Join(dir, "gone", "x"), `x"`},
		"a file for a folder":   {filepath.Join(dir, "file", "x"), `x"`},
		"the same target twice": {filepath.Join(dir, "sub", "..", "good"), "twice"},
		"no name":               {"", "no name"},
	} {
		err := WriteAll([]Item{good, {c.path, []byte("x")}})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v", name, err)
		}
		if got := listing(t, dir); got != "file=f sub=" {
			t.Errorf("%s: left %s", name, got)
		}
	}
}

func TestReadOnlyFolder(t *testing.T) {
	switch {
	case os.Geteuid() == 0:
		t.Skip("the super-user may write everywhere; the failing disk below covers it")
	case runtime.GOOS == "windows":
		t.Skip("a folder marked read-only takes files on Windows all the same")
	}
	dir := t.TempDir()
	if err := os.Chmod(dir, 0o555); err != nil {
		t.Fatal(err)
	}
	defer os.Chmod(dir, 0o755)
	if err := Write(filepath.Join(dir, "x"), []byte("x")); err == nil {
		t.Error("no error")
	}
}

func TestGuard(t *testing.T) {
	dir := t.TempDir()
	in, link, other := filepath.Join(dir, "in"), filepath.Join(dir, "link"), filepath.Join(dir, "other")
	put(t, in, "x")
	put(t, other, "x")
	if os.Symlink("in", link); !exists(link) {
		if err := os.Link(in, link); err != nil { // a second name is one too
			t.Fatal(err)
		}
	}
	for target, bad := range map[string]bool{in: true, link: true, other: false, filepath.Join(dir, "gone"): false} {
		if err := Guard([]string{target}, []string{in}); (err != nil) != bad {
			t.Errorf("%s: %v", target, err)
		}
	}
}

var errDisk = errors.New("no space left on the simulated disk")

// failing is a disk on which the work op fails for the file of the given name,
// or, for syncdir, for the folder of that name.
func failing(op, base string) disk {
	d := system
	fails := func(o, path string) error {
		name := filepath.Base(path)
		if o == op && (name == base || strings.HasPrefix(name, "."+base+".")) {
			return errDisk
		}
		return nil
	}
	d.create = func(name string) (file, error) {
		if err := fails("create", name); err != nil {
			return nil, &fs.PathError{Op: "open", Path: name, Err: err}
		}
		f, err := system.create(name)
		return failFile{f, func(o string) error { return fails(o, name) }}, err
	}
	d.rename = func(from, to string) error {
		if filepath.Base(to) != base || !strings.HasSuffix(from, ".tmp") || strings.HasSuffix(from, "-1.tmp") {
			return os.Rename(from, to) // of the backup
		}
		if err := fails("rename", to); err != nil {
			return &os.LinkError{Op: "rename", Old: from, New: to, Err: err}
		}
		return os.Rename(from, to)
	}
	d.link = func(a, b string) error {
		if op == "nolink" {
			return errors.ErrUnsupported
		}
		return os.Link(a, b)
	}
	d.syncDir = func(dir string) error { return fails("syncdir", dir) }
	return d
}

type failFile struct {
	file
	fail func(string) error
}

func (f failFile) Write(p []byte) (int, error) {
	if err := f.fail("write"); err != nil {
		n, _ := f.file.Write(p[:len(p)/2])
		return n, err
	}
	if f.fail("short") != nil {
		f.file.Write(p[:len(p)/2])
		return len(p), nil // a disk that lies
	}
	return f.file.Write(p)
}

func (f failFile) Sync() error { return errors.Join(f.fail("sync"), f.file.Sync()) }

func (f failFile) Close() error { return errors.Join(f.file.Close(), f.fail("close")) }

// Whatever fails, and for whichever file, the folders are as they were before.
func TestFailingDisk(t *testing.T) {
	for _, op := range []string{"create", "write", "short", "sync", "close", "rename", "syncdir"} {
		for n, base := range []string{"a", "b", "c"} {
			t.Run(op+" "+base, func(t *testing.T) {
				dir := t.TempDir()
				var items []Item
				for _, name := range []string{"a", "b", "c"} {
					if err := os.Mkdir(filepath.Join(dir, name), 0o755); err != nil {
						t.Fatal(err)
					}
					items = append(items, Item{filepath.Join(dir, name, name), []byte("new " + name)})
				}
				put(t, items[1].Path, "old")
				err := failing(op, base).stage(items).Commit()
				if err == nil || !strings.Contains(err.Error(), fmt.Sprintf("%q", items[n].Path)) {
					t.Errorf("error %v", err)
				}
				if op != "short" && !errors.Is(err, errDisk) {
					t.Errorf("error %v hides its cause", err)
				}
				for _, x := range items {
					want := ""
					if x.Path == items[1].Path {
						want = "b=old"
					}
					if got := listing(t, filepath.Dir(x.Path)); got != want {
						t.Errorf("left %s", got)
					}
				}
			})
		}
	}
}

// TestCancel: a set that is given up leaves the folder as it was, also when
// files were added after the first.
func TestCancel(t *testing.T) {
	dir := t.TempDir()
	put(t, filepath.Join(dir, "b"), "old")
	s := Stage(Item{filepath.Join(dir, "a"), []byte("1")}, Item{filepath.Join(dir, "b"), []byte("2")})
	s.Add(Item{filepath.Join(dir, "c"), []byte("3")})
	if err := s.Cancel(); err != nil {
		t.Error(err)
	}
	if got := listing(t, dir); got != "b=old" {
		t.Errorf("left %s", got)
	}
	s = Stage(Item{filepath.Join(dir, "a"), []byte("1")})
	s.Add(Item{filepath.Join(dir, "b"), []byte("2")})
	if err := errors.Join(s.Commit(), s.Cancel()); err != nil { // Cancel comes too late
		t.Error(err)
	}
	if got := listing(t, dir); got != "a=1 b=2" {
		t.Errorf("left %s", got)
	}
}

func TestDiskWithoutLinks(t *testing.T) {
	dir := t.TempDir()
	put(t, filepath.Join(dir, "b"), "old")
	d := failing("nolink", "")
	if err := d.stage([]Item{{filepath.Join(dir, "b"), []byte("new")}}).Commit(); err != nil {
		t.Fatal(err)
	}
	if got := listing(t, dir); got != "b=new" {
		t.Errorf("left %s", got)
	}
	d.syncDir = func(string) error { return errDisk }
	if err := d.stage([]Item{{filepath.Join(dir, "b"), bytes.Repeat([]byte("x"), 10)}}).Commit(); err == nil {
		t.Error("no error")
	}
	if got := listing(t, dir); got != "b=new" {
		t.Errorf("left %s", got)
	}
}

// Names that Windows does not take, or changes.
func TestNameable(t *testing.T) {
	for _, bad := range []string{"a.", "a ", "trail. "} {
		if nameable(bad, "windows") {
			t.Errorf("%q", bad)
		}
		if !nameable(bad, "linux") {
			t.Errorf("%q is a name elsewhere", bad)
		}
	}
	if runtime.GOOS == "windows" {
		for _, bad := range []string{"CON", "nul.brf", "a:b", "COM1.txt"} {
			if nameable(bad, "windows") {
				t.Errorf("%q", bad)
			}
		}
	}
	if !nameable("bell-continuous.brf", "windows") {
		t.Error("a good name")
	}
}

// A long name of several bytes a letter is cut between letters.
func TestLongName(t *testing.T) {
	dir := t.TempDir()
	name := strings.Repeat("é", 60) + "a.brf"
	s := system
	s.create = func(temp string) (file, error) {
		if !utf8.ValidString(temp) {
			t.Errorf("%q", temp)
		}
		return system.create(temp)
	}
	for _, n := range []string{name, "a" + name} {
		if err := s.stage([]Item{{filepath.Join(dir, n), []byte("x")}}).Commit(); err != nil {
			t.Fatal(err)
		}
	}
}
