package support

import (
	"cmp"
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// sweep is the free stone cut into rows along one direction. Within a row the
// chords along the direction keep their ends on the same curves.
type sweep struct {
	model *Model
	share bool
	d, n  geom.Point // along the chords, and to their left
	cuts  []float64  // offsets along n, sorted; rows lie between them
	rows  [][]strip  // found when first asked for
	known []bool
}

// strip is the free stone between two curves in a row.
type strip struct {
	behind, ahead           reach
	stoneBehind, stoneAhead reach // of the whole stone, when shares are asked
	lines                   []*line
	zones                   []zone // the ways to carry it, found when first asked for
	zonesFor                lineScore
}

func (m *Model) sweepAlong(d geom.Point, share bool) *sweep {
	s := &sweep{model: m, share: share, d: d, n: d.Left()}
	s.cuts = make([]float64, 0, len(m.corners)+len(m.knots())+8)
	for _, p := range m.corners {
		s.cuts = append(s.cuts, s.n.Dot(p))
	}
	for _, p := range m.knots() {
		s.cuts = append(s.cuts, s.n.Dot(p))
	}
	s.cutArcs(m.edges)
	if share {
		for i := range m.whole {
			s.cuts = append(s.cuts, s.n.Dot(m.whole[i].a))
		}
		s.cutArcs(m.whole)
	}
	slices.Sort(s.cuts)
	s.cuts = slices.CompactFunc(s.cuts, func(a, b float64) bool { return math.Abs(b-a) < 20*geom.Tolerance })
	s.rows = make([][]strip, len(s.cuts))
	s.known = make([]bool, len(s.cuts))
	return s
}

// cutArcs cuts where a chord along the direction touches an arc.
func (s *sweep) cutArcs(edges []edge) {
	for i := range edges {
		e := &edges[i]
		if e.radius == 0 {
			continue
		}
		for _, side := range [2]float64{-1, 1} {
			if q := e.center.Add(s.n.Mul(side * e.radius)); e.onArc(q) {
				s.cuts = append(s.cuts, s.n.Dot(q))
			}
		}
	}
}

// met is where a chord's line meets an edge.
type met struct {
	reach
	u     float64
	enter bool // into what lies on the edge's left
}

// cross returns where the line at offset t meets the edges, in order along it.
func (s *sweep) cross(edges []edge, t float64) []met {
	return crossings(edges, s.n.Mul(t), s.d)
}

// crossings returns where the line through p along d meets the edges, in order
// along it; u is the distance from p.
func crossings(edges []edge, p, d geom.Point) []met {
	var out []met
	n := d.Left()
	t := n.Dot(p)
	for i := range edges {
		e := &edges[i]
		if e.radius == 0 {
			if (n.Dot(e.a) > t) == (n.Dot(e.b) > t) {
				continue
			}
			r := reach{e, 0}
			out = append(out, met{r, r.at(p, d), d.Cross(e.b.Sub(e.a)) < 0})
			continue
		}
		if math.Abs(n.Dot(e.center)-t) >= e.radius {
			continue
		}
		for _, root := range [2]float64{-1, 1} {
			r := reach{e, root}
			if u := r.at(p, d); e.onArc(p.Add(d.Mul(u))) {
				out = append(out, met{r, u, (root < 0) == (e.bulge > 0)})
			}
		}
	}
	slices.SortFunc(out, func(a, b met) int { return cmp.Compare(a.u, b.u) })
	return out
}

// row returns the strips of free stone between cuts i and i+1.
func (s *sweep) row(i int) []strip {
	if s.known[i] {
		return s.rows[i]
	}
	s.known[i] = true
	t := (s.cuts[i] + s.cuts[i+1]) / 2
	var stone []met
	if s.share {
		stone = s.cross(s.model.whole, t)
	}
	free := s.cross(s.model.edges, t)
	for k := 0; k+1 < len(free); k++ {
		if !free[k].enter || free[k+1].enter {
			continue
		}
		st := strip{behind: free[k].reach, ahead: free[k+1].reach}
		st.lines = s.linesBetween(t, free[k].u, free[k+1].u)
		mid := (free[k].u + free[k+1].u) / 2
		for j := 0; j+1 < len(stone); j++ {
			if stone[j].u < mid && stone[j+1].u > mid {
				st.stoneBehind, st.stoneAhead = stone[j].reach, stone[j+1].reach
			}
		}
		s.rows[i] = append(s.rows[i], st)
	}
	return s.rows[i]
}

// linesBetween returns the lines between supports met between u and v.
func (s *sweep) linesBetween(t, u, v float64) []*line {
	var out []*line
	p := s.n.Mul(t)
	at := func(l *line) float64 { return reach{&l.edge, 0}.at(p, s.d) }
	for i := range s.model.lines {
		l := &s.model.lines[i]
		if (s.n.Dot(l.a) > t) == (s.n.Dot(l.b) > t) {
			continue
		}
		if w := at(l); w > u && w < v {
			out = append(out, l)
		}
	}
	slices.SortFunc(out, func(a, b *line) int { return cmp.Compare(at(a), at(b)) })
	return out
}

// zone is a strip or the part of one between neighbouring lines, in which every
// point has the same options.
type zone struct {
	behind, ahead reach
	options       []option
}

// zonesIn returns the zones of a strip with the ways to carry them.
func (s *sweep) zonesIn(ms *measure, st *strip) []zone {
	if of := ms.lineScore(); st.zones == nil || st.zonesFor != of {
		st.zones, st.zonesFor = s.newZones(ms, st), of
	}
	return st.zones
}

func (s *sweep) newZones(ms *measure, st *strip) []zone {
	zs := make([]zone, 0, len(st.lines)+1)
	options := make([]option, 0, 4*(len(st.lines)+1))
	base := option{kind: Cantilever, behind: st.stoneBehind, ahead: st.stoneAhead}
	for i := 0; i <= len(st.lines); i++ {
		first := len(options)
		z := zone{behind: st.behind, ahead: st.ahead}
		if i > 0 {
			z.behind = reach{&st.lines[i-1].edge, 0}
		}
		if i < len(st.lines) {
			z.ahead = reach{&st.lines[i].edge, 0}
		}
		carriedBehind, carriedAhead := st.behind.edge.carries, st.ahead.edge.carries
		switch {
		case carriedBehind && carriedAhead:
			options = append(options, option{kind: Span, from: st.behind, to: st.ahead})
		case carriedBehind:
			options = append(options, base.between(st.behind, st.ahead))
		case carriedAhead:
			options = append(options, base.between(st.ahead, st.behind))
		}
		if s.model.rests {
			options = st.resting(ms, i, options)
		}
		if s.share && st.stoneBehind.edge == nil {
			options = slices.DeleteFunc(options[first:], func(o option) bool { return o.kind == Cantilever })
			z.options = options
			zs = append(zs, z)
			continue
		}
		// Of the lines on one side the nearest makes the shortest cantilever: one
		// behind it helps only where it is the better line itself.
		stand := func(l *line, end reach, sound *float64) {
			if o := base; ms.standing(l) < *sound {
				o.on, o.least = l, ms.standing(l)
				*sound = o.least
				options = append(options, o.between(reach{&l.edge, 0}, end))
			}
		}
		if sound := math.Inf(1); !carriedAhead {
			nearest := len(options)
			for j := i - 1; j >= 0; j-- {
				stand(st.lines[j], st.ahead, &sound)
			}
			slices.Reverse(options[nearest:])
		}
		if sound := math.Inf(1); !carriedBehind {
			for _, l := range st.lines[i:] {
				stand(l, st.behind, &sound)
			}
		}
		z.options = options[first:len(options):len(options)]
		zs = append(zs, z)
	}
	return zs
}

func (o option) between(from, to reach) option {
	o.from, o.to = from, to
	return o
}
