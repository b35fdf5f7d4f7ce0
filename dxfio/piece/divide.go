package piece

import (
	"math"
	"slices"

	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// divide cuts bodies in two along seam curves drawn across them. A seam may be
// drawn in parts that end at a cutout; the cutout then joins them. Seam curves
// that lie along outlines divide nothing: they mark edges.
func (b *builder) divide(bodies []body) (divided []body, any bool) {
	var dividers []int32
	outlines := b.newChainIndex(outlinesOf(bodies))
	for _, id := range b.byRole[SeamRole] {
		c := b.d.Curves[id].Curve
		if b.uses[id] == unused && outlines.uncovered(c, b.s.MarkDistance) > math.Max(b.ts.Bridge, b.s.MarkStretch) {
			dividers = append(dividers, id)
		}
	}
	if len(dividers) == 0 {
		return bodies, false
	}
	boxes := make([]geom.Box, len(dividers))
	for i, id := range dividers {
		boxes[i] = b.d.Curves[id].Box().Grow(b.ts.Bridge)
	}
	index := geom.NewBoxIndex(boxes)
	for i := range bodies {
		var across []int32
		index.Search(bodies[i].outline.Box(), func(k int) bool {
			across = append(across, dividers[k])
			return true
		})
		parts := b.parts(bodies[i], across)
		any = any || len(parts) > 1
		divided = append(divided, parts...)
	}
	return divided, any
}

// parts returns what the seam curves make of one body.
func (b *builder) parts(whole body, across []int32) []body {
	if len(across) == 0 {
		return []body{whole}
	}
	seams := b.input(across, trace.Divider)
	in := append(boundary(whole.outline, trace.Boundary), seams...)
	reach := geom.EmptyBox()
	for _, c := range seams {
		reach = reach.Union(c.Box())
	}
	reach = reach.Grow(b.ts.Bridge)
	var openings []geom.Loop
	for _, c := range whole.cutouts {
		if !c.OverEdge && c.Loop.Box().Overlaps(reach) {
			openings = append(openings, c.Loop)
			in = append(in, boundary(c.Loop, trace.Boundary)...)
		}
	}
	res := b.close(in)
	for _, c := range res.Strays {
		if c.Kind == trace.Divider && c.ID >= 0 {
			b.hanging = append(b.hanging, b.stretchesIn(whole.outline, c)...)
		}
	}
	var out []body
	var strips []geom.Curve
	used := map[int32]bool{}
	for _, f := range res.Faces {
		loop := f.Outer.Geom()
		for _, c := range f.Outer {
			if c.Kind == trace.Divider && c.ID >= 0 {
				used[c.ID] = true
			}
		}
		// A seam drawn as two lines leaves a strip no wider than a joint.
		strip := 2*loop.Area() <= b.s.SeamReach*loop.Length()
		switch {
		case f.Parent >= 0:
		case strip:
			strips = append(strips, loop...)
		case !within(regionOf(f), openings):
			out = append(out, body{kind: whole.kind, outline: loop, layer: whole.layer})
		}
	}
	if len(out) < 2 {
		return []body{whole}
	}
	for id := range used {
		b.set(id, useSeam)
	}
	b.named = append(b.named, strips...) // the joint that two lines of a seam leave is meant
	for _, r := range res.Repairs {
		if r.ID >= 0 {
			b.repairs([]trace.Repair{r})
		}
	}
	return out
}

// stretchesIn returns the stretches of a curve inside an outline.
func (b *builder) stretchesIn(outline geom.Loop, c trace.Curve) []trace.Curve {
	at := []float64{0, 1}
	for _, o := range outline {
		if o.Box().Overlaps(c.Box()) {
			b.spend(crossSteps, c.A)
			for _, m := range geom.Intersect(c.Curve, o) {
				at = append(at, m.T)
			}
		}
	}
	slices.Sort(at)
	var in []trace.Curve
	for i := range at[1:] {
		if (at[i+1]-at[i])*c.Length() <= geom.Tolerance {
			continue
		}
		if part := c.Part(at[i], at[i+1]); outline.Locate(part.Middle()) == geom.Inside {
			p := c
			p.Curve = part
			in = append(in, p)
		}
	}
	return in
}

// hangingSeams reports the stretches of seams that hang in stone and divide
// nothing though the rest of the seam is in use. Stretches that bridging would
// have trimmed are too short to be a seam.
func (b *builder) hangingSeams() {
	if len(b.hanging) == 0 {
		return
	}
	stone := b.stoneOf(b.t.Pieces)
	for _, c := range b.hanging {
		if b.uses[c.ID] != useSeam || c.Length() <= b.ts.Bridge {
			continue
		}
		in := false
		stone.at(c.Middle(), func(int) bool {
			in = true
			return false
		})
		if !in {
			continue
		}
		drawn := b.d.Curves[c.ID]
		b.named = append(b.named, c.Curve)
		b.problems.add(Problem{
			Kind: StraySeam, Layer: b.layerOf(c.ID), Role: SeamRole, Entity: drawn.Type.String(), Line: int64(drawn.Line), At: c.Middle(),
			Witness: geom.Witness{From: c.A, To: c.B}, Measured: c.Length(), Limit: b.ts.Bridge, Count: 1, Part: true, Why: "hangs in stone and divides nothing there",
		})
	}
}

// regionOf returns the area of a face without its holes.
func regionOf(f trace.Face) geom.Region {
	r := geom.Region{Outer: f.Outer.Geom()}
	for _, h := range f.Holes {
		r.Holes = append(r.Holes, h.Geom())
	}
	return r
}

// within reports whether a face lies in one of the openings.
func within(face geom.Region, openings []geom.Loop) bool {
	p, ok := insideOf(face)
	if !ok {
		return true // without breadth: no stone
	}
	for _, o := range openings {
		if o.Locate(p) == geom.Inside {
			return true
		}
	}
	return false
}

func outlinesOf(bodies []body) []geom.Curve {
	var curves []geom.Curve
	for _, b := range bodies {
		curves = append(curves, b.outline...)
	}
	return curves
}

// chainIndex finds curves that others may run along by place.
type chainIndex struct {
	guard  guard
	curves []geom.Curve
	index  *geom.Index
}

func (g guard) newChainIndex(curves []geom.Curve) *chainIndex {
	return &chainIndex{g, curves, geom.NewIndex(curves)}
}

// uncovered returns the length of c along which none of the curves runs within
// reach.
func (x *chainIndex) uncovered(c geom.Curve, reach float64) float64 {
	left := 0.0
	for _, s := range x.bare(c, reach) {
		left += s.to - s.from
	}
	return left
}

// bare returns the stretches of c, by length, along which none of the curves runs
// within reach.
func (x *chainIndex) bare(c geom.Curve, reach float64) []finishSpan {
	length := c.Length()
	var found []finishSpan
	x.index.Search(c.Box().Grow(reach), func(i int) bool {
		x.guard.spendAlong(c, x.curves[i])
		for _, s := range along(c, x.curves[i], reach) {
			found = append(found, finishSpan{from: s.from * length, to: s.to * length, finish: SeamEdge})
		}
		return true
	})
	return slices.DeleteFunc(layered(found, length), func(s finishSpan) bool { return s.finish != Unmarked })
}
