package audit

import (
	"math"

	"trueup/dxfio/geom"
)

// Areas are the one look that no line can hide from: closed lines that lie in each
// other without touching leave so much stone, whatever way the pieces were made.
// Lines are put in groups of those whose boxes share a point; a group is summed up
// where every line in it is closed, none crosses another, and no flag names any. What
// else there is was looked at line by line, and cannot be told by area.

// areaGroup is a group of closed lines and the pieces among them.
type areaGroup struct {
	drawn, released float64 // mm2 of stone
	length          float64 // of its lines, mm
	box             geom.Box
	unclear         bool
	piece           int // one of them, -1 without
	layer           int32
}

// areas returns the groups of closed lines with another area of stone than is released.
func (a *audit) areas() []Difference {
	if a.d.Overlapping {
		return nil // pieces over each other: a flag says so
	}
	of, groups := a.areaGroups()
	again := a.drawnAgain()
	for i := range a.lines {
		if !a.spend(1) {
			return nil
		}
		g, l := &groups[of[i]], &a.lines[i]
		jump, clear := a.jump(i, again)
		g.drawn += jump * l.area
		g.unclear = g.unclear || !clear
	}
	a.unclear(of, groups)
	a.holesOfPoints(of, groups, again)
	a.releasedAreas(of, groups)
	var found []Difference
	for i := range groups {
		g := &groups[i]
		limit := Fit * g.length
		if off := math.Abs(g.released - g.drawn); g.unclear || off <= limit || off <= a.repairedArea(g.box)+limit {
			continue
		}
		at := g.box.Center()
		found = append(found, Difference{
			Kind: Area, Witness: geom.Witness{From: at, To: at}, Area: g.released - g.drawn, Limit: limit + a.repairedArea(g.box),
			Layer: g.layer, Piece: g.piece, Cutout: -1, Count: 1,
		})
	}
	return found
}

// areaGroups puts closed lines in groups, and returns the group of each line.
func (a *audit) areaGroups() (of []int, groups []areaGroup) {
	up := make([]int, len(a.lines))
	for i := range up {
		up[i] = i
	}
	top := func(i int) int {
		for up[i] != i {
			up[i] = up[up[i]]
			i = up[i]
		}
		return i
	}
	for i := range a.lines {
		a.lineIndex.Search(a.lines[i].box, func(k int) bool {
			if k > i {
				up[top(k)] = top(i)
			}
			return a.spend(1)
		})
	}
	of = make([]int, len(a.lines))
	number := make([]int, len(a.lines)) // of the group and one, by its top
	for i := range a.lines {
		t := top(i)
		if number[t] == 0 {
			groups = append(groups, areaGroup{box: geom.EmptyBox(), piece: -1, layer: a.lines[i].layer})
			number[t] = len(groups)
		}
		of[i] = number[t] - 1
		g := &groups[of[i]]
		g.box = g.box.Union(a.lines[i].box)
		for _, c := range a.lines[i].curves {
			g.length += c.Length()
		}
	}
	return of, groups
}

// drawnAgain tells of each line whether an earlier one is the same, on whatever layer: of
// what lies in both only one counts.
func (a *audit) drawnAgain() []bool {
	again := make([]bool, len(a.lines))
	for i := range a.lines {
		a.lineIndex.Search(a.lines[i].box, func(k int) bool {
			again[i] = k < i && a.same(&a.lines[k], &a.lines[i])
			return !again[i] && a.spend(4)
		})
	}
	return again
}

// jump returns by how much the stone grows from just outside to just inside a line: 1 for
// an outline, -1 for a cutout or a line in an outline on its layer, 0 where there is no
// stone either way. The lines around it tell; clear is false where they cannot.
func (a *audit) jump(i int, drawnAgain []bool) (jump float64, clear bool) {
	l := &a.lines[i]
	if !l.seen {
		return 0, false
	}
	clear = true
	around, again := 0, false
	cut := false
	a.lineIndex.Search(l.box, func(k int) bool {
		o := &a.lines[k]
		switch {
		case k == i || !a.spend(4):
		case a.same(o, l): // drawn twice: the first one counts
			again = again || k < i
			clear = math.Abs(o.area-l.area) <= Fit*(o.box.Width()+o.box.Height())
		case !a.holds(&o.ring, l.look):
			clear = o.role == Outline && l.role == Outline || o.area < l.area || !a.meet(&o.ring, &l.ring)
		case o.area < l.area || a.meet(&o.ring, &l.ring):
			clear = false
		case o.role == Cutout:
			cut = true
		case drawnAgain[k]:
		case l.role == Outline && (o.mixed || l.mixed || o.layer != l.layer):
			clear = false // stone over stone
		default:
			around++
		}
		return clear
	})
	switch {
	case !clear || again:
		return 0, clear
	case l.role == Outline && cut:
		return 0, false // a piece out of a cutout may be meant
	case l.role == Outline && around%2 == 0:
		return 1, true
	case cut || around%2 == 0:
		return 0, true
	}
	return -1, true
}

// unclear marks the groups that loose lines or lines that a flag names lie in.
func (a *audit) unclear(of []int, groups []areaGroup) {
	mark := func(c geom.Curve) {
		a.lineIndex.Search(c.Box(), func(k int) bool {
			groups[of[k]].unclear = true
			return a.spend(1)
		})
	}
	for _, i := range a.loose {
		mark(a.d.Curves[i].Curve)
	}
	for _, c := range a.d.Named {
		mark(c)
	}
}

// holesOfPoints takes the holes away that points mark in stone.
func (a *audit) holesOfPoints(of []int, groups []areaGroup, again []bool) {
	for _, p := range a.d.Points {
		outlines, cut, group := 0, false, -1
		a.lineIndex.Search(geom.Box{Min: p.At, Max: p.At}.Grow(p.Diameter/2), func(k int) bool {
			l := &a.lines[k]
			group = of[k]
			groups[group].unclear = groups[group].unclear || a.distance(&l.ring, p.At) <= p.Diameter/2+Fit
			if !again[k] && a.holds(&l.ring, p.At) {
				cut = cut || l.role == Cutout
				outlines++
			}
			return a.spend(4)
		})
		if group < 0 {
			continue
		}
		g := &groups[group]
		g.length += math.Pi * p.Diameter
		if !cut && outlines%2 == 1 {
			g.drawn -= math.Pi * p.Diameter * p.Diameter / 4
		}
	}
}

// releasedAreas adds up what pieces have; one among lines of two groups, or past those of
// its own, makes them unclear.
func (a *audit) releasedAreas(of []int, groups []areaGroup) {
	for i := range a.r.Pieces {
		p := &a.r.Pieces[i]
		area := math.Abs(p.Outline.Area())
		for k := range p.Cutouts {
			if c := &p.Cutouts[k]; !c.OverEdge {
				area -= math.Abs(c.Loop.Area())
			}
		}
		group := -1
		a.lineIndex.Search(p.Outline.Box().Grow(-a.d.Limits.Join), func(k int) bool {
			if group >= 0 && group != of[k] {
				groups[group].unclear, groups[of[k]].unclear = true, true
			}
			group = of[k]
			return a.spend(1)
		})
		if group >= 0 {
			g := &groups[group]
			g.released += area
			g.piece = i
			// Past the group's lines a piece has edges of others, which do not close by themselves.
			g.unclear = g.unclear || !boxWithin(p.Outline.Box(), g.box.Grow(a.d.Limits.Join))
		}
	}
}

// repairedArea returns the area in mm2 that the repairs listed in a box may have moved:
// the size of each along the lines that it touches.
func (a *audit) repairedArea(box geom.Box) float64 {
	sum := 0.0
	a.repairs.index.Search(box, func(i int) bool {
		size, at := a.repairs.size[i], a.repairs.list[i].At
		a.released.index.Search(geom.Box{Min: at, Max: at}.Grow(size+Fit), func(k int) bool {
			sum += size * a.released.curves[k].Length()
			return a.spend(1)
		})
		return a.spend(4)
	})
	return sum
}
