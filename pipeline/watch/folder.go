package watch

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"

	"trueup/pipeline/safefs"
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
	keptDir     = workDir + "/kept"

	originalFile = "original.dxf"
	droppedFile  = "dropped.dxf" // in a claim: the templater's own file, until its copy is published
	atWorkFile   = "at-work"     // in a claim while the processor is at work
	cardFile     = "job.json"
	resultFile   = "result.json"
	reportFile   = "report.xlsx"
	reasonFile   = "reason.txt"
	takenDir     = "taken" // in the claim of a decision: the folder of review/
	noteFile     = "note.txt"
	registerFile = "register.xlsx"
	settingsFile = "trueup.toml"
)

// states are the folders in which a revision can stand once it is published.
func states() []string { return []string{readyDir, reviewDir, returnedDir, failedDir} }

// folder is a shop folder held open. Names are slash separated and relative to it, and
// safefs follows no link in any of them, blocks on nothing that it finds, and keeps
// every one inside.
//
// It is opened for one pass or one job and closed again, so that an idle service
// neither keeps a share from being unmounted nor clings to one that was replaced.
type folder struct {
	root   *safefs.Dir
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
	root, err := safefs.OpenDir(shop)
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

func (f *folder) lstat(name string) (safefs.Info, error) {
	if err := f.ask("lstat", name); err != nil {
		return safefs.Info{}, err
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
	list, err := f.root.ReadDir(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return list, err
}

// open opens a regular file.
func (f *folder) open(name string) (*os.File, error) {
	if err := f.ask("open", name); err != nil {
		return nil, err
	}
	file, _, err := f.root.Open(name)
	return file, err
}

// openInfo opens a regular file and tells what it is.
func (f *folder) openInfo(name string) (*os.File, safefs.Info, error) {
	if err := f.ask("open", name); err != nil {
		return nil, safefs.Info{}, err
	}
	return f.root.Open(name)
}

// copyFile copies a file of at most limit bytes into a new one of the service's own.
func (f *folder) copyFile(ctx context.Context, from *os.File, before safefs.Info, to string, limit int64) (safefs.Copied, error) {
	if err := f.ask("write", to); err != nil {
		return safefs.Copied{}, err
	}
	w, err := f.root.Create(to, 0o644)
	if err != nil {
		return safefs.Copied{}, err
	}
	c, err := safefs.CopyTo(ctx, w, from, before, limit)
	return c, errors.Join(err, w.Close())
}

// openAlone opens a file of drop/ that nobody else has open, where the system can tell;
// elsewhere size and time tell.
func (f *folder) openAlone(name string) (*os.File, error) {
	if err := f.ask("open", name); err != nil {
		return nil, err
	}
	file, _, err := f.root.OpenAlone(name)
	return file, err
}

// mostRead bounds what is read of a file into memory, bytes: the service's own are far smaller.
const mostRead = 256 << 20

func (f *folder) readFile(name string) ([]byte, error) {
	if err := f.ask("read", name); err != nil {
		return nil, err
	}
	return f.root.ReadFile(name, mostRead)
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
	return safefs.Move(f.root, from, f.root, to, false)
}

// renameNew moves a file to a name that must be free; errors.Is(err,
// fs.ErrExist) when it is not. It is one step where the file system can do that.
func (f *folder) renameNew(from, to string) error {
	if err := f.ask("rename", from); err != nil {
		return err
	}
	return safefs.Move(f.root, from, f.root, to, true)
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
	for _, kept := range []string{originalFile, droppedFile, takenDir} {
		if f.exists(path.Join(name, kept)) {
			return fmt.Errorf("%s: holds an original, not removed", name)
		}
	}
	return f.removeAll(name)
}

// removeAll removes a folder with all that is in it.
func (f *folder) removeAll(name string) error {
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
	w, err := f.root.Create(name, 0o666)
	if err != nil {
		return err
	}
	// Whatever the umask: what is written here is read by others once it is published.
	// A share without rights refuses that, and has given what it gives.
	w.Chmod(publishedFile)
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
	w, err := f.root.Create(name, 0o666)
	if errors.Is(err, fs.ErrExist) {
		return nil
	}
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
	return f.root.Sync(name)
}

// syncDir has the names in a folder written to the disk, where the system can.
func (f *folder) syncDir(name string) error {
	if err := f.ask("sync", name); err != nil {
		return err
	}
	return f.root.Sync(name)
}
