//go:build !windows

package watch

import (
	"errors"
	"os"
	"syscall"
)

// linkNew moves a file to a free name where the system has no rename that
// refuses to replace: for an instant both names lead to the same file.
func linkNew(f *folder, from, to string) error {
	if err := f.root.Link(from, to); err != nil {
		return err
	}
	return f.root.Remove(from)
}

// openExclusive opens a file of drop/ for reading. Here nobody can be kept from
// writing at the same time; size and time tell.
func openExclusive(f *folder, name string) (*os.File, error) { return f.open(name) }

func syncFile(root *os.Root, name string) error { return syncDir(root, name) }

// syncDir syncs a file or folder opened for reading. Some file systems cannot
// sync folders and say so by EINVAL.
func syncDir(root *os.Root, name string) error {
	d, err := root.Open(name)
	if err != nil {
		return err
	}
	defer d.Close()
	if err := d.Sync(); !errors.Is(err, syscall.EINVAL) {
		return err
	}
	return nil
}

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
