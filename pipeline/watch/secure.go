package watch

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path"

	"trueup/pipeline/safefs"
)

// secured is an original that is the service's own.
type secured struct {
	ended  bool   // it ends as a DXF ends
	reason string // why it is not worked on; "" where it is
}

// secure makes the original of a claim the service's own: what was taken from drop/ is
// copied into a file that nobody else can write, and hashed while it is copied. The
// templater's file stays beside the copy, and is the original, until dropTaken removes it.
//
// nil without an error: there is nothing to be done in the claim, and it is released.
func (s *Service) secure(ctx context.Context, f *folder, cl *claim) (*secured, error) {
	dir := cl.dir(s.name)
	original, dropped := path.Join(dir, originalFile), path.Join(dir, droppedFile)
	info, err := f.lstat(dropped)
	if errors.Is(err, fs.ErrNotExist) {
		if _, err := f.lstat(original); errors.Is(err, fs.ErrNotExist) {
			return nil, s.release(f, *cl) // the crash came before the template was taken, or after it was filed
		}
		return s.securedBefore(f, cl)
	}
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		s.log.Warn("what was taken is no file; given back", "file", cl.card.File, "kind", safefs.Kind(info.Mode()))
		return nil, s.returnOther(f, *cl)
	}
	cl.card.Modified, cl.card.Bytes = info.ModTime().UTC(), info.Size()
	if info.Size() > s.settings().MostBytes {
		return s.unread(f, cl, s.tooLarge(cl.card))
	}
	return s.copyTaken(ctx, f, cl)
}

// copyTaken copies what was taken, in the time that a job has.
func (s *Service) copyTaken(ctx context.Context, f *folder, cl *claim) (*secured, error) {
	dir, set := cl.dir(s.name), s.settings()
	dropped, copied := path.Join(dir, droppedFile), path.Join(dir, copyMark+nonce())
	defer f.remove(copied) // gone already where it became the original
	file, before, err := f.openInfo(dropped)
	switch {
	case unreadable(err):
		s.log.Warn("what was taken cannot be read; given back", "file", cl.card.File, "error", err)
		if err := s.putBack(f, *cl); !errors.Is(err, fs.ErrExist) {
			return nil, orChanged(err)
		}
		return s.unread(f, cl, fmt.Sprintf("%s: cannot be read: %v; copy it here again, and let others read it", cl.card.File, rootCause(err)))
	case err != nil:
		return nil, err
	}
	defer file.Close()
	timed, cancel := context.WithTimeout(ctx, set.JobTime)
	defer cancel()
	c, err := f.copyFile(timed, file, before, copied, set.MostBytes)
	switch {
	case errors.Is(err, safefs.ErrTooLarge):
		return s.unread(f, cl, s.tooLarge(cl.card))
	case err != nil && ctx.Err() == nil && timed.Err() != nil:
		return s.unread(f, cl, fmt.Sprintf("%s: reading it took longer than the time limit of %s; simplify the drawing, or raise job_time in %s", cl.card.File, set.JobTime, settingsFile))
	case err != nil:
		return nil, err
	}
	ended, err := s.ends(f, copied)
	if err != nil {
		return nil, err
	}
	got := &secured{ended: ended}
	if c.Changed || !ended && !cl.card.Unended && !cl.card.Restless {
		if cl.card.Restless {
			got.reason = fmt.Sprintf("%s: its time or content changed again and again for %s, and while it was read: whoever writes it does not let it go; drop the finished drawing under another name",
				cl.card.File, restlessFactor*set.Patience)
		} else if err := s.putBack(f, *cl); !errors.Is(err, fs.ErrExist) {
			return nil, orChanged(err) // waited for in drop/, where it binds no worker
		} else if c.Changed {
			got.reason = fmt.Sprintf("%s: was written while it was read, and another file of its name came meanwhile; that one is worked on", cl.card.File)
		}
	}
	cl.card.SHA256, cl.card.Bytes, cl.taken = c.SHA256, c.Bytes, before
	// Only a whole copy is ever named so: should the file beside it go, it is the original.
	return got, f.rename(copied, path.Join(dir, originalFile))
}

// copyMark begins the name of a copy in a claim that is not whole yet.
const copyMark = "copy-"

// orChanged is errChanged once a template stands in drop/ again.
func orChanged(err error) error {
	if err == nil {
		return errChanged
	}
	return err
}

// rootCause is what the system said, without the call and the path.
func rootCause(err error) error {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err
	}
	return err
}

// securedBefore looks at a copy whose file in drop/ has gone already: it is the original.
func (s *Service) securedBefore(f *folder, cl *claim) (*secured, error) {
	original := path.Join(cl.dir(s.name), originalFile)
	info, err := f.lstat(original)
	if err != nil {
		return nil, err
	}
	cl.card.Bytes = info.Size()
	if info.Size() > s.settings().MostBytes {
		return &secured{reason: s.tooLarge(cl.card)}, nil
	}
	sum, ended, err := hashFile(f, original)
	cl.card.SHA256 = sum
	return &secured{ended: ended}, err
}

// unread makes the file as it was dropped the original of a template that is filed as
// failed without having been read. Its hash is not known, and nothing is made of it.
func (s *Service) unread(f *folder, cl *claim, reason string) (*secured, error) {
	dir := cl.dir(s.name)
	if err := f.rename(path.Join(dir, droppedFile), path.Join(dir, originalFile)); err != nil {
		return nil, err
	}
	cl.card.SHA256 = ""
	return &secured{reason: reason}, nil
}

func (s *Service) tooLarge(c card) string {
	return fmt.Sprintf("%s: has %d bytes, more than the limit of %d; simplify the drawing, or raise reading.file_bytes in %s", c.File, c.Bytes, s.settings().MostBytes, settingsFile)
}

// ends tells whether a copy ends as a DXF ends.
func (s *Service) ends(f *folder, name string) (bool, error) {
	file, info, err := f.openInfo(name)
	if err != nil {
		return false, err
	}
	defer file.Close()
	return endsAsDXF(file, info.Size())
}

// dropTaken removes the templater's file, from when on the copy is the original. It
// refuses when that file was written since it was copied: its writer was not done. What
// is filed as failed anyway is not asked for that.
func (s *Service) dropTaken(f *folder, cl claim, failed bool) error {
	dir := cl.dir(s.name)
	dropped := path.Join(dir, droppedFile)
	info, err := f.lstat(dropped)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	if !failed && !cl.card.Restless && !info.Untouched(cl.taken) {
		s.log.Info("written on while it was worked on; given back", "file", cl.card.File)
		if err := s.putBack(f, cl); !errors.Is(err, fs.ErrExist) {
			return orChanged(err)
		}
		return fmt.Errorf("%s: was written on after it was read, and another file of its name came meanwhile", cl.card.File)
	}
	// The copy's content is on the disk since it was made: it bears no other name before.
	if err := f.syncDir(dir); err != nil {
		return err
	}
	return f.remove(dropped)
}

// unreadable tells the faults of a file that its owner can make: it is his again then.
func unreadable(err error) bool {
	return errors.Is(err, fs.ErrPermission) || errors.Is(err, safefs.ErrNotFile) || errors.Is(err, safefs.ErrLink) || heldByLease(err)
}

// returnOther gives back what is no file: a link, a pipe, a folder that took a drawing's
// place. Where its name is taken meanwhile it gets another, under which nobody takes it
// for a drawing.
func (s *Service) returnOther(f *folder, cl claim) error {
	err := s.putBack(f, cl)
	if !errors.Is(err, fs.ErrExist) {
		return orChanged(err)
	}
	other := fmt.Sprintf("%s.given-back-%s", path.Join(dropDir, cl.card.File), nonce())
	if err := f.renameNew(path.Join(cl.dir(s.name), droppedFile), other); err != nil {
		return err
	}
	return orChanged(s.release(f, cl))
}

// putBack puts what was taken back into drop/, the templater's own file where that
// still stands, and gives up the claim.
func (s *Service) putBack(f *folder, cl claim) error {
	dir, to := cl.dir(s.name), path.Join(dropDir, cl.card.File)
	if err := f.mkdirAll(path.Dir(to)); err != nil {
		return err
	}
	original, dropped := path.Join(dir, originalFile), path.Join(dir, droppedFile)
	if f.exists(dropped) {
		// The copy is no original any more before the file stands elsewhere: should this be
		// the last step that is done, there is still one of them.
		copied := path.Join(dir, copyMark+nonce())
		err := f.rename(original, copied)
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		if err := f.renameNew(dropped, to); err != nil {
			f.rename(copied, original) // as it was
			return err
		}
	} else if err := f.renameNew(original, to); err != nil {
		return err
	}
	return s.release(f, cl)
}

// giveBack puts a template back into drop/ when the service stops before the
// work is done. Where its name is taken meanwhile, or drop/ cannot be written, it
// stays in its claim, which the next start, or another server, takes over.
func (s *Service) giveBack(cl claim) {
	log := s.log.With("job", cl.card.Job, "file", cl.card.File)
	f, err := s.open()
	if err == nil {
		defer f.close()
		err = s.putBack(f, cl)
	}
	if err != nil {
		log.Warn("not given back to drop/; stays claimed until the next start", "error", err)
		return
	}
	log.Info("given back to drop/: the service stops")
}
