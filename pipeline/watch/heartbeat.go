package watch

import (
	"context"
	"encoding/json"
	"path"
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
	lastLoop time.Time
	changed  chan struct{} // something was published: the register is behind
}

// leftShown bounds how many of the files left in drop/ a heartbeat names.
const leftShown = 100

func newLedger() ledger {
	return ledger{beat: Heartbeat{Started: timeNow()}, troubles: map[string]string{}, lastLoop: time.Now(), changed: make(chan struct{}, 1)}
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

// loopBeat notes that the deciding goroutine is alive.
func (l *ledger) loopBeat() {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.lastLoop = time.Now()
}

func (l *ledger) loopAge() time.Duration {
	l.mu.Lock()
	defer l.mu.Unlock()
	return time.Since(l.lastLoop)
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

// loopLimit is how long one pass of the deciding goroutine may take before the
// service stops giving signs of life, so that whoever watches it starts it
// again. A pass over a slow share with a full drop/ takes seconds.
const loopLimit = 5 * time.Minute

// beat writes the heartbeat until ctx is done.
func (s *Service) beat(ctx context.Context) {
	notifyReady(s.log)
	said := ""
	for n := uint64(1); ; n++ {
		if age := s.ledger.loopAge(); age < loopLimit+s.settings().Rescan {
			notifyAlive()
			err := s.writeBeat(n)
			if err != nil && err.Error() != said {
				s.log.Warn("the sign of life cannot be written, tried again", "error", err)
			}
			said = text(err)
			if err != nil {
				s.ledger.troubled("beat", "the shop folder cannot be written: "+said)
			} else {
				s.ledger.troubled("beat", "")
			}
		} else {
			s.log.Error("the service does not get on; it gives no sign of life until it does", "for", age)
		}
		select {
		case <-time.After(s.settings().Heartbeat):
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
	h.Server, h.Version, h.Beat, h.At = s.name, s.version, n, timeNow()
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
