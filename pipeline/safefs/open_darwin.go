package safefs

import (
	"errors"

	"golang.org/x/sys/unix"
)

// searchOnly opens a folder to look names up in it.
const searchOnly = unix.O_RDONLY

func openBelow(fd int, name string, flags int) (int, error) { return openEach(fd, name, flags) }

// renameFree renames to a name that must be free.
func renameFree(fromFD int, from string, toFD int, to string) error {
	err := retryErr(func() error { return unix.RenameatxNp(fromFD, from, toFD, to, unix.RENAME_EXCL) })
	if errors.Is(err, unix.ENOTSUP) || errors.Is(err, unix.EINVAL) {
		return linkFree(fromFD, from, toFD, to)
	}
	return err
}
