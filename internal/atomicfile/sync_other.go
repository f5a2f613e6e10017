//go:build !windows

package atomicfile

import (
	"errors"
	"os"
	"syscall"
)

// syncDir makes a rename last through a loss of power. Some file systems
// cannot sync a folder; that is no failure.
func syncDir(dir string) error {
	f, err := os.Open(dir)
	if err != nil {
		return err
	}
	err = f.Sync()
	if e := f.Close(); err == nil {
		err = e
	}
	if errors.Is(err, syscall.EINVAL) || errors.Is(err, syscall.ENOTSUP) {
		return nil
	}
	return err
}

func rename(from, to string) error { return os.Rename(from, to) }

func remove(name string) error { return os.Remove(name) }

// replaceable finds nothing against it: a file that is open or read-only can
// be renamed over.
func replaceable(string) error { return nil }
