package watch

import (
	"errors"
	"io/fs"
	"path"
	"slices"
	"time"
)

// filed is a published revision with what its job.json says.
type filed struct {
	revision
	card card
}

// shelf remembers the cards of published revisions between two walks, so that
// only those that changed are read again.
type shelf struct {
	cards map[string]shelved // by folder
}

type shelved struct {
	bytes int64
	mod   time.Time
	card  card
}

// walk lists all published revisions, by state, job and number. A revision
// without a readable card is listed with what its place says.
func (s *shelf) walk(f *folder) ([]filed, error) {
	fresh := make(map[string]shelved, len(s.cards))
	var list []filed
	for _, state := range states() {
		err := walkJobs(f, state, "", 0, func(r revision) error {
			entry, err := s.look(f, r)
			if err != nil {
				return err
			}
			fresh[r.dir()] = entry
			list = append(list, filed{r, entry.card})
			return nil
		})
		if err != nil {
			return nil, err
		}
	}
	s.cards = fresh
	return list, nil
}

func (s *shelf) look(f *folder, r revision) (shelved, error) {
	unknown := shelved{card: card{Job: r.job, Revision: r.number}}
	info, err := f.lstat(path.Join(r.dir(), cardFile))
	if errors.Is(err, fs.ErrNotExist) {
		return unknown, nil
	}
	if err != nil {
		return shelved{}, err
	}
	known, ok := s.cards[r.dir()]
	if ok && known.bytes == info.Size() && known.mod.Equal(info.ModTime()) {
		return known, nil
	}
	c, err := readCard(f, r.dir())
	if err != nil {
		unknown.card.Notes = []string{"job.json cannot be read: " + err.Error()}
		return unknown, nil
	}
	return shelved{info.Size(), info.ModTime(), c}, nil
}

// walkJobs visits the revisions below a state's folder, in the order of names.
func walkJobs(f *folder, state, job string, depth int, visit func(revision) error) error {
	if depth > maxDepth+1 {
		return nil
	}
	entries, err := f.readDir(path.Join(state, job))
	if err != nil {
		return err
	}
	slices.SortFunc(entries, func(a, b fs.DirEntry) int { return compareNatural(a.Name(), b.Name()) })
	for _, e := range entries {
		if !e.IsDir() {
			continue
		}
		if n, ok := revisionNumber(e.Name()); ok && job != "" {
			r := revision{state, job, n}
			if f.exists(path.Join(r.dir(), cardFile)) || f.exists(path.Join(r.dir(), originalFile)) {
				if err := visit(r); err != nil {
					return err
				}
				continue
			}
		}
		if err := walkJobs(f, state, path.Join(job, e.Name()), depth+1, visit); err != nil {
			return err
		}
	}
	return nil
}

// compareNatural orders revision numbers by value and other names by their bytes.
func compareNatural(a, b string) int {
	n, okA := revisionNumber(a)
	m, okB := revisionNumber(b)
	if okA && okB {
		return n - m
	}
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}
