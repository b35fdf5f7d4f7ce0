package piece

import (
	"math"

	"trueup/dxfio/geom"
)

// leastOpening is the width in mm from which a closed line may be an opening in
// stone: the smallest core bits cut about as much (common practice, no source).
const leastOpening = 10

// unmappedLoops looks on the layers without a role for closed lines in the stone
// of a piece, or across its edge: a sink or a cabinet under a new name. The
// problem of such a layer says how many there are and where the longest one is.
func (b *builder) unmappedLoops() {
	byLayer := map[string]*Problem{}
	for i := range b.problems.list {
		if p := &b.problems.list[i]; p.Kind == UnmappedLayer {
			byLayer[p.Layer] = p
		}
	}
	if len(byLayer) == 0 || len(b.t.Pieces) == 0 {
		return
	}
	curves := map[*Problem][]int32{}
	for i := range b.d.Curves {
		c := &b.d.Curves[i]
		if b.uses[i] != useUnmapped || c.Type.Filled() {
			continue
		}
		if p := byLayer[b.d.Layers[c.Layer].Name]; p != nil {
			curves[p] = append(curves[p], int32(i))
		}
	}
	stone := b.stoneOf(b.t.Pieces)
	for p, ids := range curves {
		var longest closedGroup
		for _, g := range b.closedGroups(ids) {
			piece, ok := b.pieceOf(g, stone)
			if !ok || g.box.Width() < leastOpening || g.box.Height() < leastOpening {
				continue
			}
			// The place is that of the longest, however the drawing lists its curves.
			p.Closed++
			if d := g.length - longest.length; p.Closed == 1 || d > geom.Tolerance || d > -geom.Tolerance && g.before(&longest) {
				longest, p.At, p.Piece = g, g.middle, b.t.Pieces[piece].ID
			}
		}
	}
}

// pieceOf returns the number of a piece in whose stone a curve of the group lies.
func (b *builder) pieceOf(g closedGroup, stone *stoneIndex) (piece int, ok bool) {
	for _, id := range g.curves {
		stone.at(b.d.Curves[id].Middle(), func(i int) bool {
			piece, ok = i, true
			return false
		})
		if ok {
			break
		}
	}
	return piece, ok
}

// stoneIndex tells which piece's stone a point lies in.
type stoneIndex struct {
	b       *builder
	regions []geom.Region
	index   *geom.Index
}

func (b *builder) stoneOf(pieces []Piece) *stoneIndex {
	s := &stoneIndex{b: b, regions: make([]geom.Region, len(pieces))}
	boxes := make([]geom.Box, len(pieces))
	for i, p := range pieces {
		s.regions[i], boxes[i] = p.Region(), p.Outline.Box()
	}
	s.index = geom.NewBoxIndex(boxes)
	return s
}

// at calls yield with the numbers of the pieces in whose stone the point lies,
// until that returns false.
func (s *stoneIndex) at(p geom.Point, yield func(piece int) bool) {
	s.index.Search(geom.Box{Min: p, Max: p}, func(i int) bool {
		s.b.spend(locateSteps*len(s.regions[i].Outer), p)
		return s.regions[i].Locate(p) != geom.Inside || yield(i)
	})
}

// closedGroup is a group of curves that hang together and close somewhere.
type closedGroup struct {
	curves []int32
	box    geom.Box
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

// closedGroups returns the groups of curves that hang together within the joining
// distance and hold a closed line, in the order of their first curves.
func (b *builder) closedGroups(ids []int32) []closedGroup {
	nodes := nodeGrid{reach: math.Max(b.ts.Join, geom.Tolerance), cells: map[[2]int64][]int32{}}
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
	ends := make([]int32, len(ids))
	for k, id := range ids {
		c := &b.d.Curves[id]
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
	var groups []closedGroup
	number := map[int32]int{}
	for k, id := range ids {
		root := find(ends[k])
		if !closed[root] {
			continue
		}
		n, ok := number[root]
		if !ok {
			n = len(groups)
			number[root] = n
			groups = append(groups, closedGroup{box: geom.EmptyBox()})
		}
		c, g := &b.d.Curves[id], &groups[n]
		g.curves = append(g.curves, id)
		g.box = g.box.Union(c.Box())
		g.length += c.Length()
		g.middle = g.middle.Add(c.Middle().Mul(c.Length()))
	}
	for i := range groups {
		groups[i].middle = groups[i].middle.Mul(1 / groups[i].length)
	}
	return groups
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
