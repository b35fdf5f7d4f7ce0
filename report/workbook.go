package report

import (
	"io"
	"strings"

	"github.com/xuri/excelize/v2"

	"trueup/dxfio/piece"
	"trueup/report/draw"
)

// Limit is a setting that a template was checked against.
type Limit struct {
	Key            string // dotted, as in the settings file
	Value, Default any    // float64, int, int64, bool or string
	Unit           string // "mm", "deg" ...; empty for words and counts
	What           string // what it is
	Source         string // publication, or "common practice, no source"
	Changed        bool   // by the shop
}

// WorkbookInput is everything a workbook shows.
type WorkbookInput struct {
	Result   *Result
	Template *piece.Template // of the same drawing; nil for a failed file
	Limits   []Limit
	Earlier  *Result // of the revision before; nil: no sheet Changes
	// Notes are shown on the summary, such as what is missing in the decisions.
	Notes    []string
	Settings Settings
}

func (w *Writer) workbook(out io.Writer) error {
	b, err := newBook(w)
	if err != nil {
		return err
	}
	defer b.file.Close() // nothing is left on disk: the streams are small
	for _, build := range []func(*book) error{summarySheet, flagsSheet, changesSheet, pieceSheets} {
		if err := build(b); err != nil {
			return err
		}
	}
	for _, t := range b.tables() {
		if *t.sheet == nil {
			continue
		}
		if err := t.build(b); err != nil {
			return err
		}
	}
	b.file.SetZipWriter(w.kit.zip)
	return b.file.Write(out)
}

// book is a workbook under work.
type book struct {
	in     WorkbookInput
	writer *Writer
	file   *excelize.File
	styles styles
	names  sheetNames
	fonts  *draw.Fonts
	// sheets by what they are for, made up front so that any can lead to any; nil
	// where there is nothing to say.
	summary, flags, changes                                         *worksheet
	pieces, edges, cutouts, seams, supports, setup, repairs, limits *worksheet
	unchecked                                                       *worksheet
	details                                                         *shortTables // nil when each table has a sheet of its own
	piece                                                           []*worksheet // by place in the result; nil past Settings.PieceSheets
}

// tableSheet is a sheet that is one table. It is left out when the table has no
// rows: the summary counts them, and an empty page tells nobody more.
type tableSheet struct {
	name  string
	sheet **worksheet
	rows  int
	build func(*book) error
	short bool // it may share a sheet with others
}

// tables returns the sheets behind those of the pieces, in the order of their tabs.
func (b *book) tables() []tableSheet {
	r := b.in.Result
	supports := 0
	if t := b.in.Template; t != nil {
		supports = len(t.Supports) + len(t.Openings)
	}
	pieces := len(r.Pieces)
	return []tableSheet{
		{"Pieces", &b.pieces, pieces, piecesSheet, false}, {"Edges", &b.edges, pieces, edgesSheet, false}, {"Cutouts", &b.cutouts, countCutouts(r), cutoutsSheet, false}, {"Set-up", &b.setup, pieces, setupSheet, false},
		{"Seams", &b.seams, seamRows(r), seamsSheet, true}, {"Supports", &b.supports, supports, supportsSheet, true},
		{"Repairs", &b.repairs, len(r.Repairs), repairsSheet, true}, {"Not checked", &b.unchecked, len(r.Unchecked) + len(r.Unread), uncheckedSheet, true},
		{"Limits", &b.limits, len(b.in.Limits), limitsSheet, false},
	}
}

// seamRows counts the rows of the table of seams: a step each, a row at least.
func seamRows(r *Result) (n int) {
	for _, s := range r.Seams {
		n += max(1, len(s.Steps))
	}
	return n
}

func newBook(w *Writer) (*book, error) {
	in := w.in
	b := &book{in: in, writer: w, file: excelize.NewFile(), names: sheetNames{}, fonts: w.kit.fonts}
	b.styles = newStyles(b.file, &w.tools.styles)
	if err := b.file.SetDefaultFont(fontFamily); err != nil {
		return nil, err
	}
	r := in.Result
	title := "Template review: " + lineText(r.Source.File)
	if err := b.file.SetDocProps(&excelize.DocProperties{Title: cutUnits(title, mostHeader), Creator: "trueup", Description: cutUnits(lineText(r.Job), mostHeader)}); err != nil {
		return nil, err
	}
	return b, b.makeSheets()
}

// makeSheets makes the sheets in the order of their tabs. A failed file has a
// summary and what there is to say.
func (b *book) makeSheets() error {
	var err error
	add := func(name string) *worksheet {
		s := &worksheet{book: b, name: b.names.name(name)}
		if err != nil {
			return s
		}
		if len(b.names) == 1 {
			err = b.file.SetSheetName("Sheet1", s.name)
		} else {
			_, err = b.file.NewSheet(s.name)
		}
		return s
	}
	r := b.in.Result
	b.summary, b.flags = add("Summary"), add(flagsSheetName)
	if b.in.Earlier != nil {
		b.changes = add("Changes")
	}
	tables := b.tables()
	shared := together(tables)
	for _, t := range tables {
		b.names[strings.ToLower(t.name)] = true // a piece may not take these names
	}
	b.piece = make([]*worksheet, len(r.Pieces))
	for i, p := range r.Pieces {
		if b.writer.drawn(i) {
			b.piece[i] = add("Piece " + p.ID)
		}
	}
	for _, t := range tables {
		delete(b.names, strings.ToLower(t.name))
		switch {
		case t.rows == 0:
		case t.short && shared:
			if b.details == nil {
				b.details = &shortTables{sheet: add(detailsSheetName), next: 1}
			}
			b.details.left++
			*t.sheet = b.details.sheet
		default:
			*t.sheet = add(t.name)
		}
	}
	return err
}

// wrap returns into how many lines a text of a size in points wraps within a
// width in pixels. The drawing font is a little wider than the sheets', so that
// rows are rather too high than too low.
func (b *book) wrap(text string, size float64, bold bool, pixels float64) int {
	em := size / 72 * 96
	width, lines := pixels/em, 0
	for _, paragraph := range strings.Split(cellText(text), "\n") {
		lines++
		at := 0.0
		for _, word := range strings.Fields(paragraph) {
			w := b.fonts.Width(word, bold)
			if at > 0 && at+0.3+w > width {
				lines, at = lines+1, 0
			}
			for w > width && width > 1 { // a word longer than the line breaks anywhere
				lines, w = lines+1, w-width
			}
			at += w + 0.3
		}
	}
	return lines
}
