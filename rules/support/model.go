package support

import (
	"cmp"
	"math"
	"slices"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// Model is the free stone of one piece: its boundary, and the lines between
// supports that cantilevers may stand on.
type Model struct {
	outline shape
	cutouts []shape
	bearers []bearer
	edges   []edge // of free stone
	stone   []edge // of all stone: outline and cutouts
	whole   []edge // of the whole top: the outline alone
	lines   []line
	corners []geom.Point // where edges and lines end
	carried bool
	spans   bool    // some chord may run from one support to another
	rests   bool    // some line between supports may carry spans
	longest float64 // no chord of the top is longer, mm
	// What searches share: the common directions and the sweeps along them, of the
	// free stone alone and of the whole stone too. A Model belongs to one goroutine.
	ways           []geom.Point
	crossings      []geom.Point // of lines with each other, once crossed is true
	crossed        bool
	views          map[Limits]*Model // with the lines that help within them
	plain, sharing []*sweep
	// crowded is true when there were too many corners to look for lines between
	// them: what hangs on such lines is then not known.
	crowded bool
}

// sideStep is how far beside a curve in mm it is decided what lies there: far
// above rounding, and far below anything a shop can draw or measure.
const sideStep = 1e-3

// Piece returns the free stone of a piece.
func (s *Site) Piece(p *piece.Piece) *Model {
	m := &Model{outline: newShape(p.Outline)}
	for _, c := range p.Cutouts {
		// A drilled hole ends no stone: what a tap hole takes out of a top it
		// does not take out of its strength to span, and taking it as an end
		// would flag every sink base that is drawn as its two sides.
		if !c.OverEdge && c.Kind != piece.Hole && len(c.Loop) > 0 {
			m.cutouts = append(m.cutouts, newShape(c.Loop))
		}
	}
	m.bearers = s.within(m.outline.box)
	m.stoneEdges()
	m.freeEdges()
	m.findLines()
	m.findSpans()
	m.longest = m.outline.box.Max.Distance(m.outline.box.Min)
	return m
}

// Carried reports whether any support touches the piece.
func (m *Model) Carried() bool { return m.carried }

// Free reports whether any stone of the piece is not carried directly.
func (m *Model) Free() bool { return len(m.edges) > 0 }

func (m *Model) isStone(p geom.Point) bool { return m.outline.holds(p) && !anyHolds(m.cutouts, p) }

func (m *Model) isCarried(p geom.Point) bool {
	for i := range m.bearers {
		if m.bearers[i].carries(p) {
			return true
		}
	}
	return false
}

// isFree reports whether p lies in free stone and not on its boundary, where
// chords have no length.
func (m *Model) isFree(p geom.Point) bool {
	if !m.isStone(p) || m.isCarried(p) {
		return false
	}
	for i := range m.edges {
		// Most edges are told off by their line or circle.
		if e := &m.edges[i]; (reach{edge: e}).distance(p) <= samePoint && e.curve().Distance(p) <= samePoint {
			return false
		}
	}
	return true
}

// stoneEdges lists the edges of the whole top and of all stone, stone on the
// left.
func (m *Model) stoneEdges() {
	n := len(m.outline.loop)
	for _, s := range m.cutouts {
		n += len(s.loop)
	}
	m.stone = make([]edge, 0, n)
	for _, c := range m.outline.loop {
		m.stone = append(m.stone, newEdge(c, false))
	}
	m.whole = m.stone[:len(m.stone):len(m.stone)]
	for _, s := range m.cutouts {
		for _, c := range s.loop {
			m.stone = append(m.stone, newEdge(c, false))
		}
	}
}

// drawn is a curve of stone, support or opening with where others meet it.
type drawn struct {
	geom.Curve
	loop int // curves of one loop do not cut each other
	box  geom.Box
	cuts []float64 // fractions of its length
}

// freeEdges finds the boundary of free stone: every curve is cut where others
// meet it, and a part stays when free stone lies on one side of it only. No
// loops are linked, so coinciding and doubly drawn curves need no care.
func (m *Model) freeEdges() {
	curves := m.drawnCurves()
	cutEachOther(curves)
	edges := make([]edge, 0, 2*len(curves))
	for i := range curves {
		c := &curves[i]
		slices.Sort(c.cuts)
		from := 0.0
		for _, t := range append(c.cuts, 1) {
			if t-from > 0 {
				if e, ok := m.freeEdge(c.part(from, t)); ok {
					edges = append(edges, e)
				}
				from = t
			}
		}
	}
	m.edges = withoutDoubles(edges)
	if len(m.edges) == 0 {
		// No free stone, or stone that nothing bounds: it is carried throughout.
		m.carried = m.carried || m.isCarried(m.somewhere())
	}
}

// somewhere returns a point of the stone beside its first curve.
func (m *Model) somewhere() geom.Point {
	if len(m.outline.loop) == 0 {
		return geom.Point{}
	}
	c := m.outline.loop[0]
	return c.Middle().Add(c.Tangent(0.5).Left().Mul(sideStep))
}

func (d *drawn) part(t, u float64) geom.Curve {
	if t == 0 && u == 1 {
		return d.Curve
	}
	return d.Part(t, u)
}

func (m *Model) drawnCurves() []drawn {
	n := len(m.stone)
	for i := range m.bearers {
		b := &m.bearers[i]
		for _, list := range [3][]shape{b.areas, b.holes, b.openings} {
			for _, s := range list {
				n += len(s.loop)
			}
		}
	}
	out := make([]drawn, 0, n)
	loops := 0
	within := m.outline.box.Grow(sideStep)
	var seen map[*geom.Curve]bool // an opening may apply to several supports
	add := func(l geom.Loop) {
		if len(l) == 0 || seen[&l[0]] {
			return
		}
		if len(m.bearers) > 1 {
			if seen == nil {
				seen = make(map[*geom.Curve]bool, n)
			}
			seen[&l[0]] = true
		}
		loops++
		for _, c := range l {
			if b := c.Box(); c.A != c.B && b.Overlaps(within) {
				out = append(out, drawn{Curve: c, loop: loops, box: b})
			}
		}
	}
	add(m.outline.loop)
	for _, s := range m.cutouts {
		add(s.loop)
	}
	for i := range m.bearers {
		b := &m.bearers[i]
		for _, list := range [3][]shape{b.areas, b.holes, b.openings} {
			for _, s := range list {
				add(s.loop)
			}
		}
	}
	return out
}

// cutEachOther finds where curves of different loops meet, by a sweep over
// their boxes in x.
func cutEachOther(curves []drawn) {
	order := make([]int, len(curves))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(i, j int) int {
		switch a, b := curves[i].box.Min.X, curves[j].box.Min.X; {
		case a < b:
			return -1
		case a > b:
			return 1
		}
		return i - j
	})
	for n, i := range order {
		c := &curves[i]
		for _, j := range order[n+1:] {
			d := &curves[j]
			if d.box.Min.X > c.box.Max.X+geom.Tolerance {
				break
			}
			if c.loop == d.loop || !c.box.Grow(geom.Tolerance).Overlaps(d.box) {
				continue
			}
			c.cutAt(d)
		}
	}
}

// cutAt cuts two curves where they meet.
func (d *drawn) cutAt(e *drawn) {
	if d.IsLine() && e.IsLine() {
		d.cutLines(e)
		return
	}
	for _, x := range geom.Intersect(d.Curve, e.Curve) {
		if x.T > 0 && x.T < 1 {
			d.cuts = append(d.cuts, x.T)
		}
		if x.U > 0 && x.U < 1 {
			e.cuts = append(e.cuts, x.U)
		}
	}
}

// cutLines cuts two lines, the most common case: where they cross, and where
// one lies along the other at the other's ends.
func (d *drawn) cutLines(e *drawn) {
	u, v, w := d.B.Sub(d.A), e.B.Sub(e.A), e.A.Sub(d.A)
	lu, lv := u.Norm(), v.Norm()
	cross := u.Cross(v)
	if math.Abs(cross) > angleTolerance*lu*lv {
		d.cut(w.Cross(v)/cross, lu)
		e.cut(w.Cross(u)/cross, lv)
		return
	}
	// Nearly parallel: what is not within tolerance of the other is not cut.
	on := func(line *drawn, along geom.Point, length float64, p geom.Point) {
		q := p.Sub(line.A)
		if math.Abs(along.Cross(q)) <= geom.Tolerance*length {
			line.cut(along.Dot(q)/(length*length), length)
		}
	}
	on(d, u, lu, e.A)
	on(d, u, lu, e.B)
	on(e, v, lv, d.A)
	on(e, v, lv, d.B)
}

// cut notes a cut at a fraction of the length unless it is an end.
func (d *drawn) cut(t, length float64) {
	if end := geom.Tolerance / length; t > end && t < 1-end {
		d.cuts = append(d.cuts, t)
	}
}

// freeEdge returns the curve with free stone on its left, false when both sides
// are free or neither is.
func (m *Model) freeEdge(c geom.Curve) (edge, bool) {
	length := c.Length()
	if length < samePoint {
		return edge{}, false
	}
	step := c.Tangent(0.5).Left().Mul(math.Min(sideStep, length/4))
	mid := c.Middle()
	left, right := mid.Add(step), mid.Sub(step)
	stoneLeft, stoneRight := m.isStone(left), m.isStone(right)
	carriedLeft, carriedRight := stoneLeft && m.isCarried(left), stoneRight && m.isCarried(right)
	m.carried = m.carried || carriedLeft || carriedRight
	freeLeft, freeRight := stoneLeft && !carriedLeft, stoneRight && !carriedRight
	switch {
	case freeLeft && !freeRight:
		return newEdge(c, carriedRight), true
	case freeRight && !freeLeft:
		return newEdge(c.Reverse(), carriedLeft), true
	}
	return edge{}, false
}

// withoutDoubles drops edges that were drawn more than once.
func withoutDoubles(edges []edge) []edge {
	slices.SortStableFunc(edges, func(e, f edge) int { return cmp.Compare(e.a.X, f.a.X) })
	out := edges[:0]
	for _, e := range edges {
		double := false
		for i := len(out) - 1; i >= 0 && e.a.X-out[i].a.X < samePoint && !double; i-- {
			o := &out[i]
			double = near(o.a, e.a) && near(o.b, e.b) && math.Abs(o.bulge-e.bulge) < geom.Tolerance && o.carries == e.carries
		}
		if !double {
			out = append(out, e)
		}
	}
	return out
}

// withoutDoublePoints drops points that are the same place.
func withoutDoublePoints(points []geom.Point) []geom.Point {
	slices.SortFunc(points, func(p, q geom.Point) int {
		return cmp.Or(cmp.Compare(p.X, q.X), cmp.Compare(p.Y, q.Y))
	})
	out := points[:0]
	for _, p := range points {
		double := false
		for i := len(out) - 1; i >= 0 && p.X-out[i].X < samePoint && !double; i-- {
			double = near(out[i], p)
		}
		if !double {
			out = append(out, p)
		}
	}
	return out
}

// samePoint is how near in mm two computed points are the same place.
const samePoint = 10 * geom.Tolerance

// near reports whether two computed points are the same place.
func near(p, q geom.Point) bool {
	return math.Abs(p.X-q.X) < samePoint && math.Abs(p.Y-q.Y) < samePoint
}
