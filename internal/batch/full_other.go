//go:build !windows

package batch

import (
	"errors"
	"syscall"
)

// isDiskFull knows the error of a quota that is used up.
func isDiskFull(err error) bool { return errors.Is(err, syscall.EDQUOT) }
