package piece

import (
	"cmp"
	"math"
	"slices"

	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// mostNotches bounds the open chains that are tried as notches of each piece.
const mostNotches = 100

// roundTolerance is how far in mm the arcs of a loop may stray from one circle
// for it to be round: what facets are allowed to when they are read as arcs.
const roundTolerance = 0.1

// pool returns every loop that may be cut through stone, the largest first: the
// loops of cutout layers, loops inside outlines, and the holes that points mark.
func (b *builder) pool(bodies []body) []opening {
	pool := b.nested
	in := b.undoubled(b.input(b.byRole[CutoutRole], trace.Boundary), CutoutRole)
	if len(in) > 0 {
		res := b.close(in)
		outer := outerLines{}
		for _, f := range res.Faces {
			if f.Parent >= 0 {
				b.innerLine(f.Outer.Geom(), idsOf(f.Outer), outer.of(res.Faces, f.Parent))
			}
		}
		var open []trace.OpenChain
		for i, o := range res.Open {
			if i >= mostNotches {
				open = append(open, o)
			} else if notch, ok := b.notch(o, bodies); ok {
				pool = append(pool, notch)
			} else {
				open = append(open, o)
			}
		}
		res.Open = open
		b.settle(in, &res, CutoutRole)
		b.findTwins(in, res.Faces)
		pool = append(pool, b.merged(in, res.Faces)...)
	}
	pool = append(pool, b.markedHoles(pool)...)
	for i := range pool {
		b.classify(&pool[i])
	}
	slices.SortStableFunc(pool, func(x, y opening) int {
		return cmp.Or(cmp.Compare(-math.Abs(x.cutout.Loop.Area()), -math.Abs(y.cutout.Loop.Area())), cmp.Compare(len(y.ids), len(x.ids)))
	})
	return pool
}

// merged returns the loops of the outermost faces. Faces that share a curve are
// one opening: a line drawn across a sink leaves no stone. Closed lines that lie over
// each other stay openings of their own, however much of the one is in the other:
// cutoutsOverCutouts tells of them.
func (b *builder) merged(in []trace.Curve, faces []trace.Face) []opening {
	groups := map[int][]int{} // faces by their group
	group := make([]int, len(faces))
	user := map[geom.Curve]int{} // curve, run as its face runs, to the face
	for i, f := range faces {
		group[i] = i
		groups[i] = []int{i}
		if f.Parent >= 0 {
			delete(groups, i)
			continue
		}
		for _, c := range f.Outer {
			user[c.Curve] = i
			other, shared := user[c.Curve.Reverse()]
			if !shared || group[other] == group[i] {
				continue
			}
			from, to := group[i], group[other]
			for _, k := range groups[from] {
				group[k] = to
			}
			groups[to] = append(groups[to], groups[from]...)
			delete(groups, from)
		}
	}
	var found []opening
	var lines *closedLines
	for i := range faces {
		members := groups[i]
		if len(members) == 0 {
			continue
		}
		if len(members) > 1 {
			if lines == nil {
				lines = b.closedLines(in)
			}
			if over := lines.over(members, faces); len(over) > 0 {
				found = append(found, over...)
				continue
			}
		}
		var loops []geom.Loop
		var ids []int32
		for _, k := range members {
			loops, ids = append(loops, faces[k].Outer.Geom()), append(ids, b.loopIDs(faces[k].Outer)...)
		}
		if len(loops) > 1 {
			loops[0] = b.union(loops)[0].Outer
			b.linesInOne(loops[0], members, faces)
		}
		found = append(found, opening{cutout: Cutout{Loop: clockwise(loops[0])}, ids: ids})
	}
	return found
}

// notch makes an opening of a chain on a cutout layer that is open towards the
// edge of a piece: the smaller of the two parts that it cuts the piece into. Of
// several pieces that lie over each other there, the one that loses least.
func (b *builder) notch(o trace.OpenChain, bodies []body) (opening, bool) {
	box := geom.EmptyBox()
	chain := make([]trace.Curve, len(o.Curves))
	for i, c := range o.Curves {
		box = box.Union(c.Box())
		c.Kind = trace.Divider
		chain[i] = c
	}
	var best geom.Loop
	for i := range bodies {
		outline := bodies[i].outline
		if !outline.Box().Overlaps(box) || !reaches(outline, o.From, b.ts.Bridge) || !reaches(outline, o.To, b.ts.Bridge) {
			continue
		}
		res := b.close(append(boundary(outline, trace.Boundary), chain...))
		if len(res.Faces) != 2 {
			continue
		}
		for _, f := range res.Faces {
			if part := f.Outer.Geom(); best == nil || part.Area() < best.Area() {
				best = part
			}
		}
	}
	if best == nil {
		return opening{}, false
	}
	ids := b.loopIDs(trace.Loop(o.Curves))
	for _, id := range ids {
		b.set(id, useCutout)
	}
	return opening{cutout: Cutout{Loop: clockwise(best)}, ids: ids}, true
}

// reaches reports whether the end of a chain lies at the outline or past it.
func reaches(outline geom.Loop, end geom.Point, bridge float64) bool {
	if outline.Locate(end) != geom.Inside {
		return true
	}
	return slices.ContainsFunc(outline, func(c geom.Curve) bool { return c.Distance(end) <= bridge })
}

// boundary returns the curves of a loop for closing, as a repair's.
func boundary(l geom.Loop, kind trace.Kind) []trace.Curve {
	out := make([]trace.Curve, len(l))
	for i, c := range l {
		out[i] = trace.Curve{Curve: c, ID: -1, Kind: kind, Entity: -1}
	}
	return out
}

// markedHoles returns the holes that points on cutout layers mark. A point
// inside a drawn loop only marks its centre.
func (b *builder) markedHoles(drawn []opening) []opening {
	boxes := make([]geom.Box, len(drawn))
	for i, o := range drawn {
		boxes[i] = o.cutout.Loop.Box()
	}
	index := geom.NewBoxIndex(boxes)
	seen := map[geom.Point]bool{}
	var found []opening
	for _, m := range b.d.Marks {
		if b.role(m.Layer) != CutoutRole || seen[m.At] || b.s.PointHole <= 0 {
			continue
		}
		seen[m.At] = true
		inside := false
		index.Search(geom.Box{Min: m.At, Max: m.At}, func(i int) bool {
			inside = drawn[i].cutout.Loop.Locate(m.At) == geom.Inside
			return !inside
		})
		if !inside {
			found = append(found, opening{cutout: Cutout{Loop: geom.Circle(m.At, b.s.PointHole/2).Reverse()}})
		}
	}
	return found
}

// classify sets kind and diameter. A round cutout up to the set diameter is a
// drilled hole whatever its layer is called, because no sink or cooktop is that
// small; otherwise the layer's name decides.
func (b *builder) classify(o *opening) {
	solid, _ := withoutSpecks(o.cutout.Loop)
	o.cutout.Kind, o.cutout.Diameter = Other, 0
	if _, radius, ok := solid.Round(roundTolerance); ok {
		o.cutout.Diameter = 2 * radius
	}
	if d := o.cutout.Diameter; d > 0 && d <= b.s.HoleDiameter+geom.Tolerance {
		o.cutout.Kind = Hole
		return
	}
	sink, cooktop := false, false
	last := int32(-1)
	for _, id := range o.ids {
		layer := b.d.Curves[id].Layer
		if layer == last { // as nearly always
			continue
		}
		last = layer
		name, kind := plainName(b.d.Layers[layer].Name), b.readings[layer].kind
		sink, cooktop = sink || kind == Sink || name.matchesAny(b.s.SinkLayers), cooktop || kind == Cooktop || name.matchesAny(b.s.CooktopLayers)
	}
	switch {
	case sink:
		o.cutout.Kind = Sink
	case cooktop:
		o.cutout.Kind = Cooktop
	}
}
