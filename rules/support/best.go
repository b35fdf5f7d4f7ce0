package support

import (
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// leastTurn is the angle in radians between critical directions under which
// nothing lies between them.
const leastTurn = 1e-9

// found is what a point's chords come to.
type found struct {
	Chord
	spanned bool // some chord is a span, whatever its length
	dir     geom.Point
	// The edges at both ends, nil where the chord stands on a line between supports.
	from, to *edge
}

// best returns the best chord of a free point: all directions are minimised
// over. Between neighbouring critical directions (to corners, tangents of arcs,
// perpendiculars to arcs) both ends of the chord stay on one curve each.
func (m *Model) best(ms *measure, p geom.Point) found {
	f := found{Chord: Chord{Kind: Unhelped, Score: math.Inf(1)}}
	var won option
	dirs := m.criticalDirections(ms, p)
	var options []option
	for i, a := range dirs {
		b := math.Pi + dirs[0]
		if i+1 < len(dirs) {
			b = dirs[i+1]
		}
		if b-a < leastTurn {
			continue
		}
		options = m.optionsAlong(ms, p, direction((a+b)/2), options[:0])
		for k := range options {
			o := &options[k]
			f.spanned = f.spanned || o.kind == Span
			if o.floor(ms, p) >= f.Score {
				continue
			}
			at, score := minimise(func(t float64) float64 { return o.score(ms, p, direction(t)) }, a, b, f.Score, o.straight(ms))
			if score < f.Score {
				f.Score, f.dir, won = score, direction(at), *o
			}
		}
	}
	if !math.IsInf(f.Score, 1) {
		f.Chord = won.chord(ms, p, f.dir)
		if won.on == nil {
			f.from, f.to = won.from.edge, won.to.edge
		}
	}
	return f
}

func direction(angle float64) geom.Point {
	s, c := math.Sincos(angle)
	return geom.Point{X: c, Y: s}
}

// floor is a quick lower bound of an option's score at p: no chord is shorter
// than the distances to its ends' lines or circles.
func (o *option) floor(ms *measure, p geom.Point) float64 {
	length := o.from.distance(p) + o.to.distance(p)
	if o.kind == Span {
		return ms.span(length)
	}
	return math.Max(o.least, length/ms.Cantilever*(1-preferShort))
}

// distance is that of p to the edge's line or circle.
func (r reach) distance(p geom.Point) float64 {
	e := r.edge
	if e.radius == 0 {
		side := e.b.Sub(e.a)
		return math.Abs(p.Sub(e.a).Cross(side)) / side.Norm()
	}
	return math.Abs(p.Distance(e.center) - e.radius)
}

// straight reports whether the option's length is convex in the direction: both
// ends are lines and no share is asked.
func (o *option) straight(ms *measure) bool {
	return o.from.edge.radius == 0 && o.to.edge.radius == 0 && (ms.Share == 0 || o.kind == Span)
}

// optionsAlong lists the ways to carry p along the direction d.
func (m *Model) optionsAlong(ms *measure, p, d geom.Point, options []option) []option {
	ahead, behind, to, from := meets(m.edges, p, d)
	if ahead.edge == nil || behind.edge == nil {
		return options // p is not in free stone, or d runs through a corner
	}
	if ahead.edge.carries && behind.edge.carries {
		return append(options, option{kind: Span, from: behind, to: ahead})
	}
	var stoneAhead, stoneBehind reach
	if ms.Share > 0 {
		stoneAhead, stoneBehind, _, _ = meets(m.whole, p, d)
		if stoneAhead.edge == nil || stoneBehind.edge == nil {
			return options
		}
	}
	o := option{kind: Cantilever, ahead: stoneAhead, behind: stoneBehind}
	if !ahead.edge.carries {
		o.to = ahead
		if behind.edge.carries {
			o.from = behind
			options = append(options, o)
		}
		options = m.standing(ms, p, d, from, 0, o, options)
	}
	if !behind.edge.carries {
		o.to = behind
		if ahead.edge.carries {
			o.from = ahead
			options = append(options, o)
		}
		options = m.standing(ms, p, d, 0, to, o, options)
	}
	return options
}

// standing adds the cantilevers that stand on lines between supports met
// between the signed distances from and to.
func (m *Model) standing(ms *measure, p, d geom.Point, from, to float64, o option, options []option) []option {
	for i := range m.lines {
		l := &m.lines[i]
		sa, sb := d.Cross(l.a.Sub(p)), d.Cross(l.b.Sub(p))
		if (sa > 0) == (sb > 0) {
			continue
		}
		r := reach{&l.edge, 0}
		if t := r.at(p, d); t >= from && t <= to {
			o.from, o.on, o.least = r, l, ms.standing(l)
			options = append(options, o)
		}
	}
	return options
}

// criticalDirections returns the angles in [0, pi), sorted, at which a chord
// through p may pass from one curve to another or an arc is met squarely.
func (m *Model) criticalDirections(ms *measure, p geom.Point) []float64 {
	dirs := make([]float64, 0, len(m.corners)+len(m.whole)+4)
	add := func(v geom.Point) {
		if v == (geom.Point{}) {
			return
		}
		a := math.Atan2(v.Y, v.X)
		if a < 0 {
			a += math.Pi
		}
		if a >= math.Pi {
			a -= math.Pi
		}
		dirs = append(dirs, a)
	}
	for _, c := range m.corners {
		add(c.Sub(p))
	}
	arcs := func(edges []edge) {
		for i := range edges {
			if e := &edges[i]; e.radius > 0 {
				add(e.center.Sub(p))
				for _, q := range touchPoints(e, p) {
					add(q.Sub(p))
				}
			}
		}
	}
	arcs(m.edges)
	if ms.Share > 0 {
		for i := range m.whole {
			add(m.whole[i].a.Sub(p))
		}
		arcs(m.whole)
	}
	slices.Sort(dirs)
	if len(dirs) == 0 {
		dirs = append(dirs, 0)
	}
	return dirs
}

// samples is how many places of a turn are looked at before the best of them is
// refined; over one turn an arc's reach is monotone, so a sum of two has few
// valleys.
const samples = 8

// minimise returns the least value of f between a and b and where it is. A
// convex f is minimised to rounding, unless it is certain not to fall under the
// bound; any other from the best of its samples.
func minimise(f func(float64) float64, a, b, bound float64, convex bool) (at, value float64) {
	n := samples
	if convex {
		n = 2
	}
	best, least := 0, math.Inf(1)
	var values [samples + 1]float64
	step := (b - a) / float64(n)
	for i := 0; i <= n; i++ {
		t := a + step*float64(i)
		if i == n {
			t = b
		}
		values[i] = f(t)
		if values[i] < least {
			best, least, at = i, values[i], t
		}
	}
	if convex && 2*values[1]-math.Max(values[0], values[2]) >= bound {
		// A convex curve lies above the line through its middle and one end on
		// the other half.
		return at, least
	}
	if convex && rises(f, a, b, best, least) {
		return at, least
	}
	lo, hi := math.Max(a, a+step*float64(best-1)), math.Min(b, a+step*float64(best+1))
	const golden = 0.6180339887498949
	x, y := hi-golden*(hi-lo), lo+golden*(hi-lo)
	fx, fy := f(x), f(y)
	for hi-lo > angleAccuracy {
		if fx < fy {
			hi, y, fy = y, x, fx
			x = hi - golden*(hi-lo)
			fx = f(x)
		} else {
			lo, x, fx = x, y, fy
			y = lo + golden*(hi-lo)
			fy = f(y)
		}
	}
	if fx < least {
		least, at = fx, x
	}
	return at, least
}

// angleAccuracy is how exactly in radians the best direction is found; a chord of
// ten metres is then exact to 1e-8 mm, for its length is stationary there.
const angleAccuracy = 1e-6

// rises reports whether a convex f is least at the end its best sample lies at:
// it rises from there.
func rises(f func(float64) float64, a, b float64, best int, least float64) bool {
	const step = 1e-6
	switch best {
	case 0:
		return f(a+(b-a)*step) >= least
	case 2:
		return f(b-(b-a)*step) >= least
	}
	return false
}
