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
	boxes  []Box          // level by level, the curves' own boxes first, in packed order
	levels []int          // start of each level in boxes; the last is the root's
	starts [maxLevels]int // backs levels
	order  []int32        // number of the curve at each place of the lowest level, nil for the place itself
}

// fanout is the number of boxes a node holds; 8 was the fastest of 4, 8, 16, 32
// for searches of a few hits.
const fanout = 8

// maxLevels is enough for 8^10 boxes, more than numbers of 32 bits can count.
const maxLevels = 12

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

// NewBoxIndex returns an index of bare boxes, on which only Search and Pairs work.
func NewBoxIndex(items []Box) *Index {
	keys := placeKeys(len(items), func(i int) Point { return items[i].Center() })
	placed := make([]Box, len(items), RoomForIndex(len(items)))
	order := make([]int32, len(items))
	for i, k := range keys {
		order[i] = k.Number()
		placed[i] = items[k.Number()]
	}
	x := NewPlacedIndex(placed)
	x.order = order
	return x
}

// NewPlacedIndex returns an index of boxes that are already in an order of place
// (see PlaceKeys): others are found as well, but slowly. The index keeps the
// slice. Only Search and Pairs work on it.
func NewPlacedIndex(placed []Box) *Index {
	n := len(placed)
	x := &Index{boxes: slices.Grow(placed, RoomForIndex(n)-n)}
	x.levels = x.starts[:1]
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

// RoomForIndex returns the capacity that boxes given to NewPlacedIndex should have
// so that it need not copy them.
func RoomForIndex(n int) int {
	room := n
	for n > 1 {
		n = (n + fanout - 1) / fanout
		room += n
	}
	return room
}

// number returns the caller's number of the box at a place of the lowest level.
func (x *Index) number(place int) int {
	if x.order == nil {
		return place
	}
	return int(x.order[place])
}

// Search calls visit with the number of every curve whose box shares a point
// with box, in an order that depends only on the curves, until visit returns
// false.
func (x *Index) Search(box Box, visit func(i int) bool) {
	if len(x.boxes) == 0 || !x.boxes[len(x.boxes)-1].Overlaps(box) {
		return
	}
	x.search(len(x.levels)-1, x.levels[len(x.levels)-1], box, visit)
}

// search goes down from a node whose box overlaps.
func (x *Index) search(level, node int, box Box, visit func(i int) bool) bool {
	if level == 0 {
		return visit(x.number(node))
	}
	first, last := x.children(level, node)
	for i := range x.boxes[first:last] {
		if x.boxes[first+i].Overlaps(box) && !x.search(level-1, first+i, box, visit) {
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
		k := x.number(node)
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
