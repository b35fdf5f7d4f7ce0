package safefs

import "os"

// OpenPath opens a regular file for reading by a path that somebody named outright:
// links in it are followed. What is no file (a pipe, a folder, a device) is ErrNotFile
// at once; nothing is waited for.
func OpenPath(name string) (*os.File, Info, error) {
	looked, err := os.Stat(name)
	if err != nil {
		return nil, Info{}, err
	}
	if !looked.Mode().IsRegular() {
		return nil, Info{}, notFile(name, looked.Mode())
	}
	file, err := openAtOnce(name)
	if err != nil {
		return nil, Info{}, err
	}
	info, err := statOf(file, name)
	if err == nil && !info.Mode().IsRegular() {
		err = notFile(name, info.Mode()) // exchanged since
	}
	if err != nil {
		file.Close()
		return nil, Info{}, err
	}
	return file, info, nil
}
