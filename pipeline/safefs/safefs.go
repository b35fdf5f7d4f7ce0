package safefs

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"slices"
	"strings"
	"time"
)

// ErrLink says that an element of a name is a link, and was not followed.
var ErrLink = errors.New("a link, which is not followed")

// ErrNotFile says that something else stands where a regular file was to be read: a
// folder, a pipe, a socket, a device, or another file than the one looked at.
var ErrNotFile = errors.New("not a regular file")

// ErrTooLarge says that a file holds more bytes than may be read.
var ErrTooLarge = errors.New("larger than may be read")

// Info is what is known of an entry of a folder; of a link, the link itself.
type Info struct {
	name  string
	size  int64
	mode  fs.FileMode
	mod   time.Time
	touch time.Time // last change of content, owner or rights, where the system keeps it; nobody can set it
	owner int64     // user id; -1 where there is none
	group int64     // likewise
	links uint64
	id    identity
}

// Name, Size, Mode, ModTime, IsDir and Sys make an Info an fs.FileInfo.
func (i Info) Name() string       { return i.name }
func (i Info) Size() int64        { return i.size }
func (i Info) Mode() fs.FileMode  { return i.mode }
func (i Info) ModTime() time.Time { return i.mod }
func (i Info) IsDir() bool        { return i.mode.IsDir() }
func (i Info) Sys() any           { return nil }

// Owner is the user id of the owner; -1 where the system has none.
func (i Info) Owner() int64 { return i.owner }

// Group is the id of the group; -1 where the system has none.
func (i Info) Group() int64 { return i.group }

// Links is how many names the file has; 0 where that is not known.
func (i Info) Links() uint64 { return i.links }

// Same tells whether two Infos are of one file: same device, same inode.
func (i Info) Same(j Info) bool { return sameIdentity(i.id, j.id) }

// Untouched tells whether a file is the same and was, as far as the system tells,
// neither written nor touched between two looks.
func (i Info) Untouched(j Info) bool {
	return i.Same(j) && i.size == j.size && i.mod.Equal(j.mod) && i.touch.Equal(j.touch)
}

// Kind names what an entry is, for a sentence.
func Kind(mode fs.FileMode) string {
	switch {
	case mode.IsRegular():
		return "a file"
	case mode.IsDir():
		return "a folder"
	case mode&fs.ModeSymlink != 0:
		return "a link"
	case mode&fs.ModeNamedPipe != 0:
		return "a pipe"
	case mode&fs.ModeSocket != 0:
		return "a socket"
	case mode&fs.ModeDevice != 0:
		return "a device"
	}
	return "no file"
}

// notFile is ErrNotFile or ErrLink with what stands there.
func notFile(name string, mode fs.FileMode) error {
	switch {
	case mode&fs.ModeSymlink != 0:
		return &fs.PathError{Op: "open", Path: name, Err: ErrLink}
	case mode.IsRegular():
		return &fs.PathError{Op: "open", Path: name, Err: fmt.Errorf("%w: exchanged for another one while it was opened", ErrNotFile)}
	}
	return &fs.PathError{Op: "open", Path: name, Err: fmt.Errorf("%w but %s", ErrNotFile, Kind(mode))}
}

// clean checks a name and splits it into its parent and its last element.
func clean(op, name string) (dir, base string, err error) {
	c := path.Clean(name)
	if name == "" || path.IsAbs(c) || c == ".." || strings.HasPrefix(c, "../") || strings.ContainsRune(c, 0) || !local(c) {
		return "", "", &fs.PathError{Op: op, Path: name, Err: fs.ErrInvalid}
	}
	dir, base = path.Split(c)
	return path.Clean(dir), base, nil
}

// ReadFile reads a regular file of at most limit bytes: ErrTooLarge past them.
func (d *Dir) ReadFile(name string, limit int64) ([]byte, error) { return d.readFile(name, limit) }

// ReadAll reads an open file of at most limit bytes: ErrTooLarge past them, before the
// first byte where its size says so.
func ReadAll(file *os.File, info Info, limit int64) ([]byte, error) {
	if info.Size() > limit {
		return nil, tooLarge(info.Name(), limit)
	}
	data, err := io.ReadAll(io.LimitReader(file, limit+1))
	if err == nil && int64(len(data)) > limit {
		return nil, tooLarge(info.Name(), limit)
	}
	return data, err
}

func tooLarge(name string, limit int64) error {
	return &fs.PathError{Op: "read", Path: name, Err: fmt.Errorf("%w: more than %d bytes", ErrTooLarge, limit)}
}

// entry is an fs.DirEntry whose Info is asked of the Dir, never by a path.
type entry struct {
	fs.DirEntry
	d    *Dir
	name string
}

// Info looks the entry up.
func (e entry) Info() (fs.FileInfo, error) {
	info, err := e.d.Lstat(e.name)
	if err != nil {
		return nil, err
	}
	return info, nil
}

// ReadDir lists a folder in no particular order.
func (d *Dir) ReadDir(name string) ([]fs.DirEntry, error) {
	held, err := d.openDir(name)
	if err != nil {
		return nil, err
	}
	defer held.Close()
	list, err := held.ReadDir(-1)
	if err != nil {
		return nil, &fs.PathError{Op: "readdir", Path: name, Err: bare(err)}
	}
	for i, e := range list {
		list[i] = entry{e, d, path.Join(name, e.Name())}
	}
	return list, nil
}

// mostNested is how deep RemoveAll goes: deeper than any folder of the service's own.
const mostNested = 64

// RemoveAll removes a file, or a folder with all that is in it. Links go, what they
// lead to stays. What is not there is no error.
func (d *Dir) RemoveAll(name string) error { return d.removeAll(name, 0) }

func (d *Dir) removeAll(name string, depth int) error {
	err := d.Remove(name)
	if err == nil || errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	info, statErr := d.Lstat(name)
	if statErr != nil || !info.IsDir() || depth > mostNested {
		return err
	}
	held, err := d.Sub(name)
	if err != nil {
		return err
	}
	defer held.Close()
	list, err := held.ReadDir(".")
	if err != nil {
		return err
	}
	for _, e := range list {
		if err := held.removeAll(e.Name(), depth+1); err != nil {
			return err
		}
	}
	if err := d.Remove(name); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

// MkdirAll makes a folder and those above it.
func (d *Dir) MkdirAll(name string, perm fs.FileMode) error {
	dir, base, err := clean("mkdir", name)
	if err != nil || base == "." || base == "" {
		return err
	}
	info, err := d.Lstat(name)
	switch {
	case err == nil && info.IsDir():
		return nil
	case err == nil:
		return &fs.PathError{Op: "mkdir", Path: name, Err: fmt.Errorf("%s stands there", Kind(info.Mode()))}
	case !errors.Is(err, fs.ErrNotExist):
		return err
	}
	if err := d.MkdirAll(dir, perm); err != nil {
		return err
	}
	err = d.Mkdir(name, perm)
	if errors.Is(err, fs.ErrExist) {
		if info, statErr := d.Lstat(name); statErr == nil && info.IsDir() {
			return nil // somebody else was first
		}
	}
	return err
}

// bare is an error of the system without the call and the path that it names.
func bare(err error) error {
	var at *fs.PathError
	if errors.As(err, &at) {
		return at.Err
	}
	var moved *os.LinkError
	if errors.As(err, &moved) {
		return moved.Err
	}
	return err
}

// elements are the parts of a clean name; "." has none.
func elements(name string) []string {
	return slices.DeleteFunc(strings.Split(path.Clean(name), "/"), func(e string) bool { return e == "." || e == "" })
}
