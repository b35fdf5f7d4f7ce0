package rules

import (
	"fmt"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// coarseCurve tells of sides that may have been meant as an arc: four or more of
// one length on one circle, each turning no more than an exporter's chords do, but
// bulging more from the arc. They are cut as drawn. Measured is the bulge in mm,
// the greatest distance between a side and the arc, and the limit is what an
// exporter's chord may have; the place is the middle of the run.
func coarseCurve() Rule {
	return Rule{
		ID:         "coarse-curve",
		Severities: []Severity{Warn},
		What:       "Sides on one circle that may have been meant as an arc.",
		Why:        "A bay with sides and a bow exported as a few long chords look the same; one is cut straight, the other round.",
		How: "Four or more sides in a row, of one length within 2 %, with their corners on one circle within closing.facet_tolerance, each turning at most closing.facet_turn, " +
			"whose arc bulges from them by more than closing.facet_sagitta, or over a line beside them. They are cut as sides.",
		Limits: []string{"closing.facet_sagitta"},
		Check: fromProblems(piece.CoarseCurve, func(in *Input, p *piece.Problem, f *Flag) {
			w, l := p.Witness, in.lengths()
			f.Measured, f.Limit, f.Unit = p.Bulge, p.Limit, "mm"
			if on, _, _ := in.nearestEdge(p.At); on != nil {
				f.Piece = on.ID
			}
			where := in.fromTo(p)
			if w.Length() <= geom.Tolerance {
				where = "around " + in.place(p.At)
			}
			f.Message = fmt.Sprintf("%d sides of %s%s %s lie on one circle and are cut straight, as drawn; as an arc they would have a radius of %s and bulge by %s.",
				p.Count, l.Of(p.Measured), onLayer(p), where, l.Of(p.Radius), l.Of(p.Bulge))
			if p.Why == piece.CoarseCrosses {
				f.Limit, f.NoLimit = 0, true
				f.Message = fmt.Sprintf("%d sides of %s%s %s lie on one circle and are cut straight, as drawn: an arc of radius %s in their place would bulge by %s, over a line beside them.",
					p.Count, l.Of(p.Measured), onLayer(p), where, l.Of(p.Radius), l.Of(p.Bulge))
			}
			f.Remedy = fmt.Sprintf("Accept it if the sides are meant; if not, draw them as an arc of radius %s.", l.Of(p.Radius))
		}),
	}
}
