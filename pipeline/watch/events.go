package watch

import (
	"context"
	"errors"
	"path"
	"path/filepath"
	"strings"
	"time"

	"github.com/fsnotify/fsnotify"
)

// rearmPause is how long after a failure the events are set up again. The
// rescan does the work meanwhile.
const rearmPause = 30 * time.Second

// events wakes the loop when something happens below drop/. Events are hints:
// what they miss (shares, overflow, folders moved away) the rescan finds.
func (s *Service) events(ctx context.Context, wake chan<- struct{}) {
	said := false
	for ctx.Err() == nil {
		err := s.watchDrop(ctx, wake)
		if ctx.Err() != nil {
			return
		}
		if err != nil && !said {
			said = true
			s.log.Warn("no file events, only the rescan", "error", err)
		}
		select {
		case <-time.After(rearmPause):
		case <-ctx.Done():
		}
	}
}

// watchDrop watches drop/ and review/ with the folders below them, the settings file and
// the register, until something fails or drop/ itself goes. The loops that it wakes
// look at the files themselves.
func (s *Service) watchDrop(ctx context.Context, wake chan<- struct{}) error {
	w, err := fsnotify.NewWatcher()
	if err != nil {
		return err
	}
	defer w.Close()
	drop := filepath.Join(s.shop, dropDir)
	full := false // no more folders of review/ can be watched
	f, err := s.open()
	if err != nil {
		return err
	}
	err = s.addTree(w, f, dropDir, 0)
	if err == nil {
		err = w.Add(s.shop) // the settings and the register
	}
	if err == nil && !full {
		full = s.addTree(w, f, reviewDir, 0) != nil // too many folders to watch, perhaps: the interval does it
	}
	f.close()
	if err != nil {
		return err
	}
	poke := func(wake chan<- struct{}) {
		select {
		case wake <- struct{}{}:
		default:
		}
	}
	pokeAll := func() { poke(wake); poke(s.reviewed); poke(s.spoiled) }
	pokeAll() // for what came before the watch stood
	for {
		select {
		case <-ctx.Done():
			return nil
		case err, ok := <-w.Errors:
			if !ok {
				return errors.New("the event source closed")
			}
			pokeAll()
			if !errors.Is(err, fsnotify.ErrEventOverflow) {
				return err
			}
		case e, ok := <-w.Events:
			if !ok {
				return errors.New("the event source closed")
			}
			if e.Name == drop && e.Has(fsnotify.Remove|fsnotify.Rename) {
				return errors.New("drop/ was removed or moved")
			}
			switch where := s.below(e.Name); {
			case where == registerFile:
				poke(s.spoiled)
			case where == settingsFile:
				poke(wake)
			case strings.HasPrefix(where, reviewDir+"/"): // a lock that goes matters too
				if e.Has(fsnotify.Create) && !full {
					s.addNew(w, e.Name)
				}
				if e.Op != fsnotify.Chmod {
					poke(s.reviewed)
				}
			case strings.HasPrefix(where, dropDir+"/") && e.Has(fsnotify.Create|fsnotify.Write):
				if e.Has(fsnotify.Create) {
					s.addNew(w, e.Name)
				}
				poke(wake)
			}
		}
	}
}

// below is the name of a file of the shop, slash separated.
func (s *Service) below(full string) string {
	rel, err := filepath.Rel(s.shop, full)
	if err != nil {
		return ""
	}
	return filepath.ToSlash(rel)
}

// addTree watches a folder of the shop and those below it; links are not followed. What
// takes a folder's place at the last instant gives events of no interest: hints only.
func (s *Service) addTree(w *fsnotify.Watcher, f *folder, name string, depth int) error {
	entries, err := f.root.ReadDir(name)
	if err == nil {
		err = w.Add(f.abs(name))
	}
	if err != nil || depth >= maxDepth {
		return err
	}
	for _, e := range entries {
		if e.IsDir() {
			s.addTree(w, f, path.Join(name, e.Name()), depth+1) // went away meanwhile, or may not be read: the rescan tells
		}
	}
	return nil
}

// addNew watches a folder that was made below drop/. A file, and what has gone already,
// gives an error of no interest.
func (s *Service) addNew(w *fsnotify.Watcher, full string) {
	rel, err := filepath.Rel(s.shop, full)
	if err != nil {
		return
	}
	f, err := s.open()
	if err != nil {
		return
	}
	defer f.close()
	name := filepath.ToSlash(rel)
	s.addTree(w, f, name, strings.Count(name, "/"))
}
