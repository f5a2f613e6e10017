//go:build !windows

package shelf

import "golang.org/x/sys/unix"

// freeBytes is the room that is left where a folder is.
func freeBytes(dir string) (int64, bool) {
	var s unix.Statfs_t
	if err := unix.Statfs(dir, &s); err != nil {
		return 0, false
	}
	return int64(s.Bavail) * int64(s.Bsize), true
}
