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

// turn is one way to carry a point in the directions between two neighbouring
// critical ones, which leave both its ends on one curve each.
type turn struct {
	option
	from, to float64 // angles
	middle   float64 // the score halfway
}

// best returns the best chord of a free point: all directions are minimised
// over. Between neighbouring critical directions (to corners, tangents of arcs,
// perpendiculars to arcs) both ends of the chord stay on one curve each.
func (m *Model) best(ms *measure, p geom.Point) found {
	return m.look(ms, p, math.Inf(1), math.Inf(-1))
}

// under reports whether some chord of a free point scores less than the level.
func (m *Model) under(ms *measure, p geom.Point, level float64) bool {
	return m.look(ms, p, level, level).Score < level
}

// look returns the best chord of those that score less than the level, or the
// first one found that scores less than enough; without such the score is the
// level.
func (m *Model) look(ms *measure, p geom.Point, level, enough float64) found {
	none := found{Chord: Chord{Kind: Unhelped, Score: level}}
	n := m.nearest(p)
	floor := m.floor(ms, p, n)
	if floor >= level {
		return none
	}
	f := m.squarely(ms, p, n)
	if f.Score < enough || f.Score < level && m.certain(f, n, floor) {
		return f
	}
	if f.Score >= level {
		f = none
	}
	return m.lookAround(ms, p, f, enough)
}

// lookAround looks for chords that are better than the one found, in all
// directions.
func (m *Model) lookAround(ms *measure, p geom.Point, f found, enough float64) found {
	var won *turn
	m.listTurns(ms, p, enough)
	for i := range ms.turns {
		t := &ms.turns[i]
		f.spanned = f.spanned || t.kind == Span
		if t.middle < f.Score {
			f.Score, f.dir, won = t.middle, direction((t.from+t.to)/2), t
		}
	}
	refine := func(t *turn) {
		if t.floor(ms, p) >= f.Score || t.least(ms, p) >= f.Score {
			return
		}
		at, score := minimise(func(a float64) float64 { return t.score(ms, p, direction(a)) }, t.from, t.to, f.Score, t.straight(ms))
		if score < f.Score {
			f.Score, f.dir, won = score, direction(at), t
		}
	}
	first := won
	if first != nil && f.Score >= enough {
		refine(first) // the best so far: then it rules out most others
	}
	for i := range ms.turns {
		if f.Score < enough {
			break
		}
		if t := &ms.turns[i]; t != first {
			refine(t)
		}
	}
	if won != nil {
		spanned := f.spanned
		f = found{Chord: won.chord(ms, p, f.dir), spanned: spanned, dir: f.dir}
		if won.on == nil && won.onto == nil {
			f.from, f.to = won.option.from.edge, won.option.to.edge
		}
	}
	return f
}

// noTurn reports whether there is no way to carry p.
func (m *Model) noTurn(ms *measure, p geom.Point) bool {
	m.listTurns(ms, p, math.Inf(1))
	return len(ms.turns) == 0
}

// listTurns lists every way to carry p, in ms.turns; it ends with the first one
// whose score halfway is below the given one.
func (m *Model) listTurns(ms *measure, p geom.Point, below float64) {
	dirs := m.criticalDirections(ms, p)
	ms.turns = ms.turns[:0]
	for i, a := range dirs {
		b := math.Pi + dirs[0]
		if i+1 < len(dirs) {
			b = dirs[i+1]
		}
		if b-a < leastTurn {
			continue
		}
		d := direction((a + b) / 2)
		ms.options = m.optionsAlong(ms, p, d, ms.options[:0])
		for k := range ms.options {
			o := &ms.options[k]
			middle := o.score(ms, p, d)
			ms.turns = append(ms.turns, turn{*o, a, b, middle})
			if middle < below {
				return
			}
		}
	}
}

// least is a lower bound of the turn's score at p: its length is no less than the
// least distances to both ends together.
func (t *turn) least(ms *measure, p geom.Point) float64 {
	if t.to-t.from > math.Pi/2 {
		return 0
	}
	a, b := direction(t.from), direction(t.to)
	from, _ := t.option.from.distances(p, a, b)
	to, _ := t.option.to.distances(p, a, b)
	if t.kind == Span {
		return math.Max(t.option.least, ms.span(from+to))
	}
	through := 0.0
	if ms.Share > 0 {
		_, behind := t.behind.distances(p, a, b)
		_, ahead := t.ahead.distances(p, a, b)
		through = behind + ahead
	}
	return math.Max(t.option.least, ms.cantilever(from+to, through))
}

// distances returns the least and greatest distance from p to the edge in the
// directions between a and b, less than half a turn apart: they are those in a
// and b, or square to a line or through an arc's centre.
func (r reach) distances(p, a, b geom.Point) (least, most float64) {
	u, v := math.Abs(r.at(p, a)), math.Abs(r.at(p, b))
	least, most = math.Min(u, v), math.Max(u, v)
	n := r.edge.b.Sub(r.edge.a).Left()
	if r.edge.radius > 0 {
		n = r.edge.center.Sub(p)
	}
	in, out := a.Cross(n), n.Cross(b)
	if in*out > 0 { // n or -n lies between a and b
		u := math.Abs(r.at(p, n.Mul(math.Copysign(1/n.Norm(), in))))
		least, most = math.Min(least, u), math.Max(most, u)
	}
	return least, most
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
		return math.Max(o.least, ms.span(length))
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
	options = m.resting(ms, p, d, gap{behind, ahead, from, to}, options)
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
	dirs := ms.dirs[:0]
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
	ms.dirs = dirs
	return dirs
}
