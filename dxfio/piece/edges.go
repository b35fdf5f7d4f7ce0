package piece

import (
	"math"

	"trueup/dxfio/geom"
)

// sameEdge is the distance in mm by which neighbouring curves may deviate from
// one line or circle and still be one edge: the error that reading allows when
// it turns a spline into arcs, and under what a shop can cut or measure.
const sameEdge = 0.01

// lowestTolerance is the height in mm by which corners may differ and still be
// equally low, so that a bottom edge that is level but for the noise of a
// measuring device starts at its left end.
const lowestTolerance = 0.1

// entityAt tells as part of which ellipse or spline a curve was drawn; -1 for
// none.
type entityAt func(c geom.Curve) int32

// run is a stretch of outline that is one edge by its geometry alone.
type run struct {
	curves []geom.Curve
	entity int32
	base   geom.Curve // the longest of the curves
}

// runsOf splits a counter-clockwise outline into runs, the first of which
// starts at the lowest, then leftmost break.
func runsOf(outline geom.Loop, entity entityAt) []run {
	n := len(outline)
	ids := make([]int32, n)
	for i, c := range outline {
		ids[i] = entity(c)
	}
	start := -1
	for i, c := range outline {
		p := (i + n - 1) % n
		first := run{outline[p : p+1], ids[p], outline[p]}
		if (n == 1 || !first.takes(c, ids[i])) && (start < 0 || lower(c.A, outline[start].A)) {
			start = i
		}
	}
	if start < 0 {
		return []run{endless(outline, ids[0])}
	}
	var runs []run
	for k := range n {
		i := (start + k) % n
		if last := len(runs) - 1; last >= 0 && runs[last].takes(outline[i], ids[i]) {
			runs[last].add(outline[i])
			continue
		}
		runs = append(runs, run{[]geom.Curve{outline[i]}, ids[i], outline[i]})
	}
	return runs
}

// endless returns the run of a loop without a break: a circle, begun at its
// lowest point, or a closed ellipse or spline begun at its lowest vertex.
func endless(outline geom.Loop, entity int32) run {
	if center, radius, ok := outline.Round(sameEdge); ok {
		circle := geom.ArcAround(center, radius, -math.Pi/2, 2*math.Pi)
		return run{circle, -1, circle[0]}
	}
	start := 0
	for i, c := range outline {
		if lower(c.A, outline[start].A) {
			start = i
		}
	}
	curves := append(append([]geom.Curve(nil), outline[start:]...), outline[:start]...)
	return run{curves, entity, longest(curves)}
}

// lower orders corners: p is lower than q, or as low and further left.
func lower(p, q geom.Point) bool {
	if math.Abs(p.Y-q.Y) > lowestTolerance {
		return p.Y < q.Y
	}
	return p.X < q.X
}

func (r *run) add(c geom.Curve) {
	r.curves = append(r.curves, c)
	if c.Length() > r.base.Length() {
		r.base = c
	}
}

// takes reports whether the run goes on with curve c.
func (r *run) takes(c geom.Curve, entity int32) bool {
	last := r.curves[len(r.curves)-1]
	if !smooth(last, c) {
		return false
	}
	if entity >= 0 || r.entity >= 0 {
		return entity == r.entity
	}
	return sameLine(r.base, c) || sameCircle(r.base, c)
}

// smooth reports whether the direction turns by at most smoothDeg from c to d.
func smooth(c, d geom.Curve) bool {
	u, v := c.Tangent(1), d.Tangent(0)
	return math.Abs(math.Atan2(u.Cross(v), u.Dot(v))) <= smoothDeg*math.Pi/180
}

// sameLine reports whether two curves are straight and lie on one line.
func sameLine(c, d geom.Curve) bool {
	if !c.IsLine() || !d.IsLine() {
		return false
	}
	u := c.Tangent(0)
	return math.Abs(u.Cross(d.A.Sub(c.A))) <= sameEdge && math.Abs(u.Cross(d.B.Sub(c.A))) <= sameEdge
}

// sameCircle reports whether two arcs turn the same way on one circle.
func sameCircle(c, d geom.Curve) bool {
	if c.Bulge*d.Bulge <= 0 {
		return false
	}
	if d.Length() > c.Length() {
		c, d = d, c
	}
	o, r := c.Center(), c.Radius()
	for _, p := range [3]geom.Point{d.A, d.Middle(), d.B} {
		if math.Abs(p.Distance(o)-r) > sameEdge {
			return false
		}
	}
	return true
}

// edge makes the edge of a run; corner, finish and number are still missing.
func (r *run) edge() Edge {
	kind := CurveEdge
	switch {
	case len(r.curves) == 1 && r.base.IsLine(), r.entity < 0 && r.base.IsLine():
		kind = LineEdge
	case len(r.curves) == 1, r.entity < 0:
		kind = ArcEdge
	}
	return Edge{Kind: kind, Curves: oneCurve(r.curves, kind)}
}

// oneCurve brings the curves of a line or arc to one, of an arc beyond a half
// turn to two.
func oneCurve(curves []geom.Curve, kind EdgeKind) []geom.Curve {
	if len(curves) == 1 || kind == CurveEdge {
		return curves
	}
	a, b := curves[0].A, curves[len(curves)-1].B
	if kind == LineEdge {
		return []geom.Curve{geom.Line(a, b)}
	}
	sweep := 0.0
	for _, c := range curves {
		sweep += c.Sweep()
	}
	if math.Abs(sweep) <= math.Pi {
		return []geom.Curve{{A: a, B: b, Bulge: math.Tan(sweep / 4)}}
	}
	half := math.Tan(sweep / 8)
	m := pointAlong(curves, chainLength(curves)/2)
	return []geom.Curve{{A: a, B: m, Bulge: half}, {A: m, B: b, Bulge: half}}
}

// edgesOf returns the numbered edges of an outline: runs, split where their
// finish changes.
func edgesOf(outline geom.Loop, entity entityAt, finish func(Edge) []finishSpan) []Edge {
	var edges []Edge
	for _, r := range runsOf(outline, entity) {
		whole := r.edge()
		spans := finish(whole)
		for i, s := range spans {
			e := whole
			e.Finish, e.Profile = s.finish, s.profile
			if len(spans) > 1 {
				e.Curves = cut(whole.Curves, s.from, s.to)
			}
			if i > 0 {
				e.CornerDeg = 180
			}
			edges = append(edges, e)
		}
	}
	first := 0
	for i := range edges {
		before := edges[(i+len(edges)-1)%len(edges)]
		if edges[i].CornerDeg == 0 {
			edges[i].CornerDeg = geom.Loop{before.Curves[len(before.Curves)-1], edges[i].Curves[0]}.Corner(1)
		}
		if lower(edges[i].From(), edges[first].From()) {
			first = i
		}
	}
	edges = append(append([]Edge(nil), edges[first:]...), edges[:first]...)
	for i := range edges {
		edges[i].N = i + 1
	}
	return edges
}
