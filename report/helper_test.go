package report

import (
	"io"

	"trueup/report/draw"
)

// writeWorkbook writes one report's workbook with tools of its own.
func writeWorkbook(w io.Writer, in WorkbookInput) error {
	one, err := NewWriter(in, &Tools{})
	if err != nil {
		return err
	}
	defer one.Close()
	return one.Workbook(w)
}

// writePieceSVG writes the drawing of one piece with tools of its own.
func writePieceSVG(w io.Writer, in WorkbookInput, id string) error {
	one, err := NewWriter(in, &Tools{})
	if err != nil {
		return err
	}
	defer one.Close()
	return one.PieceSVG(w, id)
}

// svgFile is a drawing that a report shows, as SVG.
type svgFile struct {
	file  string
	write func(w io.Writer) error
}

// picturesOf returns the drawing of the whole template, which the summary shows,
// and those of the pieces, which stand beside the workbook. A failed file has none.
func picturesOf(in WorkbookInput) ([]svgFile, error) {
	files := PieceFiles(in.Result)
	if len(files) == 0 {
		return nil, nil
	}
	fonts, err := draw.NewFonts()
	if err != nil {
		return nil, err
	}
	pictures := []svgFile{{"template.svg", func(w io.Writer) error {
		canvas, ratio := templateDrawing(in.Template, in.Result, fonts, in.Settings, summaryWide, summaryPicture)
		return canvas.SVG(w, "Template", templateAlt(in.Result, ratio))
	}}}
	for _, p := range in.Result.Pieces {
		pictures = append(pictures, svgFile{files[p.ID], func(w io.Writer) error { return writePieceSVG(w, in, p.ID) }})
	}
	return pictures, nil
}
