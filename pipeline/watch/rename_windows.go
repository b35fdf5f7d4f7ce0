package watch

import (
	"os"

	"golang.org/x/sys/windows"
)

// renameNew moves a file to a name that must be free. Both names come from this
// package's own rules, so that the full path stays inside the shop folder.
func renameNew(f *folder, from, to string) error {
	old, err := windows.UTF16PtrFromString(longPath(f.abs(from)))
	if err != nil {
		return err
	}
	fresh, err := windows.UTF16PtrFromString(longPath(f.abs(to)))
	if err != nil {
		return err
	}
	if err := windows.MoveFileEx(old, fresh, windows.MOVEFILE_WRITE_THROUGH); err != nil {
		return &os.LinkError{Op: "rename", Old: from, New: to, Err: err}
	}
	return nil
}
