package watch

import (
	"errors"
	"io/fs"
	"path"

	"trueup/pipeline/safefs"
)

// The rights of what the service makes. They are set, not left to the umask, so that
// the office can read what is published however the service was started, and
// write only where it decides. The group is that of the state's folder, which
// the README's recipe gives to the office.
const (
	ownMode       fs.FileMode = 0o700 // .work: nobody else's business
	publishedDir  fs.FileMode = 0o755
	publishedFile fs.FileMode = 0o644
	officeDir     fs.FileMode = 0o775 // a revision in review/: a workbook is saved by a new file and a rename
	officeFile    fs.FileMode = 0o664 // its workbook
)

// modeOf gives the rights of a published folder and of a file in it.
func modeOf(state, file string) fs.FileMode {
	switch {
	case state == reviewDir && file == "":
		return officeDir
	case state == reviewDir && file == reportFile:
		return officeFile
	case file == "":
		return publishedDir
	}
	return publishedFile
}

// setModes gives a folder that is about to appear in a state its rights and those of
// its files. A file that belongs to somebody else keeps its own: nobody but its
// owner can change them.
func (s *Service) setModes(f *folder, dir, state string) error {
	entries, err := f.readDir(dir)
	if err != nil {
		return err
	}
	above, err := f.lstat(state)
	if err != nil {
		return err
	}
	// The folder first: from then on nobody puts anything else there.
	if err := s.setMode(f, dir, modeOf(state, ""), above); err != nil {
		return err
	}
	for _, e := range entries {
		if !e.Type().IsRegular() {
			continue
		}
		if err := s.setMode(f, path.Join(dir, e.Name()), modeOf(state, e.Name()), above); err != nil {
			return err
		}
	}
	return nil
}

// setMode gives a file or folder its rights and the group of another. A share that
// knows no rights refuses that; it is said once and keeps nothing from being published.
func (s *Service) setMode(f *folder, name string, mode fs.FileMode, like safefs.Info) error {
	info, err := f.lstat(name)
	if err != nil {
		return err
	}
	var refused error
	if info.Mode().Perm() != mode {
		refused = f.chmod(name, mode)
	}
	if refused == nil && info.Group() != like.Group() {
		refused = f.root.Chgrp(name, like.Group())
	}
	if errors.Is(refused, fs.ErrNotExist) {
		return refused
	}
	if refused != nil && s.rightsSaid.CompareAndSwap(false, true) {
		s.log.Warn("the rights of what is published cannot be set as the README says; it has those that the share gives", "name", name, "error", refused)
	}
	return nil
}

// chmod sets the rights of a file or folder.
func (f *folder) chmod(name string, mode fs.FileMode) error {
	if err := f.ask("chmod", name); err != nil {
		return err
	}
	return f.root.Chmod(name, mode)
}

// ownWork makes .work readable by the service alone, whatever made it.
func (f *folder) ownWork() error {
	info, err := f.lstat(workDir)
	if err != nil || info.Mode().Perm() == ownMode {
		return err
	}
	return f.chmod(workDir, ownMode)
}
