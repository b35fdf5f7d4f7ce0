package watch

import (
	"errors"
	"io/fs"
	"os"
	"path"

	"golang.org/x/sys/unix"
)

// renameNew moves a file to a name that must be free.
func renameNew(f *folder, from, to string) error {
	fromDir, err := f.root.Open(path.Dir(from))
	if err != nil {
		return err
	}
	defer fromDir.Close()
	toDir, err := f.root.Open(path.Dir(to))
	if err != nil {
		return err
	}
	defer toDir.Close()
	err = unix.Renameat2(int(fromDir.Fd()), path.Base(from), int(toDir.Fd()), path.Base(to), unix.RENAME_NOREPLACE)
	switch {
	case err == nil:
		return nil
	case errors.Is(err, unix.EINVAL), errors.Is(err, unix.ENOSYS):
		return linkNew(f, from, to) // NFS and some FUSE file systems lack the flag
	case errors.Is(err, unix.EEXIST):
		err = fs.ErrExist
	}
	return &os.LinkError{Op: "rename", Old: from, New: to, Err: err}
}
