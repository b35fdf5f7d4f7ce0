package watch

import (
	"context"
	"encoding/json"
	"path"
	"strings"
	"sync"
	"time"
)

// Heartbeat is what a running server writes about itself, again and again.
type Heartbeat struct {
	Server   string            `json:"server"`
	Version  string            `json:"version"`
	Beat     uint64            `json:"beat"` // counts up: others look whether it changes, not at the time
	Started  time.Time         `json:"started"`
	At       time.Time         `json:"at"`
	Waiting  int               `json:"waiting"`             // templates in drop/
	Working  int               `json:"working"`             // jobs in work
	Copying  int               `json:"copying"`             // temporary names in drop/
	Left     map[string]string `json:"left"`                // what is left alone in drop/, and why
	NotTaken map[string]string `json:"not_taken,omitempty"` // what cannot be taken from drop/, and why
	Held     map[string]string `json:"held,omitempty"`      // folders in review/ whose decisions wait, and why
	Since    Tally             `json:"since"`               // since the start
	Trouble  string            `json:"trouble"`             // what keeps the service from working now
	Settings string            `json:"settings"`            // why the settings file is not in force; "" when it is
	// StandsBack says why this server leaves the shop to another; "" when it does not.
	StandsBack string   `json:"stands_back,omitempty"`
	Protocol   int      `json:"protocol"`          // see protocol
	Stuck      []string `json:"stuck,omitempty"`   // loops that do not get on, a sentence each
	Overdue    []string `json:"overdue,omitempty"` // jobs in work for longer than any may be

	StaleSeconds float64 `json:"stale_s,omitempty"` // its settings: after how long without a sign of life it is given up
	WorkSeconds  float64 `json:"work_s,omitempty"`  // how long a job may be in work
}

// Tally counts what became of templates.
type Tally struct {
	Ready      int `json:"ready"`
	Review     int `json:"review"`
	Failed     int `json:"failed"`
	Returned   int `json:"returned"`
	Duplicates int `json:"duplicates"`
	Superseded int `json:"superseded"` // of the standing ones: in review/, with a newer revision there
}

// ledger is what the service's goroutines tell about themselves.
type ledger struct {
	mu       sync.Mutex
	beat     Heartbeat
	troubles map[string]string // by what it hinders; together the heartbeat's trouble
	pulses   map[loopName]pulse
	works    map[string]atWork
	changed  chan struct{} // something was published: the register is behind
}

// leftShown bounds how many of the files left in drop/ a heartbeat names.
const leftShown = 100

func newLedger() ledger {
	return ledger{beat: Heartbeat{Started: timeNow()}, troubles: map[string]string{}, pulses: map[loopName]pulse{}, works: map[string]atWork{}, changed: make(chan struct{}, 1)}
}

func (l *ledger) update(change func(h *Heartbeat)) {
	l.mu.Lock()
	defer l.mu.Unlock()
	change(&l.beat)
}

func (l *ledger) snapshot() Heartbeat {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.beat
}

func (l *ledger) queue(waiting, working, copying int, others, notTaken map[string]string) {
	left, refused := some(others), some(notTaken)
	l.update(func(h *Heartbeat) {
		h.Waiting, h.Working, h.Copying, h.Left, h.NotTaken = waiting, working, copying, left, refused
	})
}

// some are the entries of a map as far as a heartbeat names them.
func some(all map[string]string) map[string]string {
	list := map[string]string{}
	for name, why := range all {
		if len(list) == leftShown {
			break
		}
		list[name] = why
	}
	return list
}

// dirty tells the register that the folders have changed.
func (l *ledger) dirty() {
	select {
	case l.changed <- struct{}{}:
	default:
	}
}

// count takes note that a revision has come into a folder.
func (l *ledger) count(state string) {
	l.update(func(h *Heartbeat) { h.Since.add(state) })
	l.dirty()
}

// published takes note of a revision that has just appeared.
func (s *Service) published(r revision, c card) {
	s.ledger.count(r.state)
	log := s.log.With("job", r.job, "revision", r.number, "folder", r.dir(), "file", c.File)
	if r.state == failedDir {
		log.Warn("failed", "reason", c.Error)
		return
	}
	log.Info("published", "pieces", c.Counts.Pieces, "stops", c.Counts.Stops)
}

func (s *Service) duplicate() {
	s.ledger.update(func(h *Heartbeat) { h.Since.Duplicates++ })
	s.ledger.dirty()
}

// watchdogLimit is for how long a loop may hang before the service stops giving signs
// of life, so that whoever watches it starts it again: a share that comes back within
// that time needs no restart.
const watchdogLimit = 5 * time.Minute

// beat writes the heartbeat until ctx is done.
func (s *Service) beat(ctx context.Context) {
	notifyReady(s.log)
	defer s.ledger.ended(loopBeat)
	said, stuckSaid := "", ""
	for n := uint64(1); ; n++ {
		interval := s.settings().Heartbeat
		s.ledger.alive(loopBeat, interval)
		stuck, _ := s.diagnose()
		if now := strings.Join(stuck, "; "); now != stuckSaid {
			if stuckSaid = now; now != "" {
				s.log.Error("the service does not get on", "what", now)
			}
		}
		if len(s.ledger.stuck(watchdogLimit)) == 0 {
			notifyAlive()
		}
		err := s.writeBeat(n)
		if err != nil && err.Error() != said {
			s.log.Warn("the sign of life cannot be written, tried again", "error", err)
		}
		said = text(err)
		hinders := ""
		if err != nil {
			hinders = "the shop folder cannot be written: " + said
		}
		s.ledger.troubled(beatTrouble, hinders)
		select {
		case <-time.After(interval):
		case <-ctx.Done():
			notifyStopping()
			return
		}
	}
}

// text is what an error says, "" without one.
func text(err error) string {
	if err == nil {
		return ""
	}
	return err.Error()
}

func (s *Service) writeBeat(n uint64) error {
	f, err := s.open()
	if err != nil {
		return err
	}
	defer f.close()
	h := s.ledger.snapshot()
	h.Server, h.Version, h.Protocol, h.Beat, h.At = s.name, s.version, protocol, n, timeNow()
	data, err := json.MarshalIndent(h, "", "  ")
	if err != nil {
		return err
	}
	return f.replaceFile(path.Join(serversDir, s.name+".json"), append(data, '\n'))
}

// farewell removes this server's heartbeat and scratch when it stops in order.
func (s *Service) farewell() {
	f, err := s.open()
	if err != nil {
		return
	}
	defer f.close()
	for _, name := range []string{path.Join(serversDir, s.name+".json"), path.Join(scratchDir, s.name)} {
		if err := f.removeScratch(name); err != nil {
			s.log.Warn("left behind, removed by the next start", "name", name, "error", err)
		}
	}
}
