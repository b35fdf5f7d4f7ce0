package dxfio

import (
	"bytes"
	"strings"
)

// ForeignBytes is how much of a file Foreign wants to see.
const ForeignBytes = 4 << 10

// Foreign says from the first bytes of a file, up to ForeignBytes, why it is no
// DXF, in the words that Read would use; nil when it may be one. An empty file is
// none. A drawing that is only cut short is not foreign.
func Foreign(file string, head []byte) error {
	r := newReader(bytes.NewReader(head), Options{File: file})
	r.start()
	switch {
	case r.err != nil:
	case !r.next():
		if r.err == nil || r.line > 1 || r.codeSize != 0 || !strings.HasPrefix(r.err.Found, "group code expected") {
			return nil // blanks only, or cut inside its first lines
		}
		r.notDXF()
	default:
		return nil
	}
	return r.err
}
