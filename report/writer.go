package report

import (
	"fmt"
	"io"
	"sync"

	"github.com/klauspost/compress/flate"

	"trueup/dxfio/geom"
	"trueup/report/draw"
)

// Tools are what reports are made with: type, styles, and the memory they are
// made in.
// They serve any number of reports one after the other and at the same time.
// The zero value is ready for use.
type Tools struct {
	idle   sync.Pool // of *kit
	styles madeStyles
}

func (t *Tools) take() (*kit, error) {
	if k, ok := t.idle.Get().(*kit); ok {
		return k, nil
	}
	return newKit()
}

// kit is what one report needs for itself while it is made.
type kit struct {
	fonts   *draw.Fonts
	deflate *flate.Writer
}

func newKit() (*kit, error) {
	fonts, err := draw.NewFonts()
	return &kit{fonts: fonts}, err
}

// Writer writes the files of one report. What several of them show is worked
// out once. Not for concurrent use.
type Writer struct {
	in     WorkbookInput
	tools  *Tools
	kit    *kit
	pieces []*pieceCanvas // by place in the result
}

// pieceCanvas is the drawing of a piece, its scale (1 to so many) and its turn
// against the template in degrees.
type pieceCanvas struct {
	*draw.Canvas
	ratio, turn float64
}

// NewWriter checks the input. Close the Writer to give its tools to the next
// report.
func NewWriter(in WorkbookInput, tools *Tools) (*Writer, error) {
	if in.Result == nil {
		return nil, fmt.Errorf("no result given")
	}
	if err := in.Settings.Validate(); err != nil {
		return nil, err
	}
	kit, err := tools.take()
	if err != nil {
		return nil, err
	}
	return &Writer{in: in, tools: tools, kit: kit, pieces: make([]*pieceCanvas, len(in.Result.Pieces))}, nil
}

// Close gives the tools back. The Writer is not to be used after it.
func (w *Writer) Close() {
	w.tools.idle.Put(w.kit)
	w.kit = nil
}

// drawn reports whether the result's piece i has a drawing.
func (w *Writer) drawn(i int) bool {
	return w.in.Template != nil && i < len(w.in.Template.Pieces) && int64(i) < w.in.Settings.PieceSheets
}

// piece draws a piece of the result; see pieceDrawing.
func (w *Writer) piece(i int) *pieceCanvas {
	if w.pieces[i] == nil {
		r, t := w.in.Result.Pieces[i], w.in.Template
		centroid := geom.Point{X: r.Centroid[0], Y: r.Centroid[1]}.Sub(t.Shift)
		canvas, ratio, turn := pieceDrawing(t, &t.Pieces[i], centroid, w.kit.fonts, w.in.Settings, drawingWide, drawingHigh)
		w.pieces[i] = &pieceCanvas{canvas, ratio, turn}
	}
	return w.pieces[i]
}

// Workbook writes the report as an Excel workbook: a summary to decide from, a
// list of flags with columns for the decisions, tables of everything measured,
// and a sheet a piece for the shop. It writes nothing when it fails before the
// file is whole.
func (w *Writer) Workbook(out io.Writer) error {
	if err := w.workbook(out); err != nil {
		return fmt.Errorf("workbook: %w", err)
	}
	return nil
}

// PieceSVG writes the drawing of the piece with an id as SVG, best after the
// workbook, which shows it too.
func (w *Writer) PieceSVG(out io.Writer, id string) error {
	for i := range w.in.Result.Pieces {
		if p := &w.in.Result.Pieces[i]; p.ID == id && w.in.Template != nil && i < len(w.in.Template.Pieces) {
			d := w.piece(i)
			w.pieces[i] = nil // a template may have thousands
			return d.SVG(out, "Piece "+lineText(id)+" of "+lineText(w.in.Result.jobName()), pieceAlt(p, d.ratio, d.turn))
		}
	}
	return fmt.Errorf("drawing of piece %s: the template has no such piece", id)
}
