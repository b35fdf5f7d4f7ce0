package watch

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"
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
func (l *ledger) trouble(why string) { l.troubled("", why) }

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
	var others []string
	for _, e := range entries {
		name := e.Name()
		switch {
		case name == supersededFile:
			return "", nil
		case strings.HasPrefix(name, "~$"), strings.HasPrefix(name, "."):
		case slices.Contains([]string{".xlsx", ".xlsm", ".xls", ".ods"}, strings.ToLower(path.Ext(name))):
			others = append(others, name)
		}
	}
	slices.Sort(others)
	if len(others) > 0 {
		return fmt.Sprintf("%s is not there, only %s: decisions are read from %s alone; save it under that name, as an Excel workbook", reportFile, strings.Join(others, ", "), reportFile), nil
	}
	return reportFile + " is not there: put it back into its folder, or drop the drawing again for a new one", nil
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
