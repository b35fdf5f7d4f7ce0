package rules

import (
	"fmt"

	"trueup/dxfio/geom"
	"trueup/rules/shop"
)

// sawShort tells how much of a piece's straights the saw leaves for the router
// because a corner stands in the blade's way: what cuts stop short of inside
// corners, and straights that no cut fits into. Measured is their length on the
// outline and the cutouts together, arcs and round holes left out; the witness
// is the longest single stretch. One note a piece; a piece without any is
// silent. It is compared with no limit: such a stretch is set-up work, not a flaw.
func sawShort() Rule {
	return Rule{
		ID:         "saw-short",
		Severities: []Severity{Note},
		What:       "Length at inside corners that the saw leaves for the router.",
		Why:        "The blade is round: sawn to the corner at the bottom it would cut past it at the top, into the visible face.",
		How: "At an inside corner a cut stops c(t+e) - c(e) short, c(h) being the blade's half chord at depth h, t the thickness, e the overcut. " +
			"Straights between corners that are too near for the blade count whole. Arcs, round holes and straights that are short for other reasons do not count.",
		Limits: []string{"shop.saw.blade_diameter", "shop.saw.overcut"},
		Check: func(in *Input, out *Findings) {
			for i := range in.Template.Pieces {
				p := &in.Template.Pieces[i]
				total, worst := shortOf(in.setup(p))
				if total <= geom.Tolerance {
					continue
				}
				w := geom.Witness{From: worst.A, To: worst.B}
				out.Flag(Flag{
					Piece: p.ID, At: w.Middle(), Witness: &w, Stretch: total, Measured: total, NoLimit: true, Unit: "mm",
					Message: fmt.Sprintf("On piece %s the saw leaves %s at inside corners to the router, the longest stretch %s at %s.",
						p.ID, in.lengths().Of(total), in.lengths().Of(w.Length()), in.place(w.Middle())),
					Remedy: "Plan the router for these corners; no change of the drawing is needed.",
				})
			}
		},
	}
}

// shortOf adds up what corners leave to the router and returns the longest.
func shortOf(s *shop.Setup) (total float64, worst geom.Curve) {
	for i := range s.Router {
		for _, part := range s.Router[i].Parts {
			if !part.Corner {
				continue
			}
			length := part.Curve.Length()
			total += length
			if length > worst.Length()+geom.Tolerance {
				worst = part.Curve
			}
		}
	}
	return total, worst
}
