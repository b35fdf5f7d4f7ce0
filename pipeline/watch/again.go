package watch

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
)

// whyAgain says why a drawing whose content is a revision already becomes one once
// more; "" when that would only repeat it. r is the newest revision with its
// content. Whoever drops the same drawing again expects something of it: it is a
// repetition only where the newest revision says all there is to say.
//
// The answer follows from the folders alone. A claim that a crash left behind
// therefore gets the same answer as before, and once it is published it is the
// newest revision itself: nothing is repeated.
func (s *Service) whyAgain(f *folder, r, newest revision, made string) (string, error) {
	switch {
	case newest.number > r.number:
		return fmt.Sprintf("revision %d, the newest, is of another drawing", newest.number), nil
	case r.state == returnedDir:
		return fmt.Sprintf("revision %d was sent back", r.number), nil
	}
	c, err := readCard(f, r.dir())
	if err != nil && passes(err) && !errors.Is(err, fs.ErrNotExist) {
		return "", err
	}
	if err == nil && c.Made != "" && made != "" && c.Made != made {
		return fmt.Sprintf("the settings have changed since revision %d", r.number), nil
	}
	if r.state == failedDir {
		return "", nil
	}
	fault, err := s.reportFault(f, r, c.Workbook)
	if fault != "" {
		fault = fmt.Sprintf("the report of revision %d %s", r.number, fault)
	}
	return fault, err
}

// reportFault says what keeps a revision's report from being used, "" for
// nothing. A report that stands as it was published is not looked into.
func (s *Service) reportFault(f *folder, r revision, published *stamp) (string, error) {
	name := path.Join(r.dir(), reportFile)
	info, err := f.lstat(name)
	if errors.Is(err, fs.ErrNotExist) {
		for _, mark := range openMarks(reportFile) {
			if f.exists(path.Join(r.dir(), mark)) {
				return "", nil // being saved: programs replace the file
			}
		}
		return "has gone", nil
	}
	if err != nil || published != nil && published.same(stamp{info.Size(), info.ModTime().UTC()}) {
		return "", err
	}
	result, err := readResult(f, r.dir())
	if err != nil || result == nil {
		return "", nil // told where it is needed
	}
	judgement, err := s.judge(f, r, result)
	if err != nil && passes(err) {
		return "", err
	}
	if err != nil || judgement.Unusable {
		return "cannot be used", nil
	}
	return "", nil
}
