package piece

import (
	"math"
	"slices"

	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// assign gives the openings to the pieces they are cut from and notches the
// outlines that they run over. The pool is sorted, the largest first, so that an
// opening inside another one finds it there. Counters come before splashes,
// which may be drawn where they stand, on top of a counter.
func (b *builder) assign(bodies []body, pool []opening) []body {
	shapes := make([]shape, len(bodies))
	boxes := make([]geom.Box, len(bodies))
	for i := range bodies {
		bodies[i].cutouts = nil
		shapes[i] = shape{body: &bodies[i], guard: b.guard, index: geom.NewIndex(bodies[i].outline), area: bodies[i].outline.Area()}
		boxes[i] = bodies[i].outline.Box()
	}
	index := geom.NewBoxIndex(boxes)
	holes := make([]geom.Box, len(pool))
	for k := range pool {
		holes[k] = pool[k].cutout.Loop.Box()
		pool[k].placed, pool[k].within = nil, false
	}
	among := geom.NewBoxIndex(holes)
	for k := range pool {
		for _, kind := range [2]Kind{Counter, Splash} {
			index.Search(holes[k].Grow(geom.Tolerance), func(i int) bool {
				if bodies[i].kind == kind {
					b.place(pool, k, among, &shapes[i], i)
				}
				return true
			})
			if len(pool[k].placed) > 0 || pool[k].within {
				break
			}
		}
	}
	var out []body
	for i := range bodies {
		out = append(out, b.notched(bodies[i], shapes[i].cuts)...)
	}
	for i := range out {
		out[i].cutouts = inOrder(out[i].cutouts)
	}
	return out
}

// place gives opening k of the pool to piece i where it lies on its stone.
func (b *builder) place(pool []opening, k int, among *geom.Index, s *shape, i int) {
	o := &pool[k]
	how := s.relate(o.cutout.Loop)
	if how == apart || how == around {
		return
	}
	if how == inside {
		p := o.cutout.Loop[0].A
		found := false
		among.Search(geom.Box{Min: p, Max: p}.Grow(b.s.MarkDistance), func(j int) bool {
			b.spend(1, p)
			if j >= k {
				return true
			}
			at := slices.IndexFunc(pool[j].placed, func(q spot) bool { return q.body == i })
			if at < 0 {
				return true
			}
			other := &s.cutouts[pool[j].placed[at].cutout]
			switch {
			case sameLoop(other.Loop, o.cutout.Loop, b.s.MarkDistance):
				// The same opening drawn on two layers: the more telling name stays.
				if other.Kind == Other {
					other.Kind = o.cutout.Kind
				}
				o.placed = append(o.placed, pool[j].placed[at])
				found = true
			case b.inLoop(o.cutout.Loop, other.Loop):
				o.within, o.outer, found = true, j, true
			}
			return !found
		})
		if found {
			return
		}
	}
	c := o.cutout
	c.OverEdge = how != inside
	o.placed = append(o.placed, spot{i, len(s.cutouts)})
	s.cutouts = append(s.cutouts, c)
	if how == over {
		s.cuts = append(s.cuts, counterClockwise(c.Loop))
	}
}

// notched returns the body less the cutouts that run over its edge: more than
// one when they cut it through. A cutout that opens into a notch is one, too.
func (b *builder) notched(whole body, cuts []geom.Loop) []body {
	if len(cuts) == 0 {
		return []body{whole}
	}
	parts := b.lessCuts(whole, cuts)
	if len(parts) == 0 {
		b.t.swallowed = append(b.t.swallowed, whole.outline)
	}
	for again := true; again; {
		again = false
		for i := range whole.cutouts {
			c := &whole.cutouts[i]
			if c.OverEdge {
				continue
			}
			for k := range parts {
				if parts[k].relate(c.Loop) == over {
					c.OverEdge, again = true, true
					cuts = append(cuts, counterClockwise(c.Loop))
					break
				}
			}
		}
		if again {
			parts = b.lessCuts(whole, cuts)
		}
	}
	var out []body
	for i := range parts {
		p := &parts[i]
		for _, c := range whole.cutouts {
			if how := p.relate(c.Loop); len(parts) == 1 || how == inside || how == beside || how == over {
				p.cutouts = append(p.cutouts, c)
			}
		}
		out = append(out, *p.body)
	}
	return out
}

// lessCuts returns the parts of a body outside the cuts; slivers are repairs.
func (b *builder) lessCuts(whole body, cuts []geom.Loop) []shape {
	var parts []shape
	for _, r := range b.subtract(whole.outline, cuts) {
		area := r.Area()
		if area < b.ts.SliverArea {
			b.t.Repairs = append(b.t.Repairs, Repair{Kind: trace.SliverRemoved, At: r.Outer.Centroid(), Size: farthestFrom(cuts, r.Outer)})
			b.named = append(b.named, r.Outer...)
			continue
		}
		part := &body{kind: whole.kind, outline: counterClockwise(r.Outer), layer: whole.layer}
		parts = append(parts, shape{body: part, guard: b.guard, index: geom.NewIndex(part.outline), area: area})
	}
	return parts
}

// farthestFrom returns the greatest distance in mm of a chip of stone from the cuts
// that it lies at.
func farthestFrom(cuts []geom.Loop, chip geom.Loop) float64 {
	most := 0.0
	near := chip.Box().Grow(geom.Tolerance)
	var at []geom.Curve
	for _, cut := range cuts {
		if cut.Box().Overlaps(near) {
			at = append(at, cut...)
		}
	}
	for _, c := range chip {
		if w, ok := geom.Farthest(c, at); ok {
			most = math.Max(most, w.Length())
		}
	}
	return most
}

// inOrder sorts cutouts left to right, top to bottom.
func inOrder(list []Cutout) []Cutout {
	boxes := make([]geom.Box, len(list))
	for i, c := range list {
		boxes[i] = c.Loop.Box()
	}
	return arrange(list, readingOrder(boxes))
}

// outside reports the openings that no piece has.
func (b *builder) outside(pool []opening) {
	for _, o := range pool {
		switch {
		case len(o.placed) > 0:
		case o.within:
			for _, id := range o.ids {
				b.uses[id] = unused // it looked like a cutout
			}
			b.innerLine(o.cutout.Loop, o.ids, newLine(pool[o.outer].cutout.Loop, pool[o.outer].ids))
		default:
			at := o.cutout.Loop.Centroid() // turns with the drawing, which its lowest corner does not
			p := Problem{Kind: CutoutOutside, Other: string(o.cutout.Kind), At: at, Witness: geom.Witness{From: at, To: at}, Loops: []geom.Loop{o.cutout.Loop}, Count: 1, Why: "lies outside every piece"}
			if len(o.ids) > 0 {
				p.Layer, p.Line, p.Entity = b.layerOf(o.ids[0]), b.lineOf(o.ids[0]), b.d.Curves[o.ids[0]].Type.String()
			}
			b.named = append(b.named, o.cutout.Loop...)
			b.problems.add(p)
		}
	}
}
