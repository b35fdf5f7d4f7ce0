package report

import (
	"cmp"
	"fmt"
	"io"
	"net/url"
	"path"
	"slices"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"
)

// RegisterRow is a revision of a job in the shop's register.
type RegisterRow struct {
	Job       string
	Revision  int
	File      string // name as dropped
	State     string // the folder it lies in: review, ready, failed, returned
	Folder    string // path from the register, slash separated
	Report    string // name of the workbook in the folder; empty: none
	Received  time.Time
	Reason    string // why it failed or was decided as it was, or what its decisions lack
	Pieces    int
	Stops     int
	Warnings  int
	Notes     int
	Repairs   int
	Unchecked int
	Newer     string // that there is a newer revision, in words; empty: none
	Remarks   string // what else is to be known
	DecidedBy string // names, joined by the caller
	DecidedAt time.Time
}

// newest sorts the rows newest first.
func newest(rows []RegisterRow) []RegisterRow {
	rows = slices.Clone(rows)
	slices.SortStableFunc(rows, func(a, b RegisterRow) int {
		return cmp.Or(b.Received.Compare(a.Received), cmp.Compare(a.Job, b.Job), cmp.Compare(b.Revision, a.Revision))
	})
	return rows
}

// Register writes the shop's register as an Excel workbook: a row a revision,
// newest first, with relative links to the reports. Times are written as they
// are, in the location they carry.
func Register(w io.Writer, rows []RegisterRow, settings Settings) error {
	if err := settings.Validate(); err != nil {
		return fmt.Errorf("register: %w", err)
	}
	kit, err := newKit()
	if err != nil {
		return fmt.Errorf("register: %w", err)
	}
	b := &book{in: WorkbookInput{Result: &Result{Source: Source{File: "Register"}}, Settings: settings}, file: excelize.NewFile(), names: sheetNames{}, fonts: kit.fonts}
	defer b.file.Close() // nothing is left on disk: the stream is small
	b.styles = newStyles(b.file, &madeStyles{})
	if err := b.file.SetDefaultFont(fontFamily); err != nil {
		return fmt.Errorf("register: %w", err)
	}
	s := &worksheet{book: b, name: b.names.name("Register")}
	if err := b.file.SetSheetName("Sheet1", s.name); err != nil {
		return fmt.Errorf("register: %w", err)
	}
	t := b.newTable(s, "Register", "Every template that came in and what became of it, newest first. This file is written anew from the folders: what is written into it by hand is lost.",
		[]column{{"Received", 126, textColumn}, {"Job", 220, wrapColumn}, {"Revision", 76, countColumn}, {"State", 84, textColumn}, {"Report", 90, textColumn}, {"File", 150, wrapColumn}},
		[]column{{"Pieces", 66, countColumn}, {"Stop", 56, countColumn}, {"Warning", 76, countColumn}, {"Note", 56, countColumn}, {"Repairs", 72, countColumn}, {"Not checked", 80, countColumn}},
		[]column{{"Decided by", 130, wrapColumn}, {"Decided", 126, textColumn}, {"Reason", 320, wrapColumn}, {"Newer revision", 150, wrapColumn}, {"Remarks", 200, wrapColumn}})
	for i, r := range newest(rows) {
		t.registerRow(r, i < mostLinks)
	}
	if len(rows) == 0 {
		t.none("Nothing came in yet.")
	}
	if err := t.close(); err != nil {
		return fmt.Errorf("register: %w", err)
	}
	b.file.SetZipWriter(kit.zip)
	if err := b.file.Write(w); err != nil {
		return fmt.Errorf("register: %w", err)
	}
	return nil
}

func (t *table) registerRow(r RegisterRow, link bool) {
	at := t.next
	report := any(nil)
	if r.Report != "" {
		report = r.Report
	}
	t.add(nil, r.Job, float64(r.Revision), r.State, report, r.File, float64(r.Pieces), float64(r.Stops), float64(r.Warnings), float64(r.Notes),
		float64(r.Repairs), float64(r.Unchecked), r.DecidedBy, nil, r.Reason, r.Newer, r.Remarks)
	when := look{under: lineSoft, format: `yyyy-mm-dd hh:mm`, align: "left", indent: 1}
	if !r.Received.IsZero() {
		t.set(at, 1, wallClock(r.Received), when)
	}
	if !r.DecidedAt.IsZero() {
		t.set(at, 14, wallClock(r.DecidedAt), when)
	}
	state := stateLook(r.State)
	if r.Newer != "" { // not the one to look at any more
		state.color, state.fill = inkQuiet, ""
	}
	t.set(at, 4, r.State, state)
	if r.Report != "" && link {
		t.set(at, 5, "open report", look{under: lineSoft, link: true, align: "left", indent: 1})
		t.fail(t.book.file.SetCellHyperLink(t.name, cellName(5, at), relativeLink(path.Join(r.Folder, r.Report)), "External"))
	}
}

// wallClock drops the location, so that the workbook shows the clock on the wall.
func wallClock(t time.Time) time.Time {
	return time.Date(t.Year(), t.Month(), t.Day(), t.Hour(), t.Minute(), t.Second(), 0, time.UTC)
}

func stateLook(state string) look {
	l := look{under: lineSoft, align: "left", indent: 1, bold: true}
	switch state {
	case "review":
		l.color, l.fill = inkWarn, fillWarn
	case "ready":
		l.color, l.fill = white, fillReady
	case "failed":
		l.color, l.fill = white, fillFailed
	case "returned":
		l.color, l.fill = inkNote, fillNote
	}
	return l
}

// relativeLink escapes a path from the register as a relative reference (RFC
// 3986, section 4.2): a first part with a colon would be taken for a scheme.
func relativeLink(p string) string {
	parts := strings.Split(p, "/")
	for i := range parts {
		parts[i] = url.PathEscape(parts[i])
	}
	link := strings.Join(parts, "/")
	if strings.Contains(parts[0], ":") {
		link = "./" + link
	}
	return link
}
