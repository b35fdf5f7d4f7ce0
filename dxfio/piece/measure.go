package piece

import (
	"math"

	"trueup/dxfio/geom"
)

// Region returns the stone of the piece: the outline less the cutouts inside it.
func (p Piece) Region() geom.Region {
	r := geom.Region{Outer: p.Outline}
	for _, c := range p.Cutouts {
		if !c.OverEdge {
			r.Holes = append(r.Holes, c.Loop)
		}
	}
	return r
}

// NetArea returns the area of the stone in mm2, cutouts taken out.
func (p Piece) NetArea() float64 { return p.Region().Area() }

// The mean depths in mm between which tops are made. The mean depth, twice the
// area over the perimeter, is the depth of a long top and half the side of a
// square one: 60 mm lies below a narrow shelf, 3 m above any slab, and a
// kitchen top read in inches for millimetres or the other way round falls
// outside. Common practice, no source.
const (
	leastDepth = 60
	mostDepth  = 3000
)

// DepthOfLargest returns the mean depth 2*area/perimeter in mm of the largest
// counter piece, of the largest piece when there is no counter, 0 without pieces.
func DepthOfLargest(t *Template) float64 {
	var largest geom.Loop
	var kind Kind
	for _, p := range t.Pieces {
		better := p.Outline.Area() > largest.Area()
		if p.Kind != kind {
			better = p.Kind == Counter || kind == ""
		}
		if better {
			largest, kind = p.Outline, p.Kind
		}
	}
	if len(largest) == 0 {
		return 0
	}
	return 2 * math.Abs(largest.Area()) / largest.Length()
}

// Plausible reports whether the largest top has a depth that tops have, 60 mm
// to 3 m: a drawing read in the wrong unit does not. False without pieces.
func Plausible(t *Template) bool {
	d := DepthOfLargest(t)
	return d >= leastDepth && d <= mostDepth
}

// DepthLimit returns the plausible depth in mm that the depth of a largest top
// has missed: the least one when it is shallower, otherwise the most.
func DepthLimit(depth float64) float64 {
	if depth < leastDepth {
		return leastDepth
	}
	return mostDepth
}
