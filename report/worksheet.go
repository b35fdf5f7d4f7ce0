package report

import (
	"fmt"
	_ "image/png" // for the library to read a picture's size from its file
	"math"
	"strconv"

	"github.com/xuri/excelize/v2"
)

func itoa(n int) string { return strconv.Itoa(n) }

// worksheet is one sheet under work. Everything around the cells is set at once, the
// cells are kept and streamed at the end.
type worksheet struct {
	book   *book
	name   string
	rows   []sheetRow // by row number less 1
	merges [][2]string
	widths []float64 // pixels by column
	freeze int       // rows that stay in view
	err    error     // the first one; finish returns it
}

type sheetRow struct {
	cells  []any
	height float64 // points
}

func (s *worksheet) fail(err error) {
	if s.err == nil && err != nil {
		s.err = fmt.Errorf("sheet %s: %w", s.name, err)
	}
}

func (s *worksheet) row(n int) *sheetRow {
	for len(s.rows) < n {
		s.rows = append(s.rows, sheetRow{})
	}
	return &s.rows[n-1]
}

// set puts a value into a cell. Text is cleaned, and text that a spreadsheet
// could take for a formula is marked as text. A number that is not finite is
// written as words.
func (s *worksheet) set(row, column int, value any, l look) {
	switch v := value.(type) {
	case string:
		v = cellText(v)
		if l.format == "" && looksLikeFormula(v) {
			l.format = formatText
		}
		value = v
	case float64:
		if math.IsNaN(v) || math.IsInf(v, 0) {
			value = "not a number"
		}
	}
	id, err := s.book.styles.id(l)
	s.fail(err)
	r := s.row(row)
	for len(r.cells) < column {
		r.cells = append(r.cells, nil)
	}
	r.cells[column-1] = excelize.Cell{StyleID: id, Value: value}
}

// span puts a value into a row's cells from one column to another as one.
func (s *worksheet) span(row, from, to int, value any, l look) {
	s.block(row, row, from, to, value, l)
}

// block puts a value into a rectangle of cells as one.
func (s *worksheet) block(top, bottom, from, to int, value any, l look) {
	for r := top; r <= bottom; r++ {
		for c := from; c <= to; c++ {
			if r == top && c == from {
				s.set(r, c, value, l)
			} else {
				s.set(r, c, nil, l)
			}
		}
	}
	if from != to || top != bottom {
		s.merges = append(s.merges, [2]string{cellName(from, top), cellName(to, bottom)})
	}
}

func cellName(column, row int) string {
	name, err := excelize.CoordinatesToCellName(column, row)
	if err != nil {
		panic("report: " + err.Error()) // columns and rows are counted here
	}
	return name
}

func absolute(column, row int) string {
	name, err := excelize.CoordinatesToCellName(column, row, true)
	if err != nil {
		panic("report: " + err.Error()) // columns and rows are counted here
	}
	return name
}

func (s *worksheet) height(row int, points float64) {
	s.row(row).height = min(points, excelize.MaxRowHeight)
}

// A column's width is counted in digits of the workbook's default font, Arial 11,
// its margins included (ECMA-376 part 1, 18.3.1.13).
const (
	digitPixels = 8
	mmPixels    = 96 / inch // pixels in a mm at 96 to the inch
	mmPoints    = 72 / inch
)

// lines returns into how many lines a text wraps over some columns.
func (s *worksheet) lines(text string, size float64, bold bool, from, to int) int {
	width := -16.0 // left free inside the cell, an indent included
	for c := from; c <= to && c <= len(s.widths); c++ {
		width += s.widths[c-1]
	}
	return s.book.wrap(text, size, bold, width)
}

// lineHeight is the height of a line of text as a share of its size.
const lineHeight = 1.28

// fitRow makes a row high enough for a text over some columns.
func (s *worksheet) fitRow(row int, text string, size float64, bold bool, from, to int) {
	need := float64(s.lines(text, size, bold, from, to))*size*lineHeight + 4
	if need > s.row(row).height {
		s.height(row, need)
	}
}

// link makes a cell lead to another sheet.
func (s *worksheet) link(row, column int, target *worksheet, cell, tip string) {
	location := "'" + escapeQuotes(target.name) + "'!" + cell
	s.fail(s.book.file.SetCellHyperLink(s.name, cellName(column, row), location, "Location", excelize.HyperlinkOpts{Tooltip: &tip}))
}

func escapeQuotes(name string) string {
	out := make([]rune, 0, len(name))
	for _, r := range name {
		if out = append(out, r); r == '\'' {
			out = append(out, '\'')
		}
	}
	return string(out)
}

// stretched puts a PNG of so many pixels on the sheet in a size in mm, at an
// offset in pixels from a cell.
func (s *worksheet) stretched(row, column int, png []byte, pixelsWide, pixelsHigh int, wide, high, offsetX, offsetY float64, name, alt string) {
	print, locked := true, true
	s.fail(s.book.file.AddPictureFromBytes(s.name, cellName(column, row), &excelize.Picture{
		Extension: ".png", File: png,
		Format: &excelize.GraphicOptions{
			AltText: cutUnits(lineText(alt), mostHeader), Name: name, PrintObject: &print, Locked: &locked, LockAspectRatio: true,
			ScaleX: wide * mmPixels / float64(pixelsWide), ScaleY: high * mmPixels / float64(pixelsHigh),
			OffsetX: int(offsetX), OffsetY: int(offsetY), Positioning: "oneCell",
		},
	}))
}

// finish streams the cells.
func (s *worksheet) finish() error {
	if s.err != nil {
		return s.err
	}
	w, err := s.book.file.NewStreamWriter(s.name)
	if err != nil {
		return fmt.Errorf("sheet %s: %w", s.name, err)
	}
	if s.freeze > 0 {
		s.fail(w.SetPanes(&excelize.Panes{Freeze: true, YSplit: s.freeze, TopLeftCell: cellName(1, s.freeze+1), ActivePane: "bottomLeft",
			Selection: []excelize.Selection{{SQRef: cellName(1, s.freeze+1), ActiveCell: cellName(1, s.freeze+1), Pane: "bottomLeft"}}}))
	}
	for i, r := range s.rows {
		if len(r.cells) == 0 && r.height == 0 {
			continue
		}
		s.fail(w.SetRow(cellName(1, i+1), r.cells, excelize.RowOpts{Height: r.height}))
	}
	for _, m := range s.merges {
		s.fail(w.MergeCell(m[0], m[1]))
	}
	s.fail(w.Flush())
	return s.err
}

// columns sets the widths in pixels. It comes before pictures, whose places are
// counted from them.
func (s *worksheet) columns(pixels ...float64) {
	s.widths = pixels
	// From the last to the first, for the library puts each before those it has,
	// and columns stand in ascending order in a file; neighbours of one width at
	// once, for each call copies all.
	for last := len(pixels); last > 0; {
		first := last
		for first > 1 && pixels[first-2] == pixels[last-1] {
			first--
		}
		from, err := excelize.ColumnNumberToName(first)
		s.fail(err)
		to, err := excelize.ColumnNumberToName(last)
		s.fail(err)
		s.fail(s.book.file.SetColWidth(s.name, from, to, math.Round(pixels[last-1]/digitPixels*256)/256))
		last = first - 1
	}
}

// page sets paper, margins, header and footer. High 0 lets the sheet run over as
// many pages as it needs.
func (s *worksheet) page(landscape bool, high int) {
	f, orientation, paper, wide, horizontally := s.book.file, "portrait", 9, 1, true
	if landscape {
		orientation = "landscape"
	}
	if s.book.in.Settings.Paper == PaperLetter {
		paper = 1
	}
	s.fail(f.SetPageLayout(s.name, &excelize.PageLayoutOptions{Size: &paper, Orientation: &orientation, FitToWidth: &wide, FitToHeight: &high}))
	s.fitPage()
	side, top, head := 10/inch, 13/inch, 6/inch
	s.fail(f.SetPageMargins(s.name, &excelize.PageLayoutMarginsOptions{Left: &side, Right: &side, Top: &top, Bottom: &top, Header: &head, Footer: &head, Horizontally: &horizontally}))
	grid := false
	s.fail(f.SetSheetView(s.name, -1, &excelize.ViewOptions{ShowGridLines: &grid}))
	r := s.book.in.Result
	revision := ""
	if r.Revision > 0 {
		revision = "revision " + itoa(r.Revision)
	}
	s.fail(f.SetHeaderFooter(s.name, &excelize.HeaderFooterOptions{
		OddHeader: "&L" + headerText(r.Source.File, 60) + "&C" + headerText(s.book.in.Settings.Shop, 60) + "&R" + headerText(r.Job, 60) + " " + revision,
		OddFooter: "&L" + headerText(s.name, 31) + "&C" + headerText(screening, 100) + "&RPage &P of &N",
	}))
}

// fitPage makes the sheet print as many pages wide and high as page said. Setting
// a filter undoes it.
func (s *worksheet) fitPage() {
	fit := true
	s.fail(s.book.file.SetSheetProps(s.name, &excelize.SheetPropsOptions{FitToPage: &fit}))
}
