package watch

import (
	"context"
	"errors"
	"fmt"
	"path"
	"runtime/debug"
	"strconv"
	"time"

	"trueup/report"
)

// process has the template worked on, in a time limit and behind a guard: a
// panic or an overrun is the failure of this template and of nothing else.
// What an overrun leaves running writes to scratch only, never to a published folder.
func (s *Service) process(ctx context.Context, f *folder, cl claim, earlier []revision, out string) (Outcome, error) {
	if err := f.mkdirAll(out); err != nil {
		return Outcome{}, err
	}
	carried, err := s.carried(f, earlier)
	if err != nil {
		return Outcome{}, err
	}
	in := Work{
		Job: cl.card.Job, File: path.Base(cl.card.File), Revision: cl.card.Revision,
		Original: f.abs(path.Join(cl.dir(s.name), originalFile)),
		SHA256:   cl.card.SHA256, Bytes: cl.card.Bytes, OutDir: f.abs(out), Carried: carried,
	}
	for _, r := range earlier { // newest first
		result := path.Join(r.dir(), resultFile)
		if !f.exists(result) {
			continue
		}
		if in.Earlier == "" {
			if in.Earlier, err = s.earlier(f, r, out); err != nil {
				return Outcome{}, err
			}
		}
		if in.Released == "" && r.state == readyDir {
			in.Released = f.abs(result)
		}
	}
	leave, err := s.slots.enter(ctx, func() int { return s.settings().workers() })
	if err != nil {
		return Outcome{}, err
	}
	defer leave()
	s.ledger.begin(cl.key, cl.card.Job) // what it waited for is not its own time
	atWork := path.Join(cl.dir(s.name), atWorkFile)
	if err := f.mark(atWork); err != nil {
		return Outcome{}, err
	}
	outcome, err := s.guarded(ctx, in)
	leave()
	f.remove(atWork) // what stays is cleared before publishing
	if err != nil {
		return Outcome{}, errors.Join(err, s.probe(f))
	}
	switch outcome.Verdict {
	case report.Ready, report.Review:
		return outcome, nil
	case report.Failed:
		if outcome.Error == "" {
			outcome.Error = in.File + ": failed without a reason; see the service's log"
		}
		return outcome, nil
	}
	return Outcome{}, fmt.Errorf("verdict %q is none", outcome.Verdict)
}

// earlier is the path of an earlier revision's result for a worker to read: a copy
// where others can write.
func (s *Service) earlier(f *folder, r revision, out string) (string, error) {
	result := path.Join(r.dir(), resultFile)
	if r.state != reviewDir {
		return f.abs(result), nil
	}
	_, data, err := s.keptOf(f, r)
	switch {
	case errors.As(err, new(notKept)):
		s.log.Warn("what changed since the revision before cannot be told", "file", result, "error", err)
		return "", nil
	case err != nil:
		return "", err
	}
	place := out + "-earlier"
	if err := f.mkdirAll(place); err != nil {
		return "", err
	}
	copied := path.Join(place, resultFile)
	return f.abs(copied), f.replaceFile(copied, data)
}

// guarded runs the processor. It returns as soon as the time is up or ctx is done.
func (s *Service) guarded(ctx context.Context, in Work) (Outcome, error) {
	type answer struct {
		outcome Outcome
		err     error
	}
	limit := s.settings().JobTime
	timed, cancel := context.WithTimeout(ctx, limit)
	defer cancel()
	answers := make(chan answer, 1)
	s.running.Add(1)
	go func() {
		defer s.running.Add(-1)
		var a answer
		defer func() {
			if p := recover(); p != nil {
				s.log.Error("the work on a template broke off; the original is kept", "job", in.Job, "panic", fmt.Sprint(p), "stack", string(debug.Stack()))
				a = answer{outcome: Outcome{Verdict: report.Failed, Error: fmt.Sprintf(
					"%s: an internal fault stopped the work on it (%v); send the file with the service's log to whoever looks after the service", in.File, p)}}
			}
			answers <- a
		}()
		a.outcome, a.err = s.processor().Process(timed, in)
	}()
	var a answer
	select {
	case a = <-answers:
	case <-timed.Done():
		a.err = timed.Err()
	}
	if ctx.Err() == nil && timed.Err() != nil && (a.err != nil || a.outcome.Verdict == report.Failed) {
		return Outcome{Verdict: report.Failed, Error: fmt.Sprintf(
			"%s: took longer than the time limit of %s; simplify the drawing, or raise job_time in %s", in.File, limit, settingsFile)}, nil
	}
	if ctx.Err() != nil && a.err == nil && a.outcome.Verdict == report.Failed {
		return Outcome{}, ctx.Err() // told to stop: not the template's fault
	}
	return a.outcome, a.err
}

// probeBytes is more than any report needs beyond what the file system holds back.
const probeBytes = 1 << 20

// probe tells whether the shop folder can be written at all, so that a
// processor's failure on a full disk is not taken for the template's fault.
func (s *Service) probe(f *folder) error {
	name := path.Join(scratchDir, s.name, "probe-"+strconv.FormatUint(s.count.Add(1), 10))
	defer f.remove(name)
	return named(f.writeFile(name, make([]byte, probeBytes)), path.Join(scratchDir, s.name))
}

// timeNow is the wall clock, for people; never for deciding anything.
func timeNow() time.Time { return time.Now().UTC().Truncate(time.Second) }
