//go:build unix

package safefs

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"time"

	"golang.org/x/sys/unix"
)

// Dir is a folder held open. It may be used by several goroutines at once.
type Dir struct {
	fd   int
	path string // as it was opened, for messages

	// Step is called before every call of the system, with what it is about to do, so
	// that tests can let others act in between; nil otherwise.
	Step func(op, name string)
}

// identity is a file's device and inode.
type identity struct{ dev, ino uint64 }

func sameIdentity(a, b identity) bool { return a == b }

// local tells whether a clean name leads nowhere else by the system's own rules.
func local(string) bool { return true }

// OpenDir opens a folder by a path that only trusted people can change; links in it are followed.
func OpenDir(name string) (*Dir, error) {
	fd, err := retry(func() (int, error) { return unix.Open(name, unix.O_RDONLY|unix.O_DIRECTORY|unix.O_CLOEXEC, 0) })
	if err != nil {
		return nil, &fs.PathError{Op: "open", Path: name, Err: err}
	}
	return &Dir{fd: fd, path: name}, nil
}

// Close lets the folder go.
func (d *Dir) Close() error { return unix.Close(d.fd) }

func (d *Dir) step(op, name string) {
	if d.Step != nil {
		d.Step(op, name)
	}
}

// retry repeats a call that a signal interrupted.
func retry(call func() (int, error)) (int, error) {
	for {
		n, err := call()
		if err != unix.EINTR {
			return n, err
		}
	}
}

func retryErr(call func() error) error {
	_, err := retry(func() (int, error) { return 0, call() })
	return err
}

// fault is a call's error with the name. The errors that say "a link" are ErrLink.
func fault(op, name string, err error) error {
	if errors.Is(err, unix.ELOOP) || errors.Is(err, unix.EMLINK) {
		err = ErrLink
	}
	return &fs.PathError{Op: op, Path: name, Err: err}
}

// Sub opens a folder below.
func (d *Dir) Sub(name string) (*Dir, error) {
	fd, err := d.walk("open", name, unix.O_RDONLY)
	if err != nil {
		return nil, err
	}
	return &Dir{fd: fd, path: filepath.Join(d.path, filepath.FromSlash(name)), Step: d.Step}, nil
}

// openDir opens a folder for listing. What the standard library looks up below it by
// a path goes through the open folder.
func (d *Dir) openDir(name string) (*os.File, error) {
	fd, err := d.walk("readdir", name, unix.O_RDONLY)
	if err != nil {
		return nil, err
	}
	return os.NewFile(uintptr(fd), "/proc/self/fd/"+strconv.Itoa(fd)), nil
}

// walk opens a folder below, no element of whose name is a link.
func (d *Dir) walk(op, name string, flags int) (int, error) {
	if _, _, err := clean(op, name); err != nil {
		return -1, err
	}
	d.step("walk", name)
	fd, err := openBelow(d.fd, name, flags|unix.O_DIRECTORY|unix.O_CLOEXEC|unix.O_NONBLOCK)
	if errors.Is(err, unix.ENOTDIR) || errors.Is(err, unix.ELOOP) {
		if d.meetsLink(name) {
			err = unix.ELOOP
		}
	}
	if err != nil {
		return -1, fault(op, name, err)
	}
	return fd, nil
}

// meetsLink tells, for the message only, whether an element of a name is a link now.
func (d *Dir) meetsLink(name string) bool {
	fd, err := unix.Dup(d.fd)
	for _, e := range elements(name) {
		if err != nil {
			return false
		}
		var st unix.Stat_t
		err = unix.Fstatat(fd, e, &st, unix.AT_SYMLINK_NOFOLLOW)
		if err == nil && st.Mode&unix.S_IFMT == unix.S_IFLNK {
			unix.Close(fd)
			return true
		}
		next, openErr := unix.Openat(fd, e, unix.O_RDONLY|unix.O_DIRECTORY|unix.O_NOFOLLOW|unix.O_CLOEXEC|unix.O_NONBLOCK, 0)
		unix.Close(fd)
		fd, err = next, openErr
	}
	if err == nil {
		unix.Close(fd)
	}
	return false
}

// openEach opens a folder below element by element.
func openEach(fd int, name string, flags int) (int, error) {
	at, err := retry(func() (int, error) { return unix.FcntlInt(uintptr(fd), unix.F_DUPFD_CLOEXEC, 0) })
	for _, e := range elements(name) {
		if err != nil {
			return -1, err
		}
		var next int
		next, err = retry(func() (int, error) { return unix.Openat(at, e, flags|unix.O_NOFOLLOW, 0) })
		unix.Close(at)
		at = next
	}
	return at, err
}

// parent opens the folder above a name, and gives the last element.
func (d *Dir) parent(op, name string) (fd int, base string, err error) {
	dir, base, err := clean(op, name)
	if err != nil {
		return -1, "", err
	}
	fd, err = d.walk(op, dir, searchOnly)
	var pe *fs.PathError
	if errors.As(err, &pe) {
		pe.Path = name
	}
	return fd, base, err
}

// infoOf makes an Info of what the system says.
func infoOf(name string, st *unix.Stat_t) Info {
	sec, nsec := st.Mtim.Unix()
	csec, cnsec := st.Ctim.Unix()
	return Info{
		name: name, size: st.Size, mode: modeOf(uint32(st.Mode)), mod: time.Unix(sec, nsec), touch: time.Unix(csec, cnsec),
		owner: int64(st.Uid), group: int64(st.Gid), links: uint64(st.Nlink), id: identity{uint64(st.Dev), uint64(st.Ino)},
	}
}

func modeOf(m uint32) fs.FileMode {
	mode := fs.FileMode(m & 0o777)
	switch m & unix.S_IFMT {
	case unix.S_IFDIR:
		mode |= fs.ModeDir
	case unix.S_IFLNK:
		mode |= fs.ModeSymlink
	case unix.S_IFIFO:
		mode |= fs.ModeNamedPipe
	case unix.S_IFSOCK:
		mode |= fs.ModeSocket
	case unix.S_IFBLK:
		mode |= fs.ModeDevice
	case unix.S_IFCHR:
		mode |= fs.ModeDevice | fs.ModeCharDevice
	case unix.S_IFREG:
	default:
		mode |= fs.ModeIrregular
	}
	for bit, flag := range map[uint32]fs.FileMode{unix.S_ISUID: fs.ModeSetuid, unix.S_ISGID: fs.ModeSetgid, unix.S_ISVTX: fs.ModeSticky} {
		if m&bit != 0 {
			mode |= flag
		}
	}
	return mode
}

// Lstat looks at an entry; at a link itself.
func (d *Dir) Lstat(name string) (Info, error) {
	fd, base, err := d.parent("lstat", name)
	if err != nil {
		return Info{}, err
	}
	defer unix.Close(fd)
	d.step("lstat", name)
	return statAt(fd, base, name)
}

func statAt(fd int, base, name string) (Info, error) {
	var st unix.Stat_t
	if err := retryErr(func() error { return unix.Fstatat(fd, base, &st, unix.AT_SYMLINK_NOFOLLOW) }); err != nil {
		return Info{}, fault("lstat", name, err)
	}
	return infoOf(base, &st), nil
}

// statOf looks at an open file.
func statOf(file *os.File, name string) (Info, error) {
	var st unix.Stat_t
	if err := retryErr(func() error { return unix.Fstat(int(file.Fd()), &st) }); err != nil {
		return Info{}, fault("stat", name, err)
	}
	return infoOf(name, &st), nil
}

// Open opens a regular file for reading, and tells what it is.
func (d *Dir) Open(name string) (*os.File, Info, error) {
	return d.open(name, unix.O_RDONLY)
}

// OpenAlone is Open where nobody else has the file open, on systems that can tell
// (Windows); here nobody can be kept from writing, and it is Open.
func (d *Dir) OpenAlone(name string) (*os.File, Info, error) { return d.Open(name) }

func (d *Dir) open(name string, flags int) (*os.File, Info, error) {
	fd, info, err := d.openFD(name, flags)
	if err != nil {
		return nil, Info{}, err
	}
	if err := unix.SetNonblock(fd, false); err != nil {
		unix.Close(fd)
		return nil, Info{}, fault("open", name, err)
	}
	return os.NewFile(uintptr(fd), filepath.Join(d.path, filepath.FromSlash(name))), info, nil
}

// openFD opens what was a regular file at a look, and proves that it still is that file.
func (d *Dir) openFD(name string, flags int) (int, Info, error) {
	dirFD, base, err := d.parent("open", name)
	if err != nil {
		return -1, Info{}, err
	}
	defer unix.Close(dirFD)
	d.step("lstat", name)
	looked, err := statAt(dirFD, base, name)
	if err != nil {
		return -1, Info{}, err
	}
	if !looked.Mode().IsRegular() {
		return -1, Info{}, notFile(name, looked.Mode())
	}
	d.step("open", name)
	fd, err := retry(func() (int, error) {
		return unix.Openat(dirFD, base, flags|unix.O_NOFOLLOW|unix.O_NONBLOCK|unix.O_NOCTTY|unix.O_CLOEXEC, 0)
	})
	if err != nil {
		return -1, Info{}, fault("open", name, err)
	}
	var st unix.Stat_t
	if err := retryErr(func() error { return unix.Fstat(fd, &st) }); err != nil {
		unix.Close(fd)
		return -1, Info{}, fault("stat", name, err)
	}
	info := infoOf(base, &st)
	if !info.Mode().IsRegular() || !info.Same(looked) {
		unix.Close(fd)
		return -1, Info{}, notFile(name, info.Mode())
	}
	return fd, info, nil
}

// readFile reads without an os.File around it, which asks the system five times more for
// each: a status reads the cards of all jobs.
func (d *Dir) readFile(name string, limit int64) ([]byte, error) {
	fd, info, err := d.openFD(name, unix.O_RDONLY)
	if err != nil {
		return nil, err
	}
	defer unix.Close(fd)
	if info.Size() > limit {
		return nil, tooLarge(info.Name(), limit)
	}
	data := make([]byte, 0, info.Size()+1) // one more than there is, so that growth is seen
	for {
		n, err := retry(func() (int, error) { return unix.Read(fd, data[len(data):cap(data)]) })
		if err != nil {
			return nil, fault("read", name, err)
		}
		data = data[:len(data)+n]
		switch {
		case int64(len(data)) > limit:
			return nil, tooLarge(info.Name(), limit)
		case n == 0:
			return data, nil
		case len(data) == cap(data):
			data = slices.Grow(data, len(data))
		}
	}
}

// Create makes a file that must not exist, and opens it for writing and reading.
func (d *Dir) Create(name string, perm fs.FileMode) (*os.File, error) {
	dirFD, base, err := d.parent("open", name)
	if err != nil {
		return nil, err
	}
	defer unix.Close(dirFD)
	d.step("create", name)
	fd, err := retry(func() (int, error) {
		return unix.Openat(dirFD, base, unix.O_RDWR|unix.O_CREAT|unix.O_EXCL|unix.O_NOFOLLOW|unix.O_CLOEXEC, uint32(perm.Perm()))
	})
	if err != nil {
		return nil, fault("open", name, err)
	}
	return os.NewFile(uintptr(fd), filepath.Join(d.path, filepath.FromSlash(name))), nil
}

// Mkdir makes a folder.
func (d *Dir) Mkdir(name string, perm fs.FileMode) error {
	dirFD, base, err := d.parent("mkdir", name)
	if err != nil {
		return err
	}
	defer unix.Close(dirFD)
	d.step("mkdir", name)
	if err := retryErr(func() error { return unix.Mkdirat(dirFD, base, uint32(perm.Perm())) }); err != nil {
		return fault("mkdir", name, err)
	}
	return nil
}

// Remove removes a file, a link, or an empty folder.
func (d *Dir) Remove(name string) error {
	dirFD, base, err := d.parent("remove", name)
	if err != nil {
		return err
	}
	defer unix.Close(dirFD)
	d.step("remove", name)
	err = retryErr(func() error { return unix.Unlinkat(dirFD, base, 0) })
	if errors.Is(err, unix.EISDIR) || errors.Is(err, unix.EPERM) {
		if dirErr := retryErr(func() error { return unix.Unlinkat(dirFD, base, unix.AT_REMOVEDIR) }); !errors.Is(dirErr, unix.ENOTDIR) {
			err = dirErr
		}
	}
	if err != nil {
		return fault("remove", name, err)
	}
	return nil
}

// Move renames a file or folder of one Dir into another. With free the new name must be
// free, errors.Is(err, fs.ErrExist) where it is not; without, a file there is replaced.
func Move(from *Dir, name string, to *Dir, newName string, free bool) error {
	fromFD, fromBase, err := from.parent("rename", name)
	if err != nil {
		return err
	}
	defer unix.Close(fromFD)
	toFD, toBase, err := to.parent("rename", newName)
	if err != nil {
		return err
	}
	defer unix.Close(toFD)
	from.step("rename", name)
	if free {
		err = renameFree(fromFD, fromBase, toFD, toBase)
	} else {
		err = retryErr(func() error { return unix.Renameat(fromFD, fromBase, toFD, toBase) })
	}
	if err != nil {
		if errors.Is(err, unix.EEXIST) {
			err = fs.ErrExist
		}
		return &os.LinkError{Op: "rename", Old: name, New: newName, Err: err}
	}
	return nil
}

// linkFree renames where the system has no rename that refuses to replace: for an
// instant both names of a file lead to it. A folder is renamed after a look; one that
// appears at that instant is empty, or the rename fails.
func linkFree(fromFD int, from string, toFD int, to string) error {
	var st unix.Stat_t
	if err := unix.Fstatat(fromFD, from, &st, unix.AT_SYMLINK_NOFOLLOW); err != nil {
		return err
	}
	if st.Mode&unix.S_IFMT != unix.S_IFDIR {
		if err := unix.Linkat(fromFD, from, toFD, to, 0); err != nil {
			return err
		}
		return unix.Unlinkat(fromFD, from, 0)
	}
	if err := unix.Fstatat(toFD, to, &st, unix.AT_SYMLINK_NOFOLLOW); !errors.Is(err, unix.ENOENT) {
		if err == nil {
			err = unix.EEXIST
		}
		return err
	}
	return unix.Renameat(fromFD, from, toFD, to)
}

// Sync has a file's content, or the names in a folder, written to the disk. Some file
// systems cannot sync folders and say so by EINVAL.
func (d *Dir) Sync(name string) error {
	return d.with("sync", name, func(fd int) error {
		if err := unix.Fsync(fd); !errors.Is(err, unix.EINVAL) {
			return err
		}
		return nil
	})
}

// Chmod sets the rights of a file or folder, with the bits of fs.FileMode.
func (d *Dir) Chmod(name string, mode fs.FileMode) error {
	bits := uint32(mode.Perm())
	if mode&fs.ModeSetgid != 0 {
		bits |= unix.S_ISGID
	}
	if mode&fs.ModeSticky != 0 {
		bits |= unix.S_ISVTX
	}
	return d.with("chmod", name, func(fd int) error { return unix.Fchmod(fd, bits) })
}

// Chgrp gives a file or folder to a group.
func (d *Dir) Chgrp(name string, group int64) error {
	return d.with("chgrp", name, func(fd int) error { return unix.Fchown(fd, -1, int(group)) })
}

// with does something to an open file or folder.
func (d *Dir) with(op, name string, do func(fd int) error) error {
	info, err := d.Lstat(name)
	if err != nil {
		return err
	}
	fd := -1
	if info.IsDir() {
		fd, err = d.walk(op, name, unix.O_RDONLY)
	} else {
		fd, _, err = d.openFD(name, unix.O_RDONLY)
	}
	if err != nil {
		return err
	}
	defer unix.Close(fd)
	d.step(op, name)
	if err := retryErr(func() error { return do(fd) }); err != nil {
		return fault(op, name, err)
	}
	return nil
}
