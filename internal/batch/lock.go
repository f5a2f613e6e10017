package batch

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/gofrs/flock"

	"continuo/internal/lazy"
)

// LockName is the file in a catalogue's folder that a run holds. The lock ends
// with the program that holds it, however that ends.
const LockName = "catalogue.lock"

// ErrLocked is the error of a catalogue that another run works on.
var ErrLocked = errors.New("another run is working on this catalogue")

// Lock takes the lock of a catalogue's folder, or fails at once.
func Lock(folder string) (*flock.Flock, error) {
	l := flock.New(filepath.Join(folder, LockName), flock.SetPermissions(0o666)) // several people may work in turn
	ok, err := l.TryLock()
	for n := 0; err == nil && !ok && n < 4; n++ { // Running holds it for a moment
		time.Sleep(25 * time.Millisecond)
		ok, err = l.TryLock()
	}
	if err != nil {
		return nil, fmt.Errorf("%q: %s", l.Path(), cause(err))
	}
	if !ok {
		return nil, ErrLocked
	}
	return l, nil
}

// Running reports whether a run works on the catalogue of a folder.
func Running(folder string) bool {
	path := filepath.Join(folder, LockName)
	if _, err := os.Stat(path); err != nil {
		return false
	}
	l := flock.New(path)
	ok, err := l.TryRLock()
	if ok {
		l.Unlock()
	}
	return err == nil && !ok
}

// temporary is the form of the names that internal/atomicfile writes under.
var temporary = lazy.Regexp(`^\..+\.[0-9]+-[0-9]+\.tmp$`)

// sweep removes what a run that was killed left half written in the folders of
// editions. Only names of our own form go, and only while the lock is held.
func sweep(folder string) error {
	titles, err := os.ReadDir(filepath.Join(folder, Editions))
	if errors.Is(err, os.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	for _, t := range titles {
		dir := filepath.Join(folder, Editions, t.Name())
		files, err := os.ReadDir(dir)
		if err != nil {
			continue // no folder
		}
		for _, f := range files {
			if temporary().MatchString(f.Name()) {
				if err := os.Remove(filepath.Join(dir, f.Name())); err != nil {
					return err
				}
			}
		}
	}
	return nil
}
