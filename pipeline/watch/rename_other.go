//go:build !linux && !windows

package watch

// renameNew moves a file to a name that must be free.
func renameNew(f *folder, from, to string) error { return linkNew(f, from, to) }
