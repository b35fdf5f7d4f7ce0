package piece

import (
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// What makes the role of a layer doubtful, as it stands in Problem.Why.
const (
	DoubtName    = "its name speaks of more than one"
	DoubtApart   = "is as large as a piece and has no top over it"
	DoubtHolds   = "is as large as a piece and holds a cutout that lies in no other one"
	DoubtLargest = "is larger than every top and has no stone round it"
)

// The least size in mm of a closed line that may be a piece of stone: a filler or a
// splash is not smaller, a leg or a bracket is (common practice, no source).
const (
	leastPieceLength = 300
	leastPieceWidth  = 40
)

// besideTop is how far in mm a support may stand from all stone and still belong to
// a top: a tall cabinet at the end of a run touches it or nearly does (common
// practice, no source).
const besideTop = 50

// large reports whether a rectangle may hold a piece of stone.
func large(r geom.Rectangle) bool { return r.Length >= leastPieceLength && r.Width >= leastPieceWidth }

// doubtfulLayers tells which layers got their role from built-in words that disagree
// with each other or with what is drawn. The shop's own patterns are never doubted.
func (b *builder) doubtfulLayers() {
	curves := b.curvesOn(func(layer int32) bool { return !b.readings[layer].Own && b.readings[layer].Role != NoRole })
	orphans := b.orphans()
	near := b.nearStone()
	if b.openOutlines() {
		near = func(closedGroup) bool { return true } // it may stand under a top that is not closed yet
	}
	for layer := range b.d.Layers {
		r, ids := &b.readings[layer], curves[int32(layer)]
		if len(ids) == 0 {
			continue
		}
		p := Problem{Kind: LayerDoubtful, Layer: b.d.Layers[layer].Name, Role: r.Role, Count: b.entities(ids)}
		switch {
		case r.Doubt != nil:
			p.Roles, p.Why, p.Other = r.Doubt, DoubtName, r.By
			box := geom.EmptyBox()
			for _, id := range ids {
				box = box.Union(b.d.Curves[id].Box())
			}
			p.At = box.Center()
		case !b.contradicted(&p, ids, orphans, near):
			continue
		}
		b.problems.add(p)
	}
}

// curvesOn returns the numbers of the curves of each layer that wanted names, without
// filled areas.
func (b *builder) curvesOn(wanted func(layer int32) bool) map[int32][]int32 {
	curves := map[int32][]int32{}
	for i := range b.d.Curves {
		if c := &b.d.Curves[i]; !c.Type.Filled() && wanted(c.Layer) {
			curves[c.Layer] = append(curves[c.Layer], int32(i))
		}
	}
	return curves
}

// entities counts the entities that curves were drawn as.
func (b *builder) entities(ids []int32) int {
	n := 0
	for k, id := range ids {
		if k == 0 || b.d.Curves[id].Entity != b.d.Curves[ids[k-1]].Entity {
			n++
		}
	}
	return n
}

// openOutlines reports whether an outline did not become a piece.
func (b *builder) openOutlines() bool {
	return slices.ContainsFunc(b.problems.list, func(p Problem) bool { return p.Kind == OpenOutline || p.Kind == SelfCrossing })
}

// orphans are the cutouts that lie in no stone.
func (b *builder) orphans() []geom.Loop {
	var out []geom.Loop
	for i := range b.problems.list {
		if p := &b.problems.list[i]; p.Kind == CutoutOutside {
			out = append(out, p.Loops...)
		}
	}
	return out
}

// contradicted looks for what is drawn on a layer against its role, and fills in the
// problem with the largest such line.
func (b *builder) contradicted(p *Problem, ids []int32, orphans []geom.Loop, near func(closedGroup) bool) bool {
	reading := &b.readings[b.d.Curves[ids[0]].Layer]
	found := false
	most := geom.Rectangle{}
	tell := func(r geom.Rectangle, why string) {
		if !found || r.Area() > most.Area()+geom.Tolerance {
			found, p.Why, p.At, most = true, why, r.Center, r
		}
	}
	switch p.Role {
	case CutoutRole:
		top := 0.0
		for i := range b.t.Pieces {
			top = math.Max(top, math.Abs(b.t.Pieces[i].Outline.Area()))
		}
		for i := range b.problems.list {
			q := &b.problems.list[i]
			if q.Kind != CutoutOutside || q.Layer != p.Layer || len(q.Loops) == 0 || top == 0 {
				continue
			}
			if r := geom.SmallestRectangle(q.Loops[0]); large(r) && math.Abs(q.Loops[0].Area()) > top {
				tell(r, DoubtLargest)
			}
		}
	case SupportRole, OpeningRole, FinishedRole, SeamRole, IgnoreRole:
		if reading.quiet == quietMeant || reading.quiet == quietSheet {
			return false
		}
		curves := make([]geom.Curve, len(ids))
		for k, id := range ids {
			curves[k] = b.d.Curves[id].Curve
		}
		groups, _ := closedGroups(curves, b.ts.Join)
		for _, g := range groups {
			r := g.rectangle()
			switch {
			case !large(r):
			case slices.ContainsFunc(orphans, func(l geom.Loop) bool { return g.holds(l[0].Middle()) }):
				tell(r, DoubtHolds)
			case p.Role == SupportRole && len(b.t.Pieces) > 0 && !near(g):
				tell(r, DoubtApart)
			}
		}
	}
	p.Roles, p.Length, p.Width = union([]Role{p.Role}, OutlineRole), most.Length, most.Width
	return found
}

// nearStone tells whether a closed line lies under stone, round it or beside it.
func (b *builder) nearStone() func(closedGroup) bool {
	var edges []geom.Curve
	for i := range b.t.Pieces {
		edges = append(edges, b.t.Pieces[i].Outline...)
	}
	index, stone := geom.NewIndex(edges), b.stoneOf(b.t.Pieces)
	return func(g closedGroup) bool {
		for i := range b.t.Pieces {
			if g.holds(b.t.Pieces[i].Outline[0].Middle()) {
				return true
			}
		}
		for _, c := range g.curves {
			for _, p := range [...]geom.Point{c.A, c.Middle()} {
				if _, q, ok := index.Nearest(p); ok && q.Distance(p) <= besideTop || stone.in(p) {
					return true
				}
			}
			// The stone's own edge may come near between a long line's ends and middle.
			close := false
			index.Search(c.Box().Grow(besideTop), func(i int) bool {
				e := edges[i]
				close = c.Box().Grow(besideTop).Contains(e.A) && c.Distance(e.A) <= besideTop
				return !close
			})
			if close {
				return true
			}
		}
		return false
	}
}

// in reports whether a point lies in any stone.
func (s *stoneIndex) in(p geom.Point) (found bool) {
	s.at(p, func(int) bool {
		found = true
		return false
	})
	return found
}
