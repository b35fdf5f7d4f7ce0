package trace

import (
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// thinSliver is the mean width, area over half the perimeter, in joins, up to
// which a small face inside another is drawing noise: a dowel hole is small as
// well, but not thin.
const thinSliver = 2.0

// maxSliverRounds bounds the rounds: each takes out at least one face, and
// slivers that turn into slivers are noise of noise.
const maxSliverRounds = 8

// slivers takes out faces that are drawing noise: they go to the neighbour with
// which they share most, or away where they have none.
func (n *nest) slivers() *nest {
	w := n.w
	for range maxSliverRounds {
		found := false
		var gone []int32
		for at := range n.cells {
			w.spend(1, -1)
			if w.isSliver(n, int32(at)) {
				gone = append(gone, int32(at))
			}
		}
		if len(gone) == 0 {
			return n
		}
		n.sortCells(gone)
		taken := map[int32]bool{} // cells changed in this round
		for _, at := range gone {
			found = w.dissolve(n, at, taken) || found
		}
		if !found {
			return n
		}
		n.rings = false
		f, _ := n.plan.faces()
		n = f.nest()
	}
	return n
}

// sliverSteps is what taking out a sliver costs, in the steps of a Guard.
const sliverSteps = 200

// sortCells orders cells by area, then by place.
func (n *nest) sortCells(cells []int32) {
	at := make(map[int32]geom.Point, len(cells))
	for _, c := range cells {
		hs := n.cells[c].outer
		n.w.spend(sliverSteps+len(hs), n.edges[hs[0]/2].seg)
		at[c] = n.loop(hs).Centroid()
	}
	slices.SortFunc(cells, func(a, b int32) int {
		if c := compareMeasured(n.cells[a].area, n.cells[b].area); c != 0 || a == b {
			return c
		}
		return n.w.comparePlaces(at[a], at[b])
	})
}

func (w *work) isSliver(n *nest, at int32) bool {
	c := &n.cells[at]
	if w.drawnClosed(n, at) {
		return false
	}
	large := atMost(w.s.SliverArea, c.area)
	if large && n.wider(at, w.s.Join) {
		return false // the answer for nearly all
	}
	width := n.width(at)
	switch {
	case atMost(width, w.s.Join) && w.s.SliverArea > 0:
		return true // two ends this near are one point
	case large:
		return false
	default:
		return c.depth == 0 || atMost(width, thinSliver*w.s.Join)
	}
}

// drawnClosed reports whether a cell is what somebody drew closed: one entity, or
// whole curves that end on each other and meet nothing else. Such a line is meant
// whatever its size. Lines that repairs put in make no such cell.
func (w *work) drawnClosed(n *nest, at int32) bool {
	outer := n.cells[at].outer
	first := w.segs[n.edges[outer[0]/2].seg].Entity
	one, inc := first >= 0, w.incidence()
	for _, h := range outer {
		e := &n.edges[h/2]
		g := &w.segs[e.seg]
		if e.t != 0 || e.u != 1 || g.ID < 0 {
			return false
		}
		one = one && g.Entity == first
		if o := n.cellOf[n.of[h^1]]; o >= 0 && n.cells[o].depth == n.cells[at].depth {
			return false
		}
	}
	if one {
		return true
	}
	for _, h := range outer {
		if g := &w.segs[n.edges[h/2].seg]; len(inc.at(g.node[0])) != 2 || len(inc.at(g.node[1])) != 2 {
			return false
		}
	}
	return true
}

// wider is a quick test: true when the mean width of a cell is surely above
// least. No curve up to a half turn is longer than pi/2 times its chord, nor the
// chord than its extents together.
func (n *nest) wider(at int32, least float64) bool {
	bound := 0.0
	for _, h := range n.cells[at].outer {
		e := &n.edges[h/2]
		part := math.Abs(e.B.X-e.A.X) + math.Abs(e.B.Y-e.A.Y)
		switch b := math.Abs(e.Bulge); {
		case b > 1:
			return false
		case b > 0:
			part *= math.Pi / 2
		}
		bound += part
	}
	return 2*n.cells[at].area > least*bound
}

// width returns the mean width of a cell in mm.
func (n *nest) width(at int32) float64 {
	length := 0.0
	for _, h := range n.cells[at].outer {
		length += n.edges[h/2].Length()
	}
	return 2 * n.cells[at].area / length
}

// dissolve takes out the edges between a sliver and the neighbour with which it
// shares most, or all around where it has no neighbour.
func (w *work) dissolve(n *nest, at int32, taken map[int32]bool) bool {
	if taken[at] {
		return false
	}
	shared := n.shared(at)
	for o := range shared {
		if taken[o] {
			return false // next round, when its shape is known again
		}
	}
	best := n.mostShared(shared)
	left, removed := n.dissolved(at, best)
	sizes, noise := w.noise(n, at, left, removed)
	if !noise {
		return false
	}
	taken[at], taken[best] = true, true
	w.tellRemoved(n, at, sizes, removed)
	for _, i := range removed {
		n.dead[i] = true
		w.consumed = append(w.consumed, n.edges[i].seg)
	}
	return true
}

// shared returns how much of a cell's boundary each neighbour has, mm.
func (n *nest) shared(at int32) map[int32]float64 {
	c := &n.cells[at]
	shared := map[int32]float64{}
	for _, h := range c.outer {
		if o := n.cellOf[n.of[h^1]]; o >= 0 && n.cells[o].depth == c.depth {
			shared[o] += n.edges[h/2].Length()
		}
	}
	return shared
}

// mostShared returns the neighbour that has most of a boundary, -1 where there is none.
func (n *nest) mostShared(shared map[int32]float64) int32 {
	best := int32(-1)
	for o, l := range shared {
		if best < 0 || n.moreShared(l, shared[best], o, best) {
			best = o
		}
	}
	return best
}

// isNoise reports whether a cell is a sliver, and taking it out is no more than a repair.
func (w *work) isNoise(n *nest, at int32) bool {
	if !w.isSliver(n, at) {
		return false
	}
	left, removed := n.dissolved(at, n.mostShared(n.shared(at)))
	_, noise := w.noise(n, at, left, removed)
	return noise
}

// dissolved returns the curves of a cell's boundary that stay when it goes to the
// cell best, and the edges that go: all where it has none.
func (n *nest) dissolved(at, best int32) (left []geom.Curve, removed []int32) {
	for _, h := range n.cells[at].outer {
		if best >= 0 && n.cellOf[n.of[h^1]] != best {
			left = append(left, n.edges[h/2].Curve)
		} else {
			removed = append(removed, h/2)
		}
	}
	return left, removed
}

// noise reports whether what goes with a cell is noise: a whole curve, which
// somebody drew, that leaves what stays by no more than ends that are one point, or
// a part of one that crossings cut by no more than an overshoot. sizes are how far
// each edge leaves what stays, mm.
func (w *work) noise(n *nest, at int32, left []geom.Curve, removed []int32) (sizes []float64, noise bool) {
	part := math.Max(w.s.Bridge, w.s.Join)
	for _, i := range removed {
		e := &n.edges[i]
		most := part
		if e.t == 0 && e.u == 1 && w.segs[e.seg].ID >= 0 {
			most = w.s.Join
			if len(left) == 0 {
				return nil, false // of what somebody drew nothing would be left
			}
		}
		size := w.leaves(n, at, e, left)
		if !atMost(size, most) {
			return nil, false
		}
		sizes = append(sizes, size)
	}
	return sizes, true
}

// leaves returns how far in mm the farthest point of an edge lies from what is left
// of a cell's boundary; where nothing is, all of the cell comes down to a point.
func (w *work) leaves(n *nest, at int32, e *edge, left []geom.Curve) float64 {
	if len(left) == 0 {
		all := n.loop(n.cells[at].outer).Box()
		return all.Min.Distance(all.Max)
	}
	w.spend(sliverSteps+20*len(left), e.seg)
	far, _ := geom.Farthest(e.Curve, left)
	return far.Length()
}

// tellRemoved lists what goes with a cell, a repair for each curve of the drawing,
// at its place nearest to the middle of the cell.
func (w *work) tellRemoved(n *nest, at int32, sizes []float64, removed []int32) {
	center := n.loop(n.cells[at].outer).Centroid()
	told := map[int32]int{} // by curve: its repair
	for k, i := range removed {
		e, size := &n.edges[i], sizes[k]
		q, _ := geom.NearestPoint(e.Curve, center)
		at, seen := told[e.seg]
		if !seen {
			told[e.seg] = len(w.repairs)
			w.repair(SliverRemoved, q, size, w.segs[e.seg].ID)
			continue
		}
		r := &w.repairs[at]
		r.Size = math.Max(r.Size, size)
		if q.Distance(center) < r.At.Distance(center)-geom.Tolerance {
			r.At = q
		}
	}
}

func (f *walks) loop(hs []half) geom.Loop {
	l := make(geom.Loop, len(hs))
	for i, h := range hs {
		l[i] = f.curve(h)
	}
	return l
}
