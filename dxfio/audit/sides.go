package audit

import (
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
	mixed bool       // drawn on several layers
	look  geom.Point // inside it, away from all that is drawn
	seen  bool       // there is such a point
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
		chained, rest := a.chained(rest, role)
		found = append(found, chained...)
		a.loose = append(a.loose, rest...)
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
// point, and the curves that make none.
func (a *audit) chained(curves []int, role Role) (found []closed, rest []int) {
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
	for _, start := range curves {
		if done[start] {
			continue
		}
		first := a.d.Curves[start]
		loop := closed{role: role, layer: first.Layer}
		var line []geom.Curve
		i, reversed := start, false
		from := len(rest)
		for !done[i] {
			done[i] = true
			rest = append(rest, i)
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
			rest = rest[:from]
		}
	}
	return found, rest
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
	a.lines = a.closedLines()
	boxes := make([]geom.Box, len(a.lines))
	for i := range a.lines {
		boxes[i] = a.lines[i].box
	}
	a.lineIndex = geom.NewBoxIndex(boxes)
	var found []Difference
	for i := range a.lines {
		if d, ok := a.side(i); ok {
			found = append(found, d)
		}
		if a.err != nil {
			return nil
		}
	}
	return found
}

func (a *audit) side(i int) (Difference, bool) {
	l := &a.lines[i]
	bare, looked, swallowed := geom.Point{}, false, false
	for k, p := range a.looks(&l.ring) {
		if k == 0 {
			l.look, l.seen = p, true
		}
		want := a.wanted(i, p)
		if !want.known {
			continue
		}
		pieces, cut := a.around(p)
		switch {
		case len(pieces) > 0 && want.stone:
			return Difference{}, false // it has stone; part of it may be cut
		case len(pieces) > 0 && (l.role == Cutout || !want.cut): // a cutout's own line tells of it
			return Difference{
				Kind: Uncut, Witness: geom.Witness{From: p, To: p}, Layer: l.layer, Piece: pieces[0], Cutout: -1, Role: l.role, Count: 1}, true
		case want.stone && cut && len(a.loose) > 0 && (!want.cut || a.inOutline(p)):
			// Lines that close less well than these may have asked for the opening.
		case want.stone && len(pieces) == 0:
			bare, looked, swallowed = p, true, swallowed || cut || want.cut
		}
	}
	if !looked || a.hasStone(i) {
		return Difference{}, false
	}
	kind := NoStone
	if swallowed {
		kind = Swallowed
	}
	return Difference{Kind: kind, Witness: geom.Witness{From: bare, To: bare}, Layer: l.layer, Piece: -1, Cutout: -1, Role: l.role, Count: 1}, true
}

// inOutline reports whether a point lies in the outline of a released piece.
func (a *audit) inOutline(p geom.Point) (in bool) {
	a.stone.index.Search(geom.Box{Min: p, Max: p}, func(i int) bool {
		r := &a.stone.loops[i]
		in = r.cutout < 0 && a.holds(r, p)
		return !in && a.spend(4)
	})
	return in
}

// hasStone reports whether a released piece lies in drawn line i, of which cutouts
// may have left no more than a strip. Stone that another outline asks for as well
// is not counted: it may be all that is left of the other.
func (a *audit) hasStone(i int) (has bool) {
	l := &a.lines[i]
	a.stone.index.Search(l.box, func(k int) bool {
		r := &a.stone.loops[k]
		has = r.cutout < 0 && slices.ContainsFunc(a.looks(r), func(p geom.Point) bool {
			if !a.holds(&l.ring, p) {
				return false
			}
			pieces, _ := a.around(p)
			return len(pieces) > 0 && a.wanted(i, p).known
		})
		return !has && a.spend(4)
	})
	return has
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
	curves := longest(l.curves)
	inward := 1.0
	if geom.Loop(l.curves).Area() < 0 {
		inward = -1
	}
	var found []geom.Point
	for _, depth := range depths {
		for _, c := range curves {
			p := c.Middle().Add(c.Tangent(0.5).Left().Mul(inward * depth))
			// What is cheap comes first: most depths are past the middle of a line.
			if boxDepth(l.box, p) >= clear*depth && a.holds(l, p) && a.free(p, clear*depth) {
				found = append(found, p)
			}
		}
		if len(found) > 0 {
			return found
		}
	}
	return nil
}

// longest returns the mostLooks longest of curves, the longest first, of equally long ones
// that which comes first.
func longest(curves []geom.Curve) []geom.Curve {
	var best [mostLooks]geom.Curve
	var lengths [mostLooks]float64
	n := 0
	for _, c := range curves {
		k, length := n, c.Length()
		for k > 0 && lengths[k-1] < length {
			k--
		}
		if k == mostLooks {
			continue
		}
		n = min(n+1, mostLooks)
		copy(best[k+1:n], best[k:n-1])
		copy(lengths[k+1:n], lengths[k:n-1])
		best[k], lengths[k] = c, length
	}
	return slices.Clone(best[:n])
}

// boxDepth returns how far inside a box a point lies, negative outside.
func boxDepth(b geom.Box, p geom.Point) float64 {
	return math.Min(math.Min(p.X-b.Min.X, b.Max.X-p.X), math.Min(p.Y-b.Min.Y, b.Max.Y-p.Y))
}

// free reports whether no drawn line is nearer to a point than reach.
func (a *audit) free(p geom.Point, reach float64) bool {
	is := true
	a.drawn.index.Search(geom.Box{Min: p, Max: p}.Grow(reach), func(i int) bool {
		is = a.drawn.curves[i].Distance(p) >= reach
		return is && a.spend(2)
	})
	return is && a.spend(2)
}

// want is what drawn lines say of a point.
type want struct {
	stone bool // the outlines around it ask for stone
	cut   bool // a cutout is drawn around it
	known bool // it can be told
}

// wanted tells what the closed lines around a point inside line i ask for.
func (a *audit) wanted(i int, p geom.Point) want {
	l := &a.lines[i]
	var outlines []*closed
	w := want{known: true}
	a.lineIndex.Search(geom.Box{Min: p, Max: p}, func(k int) bool {
		o := &a.lines[k]
		switch {
		case !a.spend(4):
			return false
		case k != i && !a.holds(&o.ring, p):
		case o.role == Cutout:
			w.cut = true
		case l.role == Cutout:
			w.known = w.known && o.area > l.area // a piece inside a cutout may be meant
		case k != i && (o.mixed || l.mixed || o.layer != l.layer || a.touch(o, l) || a.crossed(o, l)):
			w.known = false // stone over stone, or at its edge, which closing tells apart
		case !slices.ContainsFunc(outlines, func(v *closed) bool { return a.same(o, v) }):
			outlines = append(outlines, o)
		}
		return w.known
	})
	w.stone = l.role == Outline && len(outlines)%2 == 1
	return w
}

// touch reports whether a corner or the middle of a side of the smaller of two lines
// lies on the other.
func (a *audit) touch(o, l *closed) bool {
	if o.area > l.area {
		o, l = l, o
	}
	for _, c := range o.curves[:min(len(o.curves), mostLooks)] {
		for _, p := range [2]geom.Point{c.A, c.Middle()} {
			if a.distance(&l.ring, p) <= a.d.Limits.Join {
				return !a.same(o, l)
			}
		}
	}
	return false
}

// crossed reports whether two lines lie over each other in part, so that neither is the other's hole.
func (a *audit) crossed(o, l *closed) bool {
	if o.area > l.area {
		o, l = l, o
	}
	return !a.same(o, l) && (!boxWithin(o.box, l.box) || a.meet(&o.ring, &l.ring))
}

func boxWithin(o, l geom.Box) bool { return l.Contains(o.Min) && l.Contains(o.Max) }

// same reports whether two lines are one that was drawn twice.
func (a *audit) same(o, p *closed) bool {
	reach := 2*a.d.Limits.Mark + Fit
	return o.box.Min.Distance(p.box.Min) <= reach && o.box.Max.Distance(p.box.Max) <= reach &&
		math.Abs(o.area-p.area) <= reach*2*(o.box.Width()+o.box.Height())
}
