//go:build !unix && !windows

package safefs

import (
	"io/fs"
	"os"
)

// movePath renames by absolute paths; with free the new name must be free, as far as a look tells.
func movePath(from, to string, free bool) error {
	if _, err := os.Lstat(to); free && err == nil {
		return fs.ErrExist
	}
	return os.Rename(from, to)
}

// Sync does nothing where the system is not known.
func (d *Dir) Sync(string) error { return nil }

func openAlone(above *Dir, base string) (*os.File, error) { return above.root.Open(base) }
