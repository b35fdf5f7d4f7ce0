package piece

import (
	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// byLayer returns the curves of a role layer by layer, in the order of the layers.
func (b *builder) byLayer(role Role) [][]int32 {
	groups := map[int32][]int32{}
	for _, id := range b.byRole[role] {
		l := b.d.Curves[id].Layer
		groups[l] = append(groups[l], id)
	}
	var out [][]int32
	for l := range b.d.Layers {
		if g := groups[int32(l)]; g != nil {
			out = append(out, g)
		}
	}
	return out
}

// supports closes what carries the tops, a layer at a time so that a ledge
// drawn across a cabinet does not cut it. Loops inside loops are taken by
// even-odd: inside a cabinet's outline drawn with its panels nothing carries.
// What does not close is a support along its line.
func (b *builder) supports() {
	for _, ids := range b.byLayer(SupportRole) {
		layer := b.layerOf(ids[0])
		in := b.input(ids, trace.Boundary)
		res := b.close(in)
		for _, f := range res.Faces {
			if f.Depth%2 == 1 {
				continue
			}
			s := Support{Area: f.Outer.Geom(), Layer: layer}
			for _, h := range f.Holes {
				s.Holes = append(s.Holes, clockwise(h.Geom()))
			}
			b.t.Supports = append(b.t.Supports, s)
		}
		for _, o := range res.Open {
			b.t.Supports = append(b.t.Supports, Support{Line: b.line(o.Curves), Layer: layer})
		}
		for _, c := range res.Strays {
			b.t.Supports = append(b.t.Supports, Support{Line: b.line([]trace.Curve{c}), Layer: layer})
		}
		res.Open, res.Strays = nil, nil
		b.settle(in, &res, SupportRole)
	}
}

// line returns the curves of a line support and notes their use.
func (b *builder) line(curves []trace.Curve) []geom.Curve {
	line := make([]geom.Curve, len(curves))
	for i, c := range curves {
		line[i] = c.Curve
		b.set(c.ID, useSupport)
	}
	return line
}

// openings closes the areas without support. Lines drawn inside one, such as
// the cross that marks an appliance, only divide it.
func (b *builder) openings() {
	for _, ids := range b.byLayer(OpeningRole) {
		in := b.input(ids, trace.Boundary)
		res := b.close(in)
		b.settle(in, &res, OpeningRole)
		for _, f := range res.Faces {
			if f.Parent < 0 {
				b.t.Openings = append(b.t.Openings, Opening{Area: f.Outer.Geom(), Layer: b.layerOf(ids[0])})
			}
		}
	}
}

// walls keeps the curves of walls, each once whichever way it was drawn.
func (b *builder) walls() {
	seen := map[geom.Curve]bool{}
	for _, id := range b.byRole[WallRole] {
		c := b.d.Curves[id].Curve
		if seen[c] || seen[c.Reverse()] {
			b.set(id, useRepaired)
			continue
		}
		seen[c] = true
		b.set(id, useWall)
		b.t.Walls = append(b.t.Walls, c)
	}
}
