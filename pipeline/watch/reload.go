package watch

import (
	"errors"
	"io"
	"io/fs"
)

// reloader notices changes of the settings file.
type reloader struct {
	known bool
	last  stamp // zero: no file
}

// look reloads the settings when their file has changed. A file that cannot be
// used, and one that was removed, leaves the settings in force.
func (r *reloader) look(s *Service, f *folder) {
	if s.reload == nil {
		return
	}
	var now stamp
	info, err := f.lstat(settingsFile)
	switch {
	case err == nil:
		now = stamp{info.Size(), info.ModTime()}
	case !errors.Is(err, fs.ErrNotExist):
		return
	}
	if !r.known {
		r.known, r.last = true, now
		return
	}
	if now == r.last {
		return
	}
	r.last = now
	if now == (stamp{}) {
		s.log.Warn("the settings file has gone; what was read last stays in force", "file", settingsFile)
		return
	}
	set, proc, err := s.reload(f.abs(settingsFile))
	if err != nil {
		s.log.Error("the settings were changed but cannot be used; what was read last stays in force", "file", settingsFile, "error", err)
		s.ledger.update(func(h *Heartbeat) { h.Settings = err.Error() })
		return
	}
	s.mu.Lock()
	old := s.proc
	s.set, s.proc = set, proc
	s.mu.Unlock()
	closeProcessor(old)
	s.ledger.update(func(h *Heartbeat) { h.Settings = "" })
	s.log.Info("settings read again", "file", settingsFile)
}

// closeProcessor ends what a processor keeps, such as worker processes.
func closeProcessor(p Processor) {
	if c, ok := p.(io.Closer); ok {
		c.Close()
	}
}
