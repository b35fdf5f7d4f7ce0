package trace

import (
	"slices"

	"trueup/dxfio/geom"
)

// Subtract returns the outline less the cutouts, biggest part first: cutouts
// inside become holes, cutouts that run over the edge become notches, and one
// that runs right through leaves several parts. Lines and arcs are cut exactly;
// parts whose mean width is below what is one place as drawn are left away.
// Directions of the loops do not matter. Loops must not cross themselves. Errors
// are those of Close.
func Subtract(g *Guard, outline geom.Loop, cutouts []geom.Loop) ([]geom.Region, error) {
	return combine(g, append([]geom.Loop{outline}, cutouts...), func(in []bool) bool {
		return in[0] && !slices.Contains(in[1:], true)
	})
}

// Intersection returns what two loops have in common, biggest part first, as
// Subtract does.
func Intersection(g *Guard, a, b geom.Loop) ([]geom.Region, error) {
	return combine(g, []geom.Loop{a, b}, func(in []bool) bool { return in[0] && in[1] })
}

// Union returns what lies in any of the loops, biggest part first, as Subtract
// does.
func Union(g *Guard, loops ...geom.Loop) ([]geom.Region, error) {
	return combine(g, loops, func(in []bool) bool { return slices.Contains(in, true) })
}

// stepsPerLoopCurve is what arranging one curve costs, in the steps of a Guard.
const stepsPerLoopCurve = 30

// combine arranges the loops and returns the regions of the faces that keep
// wants, given in which loops they lie.
func combine(g *Guard, loops []geom.Loop, keep func(in []bool) bool) (parts []geom.Region, err error) {
	defer stopped(&err)
	var curves []Curve
	for k, l := range loops {
		for _, c := range l {
			curves = append(curves, Curve{Curve: c, ID: int32(len(curves)), Entity: int32(k)})
		}
	}
	w := newWork(g, curves, Default())
	w.spend(arrangeSteps+stepsPerLoopCurve*len(curves), 0)
	w.thinned = true // loops do not repeat themselves, and each side of each counts
	ch := &chains{w: w, owners: make([][]owner, len(w.segs)), count: int32(len(loops))}
	one := make([]owner, len(w.segs))
	live := make([]int32, len(w.segs))
	for i := range w.segs {
		live[i] = int32(i)
		one[i] = owner{w.segs[i].Entity, backward(curves[w.segs[i].ID].Curve)}
		ch.owners[i] = one[i : i+1 : i+1]
	}
	l := w.arrange(live)
	kept := make([]bool, len(l.cells))
	in := make([]bool, len(loops))
	for at, of := range ch.windings(l.nest, true) {
		clear(in)
		for _, x := range of {
			in[x.chain] = x.turns != 0
		}
		kept[at] = keep(in)
	}
	return l.regions(kept), nil
}

// regions joins the kept cells to regions.
func (l *layer) regions(kept []bool) []geom.Region {
	stone := make([]bool, 2*len(l.edges)) // by half-edge: kept on its left
	for i := range l.edges {
		if l.dead[i] {
			continue
		}
		for _, h := range [2]half{half(2 * i), half(2*i + 1)} {
			at := l.around(h)
			stone[h] = at >= 0 && kept[at]
		}
		l.dead[i] = stone[2*i] == stone[2*i+1]
	}
	l.rings = false
	f, _ := l.plan.faces()
	l.nest = f.nest()
	var out []geom.Region
	for i := range l.cells {
		c := &l.cells[i]
		if !stone[c.outer[0]] || l.width(int32(i)) <= coincident {
			continue
		}
		r := geom.Region{Outer: l.w.whole(l, c.outer).Geom()}
		for _, hs := range c.holes {
			r.Holes = append(r.Holes, l.w.whole(l, hs).Geom())
		}
		for _, k := range c.inside {
			for _, hs := range l.contours[k].cycles {
				r.Holes = append(r.Holes, l.w.whole(l, hs).Geom())
			}
		}
		out = append(out, r)
	}
	slices.SortFunc(out, func(a, b geom.Region) int {
		if c := compareRounded(b.Area(), a.Area()); c != 0 {
			return c
		}
		return compareBoxes(a.Box(), b.Box())
	})
	return out
}
