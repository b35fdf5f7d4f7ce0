package rules

import (
	"fmt"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// sharpPoint finds corners where the stone ends in an acute point. Measured is
// the stone's angle between the tangents of the two edges in degrees; an angle
// equal to the limit passes. The points of seam edges count: a mitre's toe breaks
// on the way to its seam like any other. A rounding or clipping shorter than
// blunt along the edge counts as none: handling does not notice it.
func sharpPoint() Rule {
	return Rule{
		ID:         "sharp-point",
		Severities: []Severity{Warn},
		What:       "Outside corners too acute to survive handling.",
		Why:        "The point chips or snaps off when the piece is turned, carried or set.",
		How: "The stone's angle at every outside corner of outline and cutouts, seam edges and mitres too, between the tangents of the edges. " +
			"A corner with a radius or a clipped end of 1 mm or more along the edge does not count.",
		Limits: []string{"rules.sharp_point"},
		Check: func(in *Input, out *Findings) {
			for i := range in.Template.Pieces {
				p := &in.Template.Pieces[i]
				in.checkPoints(p, "", p.Outline, out)
				for _, c := range p.Cutouts {
					if c.Kind != piece.Hole && !c.OverEdge {
						in.checkPoints(p, c.ID, c.Loop, out)
					}
				}
			}
		},
	}
}

// blunt is the length in mm of a rounding or clipping from which a point is no
// point any more.
const blunt = 1.0

// pointRadius is the radius in mm that the remedy gives a sharp point.
const pointRadius = 5.0

func (in *Input) checkPoints(p *piece.Piece, id string, l geom.Loop, out *Findings) {
	for i := range l {
		deg, at := l.Corner(i), l[i].A
		n := len(l)
		// A speck between two edges: the corner between the edges themselves.
		if before, after := l[(i+n-1)%n], l[(i+1)%n]; n > 2 && l[i].Length() < blunt && before.Length() >= blunt && after.Length() >= blunt {
			if d := (geom.Loop{before, after}).Corner(1); d < deg && deg > 90 {
				deg, at = d, l[i].Middle()
			}
		}
		if deg >= in.Settings.SharpPoint-asSquare {
			continue
		}
		out.Flag(Flag{
			Piece: p.ID, Other: id, At: at, Measured: deg, Limit: in.Settings.SharpPoint, Unit: "deg",
			Message: fmt.Sprintf("Piece %s ends at %s in a point of %s degrees; under %s it breaks in handling.",
				p.ID, in.place(at), number(deg), number(in.Settings.SharpPoint)),
			Remedy: fmt.Sprintf("Round the point with a radius of %s mm, or clip it square.", number(pointRadius)),
		})
	}
}

// asSquare is how far in degrees an angle may fall short of the limit and still
// equal it: the toe of a mitre of 45 degrees is never drawn to the last digit.
// 1/64 in on 12 in: Architectural Woodwork Standards, 1st ed. 2009, 4.4.2.
const asSquare = 0.0746
