package atomicfile

import (
	"errors"
	"os"
	"time"

	"golang.org/x/sys/windows"
)

// syncDir does nothing: Windows cannot sync a folder, and its file systems
// journal renames.
func syncDir(string) error { return nil }

// patience is how long a rename waits for a file that another program has
// open: virus scanners and indexers open what was just written for a moment.
const patience = 2 * time.Second

var (
	errOpen     = errors.New("it is open in another program; close it there and try again")
	errReadOnly = errors.New("it is read-only; take that mark away first")
)

// inUse reports whether an error may be over when another program closes the
// file (System Error Codes of Windows).
func inUse(err error) bool {
	return errors.Is(err, windows.ERROR_SHARING_VIOLATION) || errors.Is(err, windows.ERROR_LOCK_VIOLATION) ||
		errors.Is(err, windows.ERROR_ACCESS_DENIED)
}

// patiently does again what fails because a file is in use, with pauses.
func patiently(work func() error) error {
	pause := 5 * time.Millisecond
	for end := time.Now().Add(patience); ; pause = min(2*pause, 200*time.Millisecond) {
		err := work()
		if err == nil || !inUse(err) || time.Now().After(end) {
			return err
		}
		time.Sleep(pause)
	}
}

func rename(from, to string) error { return patiently(func() error { return os.Rename(from, to) }) }

func remove(name string) error { return patiently(func() error { return os.Remove(name) }) }

// replaceable is an error when a file that is there cannot be renamed over:
// it is marked read-only, or a program has it open. That is asked before
// anything is done, for a second name of an open file could not be removed.
func replaceable(path string) error {
	name, err := windows.UTF16PtrFromString(path)
	if err != nil {
		return err
	}
	if a, err := windows.GetFileAttributes(name); err == nil && a&windows.FILE_ATTRIBUTE_READONLY != 0 {
		return errReadOnly
	}
	const all = windows.FILE_SHARE_READ | windows.FILE_SHARE_WRITE | windows.FILE_SHARE_DELETE
	err = patiently(func() error {
		h, err := windows.CreateFile(name, windows.DELETE, all, nil, windows.OPEN_EXISTING, windows.FILE_FLAG_OPEN_REPARSE_POINT, 0)
		if err != nil {
			return err
		}
		return windows.CloseHandle(h)
	})
	switch {
	case errors.Is(err, windows.ERROR_SHARING_VIOLATION), errors.Is(err, windows.ERROR_LOCK_VIOLATION):
		return errOpen
	case errors.Is(err, windows.ERROR_ACCESS_DENIED):
		return err
	}
	return nil // what else is wrong the rename tells
}
