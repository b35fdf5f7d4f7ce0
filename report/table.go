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
func lengthWidth(title string) float64 { return max(70, longestWord(title)) }

// longestWord returns the width in pixels that the longest word of a title needs.
func longestWord(title string) (width float64) {
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
	cells   []cellRange
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
	if b.isShort(s) {
		b.details.place(t)
		t.titles(title, explanation)
		return t
	}
	widths := make([]float64, len(t.columns))
	for i, c := range t.columns {
		widths[i] = c.width
		t.cells = append(t.cells, cellRange{i + 1, i + 1})
	}
	s.columns(widths...)
	s.page(true, 0)
	s.freeze = t.header
	t.titles(title, explanation)
	return t
}

// titles writes what stands above the rows: the title, what the table says, the
// titles of its columns.
func (t *table) titles(title, explanation string) {
	top := t.header - 2
	last := t.cells[t.printed-1].to
	size, high := 14.0, 24.0
	if t.book.isShort(t.worksheet) {
		size, high = 12, 20
	}
	t.span(top, 1, last, title, look{size: size, bold: true})
	t.height(top, high)
	t.span(top+1, 1, last, explanation, look{color: inkQuiet, wrap: true, valign: "top"})
	t.fitRow(top+1, explanation, 10, false, 1, last)
	lines := 1
	for i, c := range t.columns {
		l := look{bold: true, fill: fillHead, wrap: true, under: lineStrong, valign: "bottom"}
		if c.words() {
			l.align, l.indent = "left", 1
		} else {
			l.align = "right"
		}
		at := t.cells[i]
		t.span(t.header, at.from, at.to, c.title, l)
		lines = max(lines, strings.Count(c.title, "\n")+1, t.lines(c.title, 10, true, at.from, at.to))
	}
	t.height(t.header, float64(lines)*10*lineHeight+6)
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
		c, at := t.columns[i], t.cells[i]
		l := look{fill: band, under: lineSoft}
		if v == nil {
			t.span(row, at.from, at.to, nil, l)
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
			t.fitRow(row, s, 10, false, at.from, at.to)
		}
		if l.align = "right"; c.words() {
			l.align, l.indent = "left", 1
		}
		t.span(row, at.from, at.to, v, l)
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
	if t.book.isShort(t.worksheet) {
		return t.book.details.close(t)
	}
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
		t.printArea(t.printed, t.next-1)
	}
	return t.finish()
}

// printArea leaves what lies past a column or a row off the paper.
func (t *table) printArea(column, row int) {
	t.fail(t.book.file.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Area", Scope: t.name,
		RefersTo: "'" + escapeQuotes(t.name) + "'!" + absolute(1, 1) + ":" + absolute(column, row)}))
}
