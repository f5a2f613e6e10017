package batch

import (
	"errors"
	"syscall"
)

// isDiskFull knows the errors of Windows for a full disk (ERROR_HANDLE_DISK_FULL
// and ERROR_DISK_FULL, System Error Codes).
func isDiskFull(err error) bool {
	return errors.Is(err, syscall.Errno(39)) || errors.Is(err, syscall.Errno(112))
}
