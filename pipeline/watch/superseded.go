package watch

import (
	"fmt"
	"path"
)

// supersededFile warns whoever opens the folder of an older revision.
const supersededFile = "superseded.txt"

// warnOfOlder puts a warning into every revision in ready/ and review/ of which
// there is a newer one, so that nobody cuts from it or decides on it unawares.
// It is made from the list of all revisions, so that it comes also when a crash
// fell between a publication and the warning.
func (s *Service) warnOfOlder(f *folder, list []filed) error {
	newest := map[string]filed{}
	for _, r := range list {
		if r.state == failedDir {
			continue // a file that could not be read replaces nothing
		}
		if key := jobKey(r.job); newest[key].number < r.number {
			newest[key] = r
		}
	}
	for _, r := range list {
		by := newest[jobKey(r.job)]
		if by.number <= r.number || r.state != readyDir && r.state != reviewDir {
			continue
		}
		name := path.Join(r.dir(), supersededFile)
		want := fmt.Sprintf("Revision %d of this template is there: %s\r\nLook there before anything is cut or decided from this revision %d.\r\n",
			by.number, by.dir(), r.number)
		if have, err := f.readFile(name); err == nil && string(have) == want {
			continue
		}
		if err := f.replaceFile(name, []byte(want)); err != nil {
			return err
		}
		s.log.Info("an older revision is marked", "folder", r.dir(), "newer", by.dir())
	}
	return nil
}
