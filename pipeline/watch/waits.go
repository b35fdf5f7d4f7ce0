package watch

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"
	"time"
)

// troubled takes note of what keeps the service from working, by what it hinders;
// "" when that is over. Together they are the heartbeat's trouble.
func (l *ledger) troubled(what, why string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if why == "" {
		delete(l.troubles, what)
	} else {
		l.troubles[what] = why
	}
	var list []string
	for _, key := range slices.Sorted(maps.Keys(l.troubles)) {
		list = append(list, l.troubles[key])
	}
	l.beat.Trouble = strings.Join(slices.Compact(list), "; ")
}

// trouble takes note that the folders cannot be looked at.
func (l *ledger) trouble(why string) { l.troubled(folderTrouble, why) }

// holdDecision takes note why the decisions of a revision in review/ wait, "" when
// they do not, and tells whether that is news.
func (l *ledger) holdDecision(dir, why string) (news bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.beat.Held[dir] == why {
		return false
	}
	held := maps.Clone(l.beat.Held) // the one before may be with a reader
	if held == nil {
		held = map[string]string{}
	}
	if why == "" {
		delete(held, dir)
	} else {
		held[dir] = why
	}
	l.beat.Held = held
	return true
}

// held says why the decisions of a revision wait; "" when they do not.
func (l *ledger) held(dir string) string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.beat.Held[dir]
}

// hold takes note, for the status, the register and once for the log, why a
// revision's decisions wait; "" when they do not.
func (s *Service) hold(dir, why string) {
	if !s.ledger.holdDecision(dir, why) {
		return
	}
	s.ledger.dirty() // the register repeats it
	if why != "" {
		s.log.Warn("decisions wait", "folder", dir, "why", why)
	}
}

// holdAll brings what is held up to date after a look through review/: a folder in
// seen is there, and absent says of some of them why nothing can be read.
func (s *Service) holdAll(seen map[string]bool, absent map[string]string) {
	for dir := range s.ledger.snapshot().Held {
		if !seen[dir] {
			s.hold(dir, "")
		}
	}
	for dir, why := range absent {
		s.hold(dir, why)
	}
}

// whyAbsent says why a revision in review/ has no workbook; "" when nobody waits
// for its decisions, because a newer revision is there.
func whyAbsent(f *folder, dir string) (string, error) {
	entries, err := f.readDir(dir)
	if err != nil {
		return "", err
	}
	if superseded(entries) {
		return "", nil
	}
	if others := otherWorkbooks(entries); len(others) > 0 {
		return fmt.Sprintf("%s is not there, only %s: decisions are read from %s alone; save it under that name, as an Excel workbook", reportFile, strings.Join(others, ", "), reportFile), nil
	}
	return reportFile + " is not there: put it back into its folder, or drop the drawing again for a new one", nil
}

// superseded reports whether a note in a revision's folder says that there is a
// newer one: nobody waits for its decisions.
func superseded(entries []fs.DirEntry) bool {
	return slices.ContainsFunc(entries, func(e fs.DirEntry) bool { return e.Name() == supersededFile })
}

// otherWorkbooks are the names of the workbooks in a revision's folder that are not
// its report.
func otherWorkbooks(entries []fs.DirEntry) []string {
	var others []string
	for _, e := range entries {
		name := e.Name()
		if name == reportFile || strings.HasPrefix(name, "~$") || strings.HasPrefix(name, ".") {
			continue
		}
		if slices.Contains([]string{".xlsx", ".xlsm", ".xls", ".ods"}, strings.ToLower(path.Ext(name))) {
			others = append(others, name)
		}
	}
	slices.Sort(others)
	return others
}

// copies are the workbooks in a revision's folder that were saved later than its
// report.
type copies struct {
	changed time.Time // of the folder, when it was looked into
	names   []string
}

// folderTick is how far apart two changes of a folder may be and still have one
// time, on the coarsest file systems (FAT: 2 s).
const folderTick = 3 * time.Second

// savedBeside says that somebody saved a workbook beside a report that waits
// untouched: a program that found the report held by another offers that, and what
// is decided there is never read. "" when nobody did.
func (o *office) savedBeside(f *folder, dir string, changed, report time.Time) (string, error) {
	known, ok := o.copies[dir]
	if !ok || !known.changed.Equal(changed) || time.Since(changed) < folderTick {
		known = copies{changed: changed}
		entries, err := f.readDir(dir)
		if err != nil {
			return "", err
		}
		others := otherWorkbooks(entries)
		if superseded(entries) {
			others = nil
		}
		for _, name := range others {
			info, err := f.lstat(path.Join(dir, name))
			if err != nil && !errors.Is(err, fs.ErrNotExist) {
				return "", err
			}
			if err == nil && info.ModTime().After(report) {
				known.names = append(known.names, name)
			}
		}
		o.copies[dir] = known
	}
	if len(known.names) == 0 {
		return "", nil
	}
	return fmt.Sprintf("%s was saved beside %s: decisions are read from %s alone; write them there", strings.Join(known.names, ", "), reportFile, reportFile), nil
}

// notTaken says for the status why a template or folder in drop/ cannot be taken,
// and what to do.
func notTaken(name string, err error) string {
	if errors.Is(err, fs.ErrPermission) {
		return fmt.Sprintf("permission denied to the user of the service; let it read %s and change the folder %s (README, As a service)",
			path.Join(dropDir, name), path.Dir(path.Join(dropDir, name)))
	}
	return err.Error()
}
