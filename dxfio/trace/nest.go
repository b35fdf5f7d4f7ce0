package trace

import (
	"cmp"
	"math"

	"trueup/dxfio/geom"
)

// cell is a bounded face of a plan.
type cell struct {
	outer  []half
	holes  [][]half // cycles of the same walk: holes that touch the outer cycle
	inside []int32  // contours (by number) of further parts that lie in the cell
	area   float64  // without touching holes, with the further parts still in
	depth  int
	parent int32 // cell whose hole this lies in, -1
}

// contour is the outside of a connected part of a plan.
type contour struct {
	cycles [][]half
	parent int32 // cell it lies in, -1
}

// nest is a plan's cells and contours and how they lie in each other.
type nest struct {
	*walks
	cells    []cell
	contours []contour
	cellOf   []int32 // by walk: cell, or -1-contour
}

func (f *walks) nest() *nest {
	n := &nest{walks: f, cellOf: make([]int32, f.count)}
	if f.count > 0 { // mostly as many inside as outside
		n.cells, n.contours = make([]cell, 0, (f.count+1)/2), make([]contour, 0, (f.count+1)/2)
	}
	for i := range n.cellOf {
		n.cellOf[i] = math.MinInt32
	}
	bounded := make([]bool, f.count)
	for c := range f.cycles {
		if f.area[c] > 0 {
			bounded[f.walk[c]] = true
		}
	}
	for c := range f.cycles {
		n.addCycleTo(bounded[f.walk[c]], f.walk[c], c)
	}
	n.placeContours()
	n.depths()
	return n
}

func (n *nest) addCycleTo(bounded bool, walk int32, cycle int) {
	hs, area := n.cycles[cycle], n.area[cycle]
	if !bounded {
		if n.cellOf[walk] == math.MinInt32 {
			n.cellOf[walk] = -1 - int32(len(n.contours))
			n.contours = append(n.contours, contour{parent: -1, cycles: n.cycles[cycle : cycle+1 : cycle+1]})
			return
		}
		c := &n.contours[-1-n.cellOf[walk]]
		c.cycles = append(c.cycles, hs)
		return
	}
	if n.cellOf[walk] == math.MinInt32 {
		n.cellOf[walk] = int32(len(n.cells))
		n.cells = append(n.cells, cell{parent: -1})
	}
	c := &n.cells[n.cellOf[walk]]
	c.area += area
	if area > 0 && c.outer == nil {
		c.outer = hs
	} else {
		c.holes = append(c.holes, hs)
	}
}

// placeContours finds the smallest cell around each part: a ray to the right
// crosses the edges of a cell around it an odd number of times. Only cells whose
// box holds the place come into question, and the ray needs to go no farther than
// their boxes do.
func (n *nest) placeContours() {
	if len(n.contours) < 2 {
		return
	}
	parts := n.parts()
	live := make([]int32, 0, len(n.edges))
	boxes := make([]geom.Box, 0, geom.RoomForIndex(len(n.edges)))
	cells := make([]geom.Box, len(n.cells), geom.RoomForIndex(len(n.cells)))
	for i := range cells {
		cells[i] = geom.EmptyBox()
	}
	for i := range n.edges {
		if n.dead[i] {
			continue
		}
		b := n.edges[i].Box()
		live, boxes = append(live, int32(i)), append(boxes, b)
		for _, h := range [2]half{half(2 * i), half(2*i + 1)} {
			if at := n.cellOf[n.of[h]]; at >= 0 {
				cells[at] = cells[at].Union(b)
			}
		}
	}
	x, around := n.w.boxIndex(boxes), geom.NewBoxIndex(cells)
	turns := make([]int, len(n.cells))
	var near, counted []int32
	for k := range n.contours {
		c := &n.contours[k]
		first := c.cycles[0][0]
		p, part := n.curve(first).Middle(), parts.find(n.tail(first))
		near = near[:0]
		ray := geom.Box{Min: p, Max: p}
		around.Search(ray, func(i int) bool {
			n.w.spend(1, n.edges[first/2].seg)
			if parts.find(n.tail(n.cells[i].outer[0])) != part {
				near = append(near, int32(i))
				ray.Max.X = max(ray.Max.X, cells[i].Max.X)
			}
			return true
		})
		if len(near) == 0 {
			continue
		}
		counted = n.countTurns(x, live, ray, turns, counted[:0])
		best := int32(-1)
		for _, at := range near {
			if turns[at] != 0 && (best < 0 || cmp.Or(cmp.Compare(n.cells[at].area, n.cells[best].area), cmp.Compare(at, best)) < 0) {
				best = at
			}
		}
		for _, at := range counted {
			turns[at] = 0
		}
		if best >= 0 {
			c.parent = best
			n.cells[best].inside = append(n.cells[best].inside, int32(k))
		}
	}
}

// countTurns counts how often the boundary of each cell runs around the start of
// a ray to the right, and returns the cells it met. x is the index of the live
// edges.
func (n *nest) countTurns(x *geom.Index, live []int32, ray geom.Box, turns []int, counted []int32) []int32 {
	x.Search(ray, func(i int) bool {
		e := live[i]
		n.w.spend(2, n.edges[e].seg)
		w := n.edges[e].Winding(ray.Min)
		if w == 0 {
			return true
		}
		if left := n.cellOf[n.of[2*e]]; left >= 0 {
			turns[left] += w
			counted = append(counted, left)
		}
		if right := n.cellOf[n.of[2*e+1]]; right >= 0 {
			turns[right] -= w
			counted = append(counted, right)
		}
		return true
	})
	return counted
}

// parts tells which nodes belong to one connected part.
func (n *nest) parts() unions {
	parts := newUnions(len(n.inner))
	for i := range n.edges {
		if e := &n.edges[i]; !n.dead[i] {
			parts.join(e.node[0], e.node[1])
		}
	}
	return parts
}

// depths gives every cell its depth and parent, from the outermost contours
// inward: a step over an outer edge stays at the same depth, a step over the
// edge of a hole goes one deeper.
func (n *nest) depths() {
	known := make([]bool, len(n.cells))
	var queue []int32
	enter := func(cycle []half, depth int, parent int32) {
		for _, h := range cycle {
			if at := n.cellOf[n.of[h^1]]; at >= 0 && !known[at] {
				known[at] = true
				n.cells[at].depth, n.cells[at].parent = depth, parent
				queue = append(queue, at)
			}
		}
	}
	for k := range n.contours {
		if c := &n.contours[k]; c.parent < 0 {
			for _, hs := range c.cycles {
				enter(hs, 0, -1)
			}
		}
	}
	for len(queue) > 0 {
		at := queue[0]
		queue = queue[1:]
		c := n.cells[at]
		enter(c.outer, c.depth, c.parent)
		for _, hs := range c.holes {
			enter(hs, c.depth+1, at)
		}
		for _, k := range c.inside {
			for _, hs := range n.contours[k].cycles {
				enter(hs, c.depth+1, at)
			}
		}
	}
}
