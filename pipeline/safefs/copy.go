package safefs

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"io/fs"
	"os"
)

// Copied is what CopyTo made.
type Copied struct {
	SHA256  string // of the copy, lower-case hex
	Bytes   int64
	Changed bool // the file was written or touched while it was copied: the copy may mix two states
}

// copyBlock is how much is copied between two looks at the context.
const copyBlock = 256 << 10

// CopyTo copies an open file into a new one that is the caller's own, hashes what it
// wrote, and has it written to the disk. Where the file system can share the bytes of
// two files, the copy is made at one stroke. before is what Open told of the file: from
// then on changes count. A file of more than limit bytes is
// ErrTooLarge, before the first byte where its size says so, and a file that grows is
// counted while it is copied; ctx ends it between two blocks.
func CopyTo(ctx context.Context, to *os.File, from *os.File, before Info, limit int64) (Copied, error) {
	name := before.Name()
	if before.Size() > limit {
		return Copied{}, &fs.PathError{Op: "copy", Path: name, Err: fmt.Errorf("%w: %d bytes, at most %d are read", ErrTooLarge, before.Size(), limit)}
	}
	var c Copied
	h := sha256.New()
	source, sink := io.Reader(from), io.Writer(io.MultiWriter(h, to))
	if cloned(to, from) {
		source, sink = to, h // its own bytes now, which nobody else writes
	} else if _, err := from.Seek(0, io.SeekStart); err != nil {
		return Copied{}, err
	}
	block := make([]byte, copyBlock)
	for {
		if err := ctx.Err(); err != nil {
			return Copied{}, err
		}
		n, err := source.Read(block)
		if n > 0 {
			if c.Bytes += int64(n); c.Bytes > limit {
				return Copied{}, &fs.PathError{Op: "copy", Path: name, Err: fmt.Errorf("%w: it grew past %d bytes while it was read", ErrTooLarge, limit)}
			}
			if _, err := sink.Write(block[:n]); err != nil {
				return Copied{}, err
			}
		}
		if err == io.EOF {
			break
		}
		if err != nil {
			return Copied{}, err
		}
	}
	if err := to.Sync(); err != nil {
		return Copied{}, err
	}
	after, err := statOf(from, name)
	if err != nil {
		return Copied{}, err
	}
	c.SHA256, c.Changed = hex.EncodeToString(h.Sum(nil)), !before.Untouched(after) || c.Bytes != after.Size()
	return c, nil
}
