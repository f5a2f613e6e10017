//go:build unix

package main

import (
	"os"
	"runtime"
	"syscall"
)

// peak is the most memory that the program held, in bytes. Linux tells it in
// kilobytes, macOS in bytes.
func peak(s *os.ProcessState) int64 {
	use, ok := s.SysUsage().(*syscall.Rusage)
	if !ok {
		return 0
	}
	if runtime.GOOS == "darwin" {
		return int64(use.Maxrss)
	}
	return int64(use.Maxrss) * 1024
}
