package watch

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"

	"trueup/report"
)

// In the claim of a decision stand, beside its card:
const (
	workbookFile = "workbook.xlsx" // the copy of the office's workbook that is judged
	releaseDir   = "release"       // what is about to be published, until it is
)

// notReleasedFile tells the office, in review/, what of a decided folder stayed there.
const notReleasedFile = "not-released.txt"

// mostWorkbook is more than any workbook of a report has, bytes.
const mostWorkbook = 64 << 20

// copyWorkbook takes a copy of the office's workbook into the claim, and gives its name.
func (s *Service) copyWorkbook(f *folder, cl claim, r revision) (name, sum string, err error) {
	from := path.Join(r.dir(), reportFile)
	file, info, err := f.openInfo(from)
	if err != nil {
		return "", "", err
	}
	defer file.Close()
	name = path.Join(cl.dir(s.name), workbookFile)
	if err := f.remove(name); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return "", "", err
	}
	c, err := f.copyFile(context.Background(), file, info, name, mostWorkbook)
	if err == nil && c.Changed {
		err = fmt.Errorf("%s: %w: being saved", from, errPassing)
	}
	return name, c.SHA256, err
}

// carryOut publishes a revision as it was decided. The folder of review/ is taken into
// the claim, so that nobody can exchange it any more; what is published is a new folder
// of copies, each of which is what the service wrote once; what is left goes back.
func (s *Service) carryOut(f *folder, cl claim, d decision, k kept, judged judged) (dealt bool, err error) {
	taken := path.Join(cl.dir(s.name), takenDir)
	if err := f.renameNew(d.r.dir(), taken); err != nil {
		return false, err
	}
	if err := s.buildRelease(f, cl, d, k, judged); err != nil {
		back := s.putTakenBack(f, cl, d.r)
		if why := (notKept{}); errors.As(err, &why) && back == nil {
			return false, s.tellNotKept(f, d.r, why)
		}
		if errors.Is(err, errChanged) && back == nil {
			return false, nil // saved once more: looked at again
		}
		return false, errors.Join(err, back)
	}
	to := revision{judged.state, d.r.job, d.r.number}
	if err := s.moveFolder(f, path.Join(cl.dir(s.name), releaseDir), to); err != nil {
		return false, errors.Join(err, s.putTakenBack(f, cl, d.r))
	}
	if err := s.clearTaken(f, cl, d.r, k); err != nil {
		s.log.Warn("what is left of a decided folder is not cleared yet", "folder", d.r.dir(), "error", err)
	}
	s.ledger.count(to.state)
	s.log.Info("decided", "job", d.r.job, "revision", d.r.number, "folder", to.dir(), "by", names(judged.result))
	return true, nil
}

// judged is a decision with the result that it was written into.
type judged struct {
	state    string
	result   *report.Result
	workbook string // the copy that was read
	sum      string // of it
	report.Judgement
}

// buildRelease makes the folder that is published, in the claim. The error is a notKept
// where a file is not what the service wrote, errChanged where the workbook is not the
// one that was read.
func (s *Service) buildRelease(f *folder, cl claim, d decision, k kept, j judged) error {
	taken, out := path.Join(cl.dir(s.name), takenDir), path.Join(cl.dir(s.name), releaseDir)
	if sum, _, err := hashFile(f, path.Join(taken, reportFile)); err != nil || sum != j.sum {
		if err == nil || errors.Is(err, fs.ErrNotExist) || unreadable(err) {
			err = errChanged
		}
		return err
	}
	if err := f.mkdirAll(out); err != nil {
		return err
	}
	for name, want := range k.Files {
		if err := s.copyKept(f, path.Join(taken, name), path.Join(out, name), want); err != nil {
			if why := (notKept{}); errors.As(err, &why) {
				return notKept{fmt.Sprintf("%s %s: put it back as it was published, or drop the drawing again", path.Join(d.r.dir(), name), why.why)}
			}
			return err
		}
	}
	c, err := s.decideResult(f, cl, d, k, j)
	if err != nil {
		return err
	}
	if err := f.rename(j.workbook, path.Join(out, reportFile)); err != nil {
		return err
	}
	if err := f.replaceFile(path.Join(out, decidedFile), []byte(decidedText(j.result, c.Decided))); err != nil {
		return err
	}
	if err := s.bringAlong(f, taken, out); err != nil {
		return err
	}
	// It may be moved back to review/ by hand, and decided again.
	again := kept{keptSchema, c, maps.Clone(k.Files)}
	sum, _, err := hashFile(f, path.Join(out, resultFile))
	if err != nil {
		return err
	}
	again.Files[resultFile] = sum
	if err := again.write(f, keptDir); err != nil {
		return err
	}
	return f.replaceFile(path.Join(out, cardFile), c.bytes())
}

// decideResult writes the decisions into the result, and the note to the templater.
func (s *Service) decideResult(f *folder, cl claim, d decision, k kept, j judged) (card, error) {
	out := path.Join(cl.dir(s.name), releaseDir)
	for i, flag := range j.result.Flags {
		if word, ok := j.Decisions[flag.Key]; ok {
			j.result.Flags[i].Decision = &word
		}
	}
	if j.state == readyDir {
		j.result.Verdict = report.Ready
	}
	var text bytes.Buffer
	if err := j.result.WriteJSON(&text, true); err != nil {
		return card{}, err
	}
	if err := f.replaceFile(path.Join(out, resultFile), text.Bytes()); err != nil {
		return card{}, err
	}
	if j.state == returnedDir {
		note := report.ReturnNote(j.result, j.Decisions, s.look)
		if err := f.replaceFile(path.Join(out, noteFile), []byte(note)); err != nil {
			return card{}, err
		}
	}
	c := k.Card
	if said, err := readCard(f, path.Join(cl.dir(s.name), takenDir)); err == nil && said.ID == c.ID {
		c.Again = said.Again // noted since
	}
	c.Verdict, c.Claim, c.Workbook = j.result.Verdict, cl.card.ID, &d.workbook
	if info, err := f.lstat(j.workbook); err == nil {
		c.Workbook = &stamp{info.Size(), info.ModTime().UTC()}
	}
	c.Decided = &decided{Verdict: j.state, By: names(j.result), Why: reasons(j.result, j.state), At: timeNow()}
	return c, nil
}

// copyKept copies a file that must have that digest.
func (s *Service) copyKept(f *folder, from, to, want string) error {
	file, info, err := f.openInfo(from)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return notKept{"is not there"}
	case unreadable(err):
		return notKept{fmt.Sprintf("is %v", rootCause(err))}
	case err != nil:
		return err
	}
	defer file.Close()
	c, err := f.copyFile(context.Background(), file, info, to, mostRead)
	if err == nil && c.SHA256 != want {
		err = notKept{"is not the one that the service wrote"}
	}
	return err
}

// bringAlong moves what the office put beside its workbook: files, but no drawings,
// which somebody could cut from, and nothing that is no file.
func (s *Service) bringAlong(f *folder, taken, out string) error {
	entries, err := f.readDir(taken)
	if err != nil {
		return err
	}
	for _, e := range entries {
		name := e.Name()
		if !e.Type().IsRegular() || name == cardFile || isRemark(name) || isOpenMark(name) || isDrawingName(name) || f.exists(path.Join(out, name)) {
			continue
		}
		if err := f.renameNew(path.Join(taken, name), path.Join(out, name)); err != nil {
			return err
		}
	}
	return nil
}

func isOpenMark(name string) bool { return slices.Contains(openMarks(reportFile), name) }

// isDrawingName tells the names that somebody, or a machine, may take for a drawing to cut.
func isDrawingName(name string) bool {
	return slices.Contains([]string{".dxf", ".dxb", ".dwg"}, strings.ToLower(path.Ext(name)))
}

// putTakenBack puts a folder of review/ back to where it was taken from.
func (s *Service) putTakenBack(f *folder, cl claim, r revision) error {
	taken, out := path.Join(cl.dir(s.name), takenDir), path.Join(cl.dir(s.name), releaseDir)
	entries, err := f.readDir(out)
	if err != nil {
		return err
	}
	for _, e := range entries { // what came along goes back first
		name := e.Name()
		if isRemark(name) || name == reportFile || name == cardFile {
			continue
		}
		err := f.renameNew(path.Join(out, name), path.Join(taken, name))
		if err != nil && !errors.Is(err, fs.ErrExist) {
			return err
		}
	}
	if err := f.removeAll(out); err != nil {
		return err
	}
	if err := f.mkdirAll(path.Dir(r.dir())); err != nil {
		return err
	}
	return f.renameNew(taken, r.dir())
}

// clearTaken removes, after the release, what of the taken folder was published as a
// copy, and puts the rest back into review/ with a note.
func (s *Service) clearTaken(f *folder, cl claim, r revision, k kept) error {
	taken := path.Join(cl.dir(s.name), takenDir)
	entries, err := f.readDir(taken)
	if err != nil {
		return err
	}
	var left []string
	for _, e := range entries {
		name := e.Name()
		if _, ours := k.Files[name]; ours || name == cardFile || name == reportFile || isRemark(name) || isOpenMark(name) {
			if err := f.remove(path.Join(taken, name)); err == nil || errors.Is(err, fs.ErrNotExist) {
				continue
			}
		}
		left = append(left, name)
	}
	if len(left) == 0 {
		if err := f.removeAll(taken); err != nil {
			return err
		}
		for above := path.Dir(r.dir()); above != reviewDir && f.remove(above) == nil; above = path.Dir(above) {
		}
		return nil
	}
	s.log.Warn("not released with its folder: drawings and what is no file stay in review/", "folder", r.dir(), "names", left)
	text := "Not released with revision " + fmt.Sprint(r.number) + ", because the service did not make it: " + oneLine(strings.Join(left, ", ")) + ".\r\nMove it away, or remove it.\r\n"
	if err := f.replaceFile(path.Join(taken, notReleasedFile), []byte(text)); err != nil {
		return err
	}
	if err := f.mkdirAll(path.Dir(r.dir())); err != nil {
		return err
	}
	return f.renameNew(taken, r.dir())
}

// restoreTaken deals with the folder of review/ that stands in a claim whose server
// ended over a decision: cleared where the release was published, put back otherwise, to
// be decided again.
func (s *Service) restoreTaken(f *folder, cl claim) error {
	r, ok := revisionAt(cl.card.File)
	if !ok {
		r = revision{reviewDir, "recovered-" + cl.key, 1}
	}
	for _, state := range []string{readyDir, returnedDir} {
		to := revision{state, r.job, r.number}
		c, err := readCard(f, to.dir())
		if err != nil && passes(err) && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		if err != nil || c.Claim != cl.card.ID {
			continue
		}
		k, _, err := s.keptOf(f, to)
		if err != nil {
			return err
		}
		if err := s.clearTaken(f, cl, r, k); err != nil {
			return err
		}
		return s.release(f, cl)
	}
	s.log.Info("a decision was not carried out to the end; its folder is put back", "folder", r.dir())
	if err := s.putTakenBack(f, cl, r); err != nil {
		return err
	}
	return s.release(f, cl)
}

// revisionAt is the revision whose folder in review/ has that name.
func revisionAt(dir string) (revision, bool) {
	job, ok := strings.CutPrefix(path.Dir(dir), reviewDir+"/")
	n, isNumber := revisionNumber(path.Base(dir))
	return revision{reviewDir, job, n}, ok && isNumber
}

// tellNotKept tells the office, beside its workbook, which file is not what the service
// published, and that nothing is released for that. It gives the error that status and
// register repeat for as long as it is so.
func (s *Service) tellNotKept(f *folder, r revision, why notKept) error {
	text := "The decisions in " + reportFile + " cannot be carried out:\r\n\r\n" + missingMark + oneLine(why.why) + "\r\n"
	_, err := keepNote(f, path.Join(r.dir(), missingFile), text)
	return errors.Join(why, err)
}
