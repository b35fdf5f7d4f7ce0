package watch

import (
	"errors"
	"io/fs"
	"maps"
	"path"
	"slices"
	"time"

	"trueup/pipeline/safefs"
)

// filed is a published revision with what its folder says.
type filed struct {
	revision
	key     string // jobKey of its job
	card    card
	report  bool     // its workbook is there
	missing []string // what the office's decisions lack, see readMissing
	moved   string   // why it is not where the service put it; "" when it is
}

// shelf remembers what published folders hold from one walk to the next: one that
// has not changed costs a look at it and at its job.json, and is not listed or read again. At
// ten thousand jobs that is the difference between a tenth of a second and many.
//
// A shelf serves one goroutine.
type shelf struct {
	dirs  map[string]*shelvedDir
	round int
}

// shelvedDir is a folder as it was listed last.
type shelvedDir struct {
	info  safefs.Info
	since time.Time // when it was first seen like this, by this machine's monotonic clock
	sure  bool      // it was listed long enough after that: no change can hide in the tick of a clock
	names []string  // folders in it, in the order of names
	files []string  // other things in it that the walk has to know of
	round int       // of the walk that visited it

	revision bool // it is a revision's folder
	cardInfo safefs.Info
	filed    filed
	notes    [2]string // what warnOfOlder has put beside it
}

// walk lists the published revisions of all states, by state, job and number. A
// revision without a readable card is listed with what its place says.
func (s *shelf) walk(f *folder) ([]filed, error) {
	var list []filed
	err := s.visit(f, states(), func(_ *shelvedDir, one filed) error {
		list = append(list, one)
		return nil
	})
	return list, err
}

// visit goes through the revisions below some states' folders, in the order of names,
// and forgets the folders that have gone.
func (s *shelf) visit(f *folder, states []string, each func(*shelvedDir, filed) error) error {
	if s.dirs == nil {
		s.dirs = map[string]*shelvedDir{}
	}
	s.round++
	for _, state := range states {
		if err := s.visitBelow(f, state, "", 0, each); err != nil {
			return err
		}
	}
	maps.DeleteFunc(s.dirs, func(_ string, d *shelvedDir) bool { return d.round != s.round })
	return nil
}

func (s *shelf) visitBelow(f *folder, state, job string, depth int, each func(*shelvedDir, filed) error) error {
	if depth > maxDepth+1 {
		return nil
	}
	at := path.Join(state, job)
	d, err := s.list(f, at)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	for _, name := range d.names {
		if n, ok := revisionNumber(name); ok && job != "" {
			r := revision{state, job, n}
			one, err := s.look(f, r)
			if errors.Is(err, fs.ErrNotExist) {
				continue // moved meanwhile
			}
			if err != nil {
				return err
			}
			if one.revision {
				if err := each(one, one.filed); err != nil {
					return err
				}
				continue
			}
		}
		if err := s.visitBelow(f, state, path.Join(job, name), depth+1, each); err != nil {
			return err
		}
	}
	return nil
}

// list gives the folders in a folder, in the order of names.
func (s *shelf) list(f *folder, name string) (*shelvedDir, error) {
	info, err := f.lstat(name)
	if err != nil {
		return nil, err
	}
	d := s.dirs[name]
	if d == nil || !d.info.Untouched(info) {
		d = &shelvedDir{info: info, since: time.Now()}
	}
	d.round = s.round
	if d.sure {
		return d, nil
	}
	entries, err := f.readDir(name)
	if err != nil {
		return nil, err
	}
	d.names, d.files = d.names[:0], d.files[:0]
	for _, e := range entries {
		switch name := e.Name(); {
		case e.IsDir():
			d.names = append(d.names, name)
		case name == cardFile || name == originalFile || name == reportFile || name == missingFile:
			d.files = append(d.files, name)
		}
	}
	slices.SortFunc(d.names, compareNatural)
	d.sure = time.Since(d.since) >= folderTick
	s.dirs[name] = d
	return d, nil
}

// look tells what a folder with a number for its name holds. A folder of other jobs is
// listed; of a revision's its card and what else the register shows is read.
func (s *shelf) look(f *folder, r revision) (*shelvedDir, error) {
	dir := r.dir()
	was := s.dirs[dir]
	sure := was != nil && was.sure // before this look
	d, err := s.list(f, dir)
	if err != nil {
		return nil, err
	}
	there := slices.Contains(d.files, cardFile)
	var cardInfo safefs.Info
	if there {
		if cardInfo, err = f.lstat(path.Join(dir, cardFile)); err != nil {
			return nil, err
		}
	}
	if d == was && sure && (!there || d.cardInfo.Untouched(cardInfo)) {
		return d, nil
	}
	d.cardInfo = cardInfo
	d.filed = filed{revision: r, key: jobKey(r.job), card: card{Job: r.job, Revision: r.number}}
	d.revision = there || slices.Contains(d.files, originalFile)
	if !d.revision {
		return d, nil
	}
	d.fill(f)
	return d, nil
}

// fill reads what a revision's folder says of it.
func (d *shelvedDir) fill(f *folder) {
	d.filed.moved = unknownCard(d.filed.revision)
	if slices.Contains(d.files, cardFile) {
		c, err := readCard(f, d.filed.dir())
		if err != nil {
			d.filed.card.Notes = []string{"job.json cannot be read: " + err.Error()}
			d.sure = false // perhaps it can the next time
		} else {
			d.filed.card, d.filed.moved = c, moved(d.filed.revision, c)
		}
	}
	d.filed.report = slices.Contains(d.files, reportFile)
	if slices.Contains(d.files, missingFile) {
		d.filed.missing = readMissing(f, d.filed.revision)
	}
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
