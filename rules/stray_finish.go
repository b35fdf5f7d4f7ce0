package rules

import (
	"fmt"
	"math"
	"slices"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/rules/shop"
)

// strayFinish reports finish marks that mark no edge. Measured is the distance
// in mm from the middle of the mark to the nearest edge of a piece, the witness
// leads there; marks count within pieces.mark_distance, and one that meets an edge without running along it
// is told with its length, as is one along a seam, which nobody polishes. A mark of some length
// beside an edge that nothing else finishes is a stop: that edge stays raw. One
// beside an edge that is finished or a seam anyway, one at a cutout, whose edges
// have no finish of their own, a speck, or a line far from every piece, such as a
// key to the drawing, is told as a warning. Of a mark that marks one edge and
// runs beside another the part beside is told.
func strayFinish() Rule {
	return Rule{
		ID:         "stray-finish",
		Severities: []Severity{Stop, Warn},
		What:       "Finish marks that mark no edge.",
		Why:        "The edge leaves the shop unpolished, which shows when the top is set.",
		How: "The distance from the middle of a line on a finished layer that runs along no edge to the nearest edge; the line's length where it meets that edge. " +
			"A stop where that edge lies within finish_reach and nothing else finishes it; else, at cutouts, and for lines up to 5 mm long, a warning. " +
			"Of a straight mark that leaves its edge and goes on beside it, the part that is too far off. " +
			"Of a mark along a seam and along no edge that shows, its length: a warning; a mitre or bevel along a seam is sawn, and right.",
		Limits: []string{"pieces.mark_distance", "rules.finish_reach"},
		Check: func(in *Input, out *Findings) {
			fromProblems(piece.StrayFinish, strayFinishFlag)(in, out)
			in.finishOnSeams(out)
		},
	}
}

// finishOnSeams reports finish marks along seams. A seam line is drawn there too, or
// the edges would be no seam: one of the two is wrong.
func (in *Input) finishOnSeams(out *Findings) {
	for i := range in.Template.Problems {
		p := &in.Template.Problems[i]
		if p.Kind != piece.FinishOnSeam {
			continue
		}
		on, e, _ := in.nearestEdge(p.At)
		if on == nil || slices.ContainsFunc(in.setup(on).Bevels, func(b shop.Bevel) bool { return b.Edge == e.N }) {
			continue
		}
		w := p.Witness
		f := Flag{Piece: on.ID, Other: p.Layer, Severity: Warn, At: p.At, Witness: &w, Measured: p.Measured, Unit: "mm", NoLimit: true,
			Message: fmt.Sprintf("The finish mark (%s of %s%s) %s lies along a seam, edge %d of piece %s: seams are not polished.",
				entity(p), in.lengths().Of(p.Measured), onLayer(p), in.fromTo(p), e.N, on.ID),
			Remedy: "Delete the mark, or the seam line if the edge shows.",
		}
		out.Flag(f)
	}
}

// finishSpeck is the length in mm up to which a line on a finished layer marks
// nothing by itself: the jog between two offset marks, an arrow's barb.
const finishSpeck = 5

func strayFinishFlag(in *Input, p *piece.Problem, f *Flag) {
	w, l := p.Witness, in.lengths()
	f.Severity, f.Witness, f.Measured, f.Unit, f.NoLimit = Warn, &w, p.Measured, "mm", true
	f.Limit = 0
	what := fmt.Sprintf("The finish mark (%s of %s%s) %s", entity(p), l.Of(p.Measured), onLayer(p), in.fromTo(p))
	if p.Count == 0 {
		what = fmt.Sprintf("A part of the finish mark (%s of a %s%s) %s", l.Of(p.Measured), entity(p), onLayer(p), in.fromTo(p))
	}
	on, e, way := in.nearestEdge(p.At)
	if on == nil {
		f.Message = what + " marks no edge: there is no piece."
		f.Remedy = "Draw the outline, or put the mark on an ignored layer."
		return
	}
	d := way.Length()
	if of, c := in.cutoutAlong(p.At, d); c != nil {
		f.Piece = of.ID
		f.Message = fmt.Sprintf("%s lies at the %s %s: the finish of cutouts is not taken up, and no figure for polishing holds it.", what, cutoutName(c.Kind), c.ID)
		f.Remedy = fmt.Sprintf("Plan the %s's edge to be polished by hand, or put the mark on an ignored layer.", cutoutName(c.Kind))
		return
	}
	f.Piece, f.Witness, f.Measured, f.Limit, f.NoLimit, f.At = on.ID, &way, d, p.Limit, false, way.Middle()
	where := fmt.Sprintf("the nearest, edge %d of piece %s, lies %s away, and marks count within %s (pieces.mark_distance).", e.N, on.ID, l.Of(d), l.Of(p.Limit))
	if d <= p.Limit+geom.Tolerance {
		where = fmt.Sprintf("it meets edge %d of piece %s, but does not run along it.", e.N, on.ID)
		f.Witness, f.At, f.Measured, f.Limit, f.NoLimit = &w, p.At, p.Measured, 0, true
	}
	becomes := ""
	switch {
	case e.Finish == piece.Finished:
		becomes = " Another mark finishes that edge."
	case e.Finish == piece.SeamEdge:
		becomes = " That edge is a seam."
	case d <= in.Settings.FinishReach+geom.Tolerance:
		becomes = " That edge stays unpolished."
		if p.Measured > finishSpeck {
			f.Severity = Stop
		}
	}
	f.Message = fmt.Sprintf("%s marks no edge: %s%s", what, where, becomes)
	f.Remedy = fmt.Sprintf("Draw it on edge %d of piece %s, %s, or delete it.", e.N, on.ID, in.between(e.From(), e.To()))
}

// cutoutAlong returns a cutout whose line lies nearer to a point than a distance,
// and its piece; nil when there is none. A cutout over the edge has its edges in
// the outline.
func (in *Input) cutoutAlong(at geom.Point, than float64) (of *piece.Piece, cutout *piece.Cutout) {
	for i := range in.Template.Pieces {
		p := &in.Template.Pieces[i]
		for k := range p.Cutouts {
			c := &p.Cutouts[k]
			if c.OverEdge || c.Loop.Box().Distance(at) >= than {
				continue
			}
			for _, e := range c.Loop {
				if d := e.Distance(at); d < than-geom.Tolerance {
					of, cutout, than = p, c, d
				}
			}
		}
	}
	return of, cutout
}

// nearestEdge returns the edge nearest to a point, its piece, and the line from
// the point to it; nil without pieces.
func (in *Input) nearestEdge(at geom.Point) (*piece.Piece, *piece.Edge, geom.Witness) {
	var on *piece.Piece
	var edge *piece.Edge
	best, least := geom.Witness{From: at, To: at}, math.Inf(1)
	for i := range in.Template.Pieces {
		p := &in.Template.Pieces[i]
		if p.Outline.Box().Distance(at) >= least {
			continue
		}
		for k := range p.Edges {
			for _, c := range p.Edges[k].Curves {
				if q, _ := geom.NearestPoint(c, at); q.Distance(at) < least {
					on, edge, best.To, least = p, &p.Edges[k], q, q.Distance(at)
				}
			}
		}
	}
	return on, edge, best
}
