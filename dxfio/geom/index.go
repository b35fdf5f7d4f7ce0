package geom

import (
	"math"
	"slices"
)

// Index finds curves by place. It is a static R-tree packed along a Hilbert
// curve (Kamel and Faloutsos, On Packing R-trees, 1993): built once in n log n
// without a pointer a node, so that a million curves cost two flat slices. An
// Index is never changed after NewIndex and may be read by many at once.
type Index struct {
	curves []Curve
	boxes  []Box   // level by level, the curves' own boxes first, in packed order
	levels []int   // start of each level in boxes; the last is the root's
	order  []int32 // number of the curve at each place of the lowest level
}

// fanout is the number of boxes a node holds; 8 was the fastest of 4, 8, 16, 32
// for searches of a few hits.
const fanout = 8

// NewIndex returns the index of the curves; its numbers are theirs.
func NewIndex(curves []Curve) *Index {
	boxes := make([]Box, len(curves))
	for i, c := range curves {
		boxes[i] = c.Box()
	}
	x := NewBoxIndex(boxes)
	x.curves = curves
	return x
}

// NewBoxIndex returns an index of bare boxes, on which only Search works.
func NewBoxIndex(items []Box) *Index {
	n := len(items)
	x := &Index{order: PlaceOrder(items), levels: []int{0}}
	if n == 0 {
		return x
	}
	x.boxes = make([]Box, n, n+n/(fanout-1)+2*8)
	for i, k := range x.order {
		x.boxes[i] = items[k]
	}
	for start, end := 0, n; end-start > 1; start, end = end, len(x.boxes) {
		x.levels = append(x.levels, end)
		for i := start; i < end; i += fanout {
			b := x.boxes[i]
			for _, c := range x.boxes[i+1 : min(i+fanout, end)] {
				b = b.Union(c)
			}
			x.boxes = append(x.boxes, b)
		}
	}
	return x
}

// PlaceOrder returns the numbers of the boxes in the order of their centres along
// a Hilbert curve: what is near in the plane is mostly near in this order, so
// that work done in it stays in the processor's cache.
func PlaceOrder(items []Box) []int32 {
	all := EmptyBox()
	for _, b := range items {
		all = all.Union(b)
	}
	size := math.Max(all.Width(), all.Height())
	scale := 0.0
	if size > 0 {
		scale = (1<<16 - 1) / size
	}
	keys := make([]uint64, len(items))
	for i, b := range items {
		c := b.Center()
		keys[i] = uint64(hilbert(uint32((c.X-all.Min.X)*scale), uint32((c.Y-all.Min.Y)*scale)))<<32 | uint64(i)
	}
	slices.Sort(keys)
	order := make([]int32, len(items))
	for i, k := range keys {
		order[i] = int32(uint32(k))
	}
	return order
}

// hilbert returns the number of a cell of a 2^16 square grid along the Hilbert
// curve.
func hilbert(x, y uint32) uint32 {
	var d uint32
	for s := uint32(1 << 15); s > 0; s >>= 1 {
		rx, ry := uint32(0), uint32(0)
		if x&s != 0 {
			rx = 1
		}
		if y&s != 0 {
			ry = 1
		}
		d += s * s * ((3 * rx) ^ ry)
		if ry == 0 {
			if rx == 1 {
				x, y = (1<<16-1)-x, (1<<16-1)-y
			}
			x, y = y, x
		}
	}
	return d
}

// Search calls visit with the number of every curve whose box shares a point
// with box, in an order that depends only on the curves, until visit returns
// false.
func (x *Index) Search(box Box, visit func(i int) bool) {
	if len(x.boxes) == 0 {
		return
	}
	x.search(len(x.levels)-1, x.levels[len(x.levels)-1], box, visit)
}

func (x *Index) search(level, node int, box Box, visit func(i int) bool) bool {
	if !x.boxes[node].Overlaps(box) {
		return true
	}
	if level == 0 {
		return visit(int(x.order[node]))
	}
	first := x.levels[level-1] + (node-x.levels[level])*fanout
	for i := first; i < min(first+fanout, x.levels[level]); i++ {
		if !x.search(level-1, i, box, visit) {
			return false
		}
	}
	return true
}

// Nearest returns the number of the curve nearest to p and its nearest point;
// ok is false when there are no curves. Of equally near curves the one with the
// lowest number is returned.
func (x *Index) Nearest(p Point) (i int, q Point, ok bool) {
	if len(x.curves) == 0 {
		return 0, Point{}, false
	}
	n := nearestSearch{x: x, p: p, best: math.Inf(1), at: -1}
	n.visit(len(x.levels)-1, x.levels[len(x.levels)-1])
	return n.at, n.q, true
}

type nearestSearch struct {
	x    *Index
	p, q Point
	best float64
	at   int
}

// visit goes down into the nearest box first, so that most others are cut off.
func (n *nearestSearch) visit(level, node int) {
	x := n.x
	if level == 0 {
		k := int(x.order[node])
		q, _ := NearestPoint(x.curves[k], n.p)
		if d := n.p.Distance(q); d < n.best || d == n.best && k < n.at {
			n.best, n.q, n.at = d, q, k
		}
		return
	}
	type child struct {
		node int
		dist float64
	}
	var near [fanout]child
	count := 0
	first := x.levels[level-1] + (node-x.levels[level])*fanout
	for i := first; i < min(first+fanout, x.levels[level]); i++ {
		c := child{i, x.boxes[i].Distance(n.p)}
		k := count
		for ; k > 0 && near[k-1].dist > c.dist; k-- {
			near[k] = near[k-1]
		}
		near[k] = c
		count++
	}
	for _, c := range near[:count] {
		if c.dist > n.best {
			return
		}
		n.visit(level-1, c.node)
	}
}
