//go:build !unix

package safefs

import "os"

// openAtOnce opens whatever has the name.
func openAtOnce(name string) (*os.File, error) { return os.Open(name) }
