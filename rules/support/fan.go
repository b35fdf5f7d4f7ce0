package support

import (
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// fan is the free stone seen from a convex corner of a support, or from the
// centre of a round one: the chords that run straight away from it. Beyond a
// corner they are the best there are, and no two of them are parallel, so that
// rows of parallel chords close in on them slowly. Angles are in radians,
// counter-clockwise from the first ray.
type fan struct {
	model  *Model
	share  bool
	center geom.Point
	base   float64    // mm from the centre to the support's edge
	own    [2]*edge   // the support's edges, which the rays leave
	first  geom.Point // unit direction of the first ray
	width  float64    // to the last ray, at most pi
	cuts   []float64  // angles, sorted; rays of a row between two end on the same curves
	rows   []fanRow   // found when first asked for
}

// fanRow is what the rays between two cuts meet.
type fanRow struct {
	known, ok bool
	option
	again reach // where free stone begins again behind what they end on
}

// corner of a fan, by the edges that meet there; an arc's own fan has it twice.
type fanKey [2]*edge

// fanFrom returns the fan of the corner or arc of a carrying edge at which a
// chord ends in foot, nil when the chord ends elsewhere.
func (s *search) fanFrom(e *edge, foot geom.Point) *fan {
	if e == nil || !e.carries {
		return nil
	}
	key := fanKey{e, e}
	if e.radius == 0 || e.bulge > 0 {
		key = s.cornerAt(e, foot)
	}
	if key[0] == nil || key[1] == nil {
		return nil
	}
	if f, ok := s.fans[key]; ok {
		return f
	}
	f := s.newFan(key)
	s.fans[key] = f
	return f
}

// cornerAt returns the edge that runs to the end of e at foot and the one that
// runs on from there, when these two alone meet.
func (s *search) cornerAt(e *edge, foot geom.Point) fanKey {
	p := e.a
	if foot.Distance(e.b) < foot.Distance(e.a) {
		p = e.b
	}
	if foot.Distance(p) > Sliver {
		return fanKey{}
	}
	var key fanKey
	for i := range s.edges {
		o := &s.edges[i]
		for end, q := range [2]geom.Point{o.b, o.a} {
			if !near(q, p) {
				continue
			}
			if key[end] != nil || !o.carries {
				return fanKey{}
			}
			key[end] = o
		}
	}
	return key
}

// newFan returns the fan of a corner or arc, nil when it has no width.
func (s *search) newFan(key fanKey) *fan {
	f := &fan{model: s.Model, share: s.ms.Share > 0, own: key}
	in, out := key[0], key[1]
	var last geom.Point
	if in == out { // clockwise from a to b, so that free stone is outside
		f.center, f.base = in.center, in.radius
		f.first, last = in.b.Sub(in.center).Unit(), in.a.Sub(in.center).Unit()
	} else {
		// The rays run on from lines inside the support: from where the edge that
		// comes in points to where the other comes from.
		f.center = in.b
		f.first, last = in.curve().Tangent(1), out.curve().Tangent(0).Mul(-1)
	}
	if f.width = f.angle(last); f.width < angleTolerance || f.width > math.Pi+angleTolerance {
		return nil
	}
	f.cut()
	return f
}

// angle returns the angle in [0, 2pi) of a vector.
func (f *fan) angle(v geom.Point) float64 {
	a := math.Atan2(f.first.Cross(v), f.first.Dot(v))
	if a < 0 {
		a += 2 * math.Pi
	}
	return a
}

// ray returns the unit direction of an angle.
func (f *fan) ray(angle float64) geom.Point {
	s, c := math.Sincos(angle)
	return f.first.Mul(c).Add(f.first.Left().Mul(s))
}

// cut finds the angles at which rays pass from one curve to another.
func (f *fan) cut() {
	f.cuts = append(f.cuts, 0, f.width)
	add := func(p geom.Point, ways ...float64) {
		if v := p.Sub(f.center); v.Norm() > samePoint {
			for _, way := range ways {
				if a := f.angle(v.Mul(way)); a < f.width {
					f.cuts = append(f.cuts, a)
				}
			}
		}
	}
	for _, p := range f.model.corners {
		add(p, 1)
	}
	touch := func(edges []edge, ways ...float64) {
		for i := range edges {
			if e := &edges[i]; e.radius > 0 {
				for _, p := range touchPoints(e, f.center) {
					add(p, ways...)
				}
			}
		}
	}
	touch(f.model.edges, 1)
	if f.share {
		for i := range f.model.whole {
			add(f.model.whole[i].a, 1, -1)
		}
		touch(f.model.whole, 1, -1)
	}
	slices.Sort(f.cuts)
	f.cuts = slices.CompactFunc(f.cuts, func(a, b float64) bool { return math.Abs(b-a) < leastTurn })
	f.cuts[len(f.cuts)-1] = f.width
	f.rows = make([]fanRow, len(f.cuts))
}

// row returns what the rays between cuts i and i+1 meet.
func (f *fan) row(i int) *fanRow {
	r := &f.rows[i]
	if r.known {
		return r
	}
	r.known = true
	d := f.ray((f.cuts[i] + f.cuts[i+1]) / 2)
	var to, again met
	for _, x := range crossings(f.model.edges, f.center, d) {
		if x.u <= 0 || x.edge == f.own[0] || x.edge == f.own[1] {
			continue
		}
		if x.u < f.base {
			return r // something is cut out of the support
		}
		if to.edge == nil {
			to = x
		} else {
			again = x
			break
		}
	}
	if to.edge == nil || to.enter {
		return r
	}
	r.to, r.again, r.kind = to.reach, again.reach, Cantilever
	if to.edge.carries {
		r.kind = Span
	} else if f.share {
		var u, v float64
		p := f.center.Add(d.Mul((f.base + to.u) / 2))
		r.ahead, r.behind, u, v = meets(f.model.whole, p, d)
		if r.ahead.edge == nil || r.behind.edge == nil || u < v {
			return r
		}
	}
	r.ok = true
	return r
}

// reachRange returns the least and greatest distance from the centre at which
// rays between the angles a and b meet the edge.
func (f *fan) reachRange(r reach, a, b float64) (least, most float64) {
	ua, ub := r.at(f.center, f.ray(a)), r.at(f.center, f.ray(b))
	least, most = math.Min(ua, ub), math.Max(ua, ub)
	if a == b {
		return least, most
	}
	// In between they are extreme square to a line and through an arc's centre.
	v := r.edge.b.Sub(r.edge.a).Left()
	if r.edge.radius > 0 {
		v = r.edge.center.Sub(f.center)
	}
	if v.Norm() < samePoint {
		return least, most
	}
	for _, way := range [2]float64{1, -1} {
		if t := f.angle(v.Mul(way)); a < t && t < b {
			u := r.at(f.center, f.ray(t))
			least, most = math.Min(least, u), math.Max(most, u)
		}
	}
	return least, most
}

// bounds returns bounds of the score of chords between the angles a and b.
func (f *fan) bounds(ms *measure, o *option, a, b, slack float64) (least, most float64) {
	lo, hi := f.reachRange(o.to, a, b)
	lo, hi = math.Max(0, lo-f.base-slack), math.Max(0, hi-f.base-slack)
	if o.kind == Span {
		return ms.span(lo), ms.span(hi)
	}
	if ms.Share == 0 {
		return ms.cantilever(lo, 0), ms.cantilever(hi, 0)
	}
	aheadLeast, aheadMost := f.reachRange(o.ahead, a, b)
	behindLeast, behindMost := f.reachRange(o.behind, a, b)
	most = math.Inf(1)
	if through := aheadLeast - behindMost; through > 0 {
		most = ms.cantilever(hi, through)
	}
	return ms.cantilever(lo, aheadMost-behindLeast), most
}

// fanHalvings is how often a row of a fan is halved to find where its chords may
// be past the level.
const fanHalvings = 12

// failing appends the angles between a and b at which the option's chords may be
// past the level.
func (f *fan) failing(ms *measure, o *option, r offsets, level, slack float64, halvings int, out []offsets) []offsets {
	least, most := f.bounds(ms, o, r.from, r.to, slack)
	if most <= level {
		return out
	}
	if least > level || halvings == 0 {
		most = math.Min(most, r.bound)
		if n := len(out) - 1; n >= 0 && out[n].to == r.from {
			out[n].to, out[n].bound = r.to, math.Max(out[n].bound, most)
			return out
		}
		return append(out, offsets{r.from, r.to, most})
	}
	mid := (r.from + r.to) / 2
	out = f.failing(ms, o, offsets{r.from, mid, r.bound}, level, slack, halvings-1, out)
	return f.failing(ms, o, offsets{mid, r.to, r.bound}, level, slack, halvings-1, out)
}

// refine cuts the cell along the rays and keeps the parts whose score may be
// past the level, and what the fan says nothing of.
func (f *fan) refine(ms *measure, c cell, level float64, sl slack) []cell {
	var out []cell
	keep := func(g polygon, bound float64) {
		if len(g) >= 3 && g.area() > Sliver*geom.Tolerance {
			out = append(out, cell{g, bound, c.tried})
		}
	}
	keep(f.after(c.polygon, 0, -1), c.bound)
	inside := f.after(c.polygon, 0, 1)
	keep(f.after(inside, f.width, 1), c.bound)
	if inside = f.after(inside, f.width, -1); len(inside) < 3 {
		return out
	}
	for i := 0; i+1 < len(f.cuts); i++ {
		a, b := f.cuts[i], f.cuts[i+1]
		part := f.after(f.after(inside, a, 1), b, -1)
		if len(part) < 3 {
			continue
		}
		row := f.row(i)
		if !row.ok || f.beyond(row, part, a, b) {
			keep(part, c.bound)
			continue
		}
		slack := sl.straight
		if f.base > 0 || row.to.edge.radius > 0 {
			slack = sl.curved
		}
		for _, r := range f.failing(ms, &row.option, offsets{a, b, c.bound}, level, slack, fanHalvings, nil) {
			keep(f.before(row, f.after(f.after(part, r.from, 1), r.to, -1), r.from, r.to), r.bound)
		}
	}
	return out
}

// after clips to what lies on the far side (way 1) of the ray of an angle, or the
// near side (way -1), no more than half a turn away.
func (f *fan) after(g polygon, angle, way float64) polygon {
	if len(g) < 3 {
		return nil
	}
	n := f.ray(angle).Left().Mul(way)
	return g.clip(n, n.Dot(f.center))
}

// beyond reports whether the part may reach free stone behind what the row's
// rays end on.
func (f *fan) beyond(row *fanRow, g polygon, a, b float64) bool {
	if row.again.edge == nil {
		return false
	}
	least, _ := f.reachRange(row.again, a, b)
	for _, p := range g {
		if p.Distance(f.center) >= least {
			return true
		}
	}
	return false
}

// before clips to what lies before the curve that the row's rays end on; of an
// arc to what lies before its tangent or chord.
func (f *fan) before(row *fanRow, g polygon, a, b float64) polygon {
	if len(g) < 3 {
		return nil
	}
	e := row.to.edge
	p, q := e.a, e.b
	if e.radius > 0 {
		end := func(t float64) geom.Point { d := f.ray(t); return f.center.Add(d.Mul(row.to.at(f.center, d))) }
		if p, q = end(a), end(b); e.bulge > 0 { // free stone is inside the circle
			p = end((a + b) / 2)
			q = p.Add(p.Sub(e.center).Left())
		}
	}
	if p.Distance(q) < samePoint {
		return g
	}
	n := q.Sub(p).Left().Unit()
	if n.Dot(f.ray((a+b)/2)) > 0 {
		n = n.Mul(-1)
	}
	return g.clip(n, n.Dot(p))
}
