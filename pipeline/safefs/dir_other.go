//go:build !unix

package safefs

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
)

// Dir is a folder held open. It may be used by several goroutines at once.
type Dir struct {
	root *os.Root
	path string // absolute, for messages and for the calls that know no open folder

	// Step is called before every call of the system, with what it is about to do, so
	// that tests can let others act in between; nil otherwise.
	Step func(op, name string)
}

// identity is what the system knows a file by.
type identity struct{ info fs.FileInfo }

func sameIdentity(a, b identity) bool { return os.SameFile(a.info, b.info) }

// local tells whether a clean name leads nowhere else by the system's own rules.
func local(name string) bool {
	return name == "." || filepath.IsLocal(filepath.FromSlash(name)) && !strings.Contains(name, `\`)
}

// OpenDir opens a folder by a path that only trusted people can change; links in it are followed.
func OpenDir(name string) (*Dir, error) {
	abs, err := filepath.Abs(name)
	if err != nil {
		return nil, err
	}
	root, err := os.OpenRoot(name)
	if err != nil {
		return nil, err
	}
	return &Dir{root: root, path: abs}, nil
}

// Close lets the folder go.
func (d *Dir) Close() error { return d.root.Close() }

func (d *Dir) step(op, name string) {
	if d.Step != nil {
		d.Step(op, name)
	}
}

func infoOf(name string, info fs.FileInfo) Info {
	return Info{name: name, size: info.Size(), mode: info.Mode(), mod: info.ModTime(), owner: -1, group: -1, id: identity{info}}
}

// Sub opens a folder below: each element is opened and then proven to be the entry
// itself, by its identity, and not what a link at its place leads to.
func (d *Dir) Sub(name string) (*Dir, error) {
	if _, _, err := clean("open", name); err != nil {
		return nil, err
	}
	d.step("walk", name)
	at, err := d.root.OpenRoot(".")
	if err != nil {
		return nil, err
	}
	for _, e := range elements(name) {
		next, err := at.OpenRoot(e)
		if err == nil {
			err = proven(at, e, next)
		} else if info, statErr := at.Lstat(e); statErr == nil && info.Mode()&(fs.ModeSymlink|fs.ModeIrregular) != 0 {
			err = ErrLink
		}
		at.Close()
		if err != nil {
			if next != nil {
				next.Close()
			}
			return nil, &fs.PathError{Op: "open", Path: name, Err: bare(err)}
		}
		at = next
	}
	return &Dir{root: at, path: filepath.Join(d.path, filepath.FromSlash(name)), Step: d.Step}, nil
}

// proven tells whether an open folder is the entry of that name.
func proven(at *os.Root, name string, opened *os.Root) error {
	stands, err := at.Lstat(name)
	if err != nil {
		return err
	}
	is, err := opened.Stat(".")
	if err != nil {
		return err
	}
	if !stands.IsDir() || !os.SameFile(stands, is) {
		return ErrLink
	}
	return nil
}

func (d *Dir) parent(op, name string) (*Dir, string, error) {
	dir, base, err := clean(op, name)
	if err != nil {
		return nil, "", err
	}
	above, err := d.Sub(dir)
	return above, base, err
}

func (d *Dir) openDir(name string) (*os.File, error) {
	held, err := d.Sub(name)
	if err != nil {
		return nil, err
	}
	defer held.Close()
	return held.root.Open(".")
}

// Lstat looks at an entry; at a link itself.
func (d *Dir) Lstat(name string) (Info, error) {
	above, base, err := d.parent("lstat", name)
	if err != nil {
		return Info{}, err
	}
	defer above.Close()
	d.step("lstat", name)
	info, err := above.root.Lstat(base)
	if err != nil {
		return Info{}, &fs.PathError{Op: "lstat", Path: name, Err: bare(err)}
	}
	return infoOf(base, info), nil
}

func statOf(file *os.File, name string) (Info, error) {
	info, err := file.Stat()
	if err != nil {
		return Info{}, err
	}
	return infoOf(name, info), nil
}

// Open opens a regular file for reading, and tells what it is.
func (d *Dir) Open(name string) (*os.File, Info, error) { return d.open(name, os.O_RDONLY) }

func (d *Dir) readFile(name string, limit int64) ([]byte, error) {
	file, info, err := d.Open(name)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	return ReadAll(file, info, limit)
}

// OpenAlone is Open where nobody else has the file open, on systems that can tell.
func (d *Dir) OpenAlone(name string) (*os.File, Info, error) {
	return d.openBy(name, openAlone)
}

func (d *Dir) open(name string, flags int) (*os.File, Info, error) {
	return d.openBy(name, func(above *Dir, base string) (*os.File, error) { return above.root.OpenFile(base, flags, 0) })
}

func (d *Dir) openBy(name string, open func(above *Dir, base string) (*os.File, error)) (*os.File, Info, error) {
	above, base, err := d.parent("open", name)
	if err != nil {
		return nil, Info{}, err
	}
	defer above.Close()
	d.step("lstat", name)
	looked, err := above.root.Lstat(base)
	if err != nil {
		return nil, Info{}, &fs.PathError{Op: "open", Path: name, Err: bare(err)}
	}
	if !looked.Mode().IsRegular() {
		return nil, Info{}, notFile(name, looked.Mode())
	}
	d.step("open", name)
	file, err := open(above, base)
	if err != nil {
		return nil, Info{}, &fs.PathError{Op: "open", Path: name, Err: bare(err)}
	}
	is, err := file.Stat()
	if err == nil && (!is.Mode().IsRegular() || !os.SameFile(looked, is)) {
		err = notFile(name, is.Mode())
	}
	if err != nil {
		file.Close()
		return nil, Info{}, err
	}
	return file, infoOf(base, is), nil
}

// Create makes a file that must not exist, and opens it for writing and reading.
func (d *Dir) Create(name string, perm fs.FileMode) (*os.File, error) {
	above, base, err := d.parent("open", name)
	if err != nil {
		return nil, err
	}
	defer above.Close()
	d.step("create", name)
	file, err := above.root.OpenFile(base, os.O_RDWR|os.O_CREATE|os.O_EXCL, perm.Perm())
	if err != nil {
		return nil, &fs.PathError{Op: "open", Path: name, Err: bare(err)}
	}
	return file, nil
}

// Mkdir makes a folder.
func (d *Dir) Mkdir(name string, perm fs.FileMode) error {
	above, base, err := d.parent("mkdir", name)
	if err != nil {
		return err
	}
	defer above.Close()
	d.step("mkdir", name)
	if err := above.root.Mkdir(base, perm.Perm()); err != nil {
		return &fs.PathError{Op: "mkdir", Path: name, Err: bare(err)}
	}
	return nil
}

// Remove removes a file, a link, or an empty folder.
func (d *Dir) Remove(name string) error {
	above, base, err := d.parent("remove", name)
	if err != nil {
		return err
	}
	defer above.Close()
	d.step("remove", name)
	if err := above.root.Remove(base); err != nil {
		return &fs.PathError{Op: "remove", Path: name, Err: bare(err)}
	}
	return nil
}

// Move renames a file or folder of one Dir into another. With free the new name must be
// free, errors.Is(err, fs.ErrExist) where it is not; without, a file there is replaced.
//
// The rename itself takes paths, of two parents that were proven an instant before and
// are held open; what else happens in between is not kept out here.
func Move(from *Dir, name string, to *Dir, newName string, free bool) error {
	above, base, err := from.parent("rename", name)
	if err != nil {
		return err
	}
	defer above.Close()
	below, newBase, err := to.parent("rename", newName)
	if err != nil {
		return err
	}
	defer below.Close()
	from.step("rename", name)
	if err := movePath(filepath.Join(above.path, base), filepath.Join(below.path, newBase), free); err != nil {
		if errors.Is(err, fs.ErrExist) {
			err = fs.ErrExist
		}
		return &os.LinkError{Op: "rename", Old: name, New: newName, Err: bare(err)}
	}
	return nil
}

// Chgrp does nothing: there are no groups here.
func (d *Dir) Chgrp(string, int64) error { return nil }

// Chmod sets the rights of a file or folder, as far as the system has them.
func (d *Dir) Chmod(name string, mode fs.FileMode) error {
	above, base, err := d.parent("chmod", name)
	if err != nil {
		return err
	}
	defer above.Close()
	info, err := above.root.Lstat(base)
	if err == nil && !info.Mode().IsRegular() && !info.IsDir() {
		err = fmt.Errorf("%s: %w", path.Base(name), ErrNotFile)
	}
	if err == nil {
		err = above.root.Chmod(base, mode)
	}
	return err
}
