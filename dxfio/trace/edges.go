package trace

import (
	"cmp"
	"slices"

	"trueup/dxfio/geom"
)

// plan is the planar arrangement of a set of curves: their edges between nodes.
type plan struct {
	w     *work
	edges []edge
	dead  []bool // by edge: taken out
	// By edge: further curves along the same place; nil when there is none at all.
	others [][]part
	unit   []int32 // by edge: edges of one curve that only crossings separate
	units  int32
	inner  []bool // by node: only crossings of boundaries meet here
	plain  bool   // every edge is a whole curve, and none runs along another
	rings  bool   // every node joins two edges: they do no more than follow each other
}

// cut turns the contacts into edges.
func (s *splitter) cut() *plan {
	if len(s.contacts)+len(s.same) == 0 && !s.overlap {
		return s.uncut()
	}
	nodes := newUnions(len(s.w.nodes.pos))
	for _, p := range s.same {
		nodes.join(p[0], p[1])
	}
	s.sortContacts()
	p := &plan{w: s.w, edges: make([]edge, 0, len(s.segs)+len(s.contacts)), inner: make([]bool, len(s.w.nodes.pos))}
	p.unit = make([]int32, 0, cap(p.edges))
	for _, c := range s.contacts {
		p.inner[nodes.find(c.node)] = true
	}
	for n, a := range s.attach {
		if a {
			p.inner[nodes.find(int32(n))] = false
		}
	}
	for _, i := range s.segs {
		g := &s.w.segs[i]
		for side, n := range g.node {
			g.node[side] = nodes.find(n)
			p.inner[g.node[side]] = false
		}
	}
	at := 0
	for _, i := range s.segs { // in ascending order, like the contacts
		from := at
		for at < len(s.contacts) && s.contacts[at].seg == i {
			at++
		}
		p.cutSeg(i, s.contacts[from:at], nodes)
	}
	p.dead = make([]bool, len(p.edges))
	if s.overlap {
		p.mergeSame()
	}
	return p
}

// uncut is cut where no curve meets another but at common ends.
func (s *splitter) uncut() *plan {
	n := len(s.segs)
	p := &plan{
		w: s.w, edges: make([]edge, 0, n), dead: make([]bool, n), unit: make([]int32, n), units: int32(n),
		inner: make([]bool, len(s.w.nodes.pos)), plain: true,
	}
	for k, i := range s.segs {
		g := &s.w.segs[i]
		p.unit[k] = int32(k)
		p.edges = append(p.edges, edge{Curve: g.Curve.Curve, node: g.node, seg: i, u: 1})
		e := &p.edges[k]
		e.A, e.B = s.w.nodes.pos[g.node[0]], s.w.nodes.pos[g.node[1]]
		p.dead[k] = g.node[0] == g.node[1]
	}
	return p
}

// without returns the plan with the marked edges taken out; the edges themselves
// stay in common.
func (p *plan) without(dead []bool) *plan {
	return &plan{w: p.w, edges: p.edges, dead: dead, others: p.others, inner: p.inner}
}

// beside returns the further curves along an edge.
func (p *plan) beside(i int32) []part {
	if p.others == nil {
		return nil
	}
	return p.others[i]
}

// sortContacts puts the contacts in the order of curves and along each curve.
func (s *splitter) sortContacts() {
	if len(s.contacts) == 0 {
		return
	}
	first := make([]int32, len(s.w.segs)+2)
	for i := range s.contacts {
		first[s.contacts[i].seg+2]++
	}
	for i := 2; i < len(first); i++ {
		first[i] += first[i-1]
	}
	sorted := make([]contact, len(s.contacts))
	for _, c := range s.contacts {
		sorted[first[c.seg+1]] = c
		first[c.seg+1]++
	}
	for i := range s.w.segs {
		if at := sorted[first[i]:first[i+1]]; len(at) > 1 {
			slices.SortFunc(at, func(a, b contact) int {
				return cmp.Or(cmp.Compare(a.t, b.t), comparePoints(s.w.nodes.pos[a.node], s.w.nodes.pos[b.node]))
			})
		}
	}
	s.contacts = sorted
}

// cutSeg adds the edges of one curve.
func (p *plan) cutSeg(i int32, at []contact, nodes unions) {
	g := &p.w.segs[i]
	from, t := nodes.find(g.node[0]), 0.0
	unit := p.units
	p.units++
	add := func(to int32, u float64) {
		if to == from {
			return
		}
		c := g.Curve.Curve
		if t > 0 || u < 1 {
			c = c.Part(t, u)
		}
		c.A, c.B = p.w.nodes.pos[from], p.w.nodes.pos[to]
		p.edges = append(p.edges, edge{Curve: c, node: [2]int32{from, to}, seg: i, t: t, u: u})
		p.unit = append(p.unit, unit)
		from, t = to, u
		if !p.inner[to] {
			unit = p.units
			p.units++
		}
	}
	for _, c := range at {
		add(nodes.find(c.node), c.t)
	}
	add(nodes.find(g.node[1]), 1)
}

// mergeSame makes one edge of those that run along each other: that of a boundary
// before a divider's, then that of the longest curve.
func (p *plan) mergeSame() {
	p.others = make([][]part, len(p.edges))
	order := make([]int32, len(p.edges))
	for i := range order {
		order[i] = int32(i)
	}
	lengths := make([]float64, len(p.w.segs)) // asked for again and again
	for i := range p.w.segs {
		lengths[i] = p.w.segs[i].Length()
	}
	key := func(i int32) [2]int32 {
		n := p.edges[i].node
		return [2]int32{min(n[0], n[1]), max(n[0], n[1])}
	}
	slices.SortFunc(order, func(a, b int32) int {
		ka, kb := key(a), key(b)
		return cmp.Or(cmp.Compare(ka[0], kb[0]), cmp.Compare(ka[1], kb[1]),
			p.compareSources(lengths, p.edges[a].seg, p.edges[b].seg), cmp.Compare(a, b))
	})
	again := false // a crossing turned out to be where two curves begin to run along each other
	for x, i := range order {
		e := &p.edges[i]
		if p.dead[i] {
			continue
		}
		for _, j := range order[x+1:] {
			if key(j) != key(i) {
				break
			}
			p.w.spend(1, e.seg)
			f := &p.edges[j]
			if p.dead[j] || e.Middle().Distance(f.Middle()) > snap {
				continue
			}
			p.others[i] = append(p.others[i], part{f.seg, f.t, f.u, f.node != e.node})
			p.dead[j] = true
			again = again || p.inner[f.node[0]] || p.inner[f.node[1]]
			p.inner[f.node[0]], p.inner[f.node[1]] = false, false
		}
	}
	if again {
		p.numberUnits()
	}
}

// numberUnits numbers the units anew: edges of one curve that only crossings
// separate.
func (p *plan) numberUnits() {
	p.units = 0
	for i := range p.edges {
		e := &p.edges[i]
		if i > 0 && p.edges[i-1].seg == e.seg && p.inner[e.node[0]] {
			p.unit[i] = p.units - 1
			continue
		}
		p.unit[i] = p.units
		p.units++
	}
}

// compareSources orders curves that run along each other, the first to keep first.
func (p *plan) compareSources(lengths []float64, i, j int32) int {
	if i == j {
		return 0
	}
	c, d := &p.w.segs[i].Curve, &p.w.segs[j].Curve
	if order := cmp.Or(cmp.Compare(c.Kind, d.Kind), compareRounded(lengths[j], lengths[i])); order != 0 {
		return order
	}
	return p.w.comparePlaces(d.Middle(), c.Middle())
}

// span is the row of edges of one unit; first is -1 when it has none.
type span struct{ first, last int32 }

// spans returns the live units and how many of them end at every node.
func (p *plan) spans() ([]span, []int32) {
	spans, degree := make([]span, p.units), make([]int32, len(p.inner))
	for i := range spans {
		spans[i].first = -1
	}
	for i := range p.edges {
		if p.dead[i] {
			continue
		}
		s := &spans[p.unit[i]]
		if s.first < 0 {
			s.first = int32(i)
		}
		s.last = int32(i)
	}
	for _, s := range spans {
		if s.first >= 0 {
			for _, n := range p.ends(s) {
				degree[n]++
			}
		}
	}
	return spans, degree
}

func (p *plan) ends(s span) [2]int32 {
	return [2]int32{p.edges[s.first].node[0], p.edges[s.last].node[1]}
}

// hasFreeEnd is a quick test: false when every node has two edges at least, or
// none. Where no edges run along each other no unit has a free end then: all that
// end at a node other than a crossing end their units there.
func (p *plan) hasFreeEnd() bool {
	degree := make([]uint8, len(p.inner))
	for i := range p.edges {
		if p.dead[i] {
			continue
		}
		for _, n := range p.edges[i].node {
			degree[n] = min(degree[n]+1, 3)
		}
	}
	free, rings := false, true
	for _, d := range degree {
		free = free || d == 1
		rings = rings && d&1 == 0
	}
	p.rings = rings
	return free
}

// dangling takes out, unit by unit, what has a free end, and returns the edges
// taken out.
func (p *plan) dangling() []int32 {
	if free := p.hasFreeEnd(); p.others == nil && !free {
		return nil
	}
	p.rings = false // of what will be left, nothing is known
	spans, degree := p.spans()
	var queue []int32
	for n, d := range degree {
		if d == 1 {
			queue = append(queue, int32(n))
		}
	}
	if len(queue) == 0 {
		return nil
	}
	at := make([][]int32, len(degree)) // units by node
	for u, s := range spans {
		if s.first >= 0 {
			for _, n := range p.ends(s) {
				at[n] = append(at[n], int32(u))
			}
		}
	}
	var out []int32
	for len(queue) > 0 {
		n := queue[len(queue)-1]
		queue = queue[:len(queue)-1]
		for _, u := range at[n] {
			s := spans[u]
			if s.first < 0 || degree[n] != 1 {
				continue
			}
			for _, m := range p.ends(s) {
				if degree[m]--; degree[m] == 1 {
					queue = append(queue, m)
				}
			}
			for i := s.first; i <= s.last; i++ {
				if !p.dead[i] {
					p.dead[i] = true
					out = append(out, i)
				}
			}
			spans[u].first = -1
		}
	}
	slices.Sort(out)
	return out
}

// half is a half-edge: 2*edge, or 2*edge+1 for the edge run backwards.
type half = int32

// curve returns the half-edge's curve in its direction.
func (p *plan) curve(h half) geom.Curve {
	c := p.edges[h/2].Curve
	if h%2 == 1 {
		return c.Reverse()
	}
	return c
}

// start returns the point where a half-edge begins.
func (p *plan) start(h half) geom.Point {
	if e := &p.edges[h/2]; h%2 == 0 {
		return e.A
	} else {
		return e.B
	}
}

func (p *plan) tail(h half) int32 { return p.edges[h/2].node[h%2] }
func (p *plan) head(h half) int32 { return p.edges[h/2].node[1-h%2] }
