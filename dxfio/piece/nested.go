package piece

import (
	"maps"
	"math"
	"slices"

	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// innerLine reports a loop inside a cutout, of which only the outer line is cut.
// A small one is what the drawing shows beside it, a drain or a burner, and a
// stray. One that takes the share nested_share of the cutout may as well be the
// line that was meant: a sink's rim and its bowl, a hob's glass and its cut.
func (b *builder) innerLine(inner geom.Loop, ids []int32, outer *line) {
	ids = slices.DeleteFunc(slices.Clone(ids), func(id int32) bool { return b.uses[id] != unused && b.uses[id] != useStray })
	if len(ids) == 0 || !b.ambiguous(inner, outer) {
		b.strayIDs(ids, "lies inside a cutout: only the outer line is cut")
		return
	}
	for _, id := range ids {
		b.set(id, useStray)
	}
	slices.Sort(ids)
	b.ambiguousProblem(inner, ids[0], len(slices.Compact(ids)), outer)
}

// line is a closed line with what is asked of it for every loop inside it.
type line struct {
	loop geom.Loop
	area float64
	box  geom.Box
	ids  []int32
}

func newLine(loop geom.Loop, ids []int32) *line {
	return &line{loop, math.Abs(loop.Area()), loop.Box(), ids}
}

// same reports whether a loop is the line drawn a second time.
func (o *line) same(l geom.Loop, reach float64) bool {
	b := l.Box()
	return o.box.Min.Distance(b.Min) <= reach && o.box.Max.Distance(b.Max) <= reach && math.Abs(o.area-math.Abs(l.Area())) <= sameArea*o.area
}

// outerLines are the lines around the faces of a drawing, each made once.
type outerLines map[int]*line

// of returns the line around a face.
func (o outerLines) of(faces []trace.Face, i int) *line {
	if o[i] == nil {
		o[i] = newLine(faces[i].Outer.Geom(), idsOf(faces[i].Outer))
	}
	return o[i]
}

// ambiguous reports whether either of two loops, one inside the other, may be
// the line to cut. Two a mark's distance apart are one line drawn twice.
func (b *builder) ambiguous(inner geom.Loop, outer *line) bool {
	return math.Abs(inner.Area()) >= b.s.NestedShare*outer.area-geom.Tolerance && !outer.same(inner, b.s.MarkDistance)
}

// ambiguousProblem reports a loop of count strays, 0 when its curves serve some
// other end, inside another; the curve first is one of it.
func (b *builder) ambiguousProblem(inner geom.Loop, first int32, count int, outer *line) {
	w := nearestLine(inner, outer.loop)
	p := Problem{
		Kind: CutoutAmbiguous, Layer: b.layerOf(first), Role: b.role(b.d.Curves[first].Layer), Entity: b.d.Curves[first].Type.String(), Line: b.lineOf(first),
		At: w.Middle(), Witness: w, Measured: w.Length(), Loops: []geom.Loop{outer.loop, inner}, Count: count, Why: "lies inside another line of a cutout",
	}
	if len(outer.ids) > 0 {
		p.Other = b.layerOf(outer.ids[0])
	}
	b.named = append(b.named, inner...)
	b.problems.add(p)
}

// nearestLine returns the shortest line from one loop to another.
func nearestLine(from, to geom.Loop) geom.Witness {
	index := geom.NewIndex(to)
	var best geom.Witness
	for i, c := range from {
		// The nearest curve to the middle bounds how far the others need be sought.
		k, _, _ := index.Nearest(c.Middle())
		w := geom.Nearest(c, to[k])
		index.Search(c.Box().Grow(w.Length()), func(k int) bool {
			if v := geom.Nearest(c, to[k]); v.Length() < w.Length() {
				w = v
			}
			return true
		})
		if i == 0 || w.Length() < best.Length() {
			best = w
		}
	}
	return best
}

// stoneInOpenings reports stone inside an opening of stone that nearly fills it,
// all on one layer: the rim and the bowl of a sink that were drawn with the
// outline. It stays a piece, which somebody may have meant.
func (b *builder) stoneInOpenings(faces []trace.Face, stone []bool) {
	outer := outerLines{}
	for i := range faces {
		p := faces[i].Parent
		if !stone[i] || p < 0 || stone[p] || faces[p].Parent < 0 {
			continue
		}
		inner, ids := faces[i].Outer.Geom(), idsOf(faces[i].Outer)
		if len(ids) > 0 && b.ambiguous(inner, outer.of(faces, p)) {
			b.ambiguousProblem(inner, slices.Min(ids), 0, outer.of(faces, p))
		}
	}
}

// idsOf returns the numbers of the drawing's curves in a loop.
func idsOf(l trace.Loop) []int32 {
	var ids []int32
	for _, c := range l {
		if c.ID >= 0 {
			ids = append(ids, c.ID)
		}
	}
	return ids
}

// linesInOne reports what is lost where faces that share a curve become one
// opening: a closed line that shares a side with the one around the opening, as
// a sink over the front edge does with its rim. Lines drawn across an opening are
// not closed, and two bowls side by side have no line around both.
func (b *builder) linesInOne(whole geom.Loop, members []int, faces []trace.Face) {
	known := map[int32]geom.Loop{}
	ids := map[int32][]int32{}
	for _, k := range members {
		for _, c := range faces[k].Outer {
			if c.ID < 0 || c.Entity < 0 {
				continue
			}
			if _, seen := known[c.Entity]; !seen {
				known[c.Entity] = b.closedEntity(c.Entity)
			}
			ids[c.Entity] = append(ids[c.Entity], c.ID)
		}
	}
	var outer *line
	around, opening := int32(-1), newLine(whole, nil)
	for _, e := range slices.Sorted(maps.Keys(known)) {
		if l := known[e]; len(l) > 0 && opening.same(l, b.s.MarkDistance) {
			outer, around = newLine(l, ids[e]), e
			break
		}
	}
	if outer == nil {
		return
	}
	for _, e := range slices.Sorted(maps.Keys(known)) {
		switch l := known[e]; {
		case e == around || len(l) == 0:
		case b.ambiguous(l, outer):
			b.ambiguousProblem(l, slices.Min(ids[e]), 0, outer)
		case !outer.same(l, b.s.MarkDistance): // uses were settled: it looked like a part of the opening
			for _, id := range ids[e] {
				b.uses[id] = unused
			}
			b.strayIDs(ids[e], "lies inside a cutout: only the outer line is cut")
		}
	}
}
