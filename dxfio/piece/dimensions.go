package piece

import (
	"math"

	"trueup/dxfio"
	"trueup/dxfio/geom"
)

// Dimension is a dimension of the drawing, in local millimetres.
type Dimension struct {
	dxfio.Dimension
	// Drifts are its ends that lie on an edge it measures along and at nothing that
	// it could measure to, such as a corner, a centre or an edge that crosses.
	Drifts []Drift
}

// Drift is an end of a dimension and the corner nearest to it along its edge.
type Drift struct{ At, Corner geom.Point }

// Way returns the unit direction from the dimension's first point to its second, along
// which it measures.
func (d *Dimension) Way() geom.Point {
	way := d.To.Sub(d.From)
	if d.Kind != dxfio.LinearDimension {
		return way.Unit()
	}
	if way.Dot(d.Along) < 0 {
		return d.Along.Mul(-1)
	}
	return d.Along
}

const (
	// onDrawn is the distance in mm within which the end of a dimension lies on a
	// curve or at the height of a corner: what exporters round to, and more.
	onDrawn = 0.5
	// alongDimension is the sine of the angle, 1 degree, up to which a curve runs along
	// a dimension rather than across it.
	alongDimension = 0.0174524
	// acrossReach is how far in mm square to a dimension that is looked for which its end
	// may have been picked at: past the depth of any top.
	acrossReach = 1500
)

// dimensions takes up the dimensions, and looks for what their ends lie on. Curves of
// every layer count: it may be measured to what is not cut.
func (b *builder) dimensions() {
	if len(b.d.Dimensions) == 0 {
		return
	}
	curves := make([]geom.Curve, len(b.d.Curves))
	for i := range b.d.Curves {
		curves[i] = b.d.Curves[i].Curve
	}
	index := geom.NewIndex(curves)
	var edges []geom.Curve
	for i := range b.t.Pieces {
		for _, e := range b.t.Pieces[i].Edges {
			edges = append(edges, e.Curves...)
		}
	}
	stone := geom.NewIndex(edges)
	var centres []geom.Point
	for i := range b.t.Pieces {
		for _, c := range b.t.Pieces[i].Cutouts {
			centres = append(centres, geom.SmallestRectangle(c.Loop).Center, c.Loop.Centroid())
		}
	}
	for i := range b.d.Dimensions {
		d := Dimension{Dimension: b.d.Dimensions[i]}
		if d.Kind == dxfio.LinearDimension || d.Kind == dxfio.AlignedDimension {
			for _, end := range [2]geom.Point{d.From, d.To} {
				if corner, ok := b.driftOf(end, d.Way(), stone, edges); ok && !b.measurable(end, d.Way(), index, curves, centres) {
					d.Drifts = append(d.Drifts, Drift{end, corner})
				}
			}
		}
		b.t.Dimensions = append(b.t.Dimensions, d)
	}
}

// driftOf returns the corner nearest to a point that lies within a straight edge of the
// stone running along a direction.
func (b *builder) driftOf(at, way geom.Point, stone *geom.Index, edges []geom.Curve) (corner geom.Point, ok bool) {
	least := math.Inf(1)
	stone.Search(geom.Box{Min: at, Max: at}.Grow(onDrawn), func(i int) bool {
		e := edges[i]
		b.guard.spend(1, at)
		if !e.IsLine() || math.Abs(e.Tangent(0).Cross(way)) > alongDimension || e.Distance(at) > onDrawn {
			return true
		}
		for _, q := range [2]geom.Point{e.A, e.B} {
			if d := q.Distance(at); d < least {
				corner, least, ok = q, d, true
			}
		}
		return true
	})
	return corner, ok && least > onDrawn
}

// measurable reports whether there is something that a dimension along a direction may
// measure to from a point: the end, middle or centre of a curve, or the centre of a
// cutout, square beside the point, or a curve through the point that runs across.
func (b *builder) measurable(at, way geom.Point, index *geom.Index, curves []geom.Curve, centres []geom.Point) bool {
	level := func(p geom.Point) bool { return math.Abs(p.Sub(at).Dot(way)) <= onDrawn }
	for _, c := range centres {
		b.guard.spend(1, at)
		if level(c) {
			return true
		}
	}
	across := way.Left().Mul(acrossReach)
	strip := geom.EmptyBox().Extend(at.Sub(across)).Extend(at.Add(across)).Grow(onDrawn)
	found := false
	index.Search(strip, func(i int) bool {
		c := curves[i]
		b.guard.spend(1, at)
		found = level(c.A) || level(c.B) || level(c.Middle()) || !c.IsLine() && level(c.Center())
		if q, t := geom.NearestPoint(c, at); !found && q.Distance(at) <= onDrawn {
			found = math.Abs(c.Tangent(t).Cross(way)) > alongDimension
		}
		return !found
	})
	return found
}
