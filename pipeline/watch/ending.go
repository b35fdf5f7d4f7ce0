package watch

import (
	"bytes"
	"io"

	"trueup/dxfio"
)

// tailBytes are looked at for the end of a drawing: the last group with room
// for line ends and padding.
const tailBytes = 1024

// foreign says from a file's first bytes why it is no DXF at all, in the words of
// the check command; nil when it may be one. sure is false of an empty file and
// of one that starts with zeros: copy programs make such ones before they fill them.
func foreign(r io.ReaderAt, size int64, name string) (why error, sure bool, err error) {
	head := make([]byte, min(size, dxfio.ForeignBytes))
	if _, err := r.ReadAt(head, 0); err != nil && err != io.EOF {
		return nil, false, err
	}
	return dxfio.Foreign(name, head), len(head) > 0 && head[0] != 0, nil
}

// endsAsDXF tells whether a file of the given size ends as a DXF ends: with the
// group 0 / EOF, in text (lines "0" and "EOF", then at most blanks, Ctrl-Z or
// NUL) or in binary (0, "EOF", NUL). It reads the first and last bytes only.
func endsAsDXF(r io.ReaderAt, size int64) (bool, error) {
	head := make([]byte, min(size, int64(dxfio.HeadBytes)))
	if _, err := r.ReadAt(head, 0); err != nil && err != io.EOF {
		return false, err
	}
	tail := make([]byte, min(size, tailBytes))
	if _, err := r.ReadAt(tail, size-int64(len(tail))); err != nil && err != io.EOF {
		return false, err
	}
	if dxfio.IsBinary(head) {
		// The code is two bytes since release 13, one before it.
		return bytes.HasSuffix(bytes.TrimRight(tail, "\x1a"), []byte("\x00EOF\x00")), nil
	}
	// Text in UTF-16 is every other byte NUL; without them it reads as plain text.
	text := bytes.ReplaceAll(tail, []byte{0}, nil)
	text = bytes.TrimRight(text, " \t\r\n\x1a")
	text, ok := bytes.CutSuffix(text, []byte("EOF"))
	if !ok {
		return false, nil
	}
	before := bytes.TrimRight(text, " \t")
	code := bytes.TrimRight(before, "\r\n")
	if len(code) == len(before) {
		return false, nil // EOF does not stand on a line of its own
	}
	code = bytes.TrimRight(code, " \t")
	line := bytes.LastIndexAny(code, "\r\n")
	return string(bytes.TrimLeft(code[line+1:], " \t")) == "0", nil
}
