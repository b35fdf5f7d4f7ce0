package support

import (
	"cmp"
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// line is a line between two supports through free stone, on which cantilevers
// may stand.
type line struct {
	edge
	length float64
	// tangent lines pass both their supports on the same side: they run along the
	// rim of what two legs carry between them, and spans may rest on them too.
	tangent bool
}

// corner is a place where a line between supports may end: an end of carrying
// edges with their directions, or a whole carrying arc that bows into free stone.
type corner struct {
	p    geom.Point
	dirs []geom.Point // along the carrying edges that end here, leading away
	arc  *edge        // instead: lines touch this arc
}

// findLines finds the lines between supports: corners (or tangent points) with
// free stone between them all the way, that pass at least one of the supports.
// A line that passes one on its left and the other on its right is the diagonal
// of an opening, and one that runs head-on into both lies between others: stone
// on both its sides is spanned already, and nothing need stand on it.
func (m *Model) findLines() {
	corners := m.carryingCorners()
	if m.crowded = len(corners) > mostCorners; m.crowded {
		corners = nil
	}
	for i := range corners {
		for j := range corners[:i] {
			if c, d := &corners[i], &corners[j]; c.arc == nil && d.arc == nil {
				m.addLine(geom.Witness{From: d.p, To: c.p}, c, d)
				continue
			}
			for _, w := range tangents(&corners[i], &corners[j]) {
				m.addLine(w, &corners[i], &corners[j])
			}
		}
	}
	m.findCorners()
}

// findCorners lists where edges and lines end.
func (m *Model) findCorners() {
	m.corners = make([]geom.Point, 0, 2*(len(m.edges)+len(m.lines)))
	for i := range m.edges {
		m.corners = append(m.corners, m.edges[i].a, m.edges[i].b)
	}
	for i := range m.lines {
		m.corners = append(m.corners, m.lines[i].a, m.lines[i].b)
	}
	m.corners = withoutDoublePoints(m.corners)
}

// knots returns where lines cross each other.
func (m *Model) knots() []geom.Point {
	if m.crossed || len(m.lines) < 2 {
		return m.crossings
	}
	m.crossed = true
	for i := range m.lines {
		for j := range m.lines[:i] {
			if m.lines[i].misses(&m.lines[j]) {
				continue
			}
			for _, x := range geom.Intersect(m.lines[i].curve(), m.lines[j].curve()) {
				m.crossings = append(m.crossings, x.P)
			}
		}
	}
	return m.crossings
}

// toEnd returns how far a curve is from where stone ends, in mm.
func (m *Model) toEnd(c geom.Curve) float64 {
	least := math.Inf(1)
	for i := range m.edges {
		if e := &m.edges[i]; !e.carries {
			least = math.Min(least, geom.Nearest(c, e.curve()).Length())
		}
	}
	return least
}

// fewLines is the number of lines between supports up to which all of them are
// looked at. Kitchens have a handful.
const fewLines = 40

// mostLines and mostKnots bound the lines between supports that stand apart, and how
// often they may cross: a top on twenty legs. Past them the search looks at no line,
// finds more past the limits than there is, and says that it is not sure.
const (
	mostLines = 1000
	mostKnots = 3000
)

// helping returns the model for searches under limits. Among supports that stand
// apart, such as legs, the lines are as many as the pairs of their corners and cross
// each other everywhere: then those are left out that are longer than the limit of
// spans, or carry no spans and are farther from every end of the stone than the limit
// of overhangs. What
// stands on one of them is past the limits all the same; only how far, and whether by
// the line or by the overhang, is then told by other chords.
func (m *Model) helping(l Limits) *Model {
	if len(m.lines) <= fewLines {
		return m
	}
	l.Share = 0 // no line is left out for it
	if v := m.views[l]; v != nil {
		return v
	}
	lines := slices.DeleteFunc(slices.Clone(m.lines), func(o line) bool {
		return o.length > l.Span*pastScore || !o.tangent && m.toEnd(o.curve()) > l.Cantilever*pastScore
	})
	n := len(lines)
	if n == len(m.lines) && n <= mostLines && len(m.knots()) <= mostKnots {
		return m
	}
	v := *m
	v.lines = lines
	v.crossings, v.crossed, v.ways, v.plain, v.sharing, v.views = nil, false, nil, nil, nil, nil
	if n > mostLines || len(v.knots()) > mostKnots {
		v.lines, v.crossings, v.crowded = nil, nil, true
	}
	v.rests = slices.ContainsFunc(v.lines, func(o line) bool { return o.tangent })
	v.findCorners()
	if m.views == nil {
		m.views = map[Limits]*Model{}
	}
	m.views[l] = &v
	return &v
}

// misses reports whether the other line lies wholly on one side of l.
func (l *line) misses(o *line) bool {
	u := l.b.Sub(l.a)
	a, b := u.Cross(o.a.Sub(l.a)), u.Cross(o.b.Sub(l.a))
	clear := geom.Tolerance * l.length
	return a > clear && b > clear || a < -clear && b < -clear
}

// mostCorners is the number of corners of supports up to which lines between
// them are looked for: every pair is one. A kitchen piece has a few dozen.
const mostCorners = 400

func (m *Model) carryingCorners() []corner {
	n := 0
	for i := range m.edges {
		if m.edges[i].carries {
			n += 2
		}
	}
	ends, dirs := make([]corner, 0, n), make([]geom.Point, 0, n)
	leading := func(p, d geom.Point) {
		dirs = append(dirs, d)
		ends = append(ends, corner{p: p, dirs: dirs[len(dirs)-1 : len(dirs) : len(dirs)]})
	}
	for i := range m.edges {
		if e := &m.edges[i]; e.carries {
			c := e.curve()
			leading(e.a, c.Tangent(0))
			leading(e.b, c.Tangent(1).Mul(-1))
		}
	}
	slices.SortStableFunc(ends, func(a, b corner) int { return cmp.Compare(a.p.X, b.p.X) })
	var cs []corner
	for _, e := range ends {
		i := len(cs) - 1
		for i >= 0 && e.p.X-cs[i].p.X < samePoint && !near(cs[i].p, e.p) {
			i--
		}
		if i >= 0 && near(cs[i].p, e.p) {
			cs[i].dirs = append(cs[i].dirs, e.dirs...)
		} else {
			cs = append(cs, e)
		}
	}
	cs = slices.DeleteFunc(cs, func(c corner) bool { return c.smooth() })
	for i := range m.edges {
		// Free stone on the left of a clockwise arc is outside its circle.
		if e := &m.edges[i]; e.carries && e.bulge < 0 {
			cs = append(cs, corner{arc: e})
		}
	}
	return cs
}

// smooth reports whether the support's edge runs on without a turn: where two
// cabinets of a run meet, or a circle is drawn in parts.
func (c *corner) smooth() bool {
	return len(c.dirs) == 2 && math.Abs(c.dirs[0].Cross(c.dirs[1])) < angleTolerance && c.dirs[0].Dot(c.dirs[1]) < 0
}

// tangents returns the lines from d to c, of which one is an arc at least, that
// may touch both without entering the supports there.
func tangents(c, d *corner) []geom.Witness {
	switch {
	case c.arc == nil:
		var ws []geom.Witness
		for _, q := range touchPoints(d.arc, c.p) {
			ws = append(ws, geom.Witness{From: q, To: c.p})
		}
		return ws
	case d.arc == nil:
		return tangents(d, c)
	}
	return outerTangents(d.arc, c.arc)
}

// touchPoints returns where the tangents from p touch the arc.
func touchPoints(e *edge, p geom.Point) []geom.Point {
	w := p.Sub(e.center)
	dist := w.Norm()
	if dist <= e.radius {
		return nil
	}
	cos := e.radius / dist
	sin := math.Sqrt(1 - cos*cos)
	u := w.Mul(1 / dist)
	var out []geom.Point
	for _, s := range [2]float64{-sin, sin} {
		q := e.center.Add(u.Mul(cos).Add(u.Left().Mul(s)).Mul(e.radius))
		if e.onArc(q) {
			out = append(out, q)
		}
	}
	return out
}

// outerTangents returns the common tangents of two arcs that leave both on the
// same side: their normal n satisfies n.(c2-c1) = r2-r1.
func outerTangents(e, f *edge) []geom.Witness {
	w := f.center.Sub(e.center)
	dist := w.Norm()
	if dist <= math.Abs(f.radius-e.radius) {
		return nil
	}
	cos := (e.radius - f.radius) / dist
	sin := math.Sqrt(math.Max(0, 1-cos*cos))
	u := w.Mul(1 / dist)
	var out []geom.Witness
	for _, s := range [2]float64{-sin, sin} {
		n := u.Mul(cos).Add(u.Left().Mul(s))
		p, q := e.center.Add(n.Mul(e.radius)), f.center.Add(n.Mul(f.radius))
		if e.onArc(p) && f.onArc(q) {
			out = append(out, geom.Witness{From: p, To: q})
		}
	}
	return out
}

// addLine keeps the line when it passes a support and free stone alone lies
// between its ends.
func (m *Model) addLine(w geom.Witness, c, d *corner) {
	length := w.Length()
	if length < Sliver {
		return
	}
	u := w.To.Sub(w.From).Mul(1 / length)
	a, b := sideOf(c, u, w.To), sideOf(d, u, w.From)
	if a+b == 0 {
		return // opposite sides, or head-on at both ends
	}
	mid := w.Middle()
	n := u.Left().Mul(sideStep)
	if !m.isFree(mid.Add(n)) || !m.isFree(mid.Sub(n)) || m.blocked(w, u, length) {
		return
	}
	l := line{edge: newEdge(geom.Line(w.From, w.To), false), length: length, tangent: a == b}
	if !slices.ContainsFunc(m.lines, func(o line) bool { return near(o.a, l.a) && near(o.b, l.b) || near(o.a, l.b) && near(o.b, l.a) }) {
		m.lines = append(m.lines, l)
		m.rests = m.rests || l.tangent
	}
}

// sideOf tells on which side of a line along u that ends at p the corner's
// support lies: 1 left, -1 right, 0 both: the line runs into it head-on.
func sideOf(c *corner, u, p geom.Point) int {
	if c.arc != nil {
		if u.Cross(c.arc.center.Sub(p)) > 0 {
			return 1
		}
		return -1
	}
	left, right := false, false
	for _, d := range c.dirs {
		switch s := u.Cross(d); {
		case s > angleTolerance:
			left = true
		case s < -angleTolerance:
			right = true
		}
	}
	switch {
	case left && !right:
		return 1
	case right && !left:
		return -1
	}
	return 0
}

// angleTolerance is the sine under which two directions are the same: over ten
// metres it is a hundredth of a millimetre.
const angleTolerance = 1e-6

// blocked reports whether anything stands on the line between its ends.
func (m *Model) blocked(w geom.Witness, u geom.Point, length float64) bool {
	const clear = Sliver // a tangent meets its own arc over more than a point
	between := func(p geom.Point) bool {
		along := u.Dot(p.Sub(w.From))
		return along > clear && along < length-clear
	}
	self := geom.Line(w.From, w.To)
	for i := range m.edges {
		e := &m.edges[i]
		if e.radius == 0 {
			// On which side of the line the edge's ends lie, or on it.
			sa, sb := u.Cross(e.a.Sub(w.From)), u.Cross(e.b.Sub(w.From))
			onA, onB := math.Abs(sa) <= geom.Tolerance, math.Abs(sb) <= geom.Tolerance
			if onA && between(e.a) || onB && between(e.b) || !onA && !onB && sa*sb < 0 && between(e.a.Lerp(e.b, sa/(sa-sb))) {
				return true
			}
			continue
		}
		for _, x := range geom.Intersect(self, e.curve()) {
			if between(x.P) {
				return true
			}
		}
	}
	return false
}
