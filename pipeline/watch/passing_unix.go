//go:build !windows

package watch

import (
	"errors"
	"syscall"
)

// heldByLease tells that a file cannot be opened now because its owner has a lease on it.
func heldByLease(err error) bool { return errors.Is(err, syscall.EAGAIN) }

// passing are the faults of the system that can go away without anything being
// done to the template. ENOENT is among them because a share that is gone shows
// an empty folder.
func passing() []error {
	return []error{
		syscall.ENOSPC, syscall.EDQUOT, syscall.EROFS, syscall.EACCES, syscall.EPERM, syscall.EMFILE, syscall.ENFILE,
		syscall.ENOMEM, syscall.EIO, syscall.ESTALE, syscall.ETIMEDOUT, syscall.EBUSY, syscall.ETXTBSY, syscall.ENODEV,
		syscall.ENOTCONN, syscall.EHOSTDOWN, syscall.EHOSTUNREACH, syscall.ENETDOWN, syscall.ENETUNREACH, syscall.ENOENT,
		syscall.EAGAIN, syscall.EINTR,
	}
}
