package piece

import (
	"slices"

	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// StrayWall is the problem of a wall that marks nothing: rule stray-wall.
const StrayWall ProblemKind = "stray-wall"

// strayWalls reports walls that mark no edge. Walls that hang together are one:
// of a room's outline the part behind the top marks its edges, and the rest shows
// the room. One that meets an outline from outside bounds the room; what lies in stone is
// told with its length there. Walls
// farther from every edge than profile_reach show the room as well, unless no wall
// of the drawing marks anything: then they were drawn in the wrong place.
func (b *builder) strayWalls() {
	ids := b.byRole[WallRole]
	if len(ids) == 0 || len(b.t.Pieces) == 0 {
		return
	}
	marking := map[int32]bool{}
	for i, m := range b.marks.list {
		marking[m.id] = marking[m.id] || m.id >= 0 && m.finish == Wall && b.marks.lies(i)
	}
	var edges geom.Loop
	for i := range b.t.Pieces {
		edges = append(edges, b.t.Pieces[i].Outline...)
	}
	index := geom.NewIndex(edges)
	type stray struct {
		Problem
		away  float64
		meets bool // an outline
	}
	var strays []stray
	any := false
	for _, group := range b.hangingTogether(ids) {
		marks := false
		var s stray
		for _, id := range group {
			c := b.d.Curves[id].Curve
			marks, s.meets = marks || marking[id], s.meets || b.crosses(c, edges, index)
			s.Measured += c.Length()
			for _, p := range [3]geom.Point{c.Middle(), c.A, c.B} {
				if _, q, ok := index.Nearest(p); ok && (s.Count == 0 || q.Distance(p) < s.away-geom.Tolerance) {
					s.away, s.At, s.Witness, s.Line, s.Count = q.Distance(p), p, geom.Witness{From: c.A, To: c.B}, b.lineOf(id), len(group)
					s.Layer, s.Entity = b.layerOf(id), b.d.Curves[id].Type.String()
				}
			}
		}
		if !marks {
			s.Length, s.Lies = b.inStone(group, edges, index)
		}
		if any = any || marks || s.Length == 0 && s.meets; !marks && s.Count > 0 && (s.Length > 0 || !s.meets) {
			s.Kind, s.Role, s.Limit, s.Why = StrayWall, WallRole, b.s.MarkDistance, "marks no edge"
			strays = append(strays, s)
		}
	}
	for _, s := range strays {
		if !any || s.Length > 0 || s.away <= b.s.ProfileReach+geom.Tolerance {
			b.problems.add(s.Problem)
		}
	}
}

// crosses reports whether a curve meets one of an index.
func (b *builder) crosses(c geom.Curve, list geom.Loop, index *geom.Index) bool {
	found := false
	index.Search(c.Box(), func(i int) bool {
		b.spend(crossSteps, c.A)
		found = len(geom.Intersect(c, list[i])) > 0
		return !found
	})
	return found
}

// inStone returns how long curves lie inside outlines, and the longest such stretch.
func (b *builder) inStone(ids []int32, edges geom.Loop, index *geom.Index) (length float64, longest geom.Witness) {
	most := 0.0
	for _, id := range ids {
		c := b.d.Curves[id].Curve
		at := []float64{0, 1}
		index.Search(c.Box(), func(i int) bool {
			b.spend(crossSteps, c.A)
			for _, x := range geom.Intersect(c, edges[i]) {
				at = append(at, x.T)
			}
			return true
		})
		slices.Sort(at)
		for k := 1; k < len(at); k++ {
			d := (at[k] - at[k-1]) * c.Length()
			if d <= b.s.MarkDistance || !b.inAnyOutline(c.At((at[k]+at[k-1])/2)) {
				continue
			}
			if length += d; d > most {
				most, longest = d, geom.Witness{From: c.At(at[k-1]), To: c.At(at[k])}
			}
		}
	}
	return length, longest
}

func (b *builder) inAnyOutline(p geom.Point) bool {
	for i := range b.t.Pieces {
		if l := b.t.Pieces[i].Outline; l.Box().Distance(p) == 0 && l.Locate(p) == geom.Inside {
			b.spend(len(l), p)
			return true
		}
	}
	return false
}

// hangingTogether groups curves whose ends meet within join, or that are of one
// entity, each group and all in the order of the drawing.
func (b *builder) hangingTogether(ids []int32) [][]int32 {
	ends := make([]geom.Box, 0, 2*len(ids))
	for _, c := range b.input(ids, trace.Boundary) {
		ends = append(ends, geom.Box{Min: c.A, Max: c.A}, geom.Box{Min: c.B, Max: c.B})
	}
	index := geom.NewBoxIndex(ends)
	group := make([]int, len(ids))
	for i := range group {
		group[i] = -1
	}
	entity := map[int32][]int{}
	for i, id := range ids {
		entity[b.d.Curves[id].Entity] = append(entity[b.d.Curves[id].Entity], i)
	}
	var out [][]int32
	for i := range ids {
		if group[i] >= 0 {
			continue
		}
		k := len(out)
		out = append(out, nil)
		queue := []int{i}
		group[i] = k
		take := func(j int) {
			if group[j] < 0 {
				group[j] = k
				queue = append(queue, j)
			}
		}
		for len(queue) > 0 {
			j := queue[0]
			queue = queue[1:]
			for _, e := range entity[b.d.Curves[ids[j]].Entity] {
				take(e)
			}
			delete(entity, b.d.Curves[ids[j]].Entity)
			for _, e := range [2]int{2 * j, 2*j + 1} {
				index.Search(ends[e].Grow(b.ts.Join), func(f int) bool {
					b.spend(1, ends[e].Min)
					take(f / 2)
					return true
				})
			}
		}
	}
	for i, k := range group {
		out[k] = append(out[k], ids[i])
	}
	return out
}
