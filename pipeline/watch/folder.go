package watch

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
)

// Names inside a shop folder.
const (
	dropDir     = "drop"
	reviewDir   = "review"
	readyDir    = "ready"
	failedDir   = "failed"
	returnedDir = "returned"
	workDir     = ".work"
	claimsDir   = workDir + "/claims"
	scratchDir  = workDir + "/scratch"
	stageDir    = workDir + "/stage"
	namesDir    = workDir + "/names"
	serversDir  = workDir + "/servers"

	originalFile = "original.dxf"
	atWorkFile   = "at-work" // in a claim while the processor is at work
	cardFile     = "job.json"
	resultFile   = "result.json"
	reportFile   = "report.xlsx"
	reasonFile   = "reason.txt"
	noteFile     = "note.txt"
	registerFile = "register.xlsx"
	settingsFile = "trueup.toml"
)

// states are the folders in which a revision can stand once it is published.
func states() []string { return []string{readyDir, reviewDir, returnedDir, failedDir} }

// folder is a shop folder held open. Names are slash separated and relative to
// it; os.Root keeps every one of them inside, whatever it holds.
//
// It is opened for one pass or one job and closed again, so that an idle service
// neither keeps a share from being unmounted nor clings to one that was replaced.
type folder struct {
	root   *os.Root
	path   string // absolute
	server string // whose temporary files these are
	// before is asked before every operation, so that tests can let any one of
	// them fail; nil in the service.
	before func(op, name string) error
}

// errNoShop says that the path is no shop folder (any more): a share that is
// gone leaves an empty folder behind, in which nothing must be created.
var errNoShop = errors.New("there is no drop/ in it: not set up with trueup init, or the share is not there")

func openFolder(shop, server string, before func(op, name string) error) (*folder, error) {
	root, err := os.OpenRoot(shop)
	if err != nil {
		return nil, fmt.Errorf("shop folder %s: %w", shop, err)
	}
	f := &folder{root: root, path: shop, server: server, before: before}
	info, err := f.lstat(dropDir)
	switch {
	case errors.Is(err, fs.ErrNotExist), err == nil && !info.IsDir():
		err = fmt.Errorf("shop folder %s: %w", shop, errNoShop)
	case err != nil:
		err = fmt.Errorf("shop folder %s: %w", shop, err)
	}
	if err != nil {
		root.Close()
		return nil, err
	}
	return f, nil
}

func (f *folder) close() { f.root.Close() }

// abs is the absolute path of name, for those who must be given one.
func (f *folder) abs(name string) string { return filepath.Join(f.path, filepath.FromSlash(name)) }

func (f *folder) ask(op, name string) error {
	if f.before == nil {
		return nil
	}
	if err := f.before(op, name); err != nil {
		return &fs.PathError{Op: op, Path: name, Err: err}
	}
	return nil
}

func (f *folder) lstat(name string) (fs.FileInfo, error) {
	if err := f.ask("lstat", name); err != nil {
		return nil, err
	}
	return f.root.Lstat(name)
}

// exists is false too when name cannot be looked at; it serves only where the
// operation that follows fails safely.
func (f *folder) exists(name string) bool {
	_, err := f.lstat(name)
	return err == nil
}

// readDir lists a folder in no particular order. An absent one is empty.
func (f *folder) readDir(name string) ([]fs.DirEntry, error) {
	if err := f.ask("readdir", name); err != nil {
		return nil, err
	}
	d, err := f.root.Open(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	defer d.Close()
	return d.ReadDir(-1)
}

func (f *folder) open(name string) (*os.File, error) {
	if err := f.ask("open", name); err != nil {
		return nil, err
	}
	return f.root.Open(name)
}

func (f *folder) readFile(name string) ([]byte, error) {
	if err := f.ask("read", name); err != nil {
		return nil, err
	}
	return f.root.ReadFile(name)
}

func (f *folder) mkdirAll(name string) error {
	if err := f.ask("mkdir", name); err != nil {
		return err
	}
	return f.root.MkdirAll(name, 0o777)
}

// rename moves a file or folder. The caller knows that nothing stands at the
// new name that could be lost; where that is uncertain, use renameNew.
func (f *folder) rename(from, to string) error {
	if err := f.ask("rename", from); err != nil {
		return err
	}
	return f.root.Rename(from, to)
}

// renameNew moves a file to a name that must be free; errors.Is(err,
// fs.ErrExist) when it is not. It is atomic where the file system can do that.
func (f *folder) renameNew(from, to string) error {
	if err := f.ask("rename", from); err != nil {
		return err
	}
	return renameNew(f, from, to)
}

func (f *folder) remove(name string) error {
	if err := f.ask("remove", name); err != nil {
		return err
	}
	return f.root.Remove(name)
}

// removeScratch removes a folder with all that is in it, unless an original
// stands there: then it refuses.
func (f *folder) removeScratch(name string) error {
	if f.exists(path.Join(name, originalFile)) {
		return fmt.Errorf("%s: holds an original, not removed", name)
	}
	if err := f.ask("remove", name); err != nil {
		return err
	}
	return f.root.RemoveAll(name)
}

// replaceFile writes a file in .work/, syncs it and renames it into place: a
// reader sees the old content or the new, never a part, and a crash leaves
// nothing beside it.
func (f *folder) replaceFile(name string, data []byte) error {
	temporary := f.temporary()
	err := f.writeFile(temporary, data)
	if err == nil {
		err = f.rename(temporary, name)
	}
	if err != nil {
		f.remove(temporary)
	}
	return named(err, name)
}

// named is an error of the file system with the name of the file that was to be
// written instead of a temporary one: the same fault reads the same each time, so
// that it is logged once.
func named(err error, name string) error {
	var at *fs.PathError
	var moved *os.LinkError
	switch {
	case errors.As(err, &at):
		return &fs.PathError{Op: at.Op, Path: name, Err: at.Err}
	case errors.As(err, &moved):
		return &fs.PathError{Op: moved.Op, Path: name, Err: moved.Err}
	}
	return err
}

// temporary is a fresh name for a file or folder that is about to be put in place.
func (f *folder) temporary() string { return path.Join(stageDir, f.server+"-"+nonce()) }

// writeFile creates a file that must not exist, and syncs it.
func (f *folder) writeFile(name string, data []byte) error {
	if err := f.ask("write", name); err != nil {
		return err
	}
	w, err := f.root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	_, err = w.Write(data)
	if err == nil {
		err = w.Sync()
	}
	if closeErr := w.Close(); err == nil {
		err = closeErr
	}
	return err
}

// mark creates an empty file, or leaves one that is there.
func (f *folder) mark(name string) error {
	if err := f.ask("write", name); err != nil {
		return err
	}
	w, err := f.root.OpenFile(name, os.O_WRONLY|os.O_CREATE, 0o666)
	if err != nil {
		return err
	}
	return w.Close()
}

// syncFile has the content of a file written to the disk.
func (f *folder) syncFile(name string) error {
	if err := f.ask("sync", name); err != nil {
		return err
	}
	return syncFile(f.root, name)
}

// syncDir has the names in a folder written to the disk, where the system can.
func (f *folder) syncDir(name string) error {
	if err := f.ask("sync", name); err != nil {
		return err
	}
	return syncDir(f.root, name)
}
