package safefs

import (
	"errors"
	"os"
	"path/filepath"
	"strings"

	"golang.org/x/sys/windows"
)

// movePath renames by absolute paths; with free the new name must be free.
func movePath(from, to string, free bool) error {
	old, err := windows.UTF16PtrFromString(longPath(from))
	if err != nil {
		return err
	}
	fresh, err := windows.UTF16PtrFromString(longPath(to))
	if err != nil {
		return err
	}
	flags := uint32(windows.MOVEFILE_WRITE_THROUGH)
	if !free {
		flags |= windows.MOVEFILE_REPLACE_EXISTING
	}
	return windows.MoveFileEx(old, fresh, flags)
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

// Sync flushes a file. That needs a handle opened for writing; a file that is
// read-only keeps what its writer flushed. Folders are not flushed: NTFS journals its renames.
func (d *Dir) Sync(name string) error {
	info, err := d.Lstat(name)
	if err != nil || info.IsDir() {
		return err
	}
	file, _, err := d.open(name, os.O_RDWR)
	if errors.Is(err, windows.ERROR_ACCESS_DENIED) {
		return nil
	}
	if err != nil {
		return err
	}
	defer file.Close()
	d.step("sync", name)
	return file.Sync()
}

// openAlone opens a file while nobody else has it open at all; a copy in progress makes
// it fail with a sharing violation. A link is opened itself, and told by the proof.
func openAlone(above *Dir, base string) (*os.File, error) {
	full := filepath.Join(above.path, base)
	p, err := windows.UTF16PtrFromString(longPath(full))
	if err != nil {
		return nil, err
	}
	h, err := windows.CreateFile(p, windows.GENERIC_READ, 0, nil, windows.OPEN_EXISTING, windows.FILE_FLAG_OPEN_REPARSE_POINT, 0)
	if err != nil {
		return nil, &os.PathError{Op: "open", Path: base, Err: err}
	}
	return os.NewFile(uintptr(h), full), nil
}
