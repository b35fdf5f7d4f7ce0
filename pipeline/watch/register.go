package watch

import (
	"bytes"
	"context"
	"errors"
	"io/fs"
	"path"
	"strings"
	"time"

	"trueup/report"
)

// keepRegister writes register.xlsx again after something was published, until
// ctx is done. It is made from the folders alone, so that it is right whoever
// moved them; while somebody holds it open it waits.
func (s *Service) keepRegister(ctx context.Context) {
	r := register{s: s, marks: map[string]time.Time{}}
	said := ""
	defer s.ledger.ended(loopRegister)
	for last := false; ; {
		s.ledger.alive(loopRegister, 0)
		err := r.write()
		if err != nil && err.Error() != said {
			s.log.Warn("the register cannot be written, tried again", "error", err)
		}
		said = text(err)
		hinders := ""
		if err != nil && !errors.Is(err, errOpen) { // that one is for whoever has it open
			hinders = "the register cannot be written: " + said
		}
		s.ledger.troubled(registerTrouble, hinders)
		if last {
			return
		}
		if err == nil {
			wait := max(registerAnyway, r.took*registerShare)
			s.ledger.alive(loopRegister, wait)
			select {
			case <-s.ledger.changed:
			case <-time.After(wait):
			case <-ctx.Done():
				last = true
				continue
			}
		}
		wait := max(s.settings().Register, r.took*registerShare)
		s.ledger.alive(loopRegister, wait)
		select { // one register for many publications
		case <-time.After(wait):
		case <-ctx.Done():
			last = true
		}
	}
}

// registerAnyway is how often the register is looked after when this server has
// published nothing: somebody may have moved folders, or removed it. registerShare
// bounds the share of time that goes into it.
const (
	registerAnyway = 30 * time.Second
	registerShare  = 10
)

// register writes the list of all revisions.
type register struct {
	s     *Service
	shelf shelf
	took  time.Duration
	marks map[string]time.Time
	last  []report.RegisterRow
}

// errOpen says that somebody has the register open.
var errOpen = errors.New(registerFile + " is open in a spreadsheet program; close it there")

func (r *register) write() error {
	start := time.Now()
	defer func() { r.took = time.Since(start) }()
	select {
	case <-r.s.ledger.changed:
	default:
	}
	f, err := r.s.open()
	if err != nil {
		return err
	}
	defer f.close()
	list, err := r.shelf.walk(f)
	if err != nil {
		return err
	}
	newer := newestOf(list)
	if err := r.s.warnOfOlder(f, list, newer); err != nil {
		return err
	}
	twins := sameDrawings(list)
	rows := make([]report.RegisterRow, len(list))
	for i, one := range list {
		rows[i] = r.row(f, one)
		rows[i].Newer = newer.word(one.revision)
		rows[i].Remarks = remarks(one, twins)
	}
	if f.exists(registerFile) && equalRows(rows, r.last) {
		return nil
	}
	if r.isOpen(f) {
		return errOpen
	}
	var text bytes.Buffer
	if err := r.s.writeRegister(&text, rows, r.s.look); err != nil {
		return err
	}
	if err := f.replaceFile(registerFile, text.Bytes()); err != nil {
		return err
	}
	r.last = rows
	return nil
}

func (r *register) isOpen(f *folder) bool {
	o := office{s: r.s, marks: r.marks}
	marks := map[string]time.Time{}
	mark, _ := o.openMark(f, ".", registerFile, marks)
	r.marks = marks
	return mark != ""
}

func (r *register) row(f *folder, one filed) report.RegisterRow {
	c := one.card
	row := report.RegisterRow{
		Job: one.job, Revision: one.number, File: path.Base(c.File), State: one.state, Folder: one.dir(),
		Received: c.Claimed.Local(), Reason: c.Error, Pieces: c.Counts.Pieces, Stops: c.Counts.Stops, Warnings: c.Counts.Warnings,
		Notes: c.Counts.Notes, Repairs: c.Counts.Repairs, Unchecked: c.Counts.Unchecked,
	}
	if _, err := f.lstat(path.Join(one.dir(), reportFile)); !errors.Is(err, fs.ErrNotExist) {
		row.Report = reportFile
	}
	if c.Decided != nil {
		row.DecidedBy, row.DecidedAt, row.Reason = c.Decided.By, c.Decided.At.Local(), c.Decided.Why
	}
	if missing := readMissing(f, one.revision); missing != nil {
		row.Reason = "not decided yet: " + strings.Join(missing, "; ")
	}
	if why := r.s.ledger.held(one.dir()); why != "" {
		row.Reason = "decisions wait: " + why
	}
	return row
}

func equalRows(a, b []report.RegisterRow) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}
