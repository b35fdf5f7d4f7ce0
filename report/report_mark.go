package report

import (
	"fmt"
	"regexp"
	"strconv"
)

// reportMark names the report that a workbook is. It stands above the keys of the
// sheet Flags, off the printed page and locked like them, so that it goes wherever the
// decisions go: workbooks are copied and mailed, and every program keeps cells.
type reportMark struct {
	job      string // on one line
	revision int
	sha256   string // of the drawing, lower-case hex
}

// markTitle begins the cell, and is what people are told of it.
const markTitle = "Report (do not change)"

var markPattern = regexp.MustCompile(`^\s*` + regexp.QuoteMeta(markTitle) + `: revision (\d{1,9}), SHA-256 ([0-9a-fA-F]{64}|none), job (.*)$`)

// markOf is the mark of a result's report.
func markOf(r *Result) reportMark {
	return reportMark{lineText(r.jobName()), r.Revision, r.Source.SHA256}
}

// String is the cell's text.
func (m reportMark) String() string {
	sum := m.sha256
	if sum == "" {
		sum = "none"
	}
	return fmt.Sprintf("%s: revision %d, SHA-256 %s, job %s", markTitle, m.revision, sum, m.job)
}

// parseMark reads a cell; false when it is no mark.
func parseMark(cell string) (reportMark, bool) {
	found := markPattern.FindStringSubmatch(lineText(cell))
	if found == nil {
		return reportMark{}, false
	}
	revision, err := strconv.Atoi(found[1])
	if found[2] == "none" {
		found[2] = ""
	}
	return reportMark{found[3], revision, found[2]}, err == nil
}

// name is the report in a sentence.
func (m reportMark) name() string {
	if m.revision == 0 {
		return m.job
	}
	return fmt.Sprintf("%s, revision %d", m.job, m.revision)
}

// foreign says why decisions of a workbook with a mark (nil: none was found) do
// not hold for a result; "" when they do.
func foreign(mark *reportMark, r *Result) string {
	here := markOf(r)
	switch {
	case mark == nil:
		return fmt.Sprintf("the cell %q above the keys has gone, so that nobody can tell whose report this is; put the report of %s back, or drop its drawing again for a new one", markTitle, here.name())
	case mark.job != here.job || mark.revision != here.revision:
		return fmt.Sprintf("this is the report of %s; put the report of %s back, or drop its drawing again for a new one", mark.name(), here.name())
	case mark.sha256 != here.sha256:
		return fmt.Sprintf("this is the report of another drawing of the name %s (SHA-256 %.12s, not %.12s); put the report of this one back, or drop its drawing again for a new one", here.name(), mark.sha256, here.sha256)
	}
	return ""
}
