package report

import (
	"fmt"
	"io"
	"strings"
	"unicode"

	"trueup/report/draw"
)

// Picture is a drawing of a report that stands beside it as SVG.
type Picture struct {
	File  string // name, safe on every system and unique within the report
	Write func(w io.Writer) error
}

// Pictures returns the drawings of a report: the whole template and each piece.
// A failed file has none.
func Pictures(in WorkbookInput) ([]Picture, error) {
	if in.Template == nil || len(in.Result.Pieces) == 0 {
		return nil, nil
	}
	if err := in.Settings.Validate(); err != nil {
		return nil, fmt.Errorf("pictures: %w", err)
	}
	fonts, err := draw.NewFonts()
	if err != nil {
		return nil, fmt.Errorf("pictures: %w", err)
	}
	name := in.Result.jobName()
	pictures := []Picture{{File: "template.svg", Write: func(w io.Writer) error {
		canvas, ratio := templateDrawing(in.Template, in.Result, fonts, in.Settings, summaryWide, summaryPicture)
		return canvas.SVG(w, "Template "+lineText(name), templateAlt(in.Result, ratio))
	}}}
	files := PieceFiles(in.Result)
	for i, p := range in.Result.Pieces {
		if i >= len(in.Template.Pieces) || int64(i) >= in.Settings.PieceSheets {
			break
		}
		pictures = append(pictures, Picture{File: files[p.ID], Write: func(w io.Writer) error { return PieceSVG(w, in, p.ID) }})
	}
	return pictures, nil
}

// PieceFiles returns the file names of the pieces' drawings by piece id. A failed
// file has none.
func PieceFiles(r *Result) map[string]string {
	taken, out := map[string]bool{}, map[string]string{}
	for _, p := range r.Pieces {
		out[p.ID] = pictureFile(p.ID, taken)
	}
	return out
}

// PieceSVG writes the drawing of one piece as SVG.
func PieceSVG(w io.Writer, in WorkbookInput, id string) error {
	one, err := NewWriter(in, &Tools{})
	if err != nil {
		return fmt.Errorf("drawing of piece %s: %w", id, err)
	}
	defer one.Close()
	return one.PieceSVG(w, id)
}

// pictureFile makes a file name of a piece's id: letters, digits, dash and
// underscore, at most 40 of them, unique without regard to case.
func pictureFile(id string, taken map[string]bool) string {
	safe := strings.Map(func(r rune) rune {
		if r == '-' || r == '_' || unicode.IsLetter(r) || unicode.IsDigit(r) {
			return r
		}
		return '_'
	}, lineText(id))
	base := "piece-" + string([]rune(safe)[:min(40, len([]rune(safe)))])
	name := base
	for n := 2; taken[strings.ToLower(name)]; n++ {
		name = base + "-" + itoa(n)
	}
	taken[strings.ToLower(name)] = true
	return name + ".svg"
}

func templateAlt(r *Result, ratio float64) string {
	return fmt.Sprintf("Drawing of the whole template at 1 to %g with its %s and %s, numbered as on sheet Flags.", ratio,
		plural(len(r.Pieces), "piece", "pieces"), plural(len(r.Flags), "flag", "flags"))
}

func pieceAlt(p *Piece, ratio, turn float64) string {
	alt := fmt.Sprintf("Drawing of piece %s to scale 1 to %g with dimensions, numbered edges, %s and its centre of gravity.",
		lineText(p.ID), ratio, plural(len(p.Cutouts), "cutout", "cutouts"))
	if turn != 0 {
		alt += fmt.Sprintf(" Turned by %.1f degrees against the template.", turn)
	}
	return alt
}
