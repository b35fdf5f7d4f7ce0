package rules

import (
	"fmt"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// pieceUnfinished finds pieces without a finished edge in a drawing that marks finished
// edges on others: the marks were forgotten, or lie beside their edges. A piece whose
// edges all stand against walls or at seams has none to finish and passes, as does one
// with no more than unfinished_least left over. Splashes are compared with splashes:
// many shops never draw the finish of their top edge. Measured is the length in mm of
// all its edges of which nothing is said. Equal passes. Limit: 100 mm, common practice,
// no source.
func pieceUnfinished() Rule {
	return Rule{
		ID:         "piece-unfinished",
		Severities: []Severity{Warn},
		What:       "Pieces without a finished edge in a drawing that marks finished edges.",
		Why:        "Its front comes out raw, and is seen when the piece stands in its place.",
		How: "The length of the edges that are neither against a wall nor at a seam, of pieces without any finished edge, where another piece of the same kind (top or splash) has one. " +
			"Up to unfinished_least they are ends that nobody sees.",
		Limits: []string{"rules.unfinished_least"},
		Check:  checkUnfinished,
	}
}

func checkUnfinished(in *Input, out *Findings) {
	marked := map[piece.Kind]bool{}
	for i := range in.Template.Pieces {
		p := &in.Template.Pieces[i]
		marked[p.Kind] = marked[p.Kind] || hasFinished(p)
	}
	for i := range in.Template.Pieces {
		p := &in.Template.Pieces[i]
		if !marked[p.Kind] || hasFinished(p) {
			continue
		}
		edges, length := unmarked(p)
		if length <= in.Settings.UnfinishedLeast+geom.Tolerance {
			continue
		}
		carry := " together, carry"
		if len(edges) == 1 {
			carry = ", carries"
		}
		out.Flag(Flag{
			Piece: p.ID, At: p.Outline.Centroid(), Measured: length, Limit: in.Settings.UnfinishedLeast, Unit: "mm",
			Message: fmt.Sprintf("Piece %s has no finished edge, and others of the drawing have; %s %s, %s long%s no mark.",
				p.ID, plural(len(edges), "edge"), listOf(edges), in.lengths().Of(length), carry),
			Remedy: "Mark the edges that show as finished, or those that do not as against a wall.",
		})
	}
}

func hasFinished(p *piece.Piece) bool {
	for i := range p.Edges {
		if p.Edges[i].Finish == piece.Finished {
			return true
		}
	}
	return false
}

// unmarked returns the numbers and the length together of the edges of which nothing is
// said.
func unmarked(p *piece.Piece) (edges []string, length float64) {
	for i := range p.Edges {
		if e := &p.Edges[i]; e.Finish == piece.Unmarked {
			edges, length = append(edges, fmt.Sprint(e.N)), length+e.Length()
		}
	}
	return edges, length
}

// plural returns a noun for so many.
func plural(n int, noun string) string {
	if n == 1 {
		return noun
	}
	return noun + "s"
}
