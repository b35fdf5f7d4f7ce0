package watch

import (
	"context"
	"errors"
	"time"
)

// loop is the service's one deciding goroutine: it scans, hands out work and
// takes note of what is done. Which keys are busy is known only here.
type loop struct {
	s        *Service
	work     context.Context // of the jobs: outlives the loop by the shutdown time
	intake   *intake
	wake     chan struct{} // something may have changed in the folders
	finished chan done
	busy     map[string]bool // keys of the jobs in work
	recover  []claim         // taken over, waiting for a worker
	seen     sightings
	office   office

	scanned   time.Time // end of the last scan
	scanTook  time.Duration
	swept     time.Time
	troubled  int    // passes in a row that failed
	trouble   string // what was said about it
	idle      time.Time
	settingsT reloader
}

// maxWorkers is the most that the settings allow.
const maxWorkers = 256

// done is the end of a piece of work.
type done struct {
	key  string
	cand *candidate // nil for other work
	err  error
}

func newLoop(s *Service, work context.Context) *loop {
	l := &loop{
		s: s, work: work,
		wake: make(chan struct{}, 1), finished: make(chan done, maxWorkers),
		busy: map[string]bool{}, seen: sightings{},
	}
	l.intake = newIntake(func(name, why string) { s.log.Warn("left in drop/", "file", name, "why", why) })
	return l
}

func (l *loop) run(ctx context.Context) {
	timer := time.NewTimer(0)
	defer timer.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case d := <-l.finished:
			l.finish(d)
		case <-l.wake:
		case <-timer.C:
		}
		l.s.ledger.loopBeat()
		wait := l.pass()
		timer.Reset(wait)
	}
}

// pass does one round and returns how long to wait for the next.
func (l *loop) pass() time.Duration {
	now := time.Now()
	set := l.s.settings()
	l.intake.settle, l.intake.patience = set.Settle, set.Patience
	if wait := l.restUntilNextScan(now); wait > 0 {
		return wait
	}
	f, err := l.s.open()
	if err == nil {
		err = l.round(f, now, set)
		f.close()
	}
	l.scanned, l.scanTook = time.Now(), time.Since(now)
	if err != nil {
		l.troubled++
		if err.Error() != l.trouble {
			l.trouble = err.Error()
			l.s.log.Error("the shop folder cannot be read, tried again", "error", err)
		}
		l.s.ledger.trouble(l.trouble)
		return pause(l.troubled)
	}
	if l.troubled > 0 {
		l.s.log.Info("the shop folder can be read again", "after_attempts", l.troubled)
		l.troubled, l.trouble = 0, ""
		l.s.ledger.trouble("")
		if err := l.s.prepare(); err != nil {
			l.s.log.Error("folders missing", "error", err)
		}
	}
	return l.wait(time.Now(), set)
}

// scanShare bounds the share of time that scans of a full drop/ take, and
// scanGap is the least time between two.
const (
	scanShare = 5
	scanGap   = 5 * time.Millisecond
)

func (l *loop) restUntilNextScan(now time.Time) time.Duration {
	return max(scanGap, scanShare*l.scanTook) - now.Sub(l.scanned)
}

// round scans, recovers and hands out work.
func (l *loop) round(f *folder, now time.Time, set Settings) error {
	if err := l.intake.scan(f, now); err != nil {
		return err
	}
	l.settingsT.look(l.s, f)
	if l.swept.IsZero() || now.Sub(l.swept) >= set.Rescan {
		if err := l.sweep(f, now, set); err != nil {
			return err
		}
		l.swept = now
	}
	for len(l.recover) > 0 && len(l.busy) < set.workers() {
		cl := l.recover[0]
		l.recover = l.recover[1:]
		l.start(cl.key, nil, func() error { l.s.attend(l.work, cl); return nil })
	}
	if free := set.workers() - len(l.busy); free > 0 {
		for _, c := range l.intake.ready(f, now) {
			if len(l.busy) >= set.workers() {
				break
			}
			l.offer(c)
		}
	}
	if len(l.busy) < set.workers() {
		l.decide(f, now, set)
	}
	l.s.ledger.queue(len(l.intake.candidates), len(l.busy), l.intake.waiting, l.intake.others)
	return nil
}

// offer starts the work on a candidate unless its job is in work here already.
func (l *loop) offer(c *candidate) {
	job, _ := jobName(c.name)
	key := jobKey(job)
	if l.busy[key] || l.recovering(key) {
		c.blocked = true
		return
	}
	c.busy = true
	cand := *c
	l.start(key, c, func() error { return l.s.take(l.work, cand) })
}

func (l *loop) start(key string, c *candidate, run func() error) {
	l.busy[key] = true
	go func() { l.finished <- done{key, c, run()} }()
}

func (l *loop) finish(d done) {
	delete(l.busy, d.key)
	if d.cand == nil {
		return
	}
	c := d.cand
	c.busy = false
	if d.err == nil {
		delete(l.intake.candidates, c.name)
		return
	}
	c.tries++
	c.notBefore = time.Now().Add(pause(c.tries))
	if !errors.Is(d.err, errHeld) && !c.told {
		c.told = true
		l.s.log.Error("not taken, tried again", "file", c.name, "error", d.err)
	}
}

// wait is the time until something is due without an event.
func (l *loop) wait(now time.Time, set Settings) time.Duration {
	wait := set.Rescan - now.Sub(l.scanned)
	if len(l.busy) >= set.workers() {
		return max(wait, 0) // the end of a piece of work comes first
	}
	if at, ok := l.intake.next(); ok {
		wait = min(wait, at.Sub(now))
	}
	return max(wait, 0)
}

// drain waits for the work under way: for the grace first, then, having told it to
// stop, for as long as giving back may take.
func (l *loop) drain(grace time.Duration, stop func()) {
	timer := time.NewTimer(grace)
	defer timer.Stop()
	stopped := false
	for len(l.busy) > 0 {
		select {
		case d := <-l.finished:
			l.finish(d)
		case <-timer.C:
			if stopped {
				l.s.log.Error("work does not end; its originals stay claimed until the next start", "jobs", len(l.busy))
				return
			}
			stopped = true
			stop()
			timer.Reset(giveBackTime)
		}
	}
	for _, cl := range l.recover {
		l.s.giveBack(cl)
	}
}
