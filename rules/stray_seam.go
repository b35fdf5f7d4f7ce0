package rules

import (
	"fmt"
	"math"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// straySeam reports seam lines that divide no piece. Measured is how far the end
// that lies farther off is from the edge of the piece, outline or cutout, in mm;
// the witness leads from that end to the edge. Up to closing.bridge a seam is
// carried on to the edge. A line in no piece, or one with both ends at the edge,
// has no such distance: Measured is then its length, without a limit.
func straySeam() Rule {
	return Rule{
		ID:         "stray-seam",
		Severities: []Severity{Stop},
		What:       "Seam lines that divide no piece.",
		Why:        "The piece is cut in one where two were meant: too long for the slab, the lift or the stairs, and the joint is missing on site.",
		How: "Of a line on a seam layer that divides no piece and lies along no edge, the distance of each end to the nearest edge of its piece; the larger counts. " +
			"Ends within the bridging distance are carried on to the edge and are no flaw. One flag an entity.",
		Limits: []string{"closing.bridge"},
		Check: func(in *Input, out *Findings) {
			for _, row := range seamRows(in.Template.Problems) {
				out.Flag(in.straySeamFlag(&row))
			}
		},
	}
}

func (in *Input) straySeamFlag(p *seamRow) Flag {
	l := in.lengths()
	w, whole := p.Witness, entity(&p.Problem)+" of "
	if p.dashes > 1 {
		whole = fmt.Sprintf("%d dashes over ", p.dashes)
	}
	what := fmt.Sprintf("The seam line (%s%s%s) %s", whole, l.Of(p.Measured), onLayer(&p.Problem), in.fromTo(&p.Problem))
	// Which of two ends is told must not move the key: the middle makes it.
	f := Flag{Other: p.Layer, At: p.At, Anchor: &p.At, Witness: &w, Measured: p.Measured, NoLimit: true, Unit: "mm"}
	on := in.pieceAround(p.At)
	if on == nil {
		f.Message = what + " divides no piece: it lies in none."
		f.Remedy = "Move it into the piece that it should divide, or delete it or put it on an ignored layer."
		return f
	}
	f.Piece = on.ID
	from, to := toEdge(on, w.From), toEdge(on, w.To)
	short := longer(longer(from, to), p.gap)
	if short.Length() <= p.Limit+geom.Tolerance {
		f.Message = fmt.Sprintf("%s divides piece %s in no two parts, though both its ends lie at the edge.", what, on.ID)
		f.Remedy = "Draw the seam as one line from edge to edge across the piece, or delete it."
		return f
	}
	f.Limit, f.NoLimit = p.Limit, false
	f.Witness, f.Measured, f.At = &short, short.Length(), short.Middle()
	ends := fmt.Sprintf("its ends lie %s from the edge", l.Pair(from.Length(), to.Length()))
	if p.dashes > 1 {
		f.Message = fmt.Sprintf("%s does not divide piece %s: it has gaps of up to %s, and %s; up to %s are closed.", what, on.ID, l.Of(p.gap.Length()), ends, l.Of(p.Limit))
		f.Remedy = fmt.Sprintf("Draw the seam as one line from edge to edge, or delete it if piece %s stays whole.", on.ID)
		return f
	}
	var more []string
	for _, e := range [2]geom.Witness{from, to} {
		if e.Length() > p.Limit+geom.Tolerance {
			more = append(more, in.place(e.From))
		}
	}
	f.Message = fmt.Sprintf("%s does not divide piece %s: %s; up to %s are closed.", what, on.ID, ends, l.Of(p.Limit))
	f.Remedy = fmt.Sprintf("Draw the seam on to the edge from %s, or delete it if piece %s stays whole.", listOf(more), on.ID)
	return f
}

// pieceAround returns the smallest piece whose outline holds a point, nil when
// none does.
func (in *Input) pieceAround(at geom.Point) *piece.Piece {
	var best *piece.Piece
	for i := range in.Template.Pieces {
		p := &in.Template.Pieces[i]
		if p.Outline.Box().Distance(at) > geom.Tolerance || p.Outline.Locate(at) == geom.Outside {
			continue
		}
		if best == nil || p.Outline.Area() < best.Outline.Area() {
			best = p
		}
	}
	return best
}

// toEdge returns the shortest line from a point to the edge of a piece: its
// outline, or a cutout inside it.
func toEdge(p *piece.Piece, at geom.Point) geom.Witness {
	best, least := geom.Witness{From: at, To: at}, math.Inf(1)
	look := func(l geom.Loop) {
		for _, c := range l {
			if q, _ := geom.NearestPoint(c, at); q.Distance(at) < least {
				best.To, least = q, q.Distance(at)
			}
		}
	}
	look(p.Outline)
	for i := range p.Cutouts {
		look(p.Cutouts[i].Loop)
	}
	return best
}
