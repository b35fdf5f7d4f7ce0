package piece

import (
	"maps"
	"slices"

	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// body is a piece in the making.
type body struct {
	kind    Kind
	outline geom.Loop // counter-clockwise
	cutouts []Cutout
	layer   string // that most of the outline was drawn on
}

// opening is a closed loop that may be cut through stone.
type opening struct {
	cutout Cutout  // Loop clockwise
	ids    []int32 // curves of the drawing it is made of, for its layers
	placed []spot  // where pieces have it
	within bool    // it lies in another opening
	outer  int     // which one of the pool
}

// spot is a place in the list of cutouts of a body.
type spot struct{ body, cutout int }

// input returns curves of the drawing for closing.
func (b *builder) input(ids []int32, kind trace.Kind) []trace.Curve {
	in := make([]trace.Curve, len(ids))
	for i, id := range ids {
		c := &b.d.Curves[id]
		in[i] = trace.Curve{Curve: c.Curve, ID: id, Kind: kind, Entity: c.Entity}
	}
	return in
}

// closedBodies closes the outlines of a role to bodies. Edges of an outline
// that were drawn on a finished, wall or seam layer instead are taken from there
// where the outline stays open without them.
func (b *builder) closedBodies(role Role, kind Kind) []body {
	in := b.undoubled(b.input(b.byRole[role], trace.Boundary), role)
	if len(in) == 0 {
		return nil
	}
	res := b.close(in)
	if loans := b.borrow(looseEnds(&res)); len(loans) > 0 {
		more := slices.Clone(in)
		for _, l := range loans {
			more = append(more, l.parts...)
		}
		if again := b.close(more); len(loose(&again)) < len(loose(&res)) {
			b.tellLoans(loans, in)
			in, res = more, again
		}
	}
	b.touching(in, res.Faces)
	b.touchingInPoint(res.Faces)
	b.settle(in, &res, role)
	b.findTwins(in, res.Faces)
	b.sharedBorders(res.Faces, res.Chords, role)
	return b.bodies(res.Faces, kind)
}

// loose returns everything that closes to no loop as chains.
func loose(res *trace.Result) []trace.OpenChain {
	open := slices.Clone(res.Open)
	for _, c := range res.Strays {
		open = append(open, trace.OpenChain{Curves: []trace.Curve{c}, From: c.A, To: c.B})
	}
	return open
}

// looseEnds is loose without lines that bound something already: what sticks out of
// a closed outline is no outline that lacks an edge, and a mark along it makes no
// piece of its own.
func looseEnds(res *trace.Result) []trace.OpenChain {
	open := loose(res)
	if len(open) == 0 {
		return nil
	}
	bounds := map[int32]bool{}
	for _, f := range res.Faces {
		for _, c := range f.Outer {
			bounds[c.ID] = true
		}
	}
	return slices.DeleteFunc(open, func(o trace.OpenChain) bool {
		return slices.ContainsFunc(o.Curves, func(c trace.Curve) bool { return c.ID >= 0 && bounds[c.ID] })
	})
}

// bodies tells stone from openings among the faces. A face inside no other is
// stone. Inside stone, a loop that shares a layer with it is an opening; one on
// another outline layer is stone drawn over stone, which overlaps reports.
// Inside an opening lies stone again.
func (b *builder) bodies(faces []trace.Face, kind Kind) []body {
	order := make([]int, len(faces))
	for i := range faces {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return faces[i].Depth - faces[j].Depth })
	n := b.nest(faces, order)
	b.stoneInOpenings(faces, n.stone)
	inside := make([][]int, len(faces))
	for i := range faces {
		if p := n.up[i]; p < 0 || !n.stone[p] || n.stone[i] || n.none[i] {
			continue
		} else if p == faces[i].Parent {
			inside[p] = append(inside[p], i)
		} else { // in a line that was left out
			b.nested = append(b.nested, opening{cutout: Cutout{Loop: clockwise(faces[i].Outer.Geom())}, ids: b.loopIDs(faces[i].Outer)})
		}
	}
	var found []body
	for i := range faces {
		if n.stone[i] {
			found = append(found, body{kind: kind, outline: faces[i].Outer.Geom(), layer: b.mostlyOn(faces[i].Outer)})
			b.nested = append(b.nested, b.openingsIn(faces, i, inside[i])...)
		}
	}
	return found
}

// openingsIn returns the holes of a face that its openings lie in: an opening
// with lines drawn across is several faces, but one hole.
func (b *builder) openingsIn(faces []trace.Face, parent int, children []int) []opening {
	var found []opening
	for _, h := range faces[parent].Holes {
		loop := h.Geom()
		open := slices.ContainsFunc(children, func(i int) bool {
			return loop.Locate(faces[i].Outer[0].Middle()) != geom.Outside
		})
		if open {
			found = append(found, opening{cutout: Cutout{Loop: clockwise(loop)}, ids: b.loopIDs(h)})
		}
	}
	return found
}

func clockwise(l geom.Loop) geom.Loop {
	if l.Area() > 0 {
		return l.Reverse()
	}
	return l
}

func counterClockwise(l geom.Loop) geom.Loop {
	if l.Area() < 0 {
		return l.Reverse()
	}
	return l
}

// loopIDs returns the numbers of the drawing's curves in a loop, with those of
// the curves that were drawn a second time there.
func (b *builder) loopIDs(l trace.Loop) []int32 {
	ids := make([]int32, 0, len(l))
	for _, c := range l {
		if c.ID >= 0 {
			ids = append(append(ids, c.ID), b.twins[c.ID]...)
		}
	}
	return ids
}

// mostlyOn returns the layer that the longest part of a loop was drawn on; of two equally
// long the name that comes first. Empty where closing made all of it.
func (b *builder) mostlyOn(l trace.Loop) string {
	length := map[string]float64{}
	for _, c := range l {
		if c.ID >= 0 {
			length[b.d.Layers[b.d.Curves[c.ID].Layer].Name] += c.Length()
		}
	}
	name := ""
	for _, n := range slices.Sorted(maps.Keys(length)) {
		if name == "" || length[n] > length[name] {
			name = n
		}
	}
	return name
}

// findTwins notes which curves that closing dropped lie on which that it kept:
// a sink may be drawn on a layer for cutouts and again on one for sinks, and
// both layers count.
func (b *builder) findTwins(in []trace.Curve, faces []trace.Face) {
	seen := make(map[int32]bool, len(in))
	for _, f := range faces {
		for _, c := range f.Outer {
			seen[c.ID] = true
		}
	}
	if !slices.ContainsFunc(in, func(c trace.Curve) bool { return c.ID >= 0 && !seen[c.ID] }) {
		return
	}
	var kept []geom.Curve
	var ids []int32
	clear(seen)
	for _, f := range faces {
		for _, c := range f.Outer {
			if c.ID >= 0 && !seen[c.ID] {
				seen[c.ID] = true
				kept, ids = append(kept, c.Curve), append(ids, c.ID)
			}
		}
	}
	index := geom.NewIndex(kept)
	for _, c := range in {
		if c.ID < 0 || seen[c.ID] {
			continue
		}
		if i, q, ok := index.Nearest(c.Middle()); ok && q.Distance(c.Middle()) <= b.ts.Join {
			b.twins[ids[i]] = append(b.twins[ids[i]], c.ID)
		}
	}
}

func (b *builder) shareLayer(a, c []int32) bool {
	layers := map[int32]bool{}
	for _, id := range a {
		layers[b.d.Curves[id].Layer] = true
	}
	return slices.ContainsFunc(c, func(id int32) bool { return layers[b.d.Curves[id].Layer] })
}

// courts finds faces that pieces only happen to enclose, like the floor within
// four pieces that abut in a ring. Every curve around it then belongs to an
// entity that is closed by itself and that the face lies outside of.
func (b *builder) courts(faces []trace.Face) []bool {
	court := make([]bool, len(faces))
	known := map[int32]geom.Loop{}
	for i := range faces {
		if faces[i].Parent < 0 {
			court[i] = b.outsideAll(faces[i].Outer, known)
		}
	}
	return court
}

// outsideAll reports whether a face lies outside of every entity that it is
// bounded by, all of which are closed.
func (b *builder) outsideAll(outer trace.Loop, known map[int32]geom.Loop) bool {
	entities := map[int32]bool{}
	for _, c := range outer {
		if c.ID < 0 || c.Entity < 0 {
			return false
		}
		if _, seen := known[c.Entity]; !seen {
			known[c.Entity] = b.closedEntity(c.Entity)
		}
		if len(known[c.Entity]) == 0 {
			return false
		}
		entities[c.Entity] = true
	}
	if len(entities) < 2 {
		return false
	}
	p, ok := insideOf(geom.Region{Outer: outer.Geom()})
	for e := range entities {
		if !ok || known[e].Locate(p) != geom.Outside {
			return false
		}
	}
	return true
}

// closedEntity returns the curves of an entity as a loop, nil when they do not
// close as drawn.
func (b *builder) closedEntity(entity int32) geom.Loop {
	if b.entityStart == nil {
		b.entityStart = map[int32]int{}
		for i := len(b.d.Curves) - 1; i >= 0; i-- {
			b.entityStart[b.d.Curves[i].Entity] = i
		}
	}
	var l geom.Loop
	for i := b.entityStart[entity]; i < len(b.d.Curves) && b.d.Curves[i].Entity == entity; i++ {
		l = append(l, b.d.Curves[i].Curve)
	}
	if len(l) < 2 || l[len(l)-1].B.Distance(l[0].A) > geom.Tolerance {
		return nil
	}
	return l
}

// insideOf returns a point strictly inside a region: beside the middle of a
// curve, ever nearer to it, there is some unless the region has no breadth.
func insideOf(r geom.Region) (geom.Point, bool) {
	outer := counterClockwise(r.Outer)
	for depth := 16.0; depth > geom.Tolerance; depth /= 4 {
		for _, c := range outer {
			if p := c.Middle().Add(c.Tangent(0.5).Left().Mul(depth)); r.Locate(p) == geom.Inside {
				return p, true
			}
		}
	}
	return geom.Point{}, false
}
