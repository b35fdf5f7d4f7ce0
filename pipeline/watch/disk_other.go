//go:build !linux && !darwin && !windows

package watch

// freeBytes is not known on other systems.
func freeBytes(string) (uint64, bool) { return 0, false }
