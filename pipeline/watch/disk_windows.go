package watch

import "golang.org/x/sys/windows"

// freeBytes is the room that the user has left on the disk of a folder.
func freeBytes(folder string) (free uint64, known bool) {
	name, err := windows.UTF16PtrFromString(folder)
	if err != nil {
		return 0, false
	}
	err = windows.GetDiskFreeSpaceEx(name, &free, nil, nil)
	return free, err == nil
}
