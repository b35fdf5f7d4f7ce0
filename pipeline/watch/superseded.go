package watch

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
)

// What warns whoever opens the folder of an older revision.
const (
	supersededFile = "superseded.txt"           // a newer one can be used
	newerFile      = "newer-cannot-be-used.txt" // a newer one came and could not
	notTakenFile   = "decisions-not-taken.txt"  // somebody decided here all the same
)

// newerThan finds, in a list of revisions, what came after each of them.
type newerThan struct {
	usable, failed map[string]filed // the newest of each job
}

func newestOf(list []filed) newerThan {
	n := newerThan{map[string]filed{}, map[string]filed{}}
	for _, r := range list {
		if r.foreign() {
			continue
		}
		of := n.usable
		if r.state == failedDir {
			of = n.failed // a file that could not be read replaces nothing
		}
		if of[r.key].number < r.number {
			of[r.key] = r
		}
	}
	return n
}

// usableAfter is the newest revision that came after one and can be used.
func (n newerThan) usableAfter(r filed) (filed, bool) {
	by := n.usable[r.key]
	return by, by.number > r.number && !r.foreign() && r.state != failedDir
}

// failedAfter is the newest revision that came after one, the newest that can be
// used, and cannot be.
func (n newerThan) failedAfter(r filed) (filed, bool) {
	by := n.failed[r.key]
	return by, r.state != failedDir && !r.foreign() && by.number > r.number && n.usable[r.key].number <= r.number
}

// word says in the register that there is a newer revision; "" when there is none.
func (n newerThan) word(r filed) string {
	if by, ok := n.usableAfter(r); ok {
		return fmt.Sprintf("superseded by revision %d", by.number)
	}
	if by, ok := n.failedAfter(r); ok {
		return fmt.Sprintf("revision %d came and could not be used", by.number)
	}
	return ""
}

// warnOfOlder puts a warning into every revision in ready/ and review/ of which
// there is a newer one, so that nobody cuts from it or decides on it unawares.
// It is made from the list of all revisions, so that it comes also when a crash
// fell between a publication and the warning.
func (s *Service) warnOfOlder(f *folder, shelved *shelf, list []filed, newer newerThan) error {
	for _, r := range list {
		if r.state != readyDir && r.state != reviewDir {
			continue
		}
		superseded, unusable := "", ""
		if by, ok := newer.usableAfter(r); ok {
			superseded = supersededText(r.revision, by.revision)
		}
		if by, ok := newer.failedAfter(r); ok {
			unusable = fmt.Sprintf("Revision %d of this template came and could not be used: %s says why.\r\nAsk the templater what changed before anything is cut from this revision %d.\r\n",
				by.number, path.Join(by.dir(), reasonFile), r.number)
		}
		if superseded == "" && unusable == "" {
			continue // nearly all: their folders are not looked into
		}
		want := [2]string{superseded, unusable}
		d := shelved.dirs[r.dir()]
		if d != nil && d.sure && d.notes == want {
			continue // seen to, and nothing has changed there since
		}
		if superseded != "" {
			if err := forgetMissing(f, r.dir()); err != nil { // nobody waits for these any more
				return err
			}
		}
		for i, name := range []string{supersededFile, newerFile} {
			changed, err := keepNote(f, path.Join(r.dir(), name), want[i])
			if err != nil {
				return err
			}
			if changed && want[i] != "" {
				s.log.Info("an older revision is marked", "folder", r.dir(), "note", name)
			}
		}
		if d != nil {
			d.notes = want
		}
	}
	return nil
}

// supersededText tells what to do beside an older revision. One that was sent back does
// not give the older one free: the templater has been asked for another.
func supersededText(r, by revision) string {
	if by.state == returnedDir {
		return fmt.Sprintf("Revision %d of this template came after this one and was sent back to the templater: %s\r\n"+
			"Cut neither that one nor this revision %d until the next one is there, or the office says so.\r\n", by.number, by.dir(), r.number)
	}
	return fmt.Sprintf("Revision %d of this template is there: %s\r\nLook there before anything is cut or decided from this revision %d.\r\n", by.number, by.dir(), r.number)
}

// keepNote makes a note say what it should, and takes it away when that is
// nothing. It tells whether anything was to be done.
func keepNote(f *folder, name, want string) (changed bool, err error) {
	have, err := f.readFile(name)
	switch {
	case errors.Is(err, fs.ErrNotExist) && want == "":
		return false, nil
	case err == nil && string(have) == want:
		return false, nil
	case want != "":
		return true, f.replaceFile(name, []byte(want))
	case err != nil:
		return false, err
	}
	return true, f.remove(name)
}

// tellNotTaken tells the office, beside the workbook of an older revision that it
// filled in, that this came too late, and where to write instead.
func (s *Service) tellNotTaken(f *folder, r, newest revision) error {
	s.ledger.dirty()
	where := "Decide in " + path.Join(newest.dir(), reportFile)
	if newest.state != reviewDir {
		where = "That one is decided already: " + newest.dir()
	}
	_, err := keepNote(f, path.Join(r.dir(), notTakenFile), fmt.Sprintf(
		"The decisions in this %s were not taken: revision %d of this template is there.\r\n%s\r\n", reportFile, newest.number, where))
	return err
}
