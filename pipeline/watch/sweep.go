package watch

import (
	"errors"
	"io/fs"
	"path"
	"strings"
	"time"
)

// sighting is the last change that was seen in another server's heartbeat.
type sighting struct {
	beat string // its content
	at   time.Time
}

// sightings are the heartbeats of the other servers, by server. They are
// compared with each other only: the clocks of two machines need not agree.
type sightings map[string]sighting

// stale tells whether a server's heartbeat has not changed for the given time,
// counted from when this server first looked.
func (m sightings) stale(server, beat string, now time.Time, limit time.Duration) bool {
	last, known := m[server]
	if !known || last.beat != beat {
		m[server] = sighting{beat, now}
		return false
	}
	return now.Sub(last.at) >= limit
}

// sweep takes over the claims of servers that are gone, and of this one where an
// earlier fault left them, and removes their scratch.
func (l *loop) sweep(f *folder, now time.Time, set Settings) error {
	s := l.s
	found, err := findClaims(f)
	if err != nil {
		return err
	}
	gone := func(server string) bool {
		if server == s.name {
			return false
		}
		if o, ok := parseOwner(server); ok && o.dead() {
			return true
		}
		beat, err := readSign(f, server+".json")
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return false
		}
		return l.seen.stale(server, string(beat), now, set.Stale)
	}
	held := map[string]bool{}
	for _, c := range found {
		held[c.owner] = true
		if l.busy[c.key] || l.recovering(c.key) {
			continue
		}
		if c.owner != s.name && !gone(c.owner) {
			continue
		}
		cl, err := s.takeOver(f, c)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			continue // another server was first
		case err != nil:
			s.log.Error("a claim left behind cannot be taken over, tried again", "claim", c.dir(), "error", err)
			continue
		}
		held[c.owner] = false
		s.log.Info("a claim left behind is taken over", "job", cl.card.Job, "from", c.owner)
		l.recover = append(l.recover, cl)
	}
	return l.sweepScratch(f, func(server string) bool { return !held[server] && gone(server) })
}

func (l *loop) recovering(key string) bool {
	for _, cl := range l.recover {
		if cl.key == key {
			return true
		}
	}
	return false
}

// sweepScratch removes what servers without claims left behind. Nothing of it is
// an original; removeScratch makes sure.
func (l *loop) sweepScratch(f *folder, gone func(server string) bool) error {
	for _, place := range []struct {
		dir   string
		owner func(name string) string
	}{
		{scratchDir, func(name string) string { return name }},
		{stageDir, func(name string) string { return strings.Join(first(strings.Split(name, "-"), 3), "-") }},
		{serversDir, func(name string) string { return strings.TrimSuffix(name, ".json") }},
	} {
		entries, err := f.readDir(place.dir)
		if err != nil {
			return err
		}
		for _, e := range entries {
			server := place.owner(e.Name())
			if _, ok := parseOwner(server); !ok || server == l.s.name || !gone(server) {
				continue
			}
			if err := f.removeScratch(path.Join(place.dir, e.Name())); err != nil {
				l.s.log.Warn("left behind by a server that is gone, not removed", "name", path.Join(place.dir, e.Name()), "error", err)
			}
		}
	}
	return nil
}

func first(parts []string, n int) []string { return parts[:min(n, len(parts))] }
