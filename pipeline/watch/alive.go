package watch

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"
)

// loopName is one of the service's loops, as it is named where it hangs.
type loopName string

const (
	loopDrop     loopName = "the look through drop/"
	loopOffice   loopName = "the look for decisions in review/"
	loopRegister loopName = "the look after register.xlsx"
	loopBeat     loopName = "the sign of life"
)

// pulse is a loop's own sign of life: until when the next one is to come.
type pulse struct {
	last, due time.Time
}

// alive notes that a loop gets on and will again after the given wait. A look at a
// folder that does not return keeps the next one from coming.
func (l *ledger) alive(name loopName, wait time.Duration) {
	l.mu.Lock()
	defer l.mu.Unlock()
	now := time.Now()
	l.pulses[name] = pulse{now, now.Add(wait)}
}

// ended notes that a loop is over: nothing more is to come of it.
func (l *ledger) ended(name loopName) {
	l.mu.Lock()
	defer l.mu.Unlock()
	delete(l.pulses, name)
}

// stuck are the loops whose sign of life is overdue by more than the given time, a
// sentence each.
func (l *ledger) stuck(limit time.Duration) []string {
	l.mu.Lock()
	defer l.mu.Unlock()
	var list []string
	for _, name := range slices.Sorted(maps.Keys(l.pulses)) {
		if p := l.pulses[name]; time.Since(p.due) > limit {
			list = append(list, fmt.Sprintf("%s has not returned for %s; look whether the share answers, then restart the service",
				name, time.Since(p.last).Round(time.Second)))
		}
	}
	return list
}

// begin and end note a piece of work on a job.
func (l *ledger) begin(key, job string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.works[key] = atWork{job, time.Now()}
}

func (l *ledger) end(key string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	delete(l.works, key)
}

// atWork is a job in work, and since when.
type atWork struct {
	job   string
	since time.Time
}

// overdue are the jobs that have been in work for longer than any may.
func (l *ledger) overdue(limit time.Duration) []string {
	l.mu.Lock()
	defer l.mu.Unlock()
	var list []string
	for _, w := range l.works {
		if time.Since(w.since) > limit {
			list = append(list, w.job)
		}
	}
	slices.Sort(list)
	return list
}

// workLimit is how long a piece of work may take: its drawing is waited for as long as
// the patience, and worked on as long as the job time.
func (s Settings) workLimit() time.Duration { return s.JobTime + s.Patience }

// diagnose brings what a heartbeat says of this server's loops and work up to date.
func (s *Service) diagnose() (stuck, overdue []string) {
	set := s.settings()
	stuck, overdue = s.ledger.stuck(set.Stale), s.ledger.overdue(set.workLimit())
	s.ledger.update(func(h *Heartbeat) {
		h.Stuck, h.Overdue = stuck, overdue
		h.StaleSeconds, h.WorkSeconds = set.Stale.Seconds(), set.workLimit().Seconds()
	})
	return stuck, overdue
}

// public is what keeps the service from working, without a name of a job, a file or a
// folder of a customer's: /health is read by whoever may connect on this machine.
func (s *Service) public() string {
	stuck, overdue := s.diagnose()
	list := stuck
	if n := len(overdue); n > 0 {
		list = append(list, fmt.Sprintf("%s in work for longer than %s", plural(n, "job"), s.settings().workLimit()))
	}
	s.ledger.mu.Lock()
	jobs := 0
	for what := range s.ledger.troubles {
		switch said, ok := publicTroubles[what]; {
		case ok:
			list = append(list, said)
		case strings.HasPrefix(what, jobTrouble):
			jobs++
		default:
			list = append(list, "the service is in trouble")
		}
	}
	settings, back := s.ledger.beat.Settings, s.ledger.beat.StandsBack
	s.ledger.mu.Unlock()
	if jobs > 0 {
		list = append(list, "work on "+plural(jobs, "job")+" is interrupted and tried again")
	}
	if back != "" {
		list = append(list, "this server stands back: a newer release serves the shop")
	}
	if settings != "" {
		list = append(list, "the settings file is not in force")
	}
	if len(list) == 0 {
		return ""
	}
	slices.Sort(list)
	return strings.Join(slices.Compact(list), "; ") + "; `trueup status` says more"
}

// What can be in trouble, see troubled.
const (
	folderTrouble   = ""
	beatTrouble     = "beat"
	registerTrouble = "register"
	releaseTrouble  = "release"
	jobTrouble      = "job " // and its key
)

var publicTroubles = map[string]string{
	folderTrouble:   "the shop folder cannot be read",
	beatTrouble:     "the shop folder cannot be written",
	releaseTrouble:  "a server of an older release serves the shop too",
	registerTrouble: "the register is not what it should be",
}
