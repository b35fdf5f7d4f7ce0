package report

import (
	"slices"
	"strings"
)

// detailsSheetName is the sheet on which short tables stand one below the other.
const detailsSheetName = "Details"

// mostShort is the number of rows of all short tables together that still print
// on one page beside their titles. With more rows each table has a sheet of its
// own, where it can be filtered and its header stays in view.
const mostShort = 20

// leastShare of its width that a column of a short table is content with: its
// neighbours are those of the table above it. No word of a title is broken.
const leastShare = 0.85

// betweenTables is the height of the row between two tables, points.
const betweenTables = 12

// shortTables is the sheet of short tables under work. Its columns are those of
// the first table; a table below takes as many of them for each of its own as
// it needs, and adds columns on the right when they run out.
type shortTables struct {
	sheet   *worksheet
	left    int // tables that are still to come
	next    int // row
	printed int // columns
}

// together tells which tables share a sheet: all that may, when there are two or
// more of them and few rows.
func together(tables []tableSheet) bool {
	n, rows := 0, 0
	for _, t := range tables {
		if t.short && t.rows > 0 {
			n++
			rows += t.rows
		}
	}
	return n > 1 && rows <= mostShort
}

// furtherFigures names the sheets with the figures that a piece's page has no
// room for.
func (b *book) furtherFigures() string {
	var names []string
	for _, s := range [...]*worksheet{b.setup, b.cutouts, b.seams} {
		if s != nil && !slices.Contains(names, s.name) {
			names = append(names, s.name)
		}
	}
	return strings.Join(names, ", ")
}

// isShort reports whether a table on the sheet shares it with others.
func (b *book) isShort(s *worksheet) bool { return b.details != nil && b.details.sheet == s }

// cellRange is the columns of the sheet that one column of a table takes.
type cellRange struct{ from, to int }

// place gives the table its columns of the sheet, and the rows below the tables
// that are there.
func (s *shortTables) place(t *table) {
	t.header, t.next = s.next+2, s.next+3
	widths := s.sheet.widths
	at := 0
	for _, c := range t.columns {
		r := cellRange{at + 1, at}
		for width := 0.0; width < max(leastShare*c.width, min(c.width, longestWord(c.title))); {
			if at == len(widths) {
				widths = append(widths[:at:at], c.width-width)
			}
			width += widths[at]
			at++
		}
		r.to = at
		t.cells = append(t.cells, r)
	}
	s.sheet.widths = widths
	s.printed = max(s.printed, t.cells[t.printed-1].to)
}

// close ends a table on the shared sheet; the last one streams it.
func (s *shortTables) close(t *table) error {
	t.height(t.next, betweenTables)
	s.next = t.next + 1
	if s.left--; s.left > 0 {
		return s.sheet.err
	}
	s.sheet.columns(s.sheet.widths...)
	s.sheet.page(true, 0)
	t.printArea(s.printed, t.next-1)
	return s.sheet.finish()
}
