package watch

import (
	"context"
	"errors"
	"io/fs"
	"path/filepath"
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

// watchDrop watches drop/, the folders below it and the shop folder's settings
// file until something fails or drop/ itself goes.
func (s *Service) watchDrop(ctx context.Context, wake chan<- struct{}) error {
	w, err := fsnotify.NewWatcher()
	if err != nil {
		return err
	}
	defer w.Close()
	drop := filepath.Join(s.shop, dropDir)
	if err := addTree(w, drop); err != nil {
		return err
	}
	poke := func() {
		select {
		case wake <- struct{}{}:
		default:
		}
	}
	poke() // for what came before the watch stood
	for {
		select {
		case <-ctx.Done():
			return nil
		case err, ok := <-w.Errors:
			if !ok {
				return errors.New("the event source closed")
			}
			poke()
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
			if !e.Has(fsnotify.Create | fsnotify.Write) {
				continue
			}
			if e.Has(fsnotify.Create) {
				addTree(w, e.Name) // a file gives an error of no interest
			}
			poke()
		}
	}
}

// addTree watches a folder and those below it; links are not followed.
func addTree(w *fsnotify.Watcher, top string) error {
	return filepath.WalkDir(top, func(p string, e fs.DirEntry, err error) error {
		if err != nil {
			if p == top {
				return err
			}
			return nil // went away meanwhile, or may not be read: the rescan tells
		}
		if e.Type()&fs.ModeSymlink != 0 || !e.IsDir() {
			return nil
		}
		if err := w.Add(p); err != nil {
			return err
		}
		return nil
	})
}
