package rules

import (
	"fmt"
	"math"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// sharpPoint finds corners where the stone ends in an acute point. Measured is
// the stone's angle between the tangents of the two edges in degrees; an angle
// equal to a limit passes. Under sharp_point_stop the point is a feather: stone
// that runs out to nothing breaks under the blade. The points of seam edges
// count: a mitre's toe breaks on the way to its seam like any other. A rounding
// or clipping shorter than blunt along the edge counts as none: handling does
// not notice it.
func sharpPoint() Rule {
	return Rule{
		ID:         "sharp-point",
		Severities: []Severity{Stop, Warn},
		What:       "Outside corners too acute to survive handling, or even the cut.",
		Why:        "The point chips or snaps off when the piece is turned, carried or set; a feather breaks off while it is cut.",
		How: "The stone's angle at every outside corner of outline and cutouts, seam edges and mitres too, between the tangents of the edges. " +
			"A corner with a radius or a clipped end of 1 mm or more along the edge does not count.",
		Limits: []string{"rules.sharp_point_stop", "rules.sharp_point"},
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

// point is a corner with the two curves that make it.
type point struct {
	before, after geom.Curve
	at            geom.Point
	deg           float64
}

func (in *Input) checkPoints(p *piece.Piece, id string, l geom.Loop, out *Findings) {
	n := len(l)
	for i := range l {
		k := point{l[(i+n-1)%n], l[i], l[i].A, l.Corner(i)}
		// A speck between two edges: the corner between the edges themselves.
		if before, after := k.before, l[(i+1)%n]; n > 2 && l[i].Length() < blunt && before.Length() >= blunt && after.Length() >= blunt {
			if d := (geom.Loop{before, after}).Corner(1); d < k.deg && k.deg > 90 {
				k = point{before, after, l[i].Middle(), d}
			}
		}
		f := Flag{Piece: p.ID, Other: id, At: k.at, Measured: k.deg, Unit: "deg"}
		switch {
		case k.deg < in.Settings.SharpStop-asSquare:
			f.Severity, f.Limit = Stop, in.Settings.SharpStop
			f.Message = fmt.Sprintf("Piece %s runs out to a feather of %s degrees at %s; under %s it breaks off while it is cut.",
				p.ID, number(k.deg), in.place(k.at), number(f.Limit))
		case k.deg < in.Settings.SharpPoint-asSquare:
			f.Severity, f.Limit = Warn, in.Settings.SharpPoint
			f.Message = fmt.Sprintf("Piece %s ends at %s in a point of %s degrees; under %s it breaks in handling.",
				p.ID, in.place(k.at), number(k.deg), number(f.Limit))
		default:
			continue
		}
		f.Remedy = fmt.Sprintf("Round the point with a radius of %s, or clip it square.", in.lengths().Of(pointRadius))
		if id == "" {
			if remedy, ok := in.seamRemedy(p, k); ok {
				f.Remedy = remedy
			}
		}
		out.Flag(f)
	}
}

// seamRemedy says what becomes of a point at the end of a seam, where a rounding
// or clipping would leave a hole in the joint: a seam that runs into a rounding
// goes off it or to its middle, any other one square to the edge.
func (in *Input) seamRemedy(p *piece.Piece, k point) (string, bool) {
	seam, other := k.before, k.after
	if !isSeam(p, seam) {
		seam, other = k.after, k.before
	}
	if !isSeam(p, seam) || isSeam(p, other) {
		return "", false
	}
	if other.Bulge >= 0 { // straight, or bowed out: no rounding of an inside corner
		return fmt.Sprintf("Turn the seam so that it meets the edge at %s in %s degrees or more; square to the edge is best.",
			in.place(k.at), number(math.Max(in.Settings.SharpPoint, in.Settings.SharpStop))), true
	}
	across := seam.Tangent(0)
	if seam.B.Distance(k.at) < seam.A.Distance(k.at) {
		across = seam.Tangent(1)
	}
	// The far end of the rounding, to the side of the seam.
	far := other.A
	if far.Distance(k.at) < other.B.Distance(k.at) {
		far = other.B
	}
	by := math.Abs(across.Cross(far.Sub(k.at)))
	return fmt.Sprintf("Move the seam at least %s sideways, off the rounding to %s, or mitre it into the middle of the rounding.",
		in.lengths().Up(by), in.place(far)), true
}

// isSeam reports whether a curve of a piece's outline is part of a seam edge.
func isSeam(p *piece.Piece, c geom.Curve) bool {
	m := c.Middle()
	for i := range p.Edges {
		if e := &p.Edges[i]; e.Finish == piece.SeamEdge {
			for _, d := range e.Curves {
				if d.Distance(m) <= geom.Tolerance {
					return true
				}
			}
		}
	}
	return false
}

// asSquare is how far in degrees an angle may fall short of the limit and still
// equal it: the toe of a mitre of 45 degrees is never drawn to the last digit.
// 1/64 in on 12 in: Architectural Woodwork Standards, 1st ed. 2009, 4.4.2.
const asSquare = 0.0746
