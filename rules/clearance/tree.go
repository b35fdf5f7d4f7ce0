package clearance

import (
	"math"

	"trueup/dxfio/geom"
)

// tree holds the boundary along its run: node 0 is the root, the left child of a
// node stands right behind it.
type tree struct{ nodes []node }

// node is a run of curves with the box around them and the cone of directions
// into the stone that a minimum may leave them in.
type node struct {
	box         geom.Box
	mid, half   float64    // of the cone, radians; half >= pi: every direction
	right, left geom.Point // its borders as unit vectors, valid up to a right angle
	wide        bool       // wider than a right angle
	low, high   int32      // curves low <= i < high
	child       int32      // right child, 0 for a single curve
	single      bool       // all of one loop
	loop        int32      // that loop
}

// slack widens every cone by more than sameDirection and the rounding of angles.
const slack = 2e-7

func newTree(p *Plate) tree {
	if len(p.curves) == 0 {
		return tree{}
	}
	t := tree{nodes: make([]node, 0, 2*len(p.curves))}
	t.build(p, 0, int32(len(p.curves)))
	return t
}

func (t *tree) build(p *Plate, low, high int32) int32 {
	k := int32(len(t.nodes))
	t.nodes = append(t.nodes, node{low: low, high: high})
	n := node{low: low, high: high, single: true, loop: p.sites[low].loop}
	if high-low == 1 {
		n.box = p.boxes[low]
		n.mid, n.half = p.cone(low)
	} else {
		a := t.build(p, low, (low+high)/2)
		b := t.build(p, (low+high)/2, high)
		left, right := &t.nodes[a], &t.nodes[b]
		n.child = b
		n.box = left.box.Union(right.box)
		n.mid, n.half = unite(left.mid, left.half, right.mid, right.half)
		n.single = left.single && right.single && left.loop == right.loop
	}
	n.wide = n.half >= math.Pi/2-slack
	if !n.wide {
		s, c := math.Sincos(n.mid - n.half)
		n.right = geom.Point{X: c, Y: s}
		s, c = math.Sincos(n.mid + n.half)
		n.left = geom.Point{X: c, Y: s}
	}
	t.nodes[k] = n
	return k
}

// cone returns the directions into the stone along a curve and over the corner
// at its start, where the stone is hollow there.
func (p *Plate) cone(i int32) (mid, half float64) {
	s := &p.sites[i]
	n := s.out.Left()
	a := math.Atan2(n.Y, n.X)
	low, high := min(0, s.sweep), max(0, s.sweep)
	if s.corner {
		high = max(high, -math.Atan2(s.in.Cross(s.out), s.in.Dot(s.out)))
	}
	return wrap(a + (low+high)/2), (high-low)/2 + slack
}

// unite returns a cone around two.
func unite(a, ha, b, hb float64) (float64, float64) {
	d := wrap(b - a)
	low, high := min(-ha, d-hb), max(ha, d+hb)
	if high-low >= 2*math.Pi {
		return a, math.Pi
	}
	return wrap(a + (low+high)/2), (high - low) / 2
}

func wrap(a float64) float64 {
	if a > -math.Pi && a <= math.Pi {
		return a
	}
	return math.Remainder(a, 2*math.Pi)
}

// gap2 returns the square of the distance between two boxes.
func gap2(a, b *geom.Box) float64 {
	dx := max(0, max(a.Min.X-b.Max.X, b.Min.X-a.Max.X))
	dy := max(0, max(a.Min.Y-b.Max.Y, b.Min.Y-a.Max.Y))
	return dx*dx + dy*dy
}

// mayFace reports whether a minimum shorter than the limit may run from one node
// to the other.
func mayFace(a, b *node, limit2 float64) bool {
	d := gap2(&a.box, &b.box)
	if d >= limit2 {
		return false
	}
	if d <= geom.Tolerance*geom.Tolerance && !(a.single && b.single && a.loop == b.loop) {
		return true // loops that touch are a minimum of 0 whatever their directions
	}
	if off := math.Abs(math.Abs(a.mid-b.mid) - math.Pi); off > a.half+b.half {
		return false
	}
	return looksAt(a, b) && looksAt(b, a)
}

// looksAt reports whether some line from a point of a's box to one of b's runs
// within a's cone.
func looksAt(a, b *node) bool {
	if a.wide {
		return true
	}
	// The vectors from a to b fill a rectangle; it misses the cone when it lies
	// beyond one of its borders.
	x0, x1 := b.box.Min.X-a.box.Max.X, b.box.Max.X-a.box.Min.X
	y0, y1 := b.box.Min.Y-a.box.Max.Y, b.box.Max.Y-a.box.Min.Y
	r, l := a.right, a.left
	most := max(r.X*y0, r.X*y1) - min(r.Y*x0, r.Y*x1)  // of right x v
	least := min(l.X*y0, l.X*y1) - max(l.Y*x0, l.Y*x1) // of left x v
	return most >= -geom.Tolerance && least <= geom.Tolerance
}

// toothShare is the share of the limit that two places of one loop must be apart
// along it: what stands between nearer ones is a tooth of a rough edge, shorter
// than anything that is carried by its width.
const toothShare = 0.25

// tooth reports whether all of b follows all of a within a length along the same
// loop.
func (p *Plate) tooth(a, b *node, length float64) bool {
	if !a.single || !b.single || a.loop != b.loop {
		return false
	}
	last := b.high - 1
	span := p.start[last] + p.sites[last].length - p.start[a.low]
	return span < length || p.round[a.loop]-p.start[b.low]+p.start[a.high-1]+p.sites[a.high-1].length < length
}

// stepsBetweenLooks is how many pairs of boxes are compared before Stop is asked
// again: some ten microseconds.
const stepsBetweenLooks = 1 << 10

func (p *Plate) stopped() bool { return p.Stop != nil && p.Stop() }

// facing calls visit for every pair of curves between which there may be a
// minimum shorter than the limit, once a pair.
func (p *Plate) facing(limit float64, visit func(i, j int32)) {
	t := &p.tree
	if len(t.nodes) == 0 {
		return
	}
	limit2 := limit * limit
	type pair struct{ a, b int32 }
	stack := []pair{{0, 0}}
	for steps := 1; len(stack) > 0; steps++ {
		if steps%stepsBetweenLooks == 0 && p.stopped() {
			return
		}
		top := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		a, b := &t.nodes[top.a], &t.nodes[top.b]
		if top.a == top.b {
			// A run that turns by less than a right angle cannot face itself.
			if a.child == 0 || a.half < math.Pi/2-slack && a.single {
				continue
			}
			stack = append(stack, pair{top.a + 1, top.a + 1}, pair{a.child, a.child}, pair{top.a + 1, a.child})
			continue
		}
		if p.tooth(a, b, limit*toothShare) || !mayFace(a, b, limit2) {
			continue
		}
		switch {
		case a.child == 0 && b.child == 0:
			visit(a.low, b.low)
		case b.child == 0 || a.child != 0 && a.high-a.low >= b.high-b.low:
			stack = append(stack, pair{top.a + 1, top.b}, pair{a.child, top.b})
		default:
			stack = append(stack, pair{top.a, top.b + 1}, pair{top.a, b.child})
		}
	}
}

// search calls visit with every curve whose box shares a point with box, until
// it returns false.
func (t *tree) search(box geom.Box, visit func(i int32) bool) {
	if len(t.nodes) == 0 {
		return
	}
	var buffer [64]int32
	stack := append(buffer[:0], 0)
	for len(stack) > 0 {
		k := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		n := &t.nodes[k]
		if !n.box.Overlaps(box) {
			continue
		}
		if n.child == 0 {
			if !visit(n.low) {
				return
			}
			continue
		}
		stack = append(stack, k+1, n.child)
	}
}

// searchCircle calls visit with every curve whose box comes within radius of a
// point, until it returns false.
func (t *tree) searchCircle(center geom.Point, radius float64, visit func(i int32) bool) {
	if len(t.nodes) == 0 {
		return
	}
	point := geom.Box{Min: center, Max: center}
	var buffer [64]int32
	stack := append(buffer[:0], 0)
	for len(stack) > 0 {
		k := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		n := &t.nodes[k]
		if gap2(&n.box, &point) >= radius*radius {
			continue
		}
		if n.child == 0 {
			if !visit(n.low) {
				return
			}
			continue
		}
		stack = append(stack, k+1, n.child)
	}
}

// searchLine is search along the straight line from a to b.
func (t *tree) searchLine(a, b geom.Point, visit func(i int32) bool) {
	if len(t.nodes) == 0 {
		return
	}
	box := geom.EmptyBox().Extend(a).Extend(b)
	d := b.Sub(a)
	var buffer [64]int32
	stack := append(buffer[:0], 0)
	for len(stack) > 0 {
		k := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		n := &t.nodes[k]
		if !n.box.Overlaps(box) || besides(n.box, a, d) {
			continue
		}
		if n.child == 0 {
			if !visit(n.low) {
				return
			}
			continue
		}
		stack = append(stack, k+1, n.child)
	}
}

// besides reports whether a box lies wholly on one side of the line through a
// along d.
func besides(b geom.Box, a, d geom.Point) bool {
	x0, x1, y0, y1 := b.Min.X-a.X, b.Max.X-a.X, b.Min.Y-a.Y, b.Max.Y-a.Y
	most := max(d.X*y0, d.X*y1) - min(d.Y*x0, d.Y*x1)
	least := min(d.X*y0, d.X*y1) - max(d.Y*x0, d.Y*x1)
	near := geom.Tolerance * (math.Abs(d.X) + math.Abs(d.Y))
	return most < -near || least > near
}
