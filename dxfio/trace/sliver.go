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
	if n.alone(at) {
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

// alone reports whether a cell is bounded by whole curves that meet no others: it
// was drawn closed, and what is drawn closed is meant whatever its size.
func (n *nest) alone(at int32) bool {
	for _, h := range n.cells[at].outer {
		if e := &n.edges[h/2]; e.t != 0 || e.u != 1 {
			return false
		}
		if o := n.cellOf[n.of[h^1]]; o >= 0 && n.cells[o].depth == n.cells[at].depth {
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
	c := &n.cells[at]
	if taken[at] {
		return false
	}
	shared := map[int32]float64{}
	for _, h := range c.outer {
		if o := n.cellOf[n.of[h^1]]; o >= 0 && n.cells[o].depth == c.depth {
			shared[o] += n.edges[h/2].Length()
		}
	}
	best := int32(-1)
	for o, l := range shared {
		if taken[o] {
			return false // next round, when its shape is known again
		}
		if best < 0 || n.moreShared(l, shared[best], o, best) {
			best = o
		}
	}
	size, noise := w.leaves(n, at, best)
	if !noise {
		return false
	}
	taken[at], taken[best] = true, true
	l := n.loop(c.outer)
	id := int32(-1)
	for _, h := range c.outer {
		e := &n.edges[h/2]
		if own := w.segs[e.seg].ID; own >= 0 && (id < 0 || own < id) {
			id = own
		}
		if o := n.cellOf[n.of[h^1]]; best < 0 || o == best {
			n.dead[h/2] = true
			w.consumed = append(w.consumed, e.seg)
		}
	}
	w.repair(SliverRemoved, l.Centroid(), size, id)
	return true
}

// leaves returns how far in mm the farthest point of what would be taken out with
// a cell lies from what would be left of its boundary, and whether that is noise: a
// whole curve, which somebody drew, by no more than ends that are one point, parts
// of curves that crossings cut by no more than an overshoot.
func (w *work) leaves(n *nest, at, best int32) (size float64, noise bool) {
	var left, parts, whole []geom.Curve
	for _, h := range n.cells[at].outer {
		e := &n.edges[h/2]
		switch {
		case best >= 0 && n.cellOf[n.of[h^1]] != best:
			left = append(left, e.Curve)
		case e.t == 0 && e.u == 1 && w.segs[e.seg].ID >= 0:
			whole = append(whole, e.Curve)
		default:
			parts = append(parts, e.Curve)
		}
	}
	if len(left) == 0 { // nothing is left: all of it comes down to a point
		if len(whole) > 0 {
			return 0, false
		}
		all := n.loop(n.cells[at].outer).Box()
		size = all.Min.Distance(all.Max)
		return size, atMost(size, w.s.Bridge)
	}
	most := func(curves []geom.Curve) float64 {
		far := 0.0
		for _, c := range curves {
			w.spend(sliverSteps+20*len(left), -1)
			f, _ := geom.Farthest(c, left)
			far = math.Max(far, f.Length())
		}
		return far
	}
	a, b := most(whole), most(parts)
	return math.Max(a, b), atMost(a, w.s.Join) && atMost(b, math.Max(w.s.Bridge, w.s.Join))
}

func (f *walks) loop(hs []half) geom.Loop {
	l := make(geom.Loop, len(hs))
	for i, h := range hs {
		l[i] = f.curve(h)
	}
	return l
}
