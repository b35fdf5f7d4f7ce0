package trace

import (
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// walks is the arrangement seen from its faces: closed walks of half-edges that
// keep one face on their left.
type walks struct {
	*plan
	first  []int32 // by node: where its half-edges begin in out
	out    []half
	next   []half
	of     []int32  // by half-edge: number of its walk, -1 for dead ones
	cycles [][]half // simple cycles, in order of walk
	area   []float64
	walk   []int32 // by cycle: its walk
	count  int32
	halves []half // backs the cycles
}

// faces walks the arrangement after taking out the edges with one face on both
// sides; these are returned too.
func (p *plan) faces() (*walks, []int32) {
	f := &walks{plan: p}
	f.link()
	f.trace()
	var cut []int32
	for i := 0; i < len(p.edges) && !p.rings; i++ { // a ring has two sides
		if !p.dead[i] && f.of[2*i] == f.of[2*i+1] {
			cut = append(cut, int32(i))
		}
	}
	if len(cut) > 0 {
		for _, i := range cut {
			p.dead[i] = true
		}
		f.follow()
		f.trace()
	}
	f.simple()
	return f, cut
}

// link lists the half-edges that leave each node in counter-clockwise order, and
// what follows what.
func (f *walks) link() {
	f.next = make([]half, 2*len(f.edges))
	if f.rings {
		f.linkRings()
		return
	}
	first := make([]int32, len(f.inner)+2)
	for i := range f.edges {
		if !f.dead[i] {
			first[f.edges[i].node[0]+2]++
			first[f.edges[i].node[1]+2]++
		}
	}
	for i := 2; i < len(first); i++ {
		first[i] += first[i-1]
	}
	out := make([]half, first[len(first)-1])
	for i := range f.edges {
		if !f.dead[i] {
			for side, m := range f.edges[i].node {
				out[first[m+1]] = half(2*i + side)
				first[m+1]++
			}
		}
	}
	var spokes []spoke
	for m := range f.inner {
		if at := out[first[m]:first[m+1]]; len(at) > 2 {
			spokes = f.sortAround(at, spokes[:0])
		}
	}
	f.first, f.out = first, out
	f.follow()
}

// linkRings is link where every node joins two edges: what leaves a node there
// follows the other's twin.
func (f *walks) linkRings() {
	both := make([]half, len(f.inner)) // the two that leave each node, one masked by the other
	for i := range f.edges {
		if !f.dead[i] {
			both[f.edges[i].node[0]] ^= half(2 * i)
			both[f.edges[i].node[1]] ^= half(2*i + 1)
		}
	}
	for i := range f.edges {
		if !f.dead[i] {
			f.next[2*i+1] = both[f.edges[i].node[0]] ^ half(2*i)
			f.next[2*i] = both[f.edges[i].node[1]] ^ half(2*i+1)
		}
	}
}

// follow finds the half-edge that follows each: of the live ones that leave its
// head, the next clockwise from its own twin.
func (f *walks) follow() {
	for m := range f.inner {
		begin, last := half(-1), half(-1)
		for _, h := range f.out[f.first[m]:f.first[m+1]] {
			switch {
			case f.dead[h/2]:
				continue
			case begin < 0:
				begin = h
			default:
				f.next[h^1] = last
			}
			last = h
		}
		if begin >= 0 {
			f.next[begin^1] = last
		}
	}
}

// spoke is a half-edge at its node with its direction there.
type spoke struct {
	h     half
	angle float64
	curve geom.Curve
}

// closeAngle is the difference in direction, in radians, under which two edges
// at a node are told apart farther out: tangent edges differ only there, and
// the ends of short edges are moved by as much as a snap.
const closeAngle = 1e-2

// sortAround puts half-edges that leave one node in counter-clockwise order.
// spokes is its scratch.
func (f *walks) sortAround(at []half, spokes []spoke) []spoke {
	for _, h := range at {
		c := f.curve(h)
		t := c.B.Sub(c.A)
		if !c.IsLine() {
			t = c.Tangent(0)
		}
		spokes = append(spokes, spoke{h, math.Atan2(t.Y, t.X), c})
	}
	slices.SortFunc(spokes, func(a, b spoke) int {
		if a.angle != b.angle {
			return int(math.Copysign(1, a.angle-b.angle))
		}
		return int(a.h - b.h)
	})
	// Start behind the widest gap, so that close directions stand together.
	wide, cut := -1.0, 0
	for i := range spokes {
		k := (i + len(spokes) - 1) % len(spokes)
		gap := spokes[i].angle - spokes[k].angle
		if i == 0 {
			gap += 2 * math.Pi
		}
		if gap > wide {
			wide, cut = gap, i
		}
	}
	slices.Reverse(spokes[:cut])
	slices.Reverse(spokes[cut:])
	slices.Reverse(spokes)
	for i := 1; i < len(spokes); i++ { // insertion sort among the close ones only
		for k := i; k > 0 && before(spokes[k], spokes[k-1]); k-- {
			f.w.spend(4, f.edges[spokes[k].h/2].seg)
			spokes[k], spokes[k-1] = spokes[k-1], spokes[k]
		}
	}
	for i, s := range spokes {
		at[i] = s.h
	}
	return spokes
}

// before reports whether two close edges stand in the wrong order: whether a,
// sorted behind b, really lies clockwise of it. Edges do not cross, so the end
// of the shorter one tells, or its middle when both end in the same place.
func before(a, b spoke) bool {
	d := math.Abs(math.Remainder(a.angle-b.angle, 2*math.Pi))
	if d > closeAngle {
		return false
	}
	if a.curve.IsLine() && b.curve.IsLine() {
		return a.curve.B.Sub(a.curve.A).Cross(b.curve.B.Sub(b.curve.A)) > 0
	}
	u, v := a.curve, b.curve
	sign := 1.0
	if u.Length() > v.Length() {
		u, v, sign = v, u, -1
	}
	side := v.SignedDistance(u.B)
	if math.Abs(side) <= 4*geom.Tolerance {
		side = v.SignedDistance(u.Middle())
	}
	return sign*side < 0 // a lies on the right of b
}

// trace numbers the walks.
func (f *walks) trace() {
	f.of = make([]int32, len(f.next))
	for i := range f.of {
		f.of[i] = -1
	}
	f.count = 0
	for i := range f.edges {
		if f.dead[i] {
			continue
		}
		for _, h := range [2]half{half(2 * i), half(2*i + 1)} {
			if f.of[h] >= 0 {
				continue
			}
			for g := h; f.of[g] < 0; g = f.next[g] {
				f.of[g] = f.count
			}
			f.count++
		}
	}
}

// simple cuts the walks into cycles that pass no node twice.
func (f *walks) simple() {
	var seen []int32 // 1 + place in the stack
	if !f.rings {
		seen = make([]int32, len(f.inner))
	}
	var stack []half
	done := make([]bool, f.count)
	f.halves = make([]half, 0, len(f.next))
	f.cycles, f.walk, f.area = make([][]half, 0, f.count), make([]int32, 0, f.count), make([]float64, 0, f.count)
	for i := range f.edges {
		if f.dead[i] {
			continue
		}
		for _, h := range [2]half{half(2 * i), half(2*i + 1)} {
			w := f.of[h]
			if done[w] {
				continue
			}
			done[w] = true
			if f.rings {
				f.addRing(h, w)
				continue
			}
			stack = stack[:0]
			for g := h; ; {
				stack = append(stack, g)
				seen[f.tail(g)] = int32(len(stack))
				if at := seen[f.head(g)]; at > 0 {
					f.addCycle(stack[at-1:], w)
					for _, k := range stack[at-1:] {
						seen[f.tail(k)] = 0
					}
					stack = stack[:at-1]
				}
				if g = f.next[g]; g == h {
					break
				}
			}
		}
	}
}

// addRing adds the walk through a half-edge as one cycle.
func (f *walks) addRing(h half, w int32) {
	at := len(f.halves)
	for g := h; ; {
		f.halves = append(f.halves, g)
		if g = f.next[g]; g == h {
			break
		}
	}
	f.closeCycle(at, w)
}

func (f *walks) addCycle(hs []half, w int32) {
	at := len(f.halves)
	f.halves = append(f.halves, hs...)
	f.closeCycle(at, w)
}

// closeCycle makes a cycle of the half-edges added from at on.
func (f *walks) closeCycle(at int, w int32) {
	hs := f.halves[at:len(f.halves):len(f.halves)]
	f.cycles = append(f.cycles, hs)
	f.walk = append(f.walk, w)
	o := f.edges[hs[0]/2].A // about a point of the cycle, so that far coordinates lose nothing
	area := 0.0
	for _, h := range hs {
		if a := f.edges[h/2].AreaAbout(o); h%2 == 0 {
			area += a
		} else {
			area -= a
		}
	}
	f.area = append(f.area, area)
}
