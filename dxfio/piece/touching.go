package piece

import (
	"math"

	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// TouchesItself is why a closed line is reported that passes one place twice.
const TouchesItself = "touches itself"

// touching reports closed entities that touch themselves in a point: one line,
// drawn around once, came out as several faces, which hang together on nothing.
func (b *builder) touching(in []trace.Curve, faces []trace.Face) {
	split := splitEntities(faces)
	if len(split) == 0 {
		return
	}
	lines, _ := closedEntities(in)
	for _, l := range lines {
		if !split[l.curves[0].Entity] {
			continue
		}
		if at, ok := b.touch(trace.Loop(l.curves).Geom()); ok {
			id := l.curves[0].ID
			b.problems.add(Problem{Kind: SelfCrossing, Layer: b.layerOf(id), At: at, Line: b.lineOf(id), Count: 1, Witness: geom.Witness{From: at, To: at}, Why: TouchesItself})
		}
	}
}

// splitEntities returns the entities that bound more than one face from within, or
// the rim of a face and a hole in it: those that may touch themselves, and
// neighbours with a common edge.
func splitEntities(faces []trace.Face) map[int32]bool {
	rim, split := map[int32]int{}, map[int32]bool{}
	for i, f := range faces {
		before := int32(-1)
		for _, c := range f.Outer {
			if c.Entity < 0 || c.Entity == before {
				continue
			}
			before = c.Entity
			if k, ok := rim[before]; ok && k != i {
				split[before] = true
			}
			rim[before] = i
		}
		for _, h := range f.Holes {
			for _, c := range h {
				if k, ok := rim[c.Entity]; ok && k == i && c.Entity >= 0 {
					split[c.Entity] = true
				}
			}
		}
	}
	return split
}

// touch returns the lowest place where a corner of a loop lies on another of its
// curves, and either part of the loop between them holds more than a sliver. A line
// that runs back along itself, to a hole say, touches itself in more than a point.
func (b *builder) touch(l geom.Loop) (at geom.Point, found bool) {
	index := geom.NewIndex(l)
	whole := math.Abs(l.Area())
	for i := range l {
		p := l[i].A
		before := (i + len(l) - 1) % len(l)
		index.Search(geom.Box{Min: p, Max: p}.Grow(b.ts.Join), func(k int) bool {
			b.spend(1, p)
			if k == i || k == before || l[k].Distance(p) > b.ts.Join {
				return true
			}
			q, t := geom.NearestPoint(l[k], p)
			if t > 1-geom.Tolerance { // the curve behind it begins there
				return true
			}
			if t < geom.Tolerance && b.doubledBack(l, k, i) {
				return true
			}
			lobe := geom.Loop{}
			for n := i; n != k; n = (n + 1) % len(l) {
				lobe = append(lobe, l[n])
			}
			if t > geom.Tolerance {
				lobe = append(lobe, l[k].Part(0, t))
			}
			lobe = append(lobe, geom.Line(q, p))
			area := math.Abs(lobe.Area())
			if area <= b.ts.SliverArea || math.Abs(whole-area) <= b.ts.SliverArea || runsAlong(l[k], l[i], b.ts.Join) || runsAlong(l[k], l[before], b.ts.Join) {
				return true
			}
			if !found || p.Y < at.Y || p.Y == at.Y && p.X < at.X {
				at, found = p, true
			}
			return true
		})
	}
	return at, found
}

// doubledBack reports whether one of the curves that meet at corner k of a loop runs
// along one of those that meet at corner i.
func (b *builder) doubledBack(l geom.Loop, k, i int) bool {
	n := len(l)
	for _, c := range [2]geom.Curve{l[k], l[(k+n-1)%n]} {
		if runsAlong(c, l[i], b.ts.Join) || runsAlong(c, l[(i+n-1)%n], b.ts.Join) {
			return true
		}
	}
	return false
}

// runsAlong reports whether two curves that meet run along each other.
func runsAlong(c, d geom.Curve, within float64) bool {
	if d.Length() > c.Length() {
		c, d = d, c
	}
	return c.Distance(d.A) <= within && c.Distance(d.Middle()) <= within && c.Distance(d.B) <= within
}
