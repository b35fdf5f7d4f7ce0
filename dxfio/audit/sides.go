package audit

import (
	"cmp"
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// closed is a line that is drawn closed: one entity, or lines that end on each
// other two by two.
type closed struct {
	ring
	role  Role
	layer int32
	mixed bool // drawn on several layers
}

// endCell is the side in mm of the cells in which ends are one point here. What
// closes less well is not looked at from its sides.
const endCell = 1e-3

// closedLines returns the closed lines of outlines and cutouts that are in use.
func (a *audit) closedLines() []closed {
	var found []closed
	for _, role := range [2]Role{Outline, Cutout} {
		var rest []int
		for i := 0; i < len(a.d.Curves); {
			k := i + 1
			for k < len(a.d.Curves) && a.d.Curves[k].Entity == a.d.Curves[i].Entity && a.d.Curves[i].Entity >= 0 {
				k++
			}
			own := a.d.Curves[i:k]
			if c := own[0]; c.Role == role && !slices.ContainsFunc(own, func(c Curve) bool { return c.Told }) {
				if line, ok := closes(own); ok {
					found = append(found, closed{ring: newRing(line), role: role, layer: c.Layer})
				} else {
					for n := i; n < k; n++ {
						rest = append(rest, n)
					}
				}
			}
			i = k
		}
		chained := a.chained(rest, role)
		found = append(found, chained...)
		for i := range chained {
			rest = rest[:max(0, len(rest)-len(chained[i].curves))]
		}
		a.loose = a.loose || len(rest) > 0
	}
	return once(found)
}

// once leaves out lines that are drawn again on their own layer: a layer may be
// pasted over itself a thousand times.
func once(lines []closed) []closed {
	type key struct {
		layer int32
		box   [4]float64
		area  float64
	}
	seen := make(map[key]bool, len(lines))
	return slices.DeleteFunc(lines, func(l closed) bool {
		r := func(v float64) float64 { return math.Round(v / endCell) }
		k := key{l.layer, [4]float64{r(l.box.Min.X), r(l.box.Min.Y), r(l.box.Max.X), r(l.box.Max.Y)}, r(l.area)}
		again := seen[k]
		seen[k] = true
		return again
	})
}

// closes returns the curves of an entity as a loop where they follow each other to
// the start.
func closes(own []Curve) ([]geom.Curve, bool) {
	line := make([]geom.Curve, len(own))
	for i := range own {
		line[i] = own[i].Curve
		if own[i].B.Distance(own[(i+1)%len(own)].A) > endCell {
			return nil, false
		}
	}
	return line, len(own) > 1
}

// chained returns the loops that separate curves make where just two end at every
// point.
func (a *audit) chained(curves []int, role Role) []closed {
	type end struct{ curve, side int }
	cell := func(p geom.Point) [2]int64 {
		return [2]int64{int64(math.Round(p.X / endCell)), int64(math.Round(p.Y / endCell))}
	}
	at := make(map[[2]int64][]end, len(curves))
	for _, i := range curves {
		c := a.d.Curves[i]
		at[cell(c.A)] = append(at[cell(c.A)], end{i, 0})
		at[cell(c.B)] = append(at[cell(c.B)], end{i, 1})
	}
	done := make(map[int]bool, len(curves))
	var found []closed
	for _, start := range curves {
		if done[start] {
			continue
		}
		first := a.d.Curves[start]
		loop := closed{role: role, layer: first.Layer}
		var line []geom.Curve
		i, reversed := start, false
		for !done[i] {
			done[i] = true
			c := a.d.Curves[i]
			loop.mixed = loop.mixed || c.Layer != first.Layer
			side := 1
			if reversed {
				c.Curve, side = c.Reverse(), 0
			}
			line = append(line, c.Curve)
			ends := at[cell(c.B)]
			if len(ends) != 2 {
				line = nil
				break
			}
			next := ends[0]
			if next == (end{i, side}) {
				next = ends[1]
			}
			i, reversed = next.curve, next.side == 1
		}
		if len(line) > 1 && i == start {
			loop.ring = newRing(line)
			found = append(found, loop)
		}
	}
	return found
}

// mostLooks is in how many places a closed line is looked at.
const mostLooks = 8

// depths in mm at which the inner side of a line is looked at, the deepest first:
// far from what repairs move, where the line has room for that.
var depths = [...]float64{40, 15, 6, 3, 1.5, 0.7}

// clear is the share of the depth that a look keeps from all drawn lines.
const clear = 0.75

// sides looks at stone on the inner side of closed lines.
func (a *audit) sides() []Difference {
	lines := a.closedLines()
	boxes := make([]geom.Box, len(lines))
	for i := range lines {
		boxes[i] = lines[i].box
	}
	index := geom.NewBoxIndex(boxes)
	var found []Difference
	for i := range lines {
		if d, ok := a.side(lines, i, index); ok {
			found = append(found, d)
		}
		if a.err != nil {
			return nil
		}
	}
	return found
}

func (a *audit) side(lines []closed, i int, index *geom.Index) (Difference, bool) {
	l := &lines[i]
	looks, bare := 0, geom.Point{}
	for _, p := range a.looks(&l.ring) {
		want, known := a.wanted(lines, i, index, p)
		if !known {
			continue
		}
		pieces, cut := a.around(p)
		d := Difference{Witness: geom.Witness{From: p, To: p}, Layer: l.layer, Piece: -1, Cutout: -1, Role: l.role, Count: 1}
		if len(pieces) > 0 {
			d.Piece = pieces[0]
		}
		switch {
		case len(pieces) > 0 && !want:
			d.Kind = Uncut
			return d, true
		case want && cut && a.loose:
			// Lines that close less well than these may have asked for the opening.
		case want && len(pieces) == 0:
			looks, bare = looks+1, p
		case want:
			return Difference{}, false // it has stone; part of it may be cut by lines that close less well
		}
	}
	if looks == 0 {
		return Difference{}, false
	}
	return Difference{Kind: NoStone, Witness: geom.Witness{From: bare, To: bare}, Layer: l.layer, Piece: -1, Cutout: -1, Role: l.role, Count: 1}, true
}

// twice looks in every piece for stone of another one.
func (a *audit) twice() []Difference {
	if a.d.Overlapping {
		return nil
	}
	var found []Difference
	for i := range a.stone.loops {
		l := &a.stone.loops[i]
		if l.cutout >= 0 {
			continue
		}
		for _, p := range a.looks(l) {
			pieces, _ := a.around(p)
			if len(pieces) > 1 {
				found = append(found, Difference{
					Kind: Twice, Witness: geom.Witness{From: p, To: p}, Layer: -1, Piece: l.piece, Cutout: -1, Count: 1,
				})
				break
			}
		}
		if a.err != nil {
			return nil
		}
	}
	return found
}

// looks returns points inside a closed line and away from all that is drawn.
func (a *audit) looks(l *ring) []geom.Point {
	curves := slices.Clone(l.curves)
	slices.SortStableFunc(curves, func(c, d geom.Curve) int { return -cmp.Compare(c.Length(), d.Length()) })
	inward := 1.0
	if geom.Loop(l.curves).Area() < 0 {
		inward = -1
	}
	var found []geom.Point
	for _, depth := range depths {
		for _, c := range curves[:min(len(curves), mostLooks)] {
			p := c.Middle().Add(c.Tangent(0.5).Left().Mul(inward * depth))
			_, q, _ := a.drawn.index.Nearest(p)
			a.spend(20)
			if q.Distance(p) >= clear*depth && a.holds(l, p) {
				found = append(found, p)
			}
		}
		if len(found) > 0 {
			return found
		}
	}
	return nil
}

// wanted tells whether there should be stone at a point inside line i, as the
// closed lines around it say, and whether that can be told.
func (a *audit) wanted(lines []closed, i int, index *geom.Index, p geom.Point) (stone, known bool) {
	l := &lines[i]
	var outlines []*closed
	known = true
	cut := false
	index.Search(geom.Box{Min: p, Max: p}, func(k int) bool {
		o := &lines[k]
		switch {
		case !a.spend(4):
			return false
		case k != i && !a.holds(&o.ring, p):
		case o.role == Cutout:
			cut = true
		case l.role == Cutout:
			known = known && o.area > l.area // a piece inside a cutout may be meant
		case k != i && (o.mixed || l.mixed || o.layer != l.layer || a.touch(o, l)):
			known = false // stone over stone, or at its edge, which closing tells apart
		case !slices.ContainsFunc(outlines, func(v *closed) bool { return a.same(o, v) }):
			outlines = append(outlines, o)
		}
		return known
	})
	if l.role == Cutout {
		return false, known
	}
	return len(outlines)%2 == 1, known && !cut
}

// touch reports whether a corner or the middle of a side of the smaller of two lines
// lies on the other.
func (a *audit) touch(o, l *closed) bool {
	if o.area > l.area {
		o, l = l, o
	}
	for _, c := range o.curves[:min(len(o.curves), mostLooks)] {
		for _, p := range [2]geom.Point{c.A, c.Middle()} {
			_, q, _ := l.index.Nearest(p)
			a.spend(20)
			if q.Distance(p) <= a.d.Limits.Join {
				return !a.same(o, l)
			}
		}
	}
	return false
}

// same reports whether two lines are one that was drawn twice.
func (a *audit) same(o, p *closed) bool {
	reach := 2*a.d.Limits.Mark + Fit
	return o.box.Min.Distance(p.box.Min) <= reach && o.box.Max.Distance(p.box.Max) <= reach &&
		math.Abs(o.area-p.area) <= reach*2*(o.box.Width()+o.box.Height())
}
