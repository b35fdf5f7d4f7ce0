package report

import (
	"fmt"
	"strings"
	"unicode"
)

// PieceFiles returns the file names of the pieces' drawings by piece id. A failed
// file has none.
func PieceFiles(r *Result) map[string]string {
	taken, out := map[string]bool{}, map[string]string{}
	for _, p := range r.Pieces {
		out[p.ID] = pictureFile(p.ID, taken)
	}
	return out
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
