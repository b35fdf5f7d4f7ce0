package piece

import (
	"math"

	"trueup/dxfio/geom"
)

// closedGroup is a group of curves that hang together and close somewhere.
type closedGroup struct {
	curves []geom.Curve
	round  bool // every curve is of a circle
	length float64
	middle geom.Point // mean of its curves by their length
}

// before decides between groups that are equally long.
func (g *closedGroup) before(o *closedGroup) bool {
	if math.Abs(g.middle.X-o.middle.X) > geom.Tolerance {
		return g.middle.X < o.middle.X
	}
	return g.middle.Y < o.middle.Y
}

// rectangle is the smallest one around the group, at any angle. Arcs count by points
// on them, which is enough to tell a piece from a mark.
func (g *closedGroup) rectangle() geom.Rectangle {
	var points []geom.Point
	for _, c := range g.curves {
		points = append(points, c.A, c.B)
		if !c.IsLine() {
			points = append(points, c.At(0.25), c.At(0.5), c.At(0.75))
		}
	}
	return geom.SmallestRectangle(geom.Polygon(points...))
}

// holds reports whether a point lies inside the closed line of the group: a ray from
// it meets the line an odd number of times.
func (g *closedGroup) holds(p geom.Point) bool {
	crossings := 0
	for _, c := range g.curves {
		crossings += c.Winding(p)
	}
	return crossings%2 != 0
}

// closedGroups returns the groups of curves that hang together within reach and hold
// a closed line longer than that, in the order of their first curves, and the curves
// of no such group.
func closedGroups(curves []geom.Curve, reach float64) (groups []closedGroup, rest []geom.Curve) {
	nodes := nodeGrid{reach: math.Max(reach, geom.Tolerance), cells: map[[2]int64][]int32{}}
	var parent []int32
	find := func(n int32) int32 {
		for parent[n] != n {
			parent[n] = parent[parent[n]]
			n = parent[n]
		}
		return n
	}
	node := func(p geom.Point) int32 {
		n := nodes.at(p)
		if int(n) == len(parent) {
			parent = append(parent, n)
		}
		return n
	}
	closed := map[int32]bool{} // by root
	ends := make([]int32, len(curves))
	for k, c := range curves {
		from, to := find(node(c.A)), find(node(c.B))
		ends[k] = from
		if from == to {
			// Both ends hang together already, or are one: it closes, unless it is no
			// longer than the joining distance.
			closed[from] = closed[from] || c.Length() > nodes.reach
			continue
		}
		closed[to] = closed[to] || closed[from]
		parent[from] = to
	}
	number := map[int32]int{}
	for k, c := range curves {
		root := find(ends[k])
		if !closed[root] {
			rest = append(rest, c)
			continue
		}
		n, ok := number[root]
		if !ok {
			n = len(groups)
			number[root] = n
			groups = append(groups, closedGroup{round: true})
		}
		g := &groups[n]
		g.curves = append(g.curves, c)
		g.round = g.round && !c.IsLine()
		g.length += c.Length()
		g.middle = g.middle.Add(c.Middle().Mul(c.Length()))
	}
	for i := range groups {
		groups[i].middle = groups[i].middle.Mul(1 / groups[i].length)
	}
	return groups, rest
}

// nodeGrid gives points within reach of each other the same number.
type nodeGrid struct {
	reach  float64
	points []geom.Point
	cells  map[[2]int64][]int32
}

func (g *nodeGrid) at(p geom.Point) int32 {
	x, y := int64(math.Floor(p.X/g.reach)), int64(math.Floor(p.Y/g.reach))
	for i := x - 1; i <= x+1; i++ {
		for j := y - 1; j <= y+1; j++ {
			for _, n := range g.cells[[2]int64{i, j}] {
				if g.points[n].Distance(p) <= g.reach {
					return n
				}
			}
		}
	}
	n := int32(len(g.points))
	g.points = append(g.points, p)
	g.cells[[2]int64{x, y}] = append(g.cells[[2]int64{x, y}], n)
	return n
}
