package watch

import (
	"context"
	"errors"
	"slices"
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
	ready    []*candidate    // found ready by the last scan, waiting for a worker
	seen     sightings

	decisions chan decision // found by the visit to the office
	decided   []decision    // waiting for a worker

	hinted    bool      // something happened since the last scan
	scanned   time.Time // end of the last scan
	scanTook  time.Duration
	swept     time.Time
	troubled  int    // passes in a row that failed
	trouble   string // what was said about it
	settingsT reloader
	glanced   time.Time // when the settings file was looked at last
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
		wake: make(chan struct{}, 1), finished: make(chan done, inWorkFactor*maxWorkers),
		busy: map[string]bool{}, seen: sightings{}, decisions: make(chan decision),
	}
	l.intake = newIntake(func(name, why string) { s.log.Warn("left in drop/", "file", name, "why", why) })
	return l
}

func (l *loop) run(ctx context.Context) {
	timer := time.NewTimer(0)
	defer timer.Stop()
	defer l.s.ledger.ended(loopDrop)
	for {
		select {
		case <-ctx.Done():
			return
		case d := <-l.finished:
			l.finish(d)
		case d := <-l.decisions:
			l.decided = append(l.decided, d)
		case <-l.wake:
			l.hinted = true
		case <-timer.C:
		}
		l.s.ledger.alive(loopDrop, 0)
		wait := l.pass()
		l.s.ledger.alive(loopDrop, wait)
		timer.Reset(wait)
	}
}

// pass scans when that is due, hands out work, and returns how long to wait.
func (l *loop) pass() time.Duration {
	if l.s.reload == nil {
		return l.passFolders()
	}
	if now := time.Now(); l.glanced.IsZero() || now.Sub(l.glanced) >= settingsGlance {
		if f, err := l.s.open(); err == nil { // the round tells when the folder cannot be opened
			l.settingsT.look(l.s, f, now)
			f.close()
		}
		l.glanced = time.Now()
	}
	return min(l.passFolders(), settingsGlance)
}

func (l *loop) passFolders() time.Duration {
	now := time.Now()
	set := l.s.settings()
	l.intake.settle, l.intake.patience, l.intake.mostBytes = set.Settle, set.Patience, set.MostBytes
	switch wait := l.scanDue(set).Sub(now); {
	case wait > 0 && len(l.ready) == 0 && len(l.recover) == 0 && len(l.decided) == 0:
		return wait
	case wait <= 0:
		if err := l.round(now, set); err != nil {
			return l.rest(err)
		}
		l.recovered()
	}
	l.handOut(set)
	if len(l.busy) >= set.inWork() {
		return max(set.Rescan-time.Since(l.scanned), 0) // the end of a piece of work comes first
	}
	return max(time.Until(l.scanDue(set)), 0)
}

// scanShare bounds the share of time that scans of a full drop/ take, and
// scanGap is the least time between two. While templates found ready wait for a worker,
// what a scan finds comes after them: queueGap is enough then.
const (
	scanShare = 5
	scanGap   = 5 * time.Millisecond
	queueGap  = 500 * time.Millisecond
)

// scanDue is when the folders are to be looked at next: at once after a hint,
// when a candidate may have settled, otherwise by the rescan; never so often that
// scanning is all that is done.
func (l *loop) scanDue(set Settings) time.Time {
	if l.scanned.IsZero() {
		return time.Time{}
	}
	due := l.scanned.Add(set.Rescan)
	if at, ok := l.intake.next(); ok && at.Before(due) {
		due = at
	}
	gap := scanGap
	if len(l.ready) > 0 {
		gap = queueGap
	}
	earliest := l.scanned.Add(max(gap, scanShare*l.scanTook))
	if l.hinted || due.Before(earliest) {
		return earliest
	}
	return due
}

// round scans, recovers, and looks for decisions and settings.
func (l *loop) round(now time.Time, set Settings) error {
	defer func() { l.scanned, l.scanTook = time.Now(), time.Since(now) }()
	l.hinted = false
	f, err := l.s.open()
	if err != nil {
		return err
	}
	defer f.close()
	if err := l.intake.scan(f, now); err != nil {
		return err
	}
	l.s.noteBeside(f, l.intake)
	l.ready = l.intake.ready(f, now)
	if l.swept.IsZero() || now.Sub(l.swept) >= set.Rescan {
		if err := l.lookAtReleases(f, now, set); err != nil {
			return err
		}
		if !l.s.standsBack() {
			if err := l.sweep(f, now, set); err != nil {
				return err
			}
		}
		l.swept = now
	}
	return nil
}

// rest takes note that the folders could not be looked at, and gives the pause.
func (l *loop) rest(err error) time.Duration {
	l.troubled++
	if err.Error() != l.trouble {
		l.trouble = err.Error()
		l.s.log.Error("the shop folder cannot be read, tried again", "error", err)
	}
	l.s.ledger.trouble(l.trouble)
	l.hinted = false
	l.scanTook = pause(l.troubled) / scanShare
	return pause(l.troubled)
}

// recovered takes note that the folders can be looked at again.
func (l *loop) recovered() {
	if l.troubled == 0 {
		return
	}
	l.s.log.Info("the shop folder can be read again", "after_attempts", l.troubled)
	l.troubled, l.trouble = 0, ""
	l.s.ledger.trouble("")
	if err := l.s.prepare(); err != nil {
		l.s.log.Error("folders missing", "error", err)
	}
}

// handOut gives work to free workers: what was left behind first, then what the
// office decided, then new templates.
func (l *loop) handOut(set Settings) {
	defer func() {
		l.s.ledger.queue(len(l.intake.candidates), len(l.busy), l.intake.waiting, l.intake.others, l.intake.notTaken())
	}()
	if l.s.standsBack() { // what is in work is worked on to its end
		for _, d := range l.decided {
			d.dealt <- false
		}
		l.decided, l.ready = nil, nil
		return
	}
	for len(l.busy) < set.inWork() && l.resume(false) {
	}
	for len(l.decided) > 0 && len(l.busy) < set.inWork() {
		d := l.decided[0]
		l.decided = l.decided[1:]
		l.carryOut(d)
	}
	for len(l.ready) > 0 && len(l.busy) < set.inWork() && !l.settingsT.holdsBack(time.Now()) {
		c := l.ready[0]
		l.ready = l.ready[1:]
		l.offer(c)
	}
	for len(l.busy) < set.inWork() && l.resume(true) {
	}
}

// resume starts the work on a claim taken over, a suspect one or one that is not,
// and tells whether there was one.
func (l *loop) resume(suspect bool) bool {
	for i, cl := range l.recover {
		if cl.suspect() == suspect {
			l.recover = slices.Delete(l.recover, i, i+1)
			l.start(cl.key, cl.card.Job, nil, func() error { l.s.attend(l.work, cl); return nil })
			return true
		}
	}
	return false
}

// offer starts the work on a candidate unless its job is in work here already.
func (l *loop) offer(c *candidate) {
	job, _ := jobName(c.name)
	key := jobKey(job)
	c.key = key
	if l.busy[key] || l.recovering(key) {
		c.blocked, c.queued = true, false
		return
	}
	c.busy = true
	cand := *c
	l.start(key, job, c, func() error { return l.s.take(l.work, cand) })
}

// carryOut starts the work on a decision unless its job is in work here.
func (l *loop) carryOut(d decision) {
	key := jobKey(d.r.job)
	if l.busy[key] || l.recovering(key) {
		d.dealt <- false
		return
	}
	l.start(key, d.r.job, nil, func() error {
		dealt, err := l.s.decide(d)
		if !errors.Is(err, errHeld) {
			l.s.hold(d.r.dir(), text(err))
		}
		d.dealt <- dealt
		return nil
	})
}

func (l *loop) start(key, job string, c *candidate, run func() error) {
	l.busy[key] = true
	l.s.ledger.begin(key, job)
	go func() {
		err := run()
		l.s.ledger.end(key)
		l.finished <- done{key, c, err}
	}()
}

func (l *loop) finish(d done) {
	delete(l.busy, d.key)
	for _, c := range l.intake.candidates {
		if c.blocked && c.key == d.key {
			c.blocked = false
			l.hinted = true
		}
	}
	if d.cand == nil {
		return
	}
	c := d.cand
	c.busy, c.queued = false, false
	if d.err == nil {
		delete(l.intake.candidates, c.name) // what stands there now is another
		l.hinted = true
		return
	}
	if errors.Is(d.err, errChanged) {
		l.intake.again(c)
		l.hinted = true
		return
	}
	c.tries++
	c.notBefore = time.Now().Add(pause(c.tries))
	if errors.Is(d.err, errHeld) {
		return
	}
	c.why = notTaken(c.name, d.err)
	if !c.told {
		c.told = true
		l.s.log.Error("not taken, tried again", "file", c.name, "error", d.err)
	}
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
