package dxfio

import (
	"fmt"
	"math"

	"trueup/dxfio/geom"
)

// placement maps the coordinates of a block, or of model space, into the drawing.
type placement struct {
	matrix
	plain bool       // the identity
	over  bool       // it turns over what it maps, as a mirror does
	layer int32      // layer of the INSERT; noLayer in model space
	dash  bool       // the INSERT is dashed, and so is what takes its line type from it
	depth int        // INSERTs above
	block *block     // what is inserted
	up    *placement // where the INSERT itself stands
}

// frame returns the map from an entity's object coordinate system into the
// drawing, and whether it is the identity.
func (at *placement) frame(normal vec3) (matrix, bool) {
	if normal == zAxis {
		return at.matrix, at.plain
	}
	system := objectSystem(normal)
	return at.matrix.after(&system), false
}

// inRange reports whether p is finite and within the coordinate limit.
func (r *reader) inRange(p geom.Point) bool {
	return math.Abs(p.X) <= r.limits.Coordinate && math.Abs(p.Y) <= r.limits.Coordinate
}

// entityFault records a fault of the entity being shown.
func (r *reader) entityFault(found, do string) {
	if r.err != nil {
		return
	}
	r.fail(fmt.Sprintf("%s on layer %s: %s", r.name, r.d.Layers[r.source.Layer].Name, found), do)
	r.err.Line, r.err.Byte = int64(r.source.Line), -1
	if r.codeSize != 0 {
		r.err.Line, r.err.Byte = 0, int64(r.source.Line)
	}
}

func (r *reader) tooFar() {
	r.entityFault("it reaches beyond the largest coordinate",
		fmt.Sprintf("mend it in CAD, or raise %s (now %g) in the settings", keyCoordinate, r.limits.Coordinate))
}

// addCurve adds a curve of the entity being shown.
func (r *reader) addCurve(c geom.Curve) {
	n := len(r.d.Curves)
	if n == cap(r.d.Curves) && !r.reserve() {
		return
	}
	if !r.inRange(c.A) || !r.inRange(c.B) {
		r.tooFar()
		return
	}
	r.d.Curves = append(r.d.Curves, Curve{c, r.source})
}

// Reserves of the curves: the first is small, the second large enough to
// estimate from what a curve of this file takes.
const (
	firstReserve  = 1 << 10
	secondReserve = 1 << 14
	reserveSpare  = 1.04
)

// reserve makes room for further curves, and reports false at their limit.
// Where the size of the file is known the room is estimated from it, since a
// slice that grows by copying needs half its size again.
func (r *reader) reserve() bool {
	n := len(r.d.Curves)
	if n >= r.limits.Curves {
		r.tooMany()
		return false
	}
	want := n + n/4
	switch here := r.base + int64(r.pos); {
	case n < firstReserve:
		want = firstReserve
	case n < secondReserve:
		want = secondReserve
	case r.section == "ENTITIES" && here > r.entitiesAt && here < r.options.Size:
		perByte := float64(n) / float64(here-r.entitiesAt)
		left := perByte * float64(r.options.Size-here)
		want = max(n+n/16, n+int(left*reserveSpare))
	}
	grown := make([]Curve, n, min(want+1, r.limits.Curves))
	copy(grown, r.d.Curves)
	r.d.Curves = grown
	return true
}

func (r *reader) tooMany() {
	r.entityFault(fmt.Sprintf("more than %d curves, texts and points, block references expanded", r.limits.Curves),
		raise(keyCurves, r.limits.Curves))
}

// addBulge adds the line or arc from a to b, in two halves when it turns more
// than a half circle. It reports whether there was anything to add.
func (r *reader) addBulge(a, b geom.Point, bulge float64) bool {
	switch {
	case a == b:
		return false
	case math.Abs(bulge) <= 1:
		r.addCurve(geom.Curve{A: a, B: b, Bulge: bulge})
		return true
	}
	// The middle of the arc lies the sagitta, bulge*chord/2, to the right of the
	// chord; each half turns half as much.
	d := b.Sub(a)
	m := a.Lerp(b, 0.5).Sub(d.Left().Mul(bulge / 2))
	half := math.Tan(math.Atan(bulge) / 2)
	first := r.addBulge(a, m, half)
	return r.addBulge(m, b, half) || first
}

// flattened records that the entity being shown was off the drawing plane:
// height is the range of its heights, at a place on it, lost by how much it is shorter
// or narrower from above than it was drawn.
func (r *reader) flattened(at geom.Point, height, lost float64) {
	if height <= r.flatness {
		return
	}
	r.change(Flattened, at, height)
	if n := len(r.d.Changes); r.err == nil && n > 0 {
		for i := n - 1; i >= 0 && r.d.Changes[i].Source.Entity == r.source.Entity; i-- {
			if c := &r.d.Changes[i]; c.Kind == Flattened {
				c.Lost = math.Max(c.Lost, lost)
			}
		}
	}
}

// change records an alteration of the entity being shown, once an entity: the
// largest of its parts stands for all.
func (r *reader) change(kind ChangeKind, at geom.Point, size float64) {
	if r.err != nil {
		return
	}
	n := len(r.d.Changes)
	for i := n - 1; i >= 0 && r.d.Changes[i].Source.Entity == r.source.Entity; i-- {
		if c := &r.d.Changes[i]; c.Kind == kind {
			if size > c.Size {
				c.At, c.Size = at, size
			}
			return
		}
	}
	r.d.Changes = append(r.d.Changes, Change{Kind: kind, At: at, Size: size, Source: r.source})
}
