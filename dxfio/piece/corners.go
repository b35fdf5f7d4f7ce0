package piece

import (
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// InsideCorner is a place where a boundary bends into the stone: a sharp
// corner, or an arc hollow towards the waste. A blade or a router bit has to
// reach into it.
type InsideCorner struct {
	At     geom.Point // the corner, or the middle of the arc
	Radius float64    // mm; 0 for a sharp corner
	Deg    float64    // the stone's angle at a sharp corner, above 180; 0 for an arc
	Curve  int        // index in the loop of the curve that starts at the corner, or of the first curve of the arc
	Curves int        // number of curves the arc runs over, past the end of the loop too; 0 for a sharp corner
}

// smoothDeg is the turn up to which two neighbouring curves count as tangent:
// well above what rounding in exporters makes of a tangent, well below any
// corner somebody drew.
const smoothDeg = 1

// speckLength is the length in mm under which the direction of a curve says
// nothing: closing may leave such specks between an arc and its tangent.
const speckLength = 0.01

// InsideCorners returns the inside corners of a loop that has its stone on the
// left: an outline counter-clockwise, a cutout clockwise. Co-circular arcs that
// follow one another are one corner. A sharp corner is one where the stone's
// angle exceeds 180 degrees by more than 1. In the order of the loop.
func InsideCorners(l geom.Loop) []InsideCorner {
	solid, at := withoutSpecks(l)
	var found []InsideCorner
	for i, c := range solid {
		if deg := solid.Corner(i); deg > 180+smoothDeg {
			found = append(found, InsideCorner{At: c.A, Deg: deg, Curve: at[i]})
		}
		if c.Bulge < 0 && !continuesArc(solid, i) {
			found = append(found, arcCorner(solid, at, i, len(l)))
		}
	}
	if len(found) == 0 {
		if center, radius, ok := l.Round(sameEdge); ok && l.Area() < 0 {
			found = append(found, InsideCorner{At: center.Add(geom.Point{Y: -radius}), Radius: radius, Curves: len(l)})
		}
	}
	return found
}

// withoutSpecks returns the loop without its specks, and where its curves stood.
func withoutSpecks(l geom.Loop) (geom.Loop, []int) {
	var solid geom.Loop
	var at []int
	for i, c := range l {
		if c.Chord() >= speckLength {
			solid, at = append(solid, c), append(at, i)
		}
	}
	return solid, at
}

// continuesArc reports whether curve i goes on with the arc before it.
func continuesArc(l geom.Loop, i int) bool {
	before := l[(i+len(l)-1)%len(l)]
	return len(l) > 1 && sameCircle(before, l[i])
}

func arcCorner(l geom.Loop, at []int, i, total int) InsideCorner {
	n := 1
	for n < len(l) && continuesArc(l, (i+n)%len(l)) {
		n++
	}
	run := make([]geom.Curve, n)
	length := 0.0
	for k := range run {
		run[k] = l[(i+k)%len(l)]
		length += run[k].Length()
	}
	last := at[(i+n-1)%len(l)]
	return InsideCorner{
		At: pointAlong(run, length/2), Radius: longest(run).Radius(),
		Curve: at[i], Curves: (last-at[i]+total)%total + 1,
	}
}

// longest returns the longest curve of a run: its circle is the best known.
func longest(run []geom.Curve) geom.Curve {
	return slices.MaxFunc(run, func(a, b geom.Curve) int {
		return int(math.Copysign(1, a.Length()-b.Length()))
	})
}

// pointAlong returns the point at a length along a chain.
func pointAlong(chain []geom.Curve, length float64) geom.Point {
	for _, c := range chain {
		if l := c.Length(); length <= l {
			return c.At(math.Max(0, length/l))
		} else {
			length -= l
		}
	}
	return chain[len(chain)-1].B
}

// cornersAlong returns those of an outline's inside corners that lie on a loop;
// not nil.
func cornersAlong(all []InsideCorner, loop geom.Loop) []InsideCorner {
	found := []InsideCorner{}
	for _, k := range all {
		if slices.ContainsFunc(loop, func(c geom.Curve) bool { return c.Distance(k.At) <= sameEdge }) {
			found = append(found, k)
		}
	}
	return found
}

// MinRadius returns the smallest inside radius of the cutout's corners in mm: 0
// when one of them is sharp, the radius of a round cutout. Stone that bulges
// into the opening does not count, nor do corners of a cutout over the edge that
// lie outside the stone.
func (c Cutout) MinRadius() float64 {
	corners := c.Corners
	if corners == nil {
		l := c.Loop
		if l.Area() > 0 {
			l = l.Reverse()
		}
		corners = InsideCorners(l)
	}
	least := math.Inf(1)
	for _, k := range corners {
		least = math.Min(least, k.Radius)
	}
	if math.IsInf(least, 1) {
		return 0
	}
	return least
}
