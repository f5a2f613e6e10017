// Package atomicfile writes whole files: a file is there as it should be or
// not at all. The bytes go to a temporary file beside the target, their length
// is compared, they are synced, and the file is renamed over the target; then
// the folder is synced. A target that is a symbolic link is replaced by a
// file; what it points to is never written to.
package atomicfile

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
)

// Item is one file to be written.
type Item struct {
	Path string
	Data []byte
}

// Write writes one file. On an error the target is as it was before.
func Write(path string, data []byte) error { return WriteAll([]Item{{path, data}}) }

// WriteAll writes several files so that all of them or none appear: every
// temporary file is complete before the first is renamed, and a rename that
// fails undoes those before it. An error names the file.
func WriteAll(files []Item) error { return system.stage(files).Commit() }

// Staged is a set of files on their way to the disk: their temporary files are
// written and synced in the background, side by side. Commit or Cancel ends it.
type Staged struct {
	d     disk
	files []Item
	steps []*step
	done  sync.WaitGroup
	err   error // the targets cannot be files
	ended bool
}

// Stage begins to write files; no target changes before Commit.
func Stage(files ...Item) *Staged { return system.stage(files) }

func (d disk) stage(files []Item) *Staged {
	s := &Staged{d: d}
	s.Add(files...)
	return s
}

// Add puts more files to the set.
func (s *Staged) Add(files ...Item) {
	s.files = append(s.files, files...)
	if s.err == nil {
		s.err = s.d.check(s.files)
	}
	if s.err != nil {
		return
	}
	for _, f := range files {
		st := &step{path: filepath.Clean(f.Path)}
		s.steps = append(s.steps, st)
		s.done.Go(func() { st.temp, st.err = s.d.writeTemp(st.path, f.Data) })
	}
}

// Cancel gives the set up: no target changes, no temporary file stays. After
// Commit it does nothing.
func (s *Staged) Cancel() error {
	s.done.Wait()
	if s.ended {
		return nil
	}
	s.ended = true
	return errors.Join(s.d.undo(s.steps)...)
}

// Commit puts all files in their places, or none.
func (s *Staged) Commit() error {
	s.done.Wait()
	s.ended = true
	err := s.place()
	if err != nil {
		return errors.Join(append([]error{err}, s.d.undo(s.steps)...)...)
	}
	for _, st := range s.steps {
		if st.backup != "" {
			s.d.remove(st.backup) // the new files are safe; a copy of an old one does no harm
		}
	}
	return nil
}

func (s *Staged) place() error {
	if s.err != nil {
		return s.err
	}
	for i, st := range s.steps {
		if st.err != nil {
			return fmt.Errorf("%q: %w", s.files[i].Path, cause(st.err))
		}
	}
	for i, st := range s.steps {
		if _, err := s.d.lstat(st.path); err != nil {
			continue
		}
		if err := s.d.replaceable(st.path); err != nil {
			return fmt.Errorf("%q: %w", s.files[i].Path, err)
		}
	}
	for i, st := range s.steps {
		if err := s.d.place(st); err != nil {
			return fmt.Errorf("%q: %w", s.files[i].Path, cause(err))
		}
	}
	synced := map[string]bool{}
	for i, st := range s.steps {
		dir := filepath.Dir(st.path)
		if synced[dir] {
			continue
		}
		synced[dir] = true
		if err := s.d.syncDir(dir); err != nil {
			return fmt.Errorf("%q: folder: %w", s.files[i].Path, cause(err))
		}
	}
	return nil
}

// Guard is an error when one of the targets is one of the inputs, under
// whatever name. Call it before anything is written.
func Guard(targets, inputs []string) error {
	for _, t := range targets {
		ti, err := os.Stat(t)
		if err != nil {
			continue // a file that does not exist is no input
		}
		for _, in := range inputs {
			if ii, err := os.Stat(in); err == nil && os.SameFile(ti, ii) {
				return fmt.Errorf("%q is one of the sources (%q) and is never written over", t, in)
			}
		}
	}
	return nil
}

// Rename renames a file or folder. Where another program may have it open for
// a moment, as on Windows, it waits for that.
func Rename(from, to string) error { return rename(from, to) }

// file is what is needed of an open file.
type file interface {
	io.Writer
	Sync() error
	Stat() (fs.FileInfo, error)
	Close() error
}

// disk is the file system; tests put a failing one in its place.
type disk struct {
	create      func(name string) (file, error) // fails when name exists
	rename      func(from, to string) error
	link        func(from, to string) error
	remove      func(name string) error
	lstat       func(name string) (fs.FileInfo, error)
	replaceable func(name string) error // of a file that is there
	syncDir     func(dir string) error
}

var system = disk{
	create: func(name string) (file, error) {
		return os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	},
	rename: rename, link: os.Link, remove: remove, lstat: os.Lstat, replaceable: replaceable, syncDir: syncDir,
}

// step is one file on its way: temp holds the new bytes, backup the old file.
type step struct {
	path, temp, backup string
	linked             bool // backup is a second name of the old file
	placed             bool
	err                error // of writing temp
}

// cause takes the path off a file system error: the message names the target,
// not the temporary file.
func cause(err error) error {
	var pe *fs.PathError
	var le *os.LinkError
	switch {
	case errors.As(err, &pe):
		return pe.Err
	case errors.As(err, &le):
		return le.Err
	}
	return err
}

// nameable tells whether a file can have this name: Windows keeps some for
// devices (CON, NUL.txt), has none with a colon, and takes blanks and full stops
// off the end of others without a word (Microsoft, "Naming Files, Paths, and
// Namespaces").
func nameable(base, system string) bool {
	return filepath.IsLocal(base) && (system != "windows" || strings.TrimRight(base, ". ") == base)
}

// check refuses targets that cannot be files, and the same target twice.
func (d disk) check(files []Item) error {
	seen := map[string]bool{}
	for _, f := range files {
		if f.Path == "" {
			return errors.New("a file to write has no name")
		}
		if !nameable(filepath.Base(f.Path), runtime.GOOS) {
			return fmt.Errorf("%q: this system takes no file of that name", f.Path)
		}
		full, err := filepath.Abs(f.Path)
		if err != nil {
			return fmt.Errorf("%q: %w", f.Path, err)
		}
		if seen[full] {
			return fmt.Errorf("%q: written twice", f.Path)
		}
		seen[full] = true
		info, err := d.lstat(full)
		switch {
		case err == nil && info.IsDir():
			return fmt.Errorf("%q: is a folder", f.Path)
		case err == nil && !info.Mode().IsRegular() && info.Mode()&fs.ModeSymlink == 0:
			return fmt.Errorf("%q: is not a file", f.Path)
		}
	}
	return nil
}

// writeTemp writes data to a new file beside path and returns its name, also
// when it fails after the file was made.
func (d disk) writeTemp(path string, data []byte) (string, error) {
	name, f, err := d.fresh(path, d.create)
	if err != nil {
		return "", err
	}
	err = fill(f, data)
	if e := f.Close(); err == nil {
		err = e
	}
	return name, err
}

func fill(f file, data []byte) error {
	n, err := f.Write(data)
	if err != nil {
		return err
	}
	if n != len(data) {
		return io.ErrShortWrite
	}
	if err := f.Sync(); err != nil {
		return err
	}
	info, err := f.Stat()
	if err == nil && info.Size() != int64(len(data)) {
		err = fmt.Errorf("%d bytes arrived of %d", info.Size(), len(data))
	}
	return err
}

// fresh makes a hidden file with a new name beside path.
func (d disk) fresh(path string, create func(string) (file, error)) (string, file, error) {
	dir, base := filepath.Split(path)
	if len(base) > 100 {
		base = strings.ToValidUTF8(base[:100], "")
	}
	for i := 0; ; i++ {
		name := fmt.Sprintf("%s.%s.%d-%d.tmp", dir, base, os.Getpid(), i)
		f, err := create(name)
		if err == nil || !errors.Is(err, fs.ErrExist) || i == 1000 {
			return name, f, err
		}
	}
}

// place renames the temporary file over the target; what stood there before
// stays reachable as backup until all is done.
func (d disk) place(s *step) error {
	if _, err := d.lstat(s.path); err == nil {
		if err := d.keepOld(s); err != nil {
			return err
		}
	}
	if err := d.rename(s.temp, s.path); err != nil {
		return err
	}
	s.temp, s.placed = "", true
	return nil
}

// keepOld gives the old file a second name or, where that is impossible, moves
// it aside.
func (d disk) keepOld(s *step) error {
	name, _, err := d.fresh(s.path, func(n string) (file, error) { return nil, d.link(s.path, n) })
	if err == nil {
		s.backup, s.linked = name, true
		return nil
	}
	name, f, err := d.fresh(s.path, d.create)
	if err != nil {
		return err
	}
	f.Close()
	if err := d.rename(s.path, name); err != nil {
		d.remove(name)
		return err
	}
	s.backup = name
	return nil
}

// undo brings the targets back to what they were, the last one first.
func (d disk) undo(steps []*step) (errs []error) {
	for i := len(steps) - 1; i >= 0; i-- {
		s := steps[i]
		var err error
		switch {
		case s.linked && !s.placed:
			err = d.remove(s.backup) // the old file stands where it stood
		case s.backup != "":
			err = d.rename(s.backup, s.path)
			if err != nil {
				err = fmt.Errorf("%q: the old file could not be put back; it is kept as %q: %w", s.path, s.backup, cause(err))
			}
		case s.placed:
			err = d.remove(s.path)
		}
		if s.temp != "" {
			if e := d.remove(s.temp); err == nil && !errors.Is(e, fs.ErrNotExist) {
				err = e
			}
		}
		if err != nil {
			errs = append(errs, err)
		}
	}
	return errs
}
