//go:build unix

package safefs

import (
	"os"

	"golang.org/x/sys/unix"
)

// openAtOnce opens whatever has the name without waiting for anybody.
func openAtOnce(name string) (*os.File, error) {
	fd, err := retry(func() (int, error) {
		return unix.Open(name, unix.O_RDONLY|unix.O_NONBLOCK|unix.O_NOCTTY|unix.O_CLOEXEC, 0)
	})
	if err != nil {
		return nil, &os.PathError{Op: "open", Path: name, Err: err}
	}
	if err := unix.SetNonblock(fd, false); err != nil {
		unix.Close(fd)
		return nil, &os.PathError{Op: "open", Path: name, Err: err}
	}
	return os.NewFile(uintptr(fd), name), nil
}
