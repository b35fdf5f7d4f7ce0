package rules

import (
	"fmt"
	"math"

	"trueup/dxfio/geom"
)

// tooBigForAccess finds pieces that do not get around the corner of the
// corridors on their way in. Measured is the long side of the smallest rectangle
// around the piece, which is carried upright on that side; the limit follows
// from the corridors: the ladder around a corner, widened by the stone's
// thickness and the clearance (see shop.AroundCorner for the derivation). Equal
// passes. Height of doors and ceilings is not looked at.
func tooBigForAccess() Rule {
	return Rule{
		ID:         "too-big-for-access",
		Severities: []Severity{Warn},
		What:       "Pieces that do not get around the corner of the corridors.",
		Why:        "The crew stands in the hallway with a top that has to be cut there, or goes back to the shop.",
		How: "The piece is carried upright on its long side, level, around a right-angled corner. The longest that passes is the least of (a sin v + b cos v - w) / (sin v cos v) over all angles v, " +
			"a and b being the corridors and w thickness with clearance. Without corridor widths in the settings it is not checked; heights are not looked at.",
		Limits: []string{"shop.access.corridor_from", "shop.access.corridor_to", "shop.access.clearance"},
		Check: func(in *Input, out *Findings) {
			a, l := &in.Shop.Access, in.lengths()
			if !a.Known() {
				out.Unchecked("no corridor width in the settings")
				return
			}
			for i := range in.Template.Pieces {
				p := &in.Template.Pieces[i]
				limit := a.Longest(p.Thickness)
				box := in.setup(p).Rectangle
				if box.Length <= limit+geom.Tolerance {
					continue
				}
				w := widthAcross(p.Outline, geom.Point{X: 1}.Rotate(box.AngleDeg*math.Pi/180))
				out.Flag(Flag{
					Piece: p.ID, At: w.Middle(), Witness: &w, Measured: box.Length, Limit: limit, Unit: "mm",
					Message: fmt.Sprintf("Piece %s is %s long; around the corner from a corridor of %s into one of %s go at most %s.",
						p.ID, l.Of(box.Length), l.Of(a.From), l.Of(a.To), l.Down(limit)),
					Remedy: fmt.Sprintf("A seam that leaves at most %s, or another way in.", l.Down(limit)),
				})
			}
		},
	}
}
