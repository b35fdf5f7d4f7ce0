package watch

import (
	"errors"
	"path"
	"slices"
	"sync"
)

// onceReaders is how many folders walkOnce looks into at the same time, beside the one
// that it waits for: what it takes is waiting for the disk or the share.
const onceReaders = 8

// onceWalk is a walk through the published revisions of which nothing is kept.
type onceWalk struct {
	f    *folder
	free chan struct{} // a place for each reader
}

// walkOnce lists what shelf.walk lists, in the same order, for one who asks once: a
// revision costs the reading of its card, and its folder is listed only where that fails.
// Whether a workbook is there is not looked at.
func walkOnce(f *folder) ([]filed, error) {
	w := onceWalk{f, make(chan struct{}, onceReaders)}
	return w.each(states(), func(state string) ([]filed, error) { return w.below(state, "", 0) })
}

// each does one thing for all names, side by side while readers are free, and gives the
// revisions in the order of the names.
func (w *onceWalk) each(names []string, one func(string) ([]filed, error)) ([]filed, error) {
	parts, faults := make([][]filed, len(names)), make([]error, len(names))
	var readers sync.WaitGroup
	for i, name := range names {
		select {
		case w.free <- struct{}{}:
			readers.Go(func() {
				defer func() { <-w.free }()
				parts[i], faults[i] = one(name)
			})
		default:
			parts[i], faults[i] = one(name)
		}
	}
	readers.Wait()
	return slices.Concat(parts...), errors.Join(faults...)
}

// below lists the revisions below the folder of a job, or of several.
func (w *onceWalk) below(state, job string, depth int) ([]filed, error) {
	if depth > maxDepth+1 {
		return nil, nil
	}
	entries, err := w.f.readDir(path.Join(state, job))
	if err != nil {
		return nil, err
	}
	var names []string
	for _, e := range entries {
		if e.IsDir() {
			names = append(names, e.Name())
		}
	}
	slices.SortFunc(names, compareNatural)
	return w.each(names, func(name string) ([]filed, error) {
		if n, ok := revisionNumber(name); ok && job != "" {
			if one, ok, err := w.look(revision{state, job, n}); ok || err != nil {
				return []filed{one}, err
			}
		}
		return w.below(state, path.Join(job, name), depth+1)
	})
}

// look tells what a folder with a number for its name says of a revision; false where it
// holds other jobs.
func (w *onceWalk) look(r revision) (filed, bool, error) {
	one := filed{revision: r, key: jobKey(r.job), card: card{Job: r.job, Revision: r.number}}
	c, cardErr := readCard(w.f, r.dir())
	if cardErr == nil {
		one.card, one.missing, one.moved = c, readMissing(w.f, r), moved(r, c)
		return one, true, nil
	}
	entries, err := w.f.readDir(r.dir())
	if err != nil {
		return filed{}, false, err
	}
	is := false
	for _, e := range entries {
		switch name := e.Name(); {
		case e.IsDir():
		case name == cardFile:
			one.card.Notes, is = []string{"job.json cannot be read: " + cardErr.Error()}, true
		case name == originalFile:
			is = true
		}
	}
	if is {
		one.missing, one.moved = readMissing(w.f, r), unknownCard(r)
	}
	return one, is, nil
}
