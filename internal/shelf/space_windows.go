package shelf

import "golang.org/x/sys/windows"

// freeBytes is the room that is left where a folder is.
func freeBytes(dir string) (int64, bool) {
	p, err := windows.UTF16PtrFromString(dir)
	if err != nil {
		return 0, false
	}
	var free uint64
	if err := windows.GetDiskFreeSpaceEx(p, &free, nil, nil); err != nil {
		return 0, false
	}
	return int64(free), true
}
