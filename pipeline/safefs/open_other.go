//go:build unix && !linux && !darwin

package safefs

import "golang.org/x/sys/unix"

// searchOnly opens a folder to look names up in it.
const searchOnly = unix.O_RDONLY

func openBelow(fd int, name string, flags int) (int, error) { return openEach(fd, name, flags) }

func renameFree(fromFD int, from string, toFD int, to string) error {
	return linkFree(fromFD, from, toFD, to)
}
