package watch

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"strconv"
	"strings"
	"sync"

	"trueup/pipeline/safefs"
	"trueup/report"
)

// publish completes the claim's folder and makes it the revision's by one rename.
func (s *Service) publish(f *folder, cl claim, outcome Outcome, out string) error {
	dir := cl.dir(s.name)
	if err := s.clear(f, dir); err != nil {
		return err
	}
	state := stateOf(outcome.Verdict)
	made, err := s.collect(f, out, dir, state)
	if err != nil {
		return err
	}
	if made[originalFile], err = s.proveOriginal(f, cl, outcome.Verdict == report.Failed); err != nil {
		return err
	}
	c := cl.card
	c.Verdict, c.Error, c.Counts, c.Published = outcome.Verdict, outcome.Error, outcome.Counts, timeNow()
	if info, err := f.lstat(path.Join(dir, reportFile)); err == nil {
		c.Workbook = &stamp{info.Size(), info.ModTime().UTC()}
	}
	if outcome.Verdict == report.Ready {
		if err := s.tellCarried(f, cl.dir(s.name), &c); err != nil {
			return err
		}
	}
	if outcome.Verdict == report.Failed {
		if err := f.writeFile(path.Join(dir, reasonFile), []byte(reasonText(c))); err != nil {
			return err
		}
	}
	if err := f.replaceFile(path.Join(dir, cardFile), c.bytes()); err != nil {
		return err
	}
	if outcome.Verdict != report.Failed {
		if err := keep(f, keptDir, dir, c, made); err != nil {
			return err
		}
	}
	if err := s.dropTaken(f, cl, outcome.Verdict == report.Failed); err != nil {
		return err
	}
	r := revision{state, c.Job, c.Revision}
	if err := s.moveFolder(f, dir, r); err != nil {
		return err
	}
	f.remove(path.Join(claimsDir, cl.key))
	s.published(r, c)
	return nil
}

// stateOf is the folder in which a revision of that verdict appears.
func stateOf(v report.Verdict) string {
	switch v {
	case report.Review:
		return reviewDir
	case report.Failed:
		return failedDir
	}
	return readyDir
}

// proveOriginal compares the original that is to be published with the bytes that were
// worked on, its digest and that in the result, and gives the digest.
func (s *Service) proveOriginal(f *folder, cl claim, failed bool) (string, error) {
	if cl.card.SHA256 == "" {
		return "", nil // not read, and filed as failed for that
	}
	dir := cl.dir(s.name)
	sum, _, err := hashFile(f, path.Join(dir, originalFile))
	if err != nil {
		return "", err
	}
	if sum != cl.card.SHA256 {
		return "", fmt.Errorf("%s: the service's own copy is not what it was when it was made; look after the disk", cl.card.File)
	}
	if failed {
		return sum, nil
	}
	result, err := readMeasured(f, dir)
	if err != nil {
		return "", err
	}
	if result != nil && result.Source.SHA256 != sum {
		return "", fmt.Errorf("%s: the result is of other bytes than the original", cl.card.File)
	}
	return sum, nil
}

// moveFolder makes a complete folder appear as a revision, and the move last.
func (s *Service) moveFolder(f *folder, dir string, to revision) error {
	if err := s.setModes(f, dir, to.state); err != nil {
		return err
	}
	if err := f.syncDir(dir); err != nil {
		return err
	}
	above := path.Dir(to.dir())
	if !f.exists(above) {
		if err := f.mkdirAll(above); err != nil {
			return err
		}
		state, err := f.lstat(to.state)
		if err != nil {
			return err
		}
		for p := above; p != to.state; p = path.Dir(p) {
			if err := s.setMode(f, p, publishedDir, state); err != nil {
				return err
			}
		}
		for p := path.Dir(above); ; p = path.Dir(p) {
			if err := f.syncDir(p); err != nil {
				return err
			}
			if p == to.state {
				break
			}
		}
	}
	if f.exists(to.dir()) {
		return fmt.Errorf("%s: stands there already", to.dir())
	}
	if err := f.rename(dir, to.dir()); err != nil {
		if strings.HasPrefix(dir, reviewDir+"/") { // it stays where the office writes
			err = errors.Join(err, s.setModes(f, dir, reviewDir))
		}
		return err
	}
	// The rename is done: a failure to sync it must not lead to doing it again.
	if err := errors.Join(f.syncDir(above), f.syncDir(path.Dir(dir))); err != nil {
		s.log.Warn("a published folder could not be synced", "folder", to.dir(), "error", err)
	}
	return nil
}

// clear removes what an earlier attempt left beside the original and the card.
func (s *Service) clear(f *folder, dir string) error {
	entries, err := f.readDir(dir)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if e.Name() == originalFile || e.Name() == droppedFile || e.Name() == cardFile {
			continue
		}
		if err := f.removeScratch(path.Join(dir, e.Name())); err != nil {
			return err
		}
	}
	return nil
}

// collect makes what the processor wrote ready for a state's folder, has it written to
// the disk, and moves it beside the original. It gives the digests by name.
func (s *Service) collect(f *folder, out, dir, state string) (map[string]string, error) {
	entries, err := f.readDir(out)
	if err != nil {
		return nil, err
	}
	above, err := f.lstat(state)
	if err != nil {
		return nil, err
	}
	for _, e := range entries {
		from := path.Join(out, e.Name())
		switch e.Name() {
		case originalFile, droppedFile, cardFile, reasonFile, decidedFile:
			return nil, fmt.Errorf("%s: the name is the service's own", from)
		}
		if !e.Type().IsRegular() {
			return nil, fmt.Errorf("%s: not a file", from)
		}
	}
	sums, faults := make([]string, len(entries)), make([]error, len(entries))
	var works sync.WaitGroup // side by side: a file system with a journal writes it once for most of them
	for i, e := range entries {
		works.Go(func() { sums[i], faults[i] = s.complete(f, path.Join(out, e.Name()), modeOf(state, e.Name()), above) })
	}
	works.Wait()
	if err := errors.Join(faults...); err != nil {
		return nil, err
	}
	made := map[string]string{}
	for i, e := range entries {
		if err := f.rename(path.Join(out, e.Name()), path.Join(dir, e.Name())); err != nil {
			return nil, err
		}
		made[e.Name()] = sums[i]
	}
	return made, nil
}

// complete gives a file that the processor wrote its rights, has it written to the
// disk, and gives its digest.
func (s *Service) complete(f *folder, name string, mode fs.FileMode, like safefs.Info) (string, error) {
	if err := s.setMode(f, name, mode, like); err != nil {
		return "", err
	}
	sum, _, err := hashFile(f, name)
	if err != nil {
		return "", err
	}
	return sum, f.syncFile(name)
}

// fileDuplicate files a template whose content is a revision already: the
// revision notes it, and the second copy goes, once it is certain that the first
// holds the same bytes. done is false when it does not.
func (s *Service) fileDuplicate(f *folder, cl claim, r revision) (done bool, err error) {
	stored, copied := path.Join(r.dir(), originalFile), path.Join(cl.dir(s.name), originalFile)
	same, err := sameContent(f, stored, copied)
	if errors.Is(err, fs.ErrNotExist) {
		return false, err // the office moved the folder: look again
	}
	if err != nil || !same {
		return false, err
	}
	c, err := readCard(f, r.dir())
	if err != nil {
		s.log.Warn("a duplicate cannot be noted in job.json; a new one is written", "folder", r.dir(), "error", err)
		c = card{Schema: cardSchema, ID: nonce(), Job: r.job, File: cl.card.File, Revision: r.number, SHA256: cl.card.SHA256, Bytes: cl.card.Bytes, Server: s.name, Verdict: report.Verdict(r.state)}
	}
	noted := false
	for _, a := range c.Again {
		noted = noted || a.ID == cl.card.ID
	}
	if !noted {
		c.Again = append(c.Again, again{cl.card.ID, cl.card.File, timeNow()})
		if err := f.replaceFile(path.Join(r.dir(), cardFile), c.bytes()); err != nil {
			return false, err
		}
		if err := errors.Join(f.syncFile(stored), f.syncDir(r.dir())); err != nil {
			return false, err
		}
	}
	if _, err := f.lstat(stored); err != nil {
		return false, err
	}
	if err := s.dropTaken(f, cl, false); err != nil {
		return false, err
	}
	if err := f.remove(copied); err != nil {
		return false, err
	}
	s.log.Info("dropped again with the same content: noted, not worked on twice", "job", r.job, "revision", r.number, "folder", r.dir(), "file", cl.card.File)
	s.duplicate()
	return true, s.release(f, cl)
}

// reasonText is the one page that lies beside a failed original.
func reasonText(c card) string {
	var b strings.Builder
	line := func(name, value string) { fmt.Fprintf(&b, "%-10s %s\r\n", name, value) }
	fmt.Fprintf(&b, "This template could not be worked on.\r\n\r\n")
	line("File", c.File)
	line("Revision", strconv.Itoa(c.Revision))
	line("Dropped", c.Modified.Local().Format(clockText))
	line("Size", fmt.Sprintf("%d bytes", c.Bytes))
	line("Reason", c.Error)
	for _, n := range c.Notes {
		line("Note", n)
	}
	fmt.Fprintf(&b, "\r\nThe original is kept beside this page as %s, unchanged.\r\n", originalFile)
	fmt.Fprintf(&b, "Drop the corrected drawing under the same name: it becomes the next revision.\r\n")
	fmt.Fprintf(&b, "To have this one tried again as it is, move %s back into %s/ under its old name.\r\n", originalFile, dropDir)
	return b.String()
}
