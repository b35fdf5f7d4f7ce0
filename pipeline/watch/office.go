package watch

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"strings"
	"time"

	"trueup/pipeline/safefs"
	"trueup/report"
)

// openMarks are the files that spreadsheet programs leave beside a workbook
// while somebody has it open (common practice of the programs, no source).
func openMarks(workbook string) []string {
	return []string{"~$" + workbook, ".~lock." + workbook + "#"}
}

// office looks for workbooks in review/ that somebody has saved since they were
// published. It is used by one goroutine.
type office struct {
	s     *Service
	shelf shelf
	seen  map[string]saved     // by folder: the workbook as it was last looked at
	dealt map[string]stamp     // by folder: the workbook as it was last dealt with
	marks map[string]time.Time // by mark: when it was first seen
	// pending are, by folder, the decisions handed to the loop and not answered yet. Nobody
	// waits for their answers: one workbook that takes long to read delays no other.
	pending map[string]decision
	// copies are, by folder, the workbooks beside a report that nobody has touched.
	copies map[string]copies
}

func newOffice(s *Service) *office {
	return &office{s: s, dealt: map[string]stamp{}, seen: map[string]saved{}, marks: map[string]time.Time{}, copies: map[string]copies{},
		pending: map[string]decision{}}
}

// visitOffice looks for decisions again and again until ctx is done, and has the loop
// carry them out. It looks at once after a hint that something happened in review/,
// when a workbook that was saved may have stood still for long enough, and otherwise
// at every interval. What could not be done, because somebody holds a file open
// or the job is in work, is found again the next time.
func (s *Service) visitOffice(ctx context.Context, l *loop) {
	o := newOffice(s)
	said := ""
	defer s.ledger.ended(loopOffice)
	for {
		s.ledger.alive(loopOffice, 0)
		start := time.Now()
		o.answered()
		found, err := o.look()
		took := time.Since(start)
		if err != nil && err.Error() != said {
			s.log.Warn("the decisions in review/ cannot be looked for, tried again", "error", err)
		}
		said = text(err)
		for _, d := range found {
			s.ledger.alive(loopOffice, s.settings().workLimit()) // the loop may be at a long scan
			select {
			case l.decisions <- d:
				o.pending[d.r.dir()] = d
			case <-ctx.Done():
				return
			}
		}
		if !s.restOffice(ctx, o.wait(), took) {
			return
		}
	}
}

// answered takes note of the decisions that were dealt with since the last look, without
// waiting for any. What could not be done is found again by the look that follows.
func (o *office) answered() {
	for dir, d := range o.pending {
		select {
		case dealt := <-d.dealt:
			if dealt {
				o.dealt[dir] = d.workbook
			}
			delete(o.pending, dir)
		default:
		}
	}
}

// officeGap is the least time between two looks through review/, and officeShare bounds
// the share of time that they take: a busy service changes something there all the time.
const (
	officeGap   = 200 * time.Millisecond
	officeShare = 20
)

// restOffice waits for the next look through review/; false when ctx is done.
func (s *Service) restOffice(ctx context.Context, wait, took time.Duration) bool {
	gap := max(officeGap, officeShare*took)
	wait = max(wait, gap)
	s.ledger.alive(loopOffice, wait)
	select {
	case <-time.After(gap):
	case <-ctx.Done():
		return false
	}
	select {
	case <-time.After(wait - gap):
	case <-s.reviewed:
	case <-ctx.Done():
		return false
	}
	return true
}

// wait is how long until there is something to look for in review/ without a hint.
func (o *office) wait() time.Duration {
	wait := o.s.settings().Decisions
	for _, w := range o.seen {
		if !w.told {
			wait = min(wait, o.s.settings().Settle-time.Since(w.since))
		}
	}
	return max(wait, 0)
}

// saved is a workbook that the office has saved: as it was seen, since when, and whether
// it was found to stand still already.
type saved struct {
	stamp
	since time.Time
	told  bool
}

// decision is a workbook that the office has saved.
type decision struct {
	r        revision
	workbook stamp
	dealt    chan bool // whether it needs no second look as it is
}

// look lists the workbooks that have changed, have stood still for the settle time, and
// that nobody has open.
func (o *office) look() ([]decision, error) {
	f, err := o.s.open()
	if err != nil {
		return nil, err
	}
	defer f.close()
	var found []decision
	fresh, marks := map[string]saved{}, map[string]time.Time{}
	seen, absent := map[string]bool{}, map[string]string{}
	err = o.shelf.visit(f, []string{reviewDir}, func(d *shelvedDir, one filed) error {
		dir := one.dir()
		info, err := f.lstat(path.Join(dir, reportFile))
		if errors.Is(err, fs.ErrNotExist) {
			why, err := whyAbsent(f, dir)
			if absent[dir] = why; why != "" {
				seen[dir] = true
			}
			return err
		}
		if err != nil {
			return err
		}
		if !info.Mode().IsRegular() {
			seen[dir], absent[dir] = true, fmt.Sprintf("%s is %s, not a workbook: put the workbook itself there", reportFile, safefs.Kind(info.Mode()))
			return nil
		}
		now := stamp{info.Size(), info.ModTime().UTC()}
		if p := one.card.Workbook; p != nil && p.same(now) || o.dealt[dir].same(now) {
			why, err := o.savedBeside(f, dir, d.info.ModTime(), now.Modified)
			if why != "" {
				absent[dir], seen[dir] = why, true
			}
			return err
		}
		was, known := o.seen[dir]
		if !known || !was.same(now) {
			was = saved{stamp: now, since: time.Now()}
		}
		seen[dir] = true // what was said of an attempt stays until the next
		switch mark, since := o.openMark(f, dir, reportFile, marks); {
		case mark != "":
			absent[dir] = fmt.Sprintf("%s was saved and is open in a spreadsheet program, as %s beside it says since %s; close it there, or remove %s when nobody has it open",
				reportFile, mark, since.Local().Format(clockText), mark)
		case time.Since(was.since) >= o.s.settings().Settle:
			was.told = true
			if _, pending := o.pending[dir]; !pending {
				found = append(found, decision{one.revision, now, make(chan bool, 1)})
			}
		}
		fresh[dir] = was
		return nil
	})
	if err != nil {
		return nil, err
	}
	o.s.holdAll(seen, absent)
	o.seen, o.marks = fresh, marks
	gone := func(dir string) bool { return o.shelf.dirs[dir] == nil }
	maps.DeleteFunc(o.copies, func(dir string, _ copies) bool { return gone(dir) })
	maps.DeleteFunc(o.dealt, func(dir string, _ stamp) bool { return gone(dir) })
	return found, nil
}

func (s stamp) same(t stamp) bool { return s.Bytes == t.Bytes && s.Modified.Equal(t.Modified) }

// openMark is a mark beside the workbook which says that somebody has it open, and
// when it was first seen; "" when nobody has. A mark that stays for longer than
// OpenMark was left behind by a crash.
func (o *office) openMark(f *folder, dir, workbook string, marks map[string]time.Time) (found string, seen time.Time) {
	for _, mark := range openMarks(workbook) {
		name := path.Join(dir, mark)
		if !f.exists(name) {
			continue
		}
		since, known := o.marks[name]
		if !known {
			since = time.Now()
		}
		marks[name] = since
		if time.Since(since) < o.s.settings().OpenMark {
			found, seen = mark, since
		}
	}
	return found, seen
}

// decide carries out what the office wrote into a workbook. It tells whether
// the workbook as it stands needs no second look.
func (s *Service) decide(d decision) (dealt bool, err error) {
	f, err := s.open()
	if err != nil {
		return false, err
	}
	defer f.close()
	key := jobKey(d.r.job)
	cl, err := s.acquire(f, key, card{Schema: cardSchema, ID: nonce(), Job: d.r.job, File: d.r.dir(), Server: s.name})
	if err != nil {
		return false, err
	}
	defer func() { err = errors.Join(err, s.release(f, cl)) }()
	log := s.log.With("job", d.r.job, "revision", d.r.number)
	list, _, err := revisionsOf(f, d.r.job)
	if err != nil {
		return false, err
	}
	for _, r := range list {
		if r.number > d.r.number && r.state != failedDir {
			log.Warn("decisions in the report of an older revision are not carried out; decide in that of the newest", "newest", r.number)
			return true, s.tellNotTaken(f, d.r, r)
		}
	}
	return s.judgeKept(f, cl, d)
}

// judgeKept reads the decisions from a copy of the workbook, over the result that the
// service wrote, and carries them out.
func (s *Service) judgeKept(f *folder, cl claim, d decision) (dealt bool, err error) {
	log := s.log.With("job", d.r.job, "revision", d.r.number)
	k, data, err := s.keptOf(f, d.r)
	if why := (notKept{}); errors.As(err, &why) {
		return false, s.tellNotKept(f, d.r, why)
	}
	if err != nil {
		return false, err
	}
	var result report.Result
	if err := json.Unmarshal(data, &result); err != nil {
		return false, fmt.Errorf("%s: %w", path.Join(d.r.dir(), resultFile), err)
	}
	workbook, sum, err := s.copyWorkbook(f, cl, d.r)
	if err != nil && passes(err) {
		return false, err
	}
	var judgement report.Judgement
	if err == nil {
		judgement, err = s.judgeFile(f, workbook, d.r, &result)
	}
	if err != nil {
		if passes(err) {
			return false, err
		}
		log.Warn("the decisions cannot be read; the job stays in review", "error", err)
		judgement = report.Judgement{State: report.Contradictory, Missing: []string{err.Error()}, Unusable: true}
	}
	state := map[report.State]string{report.Accepted: readyDir, report.Returned: returnedDir}[judgement.State]
	if state != "" {
		why, err := s.differs(f, d.r.dir(), k)
		if err != nil {
			return false, err
		}
		if why != "" {
			return false, s.tellNotKept(f, d.r, notKept{path.Join(d.r.dir(), why) + ": put it back as it was published, or drop the drawing again"})
		}
		return s.carryOut(f, cl, d, k, judged{state, &result, workbook, sum, judgement})
	}
	// One that was decided and moved back by hand, or whose move failed, is not decided now.
	if _, err := keepNote(f, path.Join(d.r.dir(), decidedFile), ""); err != nil {
		return false, err
	}
	if err := s.tellMissing(f, d.r, judgement); err != nil {
		return false, err
	}
	log.Info("the decisions are not complete; the job stays in review", "state", judgement.State, "missing", strings.Join(judgement.Missing, "; "))
	return true, nil
}

// judge reads the decisions in a revision's workbook.
func (s *Service) judge(f *folder, r revision, result *report.Result) (report.Judgement, error) {
	return s.judgeFile(f, path.Join(r.dir(), reportFile), r, result)
}

// judgeFile reads them in a file that may be a copy of the workbook.
func (s *Service) judgeFile(f *folder, name string, r revision, result *report.Result) (report.Judgement, error) {
	decisions, err := s.readDecisions(f, name)
	if damaged := (*report.WorkbookError)(nil); errors.As(err, &damaged) && errors.Is(err, fs.ErrNotExist) { // of a part that the workbook lacks: it will not come
		return report.Judgement{}, fmt.Errorf("%s: %s", path.Join(r.dir(), reportFile), err)
	}
	if err != nil {
		return report.Judgement{}, fmt.Errorf("%s: %w", path.Join(r.dir(), reportFile), err)
	}
	return decisions.Judge(result), nil
}
