package report

import (
	"archive/zip"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"
)

// The choices of a Decision.
const (
	Accept = "accept" // cut it as it is
	Return = "return" // send the template back
)

// mostDecisionText is how long a name or a reason may be, characters.
const mostDecisionText = 500

// Bounds on a workbook that comes back: it may be anything.
const (
	mostWorkbook     = 32 << 20  // bytes
	mostUnpacked     = 256 << 20 // bytes
	mostParts        = 4000      // files in it
	mostDecisionRows = 100_000
	mostProblems     = 50 // listed; one more line says how many there are
	headerSearch     = 20 // rows in which the titles must stand
)

// Decisions is what the office wrote into a workbook.
type Decisions struct {
	Rows []DecisionRow // rows with a key, in the order of the sheet
	// Problems are what could not be understood, each naming the cell.
	Problems []string
	mark     *reportMark // whose report the workbook is; nil: it does not say
}

// wireDecisions are Decisions on their way between two processes.
type wireDecisions struct {
	Rows     []DecisionRow
	Problems []string
	Mark     *wireMark
}

type wireMark struct {
	Job      string
	Revision int
	SHA256   string
}

// MarshalJSON gives everything that Judge needs.
func (d Decisions) MarshalJSON() ([]byte, error) {
	w := wireDecisions{Rows: d.Rows, Problems: d.Problems}
	if d.mark != nil {
		w.Mark = &wireMark{d.mark.job, d.mark.revision, d.mark.sha256}
	}
	return json.Marshal(w)
}

// UnmarshalJSON takes what MarshalJSON gave.
func (d *Decisions) UnmarshalJSON(data []byte) error {
	var w wireDecisions
	if err := json.Unmarshal(data, &w); err != nil {
		return err
	}
	*d = Decisions{Rows: w.Rows, Problems: w.Problems}
	if w.Mark != nil {
		d.mark = &reportMark{w.Mark.Job, w.Mark.Revision, w.Mark.SHA256}
	}
	return nil
}

// DecisionRow is one row of the flags' sheet.
type DecisionRow struct {
	Row    int    // 1-based
	Flag   string // as shown, such as F3
	Key    string
	Choice string // accept, return or empty
	// Unclear is true when the decision was another word, which stands in Problems.
	Unclear bool
	By      string
	Why     string
}

// WorkbookError is a workbook that decisions cannot be read from.
type WorkbookError struct {
	Found string // what is wrong with it
	Do    string // what to do
	Err   error  // the cause, or nil
}

// Error implements error.
func (e *WorkbookError) Error() string {
	s := "report workbook: " + e.Found + "; " + e.Do
	if e.Err != nil {
		s += " (" + e.Err.Error() + ")"
	}
	return s
}

// Unwrap returns the cause.
func (e *WorkbookError) Unwrap() error { return e.Err }

// ReadDecisions reads the decision columns of a report's sheet Flags. The
// workbook is not trusted: its size is bounded, formulas in decision cells are
// refused, unknown words are reported. An error is a *WorkbookError and means
// that nothing could be read; what is odd in a row stands in Problems.
func ReadDecisions(r io.ReaderAt, size int64) (d Decisions, err error) {
	defer func() {
		// The library was written for honest files; a panic in it is one bad file.
		if p := recover(); p != nil {
			d, err = Decisions{}, &WorkbookError{Found: fmt.Sprintf("is damaged: %v", p), Do: restore}
		}
	}()
	sheet, err := findFlags(r, size)
	if err != nil {
		return Decisions{}, err
	}
	formulas, err := formulaCells(sheet)
	if err != nil {
		return Decisions{}, err
	}
	f, err := excelize.OpenReader(io.NewSectionReader(r, 0, size), excelize.Options{
		UnzipSizeLimit: mostUnpacked, UnzipXMLSizeLimit: mostUnpacked, RawCellValue: true,
	})
	if err != nil {
		return Decisions{}, &WorkbookError{Found: "cannot be opened", Do: restore, Err: err}
	}
	defer f.Close() // read only
	return readRows(f, formulas)
}

// restore is what always helps: a drawing whose report cannot be used gets a new
// one when it is dropped again.
const restore = "put the report back as it was published, or drop its drawing again for a new one"

func readRows(f *excelize.File, formulas map[string]bool) (Decisions, error) {
	rows, err := f.Rows(flagsSheetName)
	if err != nil {
		return Decisions{}, &WorkbookError{Found: "has no sheet " + flagsSheetName, Do: restore, Err: err}
	}
	defer rows.Close()
	reader := decisionReader{formulas: formulas}
	for n := 1; rows.Next(); n++ {
		if n > mostDecisionRows {
			return Decisions{}, &WorkbookError{Found: fmt.Sprintf("has more than %d rows on sheet %s", mostDecisionRows, flagsSheetName), Do: restore}
		}
		cells, err := rows.Columns(excelize.Options{RawCellValue: true})
		if err != nil {
			return Decisions{}, &WorkbookError{Found: fmt.Sprintf("row %d of sheet %s cannot be read", n, flagsSheetName), Do: restore, Err: err}
		}
		if reader.columns == nil {
			if reader.titles(cells); reader.columns == nil && n >= headerSearch {
				break
			}
			continue
		}
		reader.row(n, cells)
	}
	if err := rows.Error(); err != nil {
		return Decisions{}, &WorkbookError{Found: "sheet " + flagsSheetName + " breaks off", Do: restore, Err: err}
	}
	if reader.columns == nil {
		return Decisions{}, &WorkbookError{Found: "sheet " + flagsSheetName + " has no row with the titles " +
			strings.Join(decisionTitles(), ", "), Do: restore}
	}
	reader.finish()
	return reader.out, nil
}

func decisionTitles() []string {
	return []string{titleFlag, titleDecision, titleBy, titleWhy, titleKey}
}

// decisionReader turns rows of cells into decisions.
type decisionReader struct {
	formulas map[string]bool
	columns  map[string]int // by title, 0-based; nil until the titles are found
	out      Decisions
	more     int // problems not listed
}

// titles takes the row as the header if all titles stand in it. Above them the
// workbook says whose report it is.
func (d *decisionReader) titles(cells []string) {
	found := map[string]int{}
	for i, c := range cells {
		if mark, ok := parseMark(c); ok && d.out.mark == nil {
			d.out.mark = &mark
		}
		for _, t := range decisionTitles() {
			if _, twice := found[t]; !twice && strings.TrimSpace(c) == t {
				found[t] = i
			}
		}
	}
	if len(found) == len(decisionTitles()) {
		d.columns = found
	}
}

func (d *decisionReader) problem(format string, args ...any) {
	if len(d.out.Problems) >= mostProblems {
		d.more++
		return
	}
	d.out.Problems = append(d.out.Problems, fmt.Sprintf(format, args...))
}

// cell returns a decision cell's text on one line, and false when it holds a
// formula.
func (d *decisionReader) cell(row int, cells []string, title string) (string, bool) {
	column := d.columns[title]
	name := cellName(column+1, row)
	if d.formulas[name] {
		d.problem("cell %s holds a formula; write %s as plain text", name, title)
		return "", false
	}
	if column >= len(cells) {
		return "", true
	}
	text := lineText(cells[column])
	if utf8.RuneCountInString(text) > mostDecisionText {
		d.problem("cell %s is longer than %d characters; the rest was left out", name, mostDecisionText)
		text = string([]rune(text)[:mostDecisionText])
	}
	return text, true
}

func (d *decisionReader) row(n int, cells []string) {
	get := func(title string) string {
		if c := d.columns[title]; c < len(cells) {
			return strings.TrimSpace(cells[c])
		}
		return ""
	}
	row := DecisionRow{Row: n, Flag: lineText(get(titleFlag)), Key: get(titleKey)}
	choice, ok := d.cell(n, cells, titleDecision)
	if !ok {
		choice = ""
	}
	row.By, _ = d.cell(n, cells, titleBy)
	row.Why, _ = d.cell(n, cells, titleWhy)
	switch strings.ToLower(choice) {
	case Accept, "accepted":
		row.Choice = Accept
	case Return, "returned":
		row.Choice = Return
	case "":
		row.Unclear = !ok
	default:
		row.Unclear = true
		d.problem("cell %s says %q; write %s or %s", cellName(d.columns[titleDecision]+1, n), cutUnits(choice, 40), Accept, Return)
	}
	if row.Key == "" {
		if row.Choice != "" || row.By != "" || row.Why != "" {
			d.problem("row %d has a decision but no key; write it in the row of its flag", n)
		}
		return
	}
	d.out.Rows = append(d.out.Rows, row)
}

func (d *decisionReader) finish() {
	if d.more > 0 {
		d.out.Problems = append(d.out.Problems, fmt.Sprintf("and %d more like these", d.more))
	}
}

// findFlags checks the bounds of the package and returns the part of the sheet
// with the flags.
func findFlags(r io.ReaderAt, size int64) (*zip.File, error) {
	if size > mostWorkbook {
		return nil, &WorkbookError{Found: fmt.Sprintf("has %d bytes, more than %d", size, mostWorkbook), Do: restore}
	}
	z, err := zip.NewReader(r, size)
	if err != nil {
		if errors.Is(err, zip.ErrFormat) {
			return nil, &WorkbookError{Found: "is not an .xlsx file", Do: "save it as Excel workbook (.xlsx), without a password", Err: err}
		}
		return nil, &WorkbookError{Found: "cannot be opened", Do: restore, Err: err}
	}
	if len(z.File) > mostParts {
		return nil, &WorkbookError{Found: fmt.Sprintf("holds %d files, more than %d", len(z.File), mostParts), Do: restore}
	}
	var total uint64
	for _, f := range z.File {
		if total += f.UncompressedSize64; total > mostUnpacked || f.UncompressedSize64 > mostUnpacked {
			return nil, &WorkbookError{Found: fmt.Sprintf("unpacks to more than %d bytes", int64(mostUnpacked)), Do: restore}
		}
	}
	return sheetPart(z, flagsSheetName)
}
