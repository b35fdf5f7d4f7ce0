package report

import "fmt"

// Layout of a piece's sheet: the drawing on the left, the figures on the right,
// one page on its side. Millimetres unless said otherwise.
const (
	drawingWide  = 186.0
	drawingHigh  = 128.0
	gapWide      = 3.0
	figuresWide  = 86.0
	firstFigure  = 4 // row
	pieceColumns = 5 // drawing, gap, name, and two of figures
	widestCode   = 116.0
	latestOffset = 600.0 // pixels: a picture's offset must stay inside its column as the library counts it
)

// pieceSheets writes the sheet of each piece for the shop.
func pieceSheets(b *book) error {
	for i, s := range b.piece {
		if s == nil {
			continue
		}
		if err := s.piece(i); err != nil {
			return err
		}
	}
	return nil
}

func (s *worksheet) piece(i int) error {
	b := s.book
	r := &b.in.Result.Pieces[i]
	figure := 72.0 // pixels
	s.columns(drawingWide*mmPixels, gapWide*mmPixels, figuresWide*mmPixels-2*figure, figure, figure)
	s.page(true, 1)
	s.pieceHeading(r)
	d := b.writer.piece(i)
	s.drawing(firstFigure, 1, d.Canvas, 0, 2, "Piece", pieceAlt(r, d.ratio, d.turn))
	f := figures{book: b}
	f.all(i, r)
	row := s.pieceFlags(s.writeFigures(f.lines), r)
	s.span(row, 1, pieceColumns, shopCaution, look{size: 8, wrap: true, border: lineSoft})
	s.fitRow(row, shopCaution, 8, false, 1, pieceColumns)
	return s.finish()
}

// pieceHeading is the piece's name and bar code, what it is of, and its weight.
func (s *worksheet) pieceHeading(r *Piece) {
	in := s.book.in
	s.set(1, 1, s.book.fonts.Cut("Piece "+lineText(r.ID), true, 21), look{size: 20, bold: true})
	s.height(1, 30)
	line := lineText(in.Result.jobName())
	if in.Result.Revision > 0 {
		line += ", revision " + itoa(in.Result.Revision)
	}
	s.set(2, 1, line+", "+r.Kind+", "+lineText(r.Material), look{size: 11, color: inkQuiet})
	s.height(2, 17)
	facts := in.Settings.text(r.Length) + " × " + in.Settings.text(r.Width) + ", " + in.Settings.text(r.Thickness) + " thick, " + s.book.massText(r.Mass)
	if n := r.Setup.Persons; n > 0 {
		facts += ": " + plural(n, "person", "people") + " (at most " + s.book.massText(r.Setup.PersonLoad) + " each) or lifting gear"
	}
	s.span(3, 1, pieceColumns, facts, look{size: 12, bold: true, fill: fillHead, under: lineStrong})
	s.height(3, 22)
	s.barcode(r)
}

// barcode sets the piece's Code 128 at the top right with its text below.
func (s *worksheet) barcode(r *Piece) {
	text := pieceCode(s.book.in.Result.jobName(), s.book.in.Result.Revision, r.ID)
	png, modules, err := barcodePNG(s.book.fonts, text)
	if err != nil {
		s.fail(err)
		return
	}
	wide := min(float64(modules)*widestModule, widestCode)
	column, offset := 3, 0.0
	if wide > figuresWide {
		column, offset = 1, min((drawingWide+gapWide+figuresWide-wide)*mmPixels, latestOffset)
	}
	s.stretched(1, column, png, modules*pixelsPerModule, barHeight, wide, barHeightOnPaper, offset, 2,
		"Bar code", "Code 128 bar code: "+text)
	s.span(2, 3, pieceColumns, text, look{size: 8, valign: "bottom", indent: 1})
}

// pieceFlags lists the piece's flags below the drawing.
func (s *worksheet) pieceFlags(row int, r *Piece) int {
	const most = 4
	n := 0
	for _, f := range s.book.in.Result.Flags {
		if f.Piece != r.ID && f.Other != r.ID {
			continue
		}
		if n++; n > most {
			continue
		}
		text := f.ID + " " + severityWord(f.Severity) + ": " + lineText(f.Message)
		if f.Decision != nil {
			text += " (" + decided(f.Decision, s.book.in.Result.Revision) + ")"
		}
		s.span(row, 1, pieceColumns, text, look{size: 9, wrap: true, under: lineSoft, bold: f.Severity == "stop"})
		s.fitRow(row, text, 9, f.Severity == "stop", 1, pieceColumns)
		row++
	}
	if n > most {
		s.span(row, 1, pieceColumns, fmt.Sprintf("and %d more flags of this piece on sheet %s", n-most, s.book.flags.name), look{size: 9, italic: true})
		row++
	}
	return row
}
