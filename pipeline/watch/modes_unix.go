//go:build !windows

package watch

import (
	"io/fs"
	"syscall"
)

// sameGroup gives a file or folder the group of another one.
func sameGroup(f *folder, name string, info, like fs.FileInfo) error {
	have, ok := info.Sys().(*syscall.Stat_t)
	want, known := like.Sys().(*syscall.Stat_t)
	if !ok || !known || have.Gid == want.Gid {
		return nil
	}
	return f.root.Lchown(name, -1, int(want.Gid))
}
