package watch

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"strings"
	"time"

	"trueup/pipeline/safefs"
	"trueup/report"
)

// keepRegister writes register.xlsx again after something was published, until
// ctx is done. It is made from the folders alone, so that it is right whoever
// moved them; while somebody holds it open it waits. What is not what was written last,
// because somebody cut, changed, removed or replaced it, is made anew at once.
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
		switch {
		case err == nil:
			s.ledger.troubled(registerTrouble, "")
		case !errors.Is(err, errOpen): // that one is for whoever has it open
			s.ledger.troubled(registerTrouble, "the register cannot be written: "+said)
		}
		if last {
			return
		}
		urgent := false
		if err == nil {
			if urgent, last = r.rest(ctx); last {
				continue
			}
		}
		wait := max(s.settings().Register, r.took*registerShare)
		if urgent {
			wait = registerGap
		}
		s.ledger.alive(loopRegister, wait)
		select { // one register for many publications
		case <-time.After(wait):
		case <-ctx.Done():
			last = true
		}
	}
}

// rest waits until the register is to be made again: something was published, it is not
// what was written last (urgent), or it has not been looked after for a while.
func (r *register) rest(ctx context.Context) (urgent, done bool) {
	s := r.s
	anyway := time.Now().Add(max(registerAnyway, r.took*registerShare))
	for {
		s.ledger.alive(loopRegister, registerGlance)
		select {
		case <-ctx.Done():
			return false, true
		case <-s.ledger.changed:
			return false, false
		case <-s.spoiled:
		case <-time.After(registerGlance):
		}
		s.ledger.alive(loopRegister, 0)
		if s.standsBack() {
			continue
		}
		if why := r.spoilt(); why != "" {
			s.ledger.troubled(registerTrouble, why)
			s.log.Warn("the register is made anew", "why", why)
			return true, false
		}
		if !time.Now().Before(anyway) {
			return false, false
		}
	}
}

// registerAnyway is how often the folders are gone through for the register when this
// server has published nothing: somebody may have moved some. registerGlance is how
// often the register itself is looked at; what is wrong with it is right again within
// 30 s, events or not. registerShare bounds the share of time that goes into it.
const (
	registerAnyway = time.Minute
	registerGlance = 10 * time.Second
	registerGap    = 500 * time.Millisecond
	registerShare  = 10
)

// register writes the list of all revisions.
type register struct {
	s     *Service
	shelf shelf
	took  time.Duration
	marks map[string]time.Time
}

// errOpen says that somebody has the register open.
var errOpen = errors.New(registerFile + " is open in a spreadsheet program; close it there")

// registered is .work/register.json: what was written last, by whatever server.
type registered struct {
	SHA256  string `json:"sha256"` // of register.xlsx
	Bytes   int64  `json:"bytes"`
	Rows    string `json:"rows"`    // SHA-256 of what it lists
	Version string `json:"version"` // of the program that wrote it
}

const registeredFile = workDir + "/register.json"

// readRegistered tells what was written last; false when nothing was, or nobody knows.
func readRegistered(f *folder) (registered, bool) {
	data, err := f.readFile(registeredFile)
	var was registered
	return was, err == nil && json.Unmarshal(data, &was) == nil
}

// wrong says how the register differs from what was written last; "" when it does not.
func (was registered) wrong(f *folder) (string, error) {
	const again = "; it is made anew within half a minute"
	info, err := f.lstat(registerFile)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return registerFile + " has gone" + again, nil
	case err != nil:
		return "", err
	case !info.Mode().IsRegular():
		return registerFile + " is " + safefs.Kind(info.Mode()) + " and no file" + again, nil
	case info.Size() != was.Bytes:
		return fmt.Sprintf("%s holds %d bytes, and %d were written%s", registerFile, info.Size(), was.Bytes, again), nil
	}
	sum, _, err := hashFile(f, registerFile)
	if err != nil {
		return "", err
	}
	if sum != was.SHA256 {
		return registerFile + " is not what was written" + again, nil
	}
	return "", nil
}

// spoilt says how the register is not what was written last; "" when it is, or when that
// cannot be told now.
func (r *register) spoilt() string {
	f, err := r.s.open()
	if err != nil {
		return ""
	}
	defer f.close()
	was, known := readRegistered(f)
	if !known {
		return "nobody knows what was written into " + registerFile + " last; it is made anew"
	}
	why, err := was.wrong(f)
	if err != nil {
		return ""
	}
	return why
}

func (r *register) write() error {
	if r.s.standsBack() {
		return nil // the newer one writes it
	}
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
	if err := r.s.warnOfOlder(f, &r.shelf, list, newer); err != nil {
		return err
	}
	twins := sameDrawings(list)
	rows := make([]report.RegisterRow, len(list))
	for i, one := range list {
		rows[i] = r.row(one)
		rows[i].Newer = newer.word(one)
		rows[i].Remarks = remarks(one, twins)
	}
	now := registered{Rows: digestRows(rows, r.s.look), Version: r.s.version}
	if was, known := readRegistered(f); known && was.Rows == now.Rows && was.Version == now.Version {
		if why, err := was.wrong(f); why == "" && err == nil {
			return nil
		}
	}
	if r.isOpen(f) {
		return errOpen
	}
	var text bytes.Buffer
	if err := r.s.writeRegister(&text, rows, r.s.look); err != nil {
		return err
	}
	sum := sha256.Sum256(text.Bytes())
	now.SHA256, now.Bytes = hex.EncodeToString(sum[:]), int64(text.Len())
	if err := f.replaceFile(registerFile, text.Bytes()); err != nil {
		return err
	}
	data, err := json.Marshal(now)
	if err != nil {
		return err
	}
	return f.replaceFile(registeredFile, data)
}

// digestRows tells lists of rows apart, and how they are to look.
func digestRows(rows []report.RegisterRow, look report.Settings) string {
	h := sha256.New()
	e := json.NewEncoder(h)
	e.Encode(look) // plain values always encode
	for i := range rows {
		e.Encode(&rows[i])
	}
	return hex.EncodeToString(h.Sum(nil))
}

func (r *register) isOpen(f *folder) bool {
	o := office{s: r.s, marks: r.marks}
	marks := map[string]time.Time{}
	mark, _ := o.openMark(f, ".", registerFile, marks)
	r.marks = marks
	return mark != ""
}

func (r *register) row(one filed) report.RegisterRow {
	c := one.card
	row := report.RegisterRow{
		Job: one.job, Revision: one.number, File: path.Base(c.File), State: one.state, Folder: one.dir(),
		Received: c.Claimed.Local(), Reason: c.Error, Pieces: c.Counts.Pieces, Stops: c.Counts.Stops, Warnings: c.Counts.Warnings,
		Notes: c.Counts.Notes, Repairs: c.Counts.Repairs, Unchecked: c.Counts.Unchecked,
	}
	if one.report {
		row.Report = reportFile
	}
	if c.Decided != nil {
		row.DecidedBy, row.DecidedAt, row.Reason = c.Decided.By, c.Decided.At.Local(), c.Decided.Why
	}
	if one.missing != nil {
		row.Reason = "not decided yet: " + strings.Join(one.missing, "; ")
	}
	if one.moved != "" {
		row.State, row.Reason = movedByHand, one.moved
	}
	if why := r.s.ledger.held(one.dir()); why != "" {
		row.Reason = "decisions wait: " + why
	}
	return row
}
