package piece

import (
	"cmp"
	"math"
	"slices"

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

// TouchesInPoint is why outlines of separate lines are reported that have just a
// point in common.
const TouchesInPoint = "touches in a point"

// faceCorner is a corner of a face: where one of its curves begins.
type faceCorner struct{ face, curve int }

// touchingInPoint reports where two faces of separate lines meet in a point and have
// no line in common there: an outline that crosses itself, of which every line ends
// at the crossing. Tops drawn as closed lines of their own may stand corner to
// corner.
func (b *builder) touchingInPoint(faces []trace.Face) {
	var corners []faceCorner
	var at []geom.Point
	for i, f := range faces {
		if ofOneEntity(f.Outer) {
			continue
		}
		for k := range f.Outer {
			corners, at = append(corners, faceCorner{i, k}), append(at, f.Outer[k].A)
		}
	}
	if len(corners) == 0 || corners[0].face == corners[len(corners)-1].face {
		return
	}
	keys := geom.PlaceKeys(at)
	for i := 0; i < len(keys); {
		k := i + 1
		for k < len(keys) && keys[k].SameCell(keys[i]) {
			k++
		}
		if k > i+1 {
			b.touchingIn(faces, corners, at, keys[i:k])
		}
		i = k
	}
}

// touchingIn looks at the corners of one cell.
func (b *builder) touchingIn(faces []trace.Face, corners []faceCorner, at []geom.Point, cell []geom.PlaceKey) {
	slices.SortFunc(cell, func(k, l geom.PlaceKey) int {
		p, q := at[k.Number()], at[l.Number()]
		return cmp.Or(cmp.Compare(p.X, q.X), cmp.Compare(p.Y, q.Y), cmp.Compare(k.Number(), l.Number()))
	})
	for i := 0; i < len(cell); {
		p := at[cell[i].Number()]
		k := i + 1
		for k < len(cell) && at[cell[k].Number()] == p {
			k++
		}
		if k == i+2 {
			c, d := corners[cell[i].Number()], corners[cell[i+1].Number()]
			if c.face != d.face && faces[c.face].Parent == faces[d.face].Parent && !sideBySide(faces, c, d) {
				id := max(faces[c.face].Outer[c.curve].ID, faces[d.face].Outer[d.curve].ID)
				b.problems.add(Problem{Kind: SelfCrossing, Layer: b.layerOf(id), At: p, Line: b.lineOf(id), Count: 1, Witness: geom.Witness{From: p, To: p}, Why: TouchesInPoint})
			}
		}
		i = k
	}
}

// sideBySide reports whether two faces go on along each other from a common corner.
func sideBySide(faces []trace.Face, c, d faceCorner) bool {
	ways := func(f faceCorner) [2]geom.Point {
		l := faces[f.face].Outer
		return [2]geom.Point{l[f.curve].Tangent(0), l[(f.curve+len(l)-1)%len(l)].Tangent(1).Mul(-1)}
	}
	for _, u := range ways(c) {
		for _, v := range ways(d) {
			if u.Dot(v) > 0 && math.Abs(u.Cross(v)) <= sameWay {
				return true
			}
		}
	}
	return false
}

// ofOneEntity reports whether one entity makes all of a loop.
func ofOneEntity(l trace.Loop) bool {
	for _, c := range l {
		if c.Entity < 0 || c.Entity != l[0].Entity {
			return false
		}
	}
	return true
}
