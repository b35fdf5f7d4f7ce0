package watch

import (
	"errors"
	"io/fs"
	"path"
	"strings"

	"trueup/report"
)

// missingFile tells the office, beside the workbook it filled in, why the job is
// still in review. The workbook itself is the office's: the service does not
// write into it.
const missingFile = "decisions-missing.txt"

// missingMark begins each line of the note that says one thing missing.
const missingMark = "- "

// readMissing gives what a revision's note says is missing; nil without a note.
func readMissing(f *folder, r revision) []string {
	if r.state != reviewDir {
		return nil
	}
	data, err := f.readFile(path.Join(r.dir(), missingFile))
	if err != nil {
		return nil
	}
	var list []string
	for line := range strings.Lines(string(data)) {
		if what, ok := strings.CutPrefix(line, missingMark); ok {
			list = append(list, strings.TrimSpace(what))
		}
	}
	return list
}

// tellMissing writes what a revision's decisions lack, and takes the note away
// where nothing is decided yet.
func (s *Service) tellMissing(f *folder, r revision, j report.Judgement) error {
	s.ledger.dirty() // the register repeats it
	if j.State == report.Undecided {
		return forgetMissing(f, r.dir())
	}
	head, foot := " cannot be carried out yet. Missing or unclear on the sheet Flags:", "\r\nWrite it there, save and close the workbook; nothing else is to be done.\r\n"
	if j.Unusable {
		head, foot = " cannot be carried out:", ""
	}
	text := "The decisions in " + reportFile + head + "\r\n\r\n" + missingMark + strings.Join(j.Missing, "\r\n"+missingMark) + "\r\n" + foot
	name := path.Join(r.dir(), missingFile)
	if have, err := f.readFile(name); err == nil && string(have) == text {
		return nil
	}
	return f.replaceFile(name, []byte(text))
}

func forgetMissing(f *folder, dir string) error {
	if err := f.remove(path.Join(dir, missingFile)); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}
