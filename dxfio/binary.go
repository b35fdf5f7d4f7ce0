package dxfio

import (
	"bytes"
)

// HeadBytes is how much of a file IsBinary has to see.
const HeadBytes = len(binarySentinel)

// IsBinary tells whether a file whose first bytes are head is a binary DXF. Of
// a whole file the first HeadBytes are enough; with fewer it is false.
func IsBinary(head []byte) bool { return bytes.HasPrefix(head, []byte(binarySentinel)) }
