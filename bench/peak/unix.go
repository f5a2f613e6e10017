//go:build unix

// Package peak tells how much memory a program took.
package peak

import (
	"os"
	"runtime"
	"syscall"
)

// Of is the most memory that the program held, in bytes. Linux tells it in
// kilobytes, macOS in bytes.
func Of(s *os.ProcessState) int64 {
	use, ok := s.SysUsage().(*syscall.Rusage)
	if !ok {
		return 0
	}
	if runtime.GOOS == "darwin" {
		return int64(use.Maxrss)
	}
	return int64(use.Maxrss) * 1024
}
