package watch

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"time"
)

// reloader notices changes of the settings file.
type reloader struct {
	known bool
	last  stamp // as read last; zero: no file
	seen  stamp // as it is now, and since when
	since time.Time
	// pending is true between a change and the reading of it.
	pending bool
}

// settingsGlance is how often the settings file is looked at: with the settle time and
// the time to read it, what is saved holds within 4 s, events or not.
const settingsGlance = time.Second

// holdsBack tells that no template is to be taken yet, because the settings have been
// saved and are about to be read. A file that does not come to rest holds nothing up for
// longer than settings take to come into force.
func (r *reloader) holdsBack(now time.Time) bool {
	return r.pending && now.Sub(r.since) < settingsForce
}

// settingsForce is within which time saved settings hold.
const settingsForce = 4 * time.Second

// look reloads the settings when their file has changed and has stood still as
// long as a drawing has to: many editors empty a file before they write it, and an
// empty one would put the built-in limits in force. A file that cannot be used, and one
// that was removed, leaves the settings in force.
func (r *reloader) look(s *Service, f *folder, at time.Time) {
	if s.reload == nil {
		return
	}
	var now stamp
	file := s.settingsAt
	var info fs.FileInfo
	var err error
	if file == "" {
		file = f.abs(settingsFile)
		info, err = f.lstat(settingsFile)
	} else {
		info, err = os.Stat(file)
	}
	switch {
	case err == nil:
		now = stamp{info.Size(), info.ModTime()}
	case !errors.Is(err, fs.ErrNotExist):
		return
	}
	if !r.known {
		r.known, r.last = true, now
	}
	if now != r.seen {
		r.seen, r.since = now, at
	}
	r.pending = now != r.last
	if !r.pending || at.Sub(r.since) < s.settings().Settle {
		return
	}
	r.pending = false
	r.last = now
	if now == (stamp{}) {
		s.ledger.update(func(h *Heartbeat) {
			h.Settings = "the settings file has gone: " + file + "; put it back, or restart the service to go on with the built-in ones"
		})
		s.log.Warn("the settings file has gone; what was read last stays in force", "file", file)
		return
	}
	set, proc, err := s.reload(file)
	if err != nil {
		s.log.Error("the settings were changed but cannot be used; what was read last stays in force", "file", file, "error", err)
		s.ledger.update(func(h *Heartbeat) { h.Settings = err.Error() })
		return
	}
	s.mu.Lock()
	old := s.proc
	s.set, s.proc = set, proc
	s.mu.Unlock()
	closeProcessor(old)
	s.ledger.update(func(h *Heartbeat) { h.Settings = "" })
	s.log.Info("settings read again", "file", file)
}

// closeProcessor ends what a processor keeps, such as worker processes.
func closeProcessor(p Processor) {
	if c, ok := p.(io.Closer); ok {
		c.Close()
	}
}
