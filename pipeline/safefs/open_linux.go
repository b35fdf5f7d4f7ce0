package safefs

import (
	"errors"
	"sync/atomic"

	"golang.org/x/sys/unix"
)

// searchOnly opens a folder to look names up in it; the right to list it is not needed.
const searchOnly = unix.O_PATH

// without openat2, which came with Linux 5.6, and which some containers forbid,
// folders are opened element by element.
var withoutOpenat2 atomic.Bool

// racing is how often a lookup is begun again that a rename elsewhere disturbed.
const racing = 100

// openBelow opens a folder below an open one; no element of the name may be a link, or
// lead to another file system.
func openBelow(fd int, name string, flags int) (int, error) {
	if withoutOpenat2.Load() {
		return openEach(fd, name, flags)
	}
	how := unix.OpenHow{Flags: uint64(flags &^ unix.O_NONBLOCK), Resolve: unix.RESOLVE_BENEATH | unix.RESOLVE_NO_SYMLINKS | unix.RESOLVE_NO_XDEV}
	for try := 0; ; try++ {
		below, err := retry(func() (int, error) { return unix.Openat2(fd, name, &how) })
		switch {
		case errors.Is(err, unix.ENOSYS), errors.Is(err, unix.EPERM) && !answers(fd):
			withoutOpenat2.Store(true)
			return openEach(fd, name, flags)
		case errors.Is(err, unix.EAGAIN) && try < racing:
			continue
		}
		return below, err
	}
}

// answers tells whether openat2 works at all: of the open folder itself it always does.
func answers(fd int) bool {
	self, err := unix.Openat2(fd, ".", &unix.OpenHow{Flags: unix.O_PATH | unix.O_CLOEXEC})
	if err == nil {
		unix.Close(self)
	}
	return err == nil
}

// renameFree renames to a name that must be free.
func renameFree(fromFD int, from string, toFD int, to string) error {
	err := retryErr(func() error { return unix.Renameat2(fromFD, from, toFD, to, unix.RENAME_NOREPLACE) })
	if errors.Is(err, unix.EINVAL) || errors.Is(err, unix.ENOSYS) {
		return linkFree(fromFD, from, toFD, to) // NFS and some FUSE file systems lack the flag
	}
	return err
}
