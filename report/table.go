package report

import (
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"
)

// columnKind says how a column's values are written.
type columnKind uint8

const (
	textColumn     columnKind = iota // one line
	wrapColumn                       // as many lines as it takes
	countColumn                      // whole numbers, or text
	mmColumn                         // given in mm
	inchColumn                       // given in mm, written in inches
	fineColumn                       // given in mm, to the hundredth
	fineInchColumn                   // given in mm, written in inches to the thousandth
	areaColumn                       // given in mm2, written in m2
	footColumn                       // given in mm2, written in ft2
	massColumn                       // kg
	poundColumn                      // given in kg, written in lb
	degreeColumn                     // degrees, minutes: one decimal
	inputColumn                      // for the office to write in
)

// column is a column of a table.
type column struct {
	title string
	width float64 // pixels
	kind  columnKind
}

// lengthColumns returns the columns of a length in the shop's units.
func (b *book) lengthColumns(title string) []column {
	return b.pair(column{title + "\nmm", lengthWidth(title), mmColumn}, column{title + "\nin", lengthWidth(title), inchColumn})
}

// fineColumns returns the columns of a length too small for sixteenths.
func (b *book) fineColumns(title string) []column {
	return b.pair(column{title + "\nmm", lengthWidth(title), fineColumn}, column{title + "\nin", lengthWidth(title), fineInchColumn})
}

// lengthWidth is wide enough for a length and for the longest word of its title.
func lengthWidth(title string) float64 {
	width := 70.0
	for _, word := range strings.Fields(title) {
		width = max(width, float64(len(word))*8.5+14)
	}
	return width
}

func (b *book) areaColumns(title string) []column {
	return b.pair(column{title + "\nm²", 66, areaColumn}, column{title + "\nft²", 66, footColumn})
}

func (b *book) massColumns() []column {
	return b.pair(column{"Mass\nkg", 66, massColumn}, column{"Mass\nlb", 66, poundColumn})
}

func (b *book) pair(metric, imperial column) []column {
	var out []column
	if b.in.Settings.metric() {
		out = append(out, metric)
	}
	if b.in.Settings.inches() {
		out = append(out, imperial)
	}
	return out
}

// both repeats a value for each of its columns.
func (b *book) both(v any) []any {
	if b.in.Settings.Units == UnitsBoth {
		return []any{v, v}
	}
	return []any{v}
}

// words reports whether the column holds text rather than numbers.
func (c column) words() bool {
	return c.kind == textColumn || c.kind == wrapColumn || c.kind == inputColumn
}

// table is a sheet of rows below one header row.
type table struct {
	*worksheet
	columns []column
	next    int // row
	header  int
	printed int // columns, from the first
}

// newTable sets up a sheet as a table: title, header, frozen panes, widths, print.
func (b *book) newTable(s *worksheet, title, explanation string, columns ...[]column) *table {
	return b.newScreenTable(s, title, explanation, columns, nil)
}

// newScreenTable sets up a table whose last columns are for the screen only: on
// paper they would make the type of the others small.
func (b *book) newScreenTable(s *worksheet, title, explanation string, printed, screen [][]column) *table {
	t := &table{worksheet: s, header: 3, next: 4}
	t.columns = append(slices.Concat(printed...), slices.Concat(screen...)...)
	t.printed = len(t.columns) - len(slices.Concat(screen...))
	widths := make([]float64, len(t.columns))
	for i, c := range t.columns {
		widths[i] = c.width
	}
	s.columns(widths...)
	s.page(true, 0)
	s.freeze = t.header
	s.span(1, 1, t.printed, title, look{size: 14, bold: true})
	s.height(1, 24)
	s.span(2, 1, t.printed, explanation, look{color: inkQuiet, wrap: true, valign: "top"})
	s.fitRow(2, explanation, 10, false, 1, t.printed)
	high := 1
	for i, c := range t.columns {
		l := look{bold: true, fill: fillHead, wrap: true, under: lineStrong, valign: "bottom"}
		if c.words() {
			l.align, l.indent = "left", 1
		} else {
			l.align = "right"
		}
		s.set(t.header, i+1, c.title, l)
		high = max(high, strings.Count(c.title, "\n")+1, s.lines(c.title, 10, true, i+1, i+1))
	}
	s.height(t.header, float64(high)*10*lineHeight+6)
	return t
}

// add writes a row; one value for each column, nil for an empty cell. Every
// other row has a band, for the eye.
func (t *table) add(values ...any) {
	row := t.next
	t.next++
	band := ""
	if (row-t.header)%2 == 0 {
		band = fillBand
	}
	t.height(row, 10*lineHeight+5)
	for i, v := range values {
		c := t.columns[i]
		l := look{fill: band, under: lineSoft}
		if v == nil {
			t.set(row, i+1, nil, l)
			continue
		}
		switch n := v.(type) {
		case float64:
			v, l.format = c.write(n)
		case number:
			v = float64(n)
		}
		// Text among numbers would be cut off or run into its neighbour.
		s, isText := v.(string)
		if c.kind == wrapColumn || isText && !c.words() {
			l.wrap = true
			t.fitRow(row, s, 10, false, i+1, i+1)
		}
		if l.align = "right"; c.words() {
			l.align, l.indent = "left", 1
		}
		t.set(row, i+1, v, l)
	}
}

// write returns a number as the column shows it, with its format.
func (c column) write(v float64) (any, string) {
	switch c.kind {
	case mmColumn:
		return v, formatMM
	case inchColumn:
		return v / inch, inchFormat(v / inch)
	case fineColumn:
		return v, formatFine
	case fineInchColumn:
		return v / inch, formatArea
	case areaColumn:
		return v / metre2, formatArea
	case footColumn:
		return v / foot2, formatArea
	case massColumn:
		return v, formatMass
	case poundColumn:
		return v / pound, formatMass
	case degreeColumn:
		return v, formatDeg
	case countColumn:
		return v, formatCount
	}
	return v, ""
}

// none says that a table has no rows, and why that is.
func (t *table) none(why string) {
	t.span(t.next, 1, len(t.columns), why, look{italic: true, color: inkQuiet})
	t.next++
}

// close adds the filter and the repeated header, and streams the sheet.
func (t *table) close() error {
	last := max(t.next-1, t.header)
	f := t.book.file
	if last > t.header {
		t.fail(f.AutoFilter(t.name, cellName(1, t.header)+":"+cellName(len(t.columns), last), nil))
		t.fitPage()
	}
	t.fail(f.SetDefinedName(&excelize.DefinedName{
		Name: "_xlnm.Print_Titles", Scope: t.name, RefersTo: "'" + escapeQuotes(t.name) + "'!$" + itoa(t.header) + ":$" + itoa(t.header),
	}))
	if t.printed < len(t.columns) {
		t.fail(f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Area", Scope: t.name,
			RefersTo: "'" + escapeQuotes(t.name) + "'!" + absolute(1, 1) + ":" + absolute(t.printed, t.next-1)}))
	}
	return t.finish()
}
