package trace

import (
	"cmp"
	"math"

	"trueup/dxfio/geom"
)

// Seams are often drawn to the sharp corner that two edges would make, while the
// outline has the radius of the router's bit there: the seam then ends inside the
// stone, short of the outline by more than is bridged. Such an end is carried on
// along its own line to the arc. How far that may be is the corner's own: from
// the sharp corner no line between the two edges runs farther to the arc than to
// the places where they become it.

// rounding is an arc between two lines that run on from it.
type rounding struct {
	arc    int32
	corner geom.Point // where the lines would meet
	reach  float64    // from the corner to the farther end of the arc, mm
}

// runOn is the sine of the least angle at which a line is no longer the tangent
// of the arc it joins: 2 degrees, more than exporters make of a tangent.
const runOn = 0.035

// rounding returns the corner that a boundary's arc rounds, if it does.
func (w *work) rounding(inc incidence, i int32) (rounding, bool) {
	g := &w.segs[i]
	if g.dead || g.Kind != Boundary || g.Bulge == 0 {
		return rounding{}, false
	}
	var lines [2]geom.Curve
	for side := range lines {
		found := false
		out := w.outward(2*i + int32(side)).Tangent(1)
		for _, e := range inc.at(g.node[side]) {
			h := &w.segs[e/2]
			if h.Kind != Boundary || h.Bulge != 0 {
				continue
			}
			if in := w.outward(e).Tangent(1); in.Dot(out) < 0 && math.Abs(in.Cross(out)) <= runOn {
				lines[side], found = h.Curve.Curve, true
			}
		}
		if !found {
			return rounding{}, false
		}
	}
	meet := geom.CommonPoints(lines[0], lines[1])
	if len(meet) != 1 || g.SignedDistance(meet[0])*g.Bulge > 0 { // on the arc's hollow side
		return rounding{}, false
	}
	return rounding{i, meet[0], math.Max(meet[0].Distance(g.A), meet[0].Distance(g.B))}, true
}

// roundings returns the corners that boundaries' arcs round, and an index of them.
func (w *work) roundings() ([]rounding, *geom.Index) {
	inc := w.incidence()
	var all []rounding
	var boxes []geom.Box
	for i := range w.segs {
		if r, ok := w.rounding(inc, int32(i)); ok {
			all, boxes = append(all, r), append(boxes, geom.Box{Min: r.corner, Max: r.corner})
		}
	}
	return all, geom.NewBoxIndex(boxes)
}

// fitToRoundings finds the fits of free dividers' ends that lie at the sharp
// corner of a rounding and point at its arc from inside the boundaries. A divider
// whose other end hangs free inside them cuts nothing anyway and is left as it
// is.
func (w *work) fitToRoundings(free []int32) []fit {
	var fits []fit
	var all []rounding
	var index *geom.Index
	var in *enclosure
	hanging := map[int32]bool{}
	for _, e := range free {
		hanging[e] = true
	}
	for _, e := range free {
		if g := &w.segs[e/2]; g.Kind != Divider || g.Bulge != 0 {
			continue
		}
		if index == nil {
			all, index = w.roundings()
			in = w.newEnclosure()
		}
		p := w.endPoint(e)
		best, at := fit{}, geom.Point{}
		found := false
		index.Search(geom.Box{Min: p, Max: p}.Grow(w.s.Bridge+geom.Tolerance), func(k int) bool {
			r := &all[k]
			f, ok := w.fitToRounding(e, r)
			if ok && (!found || cmp.Or(compareMeasured(p.Distance(r.corner), p.Distance(at)), w.comparePlaces(f.at, best.at)) < 0) {
				best, at, found = f, r.corner, true
			}
			return true
		})
		if !found || !in.holds(p.Lerp(best.at, 0.5)) {
			continue
		}
		if o := w.otherEnd(e); !hanging[o] || !in.holds(w.endPoint(o)) {
			fits = append(fits, best)
		}
	}
	return fits
}

func (w *work) fitToRounding(e int32, r *rounding) (fit, bool) {
	c := w.outward(e)
	if !atMost(c.B.Distance(r.corner), w.s.Bridge) {
		return fit{}, false
	}
	arc := &w.segs[r.arc]
	u := c.Tangent(1)
	best := fit{endPair: endPair{e: e, f: -1, d: math.Inf(1), mixed: true}, to: r.arc, corner: -1}
	take := func(p geom.Point, node int32) {
		if d := u.Dot(p.Sub(c.B)); d > 0 && d < best.d && atMost(d, r.reach+w.s.Bridge) {
			best.d, best.at, best.corner = d, p, node
		}
	}
	// A seam that continues an edge meets the arc where the edge does, as tangent.
	for side, n := range arc.node {
		if q := w.endPoint(2*r.arc + int32(side)); math.Abs(u.Cross(q.Sub(c.B))) <= w.s.Join {
			take(q, n)
		}
	}
	if math.IsInf(best.d, 1) {
		for _, p := range geom.CommonPoints(c, arc.Curve.Curve) {
			if q, _ := geom.NearestPoint(arc.Curve.Curve, p); q.Distance(p) <= geom.Tolerance {
				take(q, -1)
			}
		}
	}
	return best, !math.IsInf(best.d, 1)
}

// otherEnd returns the far end of the chain of dividers that ends in e.
func (w *work) otherEnd(e int32) int32 {
	inc := w.incidence()
	for range w.segs { // a chain may run in a ring
		last := e ^ 1
		e = last
		at := inc.at(w.segs[e/2].node[e%2])
		if len(at) != 2 || w.segs[at[0]/2].Kind != Divider || w.segs[at[1]/2].Kind != Divider {
			break
		}
		if e = at[0]; e == last {
			e = at[1]
		}
	}
	return e
}

// enclosure tells what lies within boundaries.
type enclosure struct {
	boundaries []geom.Curve
	index      *geom.Index
	right      float64 // of everything
}

func (w *work) newEnclosure() *enclosure {
	in := &enclosure{}
	all := geom.EmptyBox()
	for i := range w.segs {
		if g := &w.segs[i]; !g.dead && g.Kind == Boundary {
			in.boundaries = append(in.boundaries, g.Curve.Curve)
			all = all.Union(g.Box())
		}
	}
	in.index, in.right = geom.NewIndex(in.boundaries), all.Max.X
	return in
}

// holds reports whether a point lies within an odd number of boundaries: only
// those that meet the ray to its right turn around it.
func (in *enclosure) holds(p geom.Point) bool {
	turns := 0
	in.index.Search(geom.Box{Min: p, Max: geom.Point{X: math.Max(p.X, in.right), Y: p.Y}}, func(i int) bool {
		turns += in.boundaries[i].Winding(p)
		return true
	})
	return turns%2 != 0
}
