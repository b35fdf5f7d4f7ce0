package watch

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"slices"
	"strconv"
	"time"

	"trueup/report"
)

// attempts is how often work is tried that fails for a reason which is not
// known to pass by itself.
const attempts = 3

// errChanged says that a template changed after it was found ready.
var errChanged = errors.New("changed since it was found ready")

// take claims a template of drop/ and works on it to the end. It returns nil
// when nothing is left to do here: published, filed as a duplicate, given back,
// or gone; errHeld when the job is in work elsewhere.
func (s *Service) take(ctx context.Context, cand candidate) error {
	cl, err := s.claimTemplate(cand)
	if err != nil || cl == nil {
		return err
	}
	return s.attend(ctx, *cl)
}

// claimTemplate moves a template out of drop/ into a claim; nil when the
// template has gone meanwhile.
func (s *Service) claimTemplate(cand candidate) (*claim, error) {
	f, err := s.open()
	if err != nil {
		return nil, err
	}
	defer f.close()
	from := path.Join(dropDir, cand.name)
	now, err := f.lstat(from)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil
	case err != nil:
		return nil, err
	case !now.Mode().IsRegular(), !cand.restless && (now.Size() != cand.size || !now.ModTime().Equal(cand.mod)):
		return nil, errChanged
	}
	job, changed := jobName(cand.name)
	name, err := s.canonicalName(f, job)
	if err != nil {
		return nil, err
	}
	c := card{
		Schema: cardSchema, ID: nonce(), Job: name, File: cand.name, Bytes: cand.size,
		Modified: cand.mod.UTC(), Claimed: time.Now().UTC(), Server: s.name, Unended: cand.ends != endProper, Restless: cand.restless,
	}
	if changed || name != job {
		c.Notes = append(c.Notes, fmt.Sprintf("dropped as %q, filed as %q", cand.name, name))
		s.log.Warn("a name is filed in another spelling", "file", cand.name, "job", name)
	}
	cl, err := s.acquire(f, jobKey(name), c)
	if err != nil {
		return nil, err
	}
	to := path.Join(cl.dir(s.name), droppedFile)
	if err := f.renameNew(from, to); err != nil {
		if !f.exists(to) {
			err = errors.Join(err, s.release(f, cl))
		}
		if errors.Is(err, fs.ErrNotExist) {
			return nil, nil
		}
		return nil, fmt.Errorf("take %s: %w", from, err)
	}
	if taken, err := f.lstat(to); err == nil && !taken.Same(now) {
		s.log.Warn("a file in drop/ was exchanged while it was taken; given back", "file", cand.name)
		if s.putBack(f, cl) == nil {
			return nil, errChanged
		}
	}
	return &cl, nil
}

// attend works on a claim until it is published, lost, or given back: because ctx is
// done, or because what was taken cannot be worked on as it is, which is errChanged.
// What can pass is waited for, however long that takes.
func (s *Service) attend(ctx context.Context, cl claim) error {
	log := s.log.With("job", cl.card.Job, "file", cl.card.File)
	said, unknown := "", 0
	defer s.ledger.troubled(jobTrouble+cl.key, "")
	for attempt := 1; ; attempt++ {
		err := s.attempt(ctx, cl, "")
		switch {
		case err == nil:
			return nil
		case errors.Is(err, errChanged):
			return err
		case errors.Is(err, errLost):
			log.Warn("claim lost: another server took this one for dead and works on the job", "error", err)
			return nil
		case ctx.Err() != nil:
			s.giveBack(cl)
			return nil
		}
		if !passes(err) {
			unknown++
		}
		if unknown >= attempts {
			reason := fmt.Sprintf("%s: %v; tried %d times; see the service's log, then drop the file again", cl.card.File, err, unknown)
			if err = s.attempt(ctx, cl, reason); err == nil {
				return nil
			}
		}
		if err.Error() != said {
			said = err.Error()
			s.ledger.troubled(jobTrouble+cl.key, fmt.Sprintf("work on %s is interrupted and tried again: %s", cl.card.Job, said))
			log.Error("work interrupted, tried again; the original is kept", "attempt", attempt, "error", err)
		}
		select {
		case <-time.After(pause(attempt)):
		case <-ctx.Done():
		}
	}
}

// passes tells whether a fault can go away by itself.
func passes(err error) bool {
	if errors.Is(err, errNoShop) || errors.Is(err, errPassing) || errors.Is(err, fs.ErrNotExist) || errors.Is(err, fs.ErrPermission) {
		return true
	}
	for _, known := range passing() {
		if errors.Is(err, known) {
			return true
		}
	}
	return false
}

// attempt does all the work on a claim once. With a reason the template is
// filed as failed for it, and the processor is not asked.
func (s *Service) attempt(ctx context.Context, cl claim, reason string) error {
	f, err := s.open()
	if err != nil {
		return err
	}
	defer f.close()
	err = s.workOn(ctx, f, cl, reason)
	if err != nil && !s.holds(f, cl) {
		return fmt.Errorf("%w: %w", errLost, err)
	}
	return err
}

func (s *Service) workOn(ctx context.Context, f *folder, cl claim, reason string) error {
	if f.exists(path.Join(cl.dir(s.name), takenDir)) {
		return s.restoreTaken(f, cl)
	}
	got, err := s.secure(ctx, f, &cl)
	if err != nil || got == nil {
		return err
	}
	original := path.Join(cl.dir(s.name), originalFile)
	if reason == "" {
		reason = got.reason
	}
	list, taken, err := revisionsOf(f, cl.card.Job)
	if err != nil {
		return err
	}
	cl.card.Made = s.settings().Made
	for _, r := range list {
		if cl.card.SHA256 == "" {
			break // not read: it is compared with nothing
		}
		sum, err := storedHash(f, r)
		if err != nil {
			return err
		}
		if sum == cl.card.SHA256 {
			why, err := s.whyAgain(f, r, list[0], cl.card.Made)
			if err != nil {
				return err
			}
			if why != "" {
				cl.card.Notes = append(slices.Clone(cl.card.Notes), fmt.Sprintf("the drawing of revision %d again: %s", r.number, why))
				s.log.Info("dropped again, and worked on again", "job", r.job, "file", cl.card.File, "same", r.dir(), "why", why)
				break
			}
			done, err := s.fileDuplicate(f, cl, r)
			if done || err != nil {
				return err
			}
		}
	}
	if taken >= maxRevision {
		return fmt.Errorf("%s: has %d revisions, the most a job can have; move old ones away", cl.card.Job, taken)
	}
	cl.card.Revision = taken + 1
	outcome := Outcome{Verdict: report.Failed, Error: reason}
	out := path.Join(scratchDir, s.name, strconv.FormatUint(s.count.Add(1), 10))
	defer f.removeScratch(out)
	defer f.removeScratch(out + "-earlier")
	switch {
	case reason != "":
	case !got.ended:
		if outcome.Error, err = unendedReason(f, original, cl.card); err != nil {
			return err
		}
	default:
		if outcome, err = s.process(ctx, f, cl, list, out); err != nil {
			return err
		}
	}
	return s.publish(f, cl, outcome, out)
}

// unendedReason says what a file is that does not end as a DXF ends: another kind
// of file, or a drawing that was cut short.
func unendedReason(f *folder, original string, c card) (string, error) {
	file, err := f.open(original)
	if err != nil {
		return "", err
	}
	defer file.Close()
	why, _, err := foreign(file, c.Bytes, c.File)
	if why != nil || err != nil {
		return text(why), err
	}
	return fmt.Sprintf("%s, byte %d: the file stops without the group 0 / EOF with which a DXF ends; export the drawing again, or copy it again", c.File, c.Bytes), nil
}

// hashFile reads a file once: its SHA-256, and whether it ends as a DXF ends.
func hashFile(f *folder, name string) (sum string, ended bool, err error) {
	r, err := f.open(name)
	if err != nil {
		return "", false, err
	}
	defer r.Close()
	h := sha256.New()
	n, err := io.Copy(h, r)
	if err != nil {
		return "", false, err
	}
	ended, err = endsAsDXF(r, n)
	return hex.EncodeToString(h.Sum(nil)), ended, err
}
