package watch

import (
	"errors"
	"os"
	"strings"
	"syscall"

	"golang.org/x/sys/windows"
)

// openExclusive opens a file of drop/ for reading while nobody else has it open
// at all; a copy in progress makes it fail with a sharing violation.
func openExclusive(f *folder, name string) (*os.File, error) {
	if err := f.ask("open", name); err != nil {
		return nil, err
	}
	full := f.abs(name)
	p, err := windows.UTF16PtrFromString(longPath(full))
	if err != nil {
		return nil, err
	}
	h, err := windows.CreateFile(p, windows.GENERIC_READ, 0, nil, windows.OPEN_EXISTING, windows.FILE_FLAG_OPEN_REPARSE_POINT, 0)
	if err != nil {
		return nil, &os.PathError{Op: "open", Path: name, Err: err}
	}
	return os.NewFile(uintptr(h), full), nil
}

// longPath is the form of an absolute path that may have more than 260 characters.
func longPath(p string) string {
	switch {
	case strings.HasPrefix(p, `\\?\`):
		return p
	case strings.HasPrefix(p, `\\`):
		return `\\?\UNC\` + p[2:]
	}
	return `\\?\` + p
}

// syncFile flushes a file. That needs a handle opened for writing; a file that
// is read-only keeps what its writer flushed.
func syncFile(root *os.Root, name string) error {
	w, err := root.OpenFile(name, os.O_RDWR, 0)
	if errors.Is(err, windows.ERROR_ACCESS_DENIED) {
		return nil
	}
	if err != nil {
		return err
	}
	defer w.Close()
	return w.Sync()
}

// syncDir does nothing: Windows flushes no folders, NTFS journals its renames.
func syncDir(*os.Root, string) error { return nil }

// passing are the faults of the system that can go away without anything being
// done to the template.
func passing() []error {
	return []error{
		windows.ERROR_SHARING_VIOLATION, windows.ERROR_LOCK_VIOLATION, windows.ERROR_ACCESS_DENIED, windows.ERROR_DISK_FULL,
		windows.ERROR_HANDLE_DISK_FULL, windows.ERROR_WRITE_PROTECT, windows.ERROR_NOT_READY, windows.ERROR_TOO_MANY_OPEN_FILES,
		windows.ERROR_NOT_ENOUGH_MEMORY, windows.ERROR_BAD_NETPATH, windows.ERROR_BAD_NET_NAME, windows.ERROR_NETNAME_DELETED,
		windows.ERROR_NETWORK_UNREACHABLE, windows.ERROR_UNEXP_NET_ERR, windows.ERROR_SEM_TIMEOUT, windows.ERROR_DEV_NOT_EXIST,
		windows.ERROR_FILE_NOT_FOUND, windows.ERROR_PATH_NOT_FOUND, windows.ERROR_IO_DEVICE, windows.ERROR_BUSY,
		windows.ERROR_NO_SYSTEM_RESOURCES, windows.ERROR_DELETE_PENDING,
		// The names that Go has for faults of other systems, which libraries may use here too.
		syscall.ENOSPC, syscall.EDQUOT, syscall.EROFS, syscall.EACCES, syscall.EMFILE, syscall.EIO,
	}
}
