package dxfio

import (
	"bytes"
	"fmt"
)

// quotedBytes is how much of a strange value an error message shows.
const quotedBytes = 40

// quoteStart returns the start of b in quotes, anything unprintable escaped.
func quoteStart(b []byte) string {
	b = trimBlanks(b)
	if len(b) > quotedBytes {
		return fmt.Sprintf("%+q...", b[:quotedBytes])
	}
	return fmt.Sprintf("%+q", b)
}

// firstLine returns b up to its first line end.
func firstLine(b []byte) []byte {
	if i := bytes.IndexAny(b, "\r\n"); i >= 0 {
		return b[:i]
	}
	return b
}
