//go:build linux || darwin

package watch

import "golang.org/x/sys/unix"

// freeBytes is the room that an ordinary user has left on the disk of a folder;
// none when the file system can hold no further file.
func freeBytes(folder string) (free uint64, known bool) {
	var st unix.Statfs_t
	if err := unix.Statfs(folder, &st); err != nil || st.Blocks == 0 {
		return 0, false
	}
	if st.Files > 0 && st.Ffree == 0 {
		return 0, true
	}
	return st.Bavail * uint64(st.Bsize), true
}
