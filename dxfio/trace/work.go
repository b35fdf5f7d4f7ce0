package trace

import (
	"cmp"
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// seg is a curve on its way through the stages.
type seg struct {
	Curve
	node  [2]int32 // at A and at B
	dead  bool     // dropped, merged into another, or replaced by an arc
	facet bool     // an arc that stands for chords
}

// work is a drawing on its way through the stages.
type work struct {
	s            Settings
	guard        *Guard
	drawn        int   // curves of the drawing
	place        int32 // the curve at work, for what stops it
	segs         []seg
	placed       int  // of segs, as many as lie in the order of place
	revision     int  // counts the changes of segs
	thinned      bool // crowds of lines along each other are dealt with
	inc          incidence
	live         liveIndex
	nodes        *nodeTable
	copies       map[int32][]Curve // exact duplicates merged into a seg
	repairs      []Repair
	chords       []Chord
	coarseRuns   []Coarse
	beforeFacets *geom.Index // see besideFacets
	strays       []Curve
	marks        landmarks
	consumed     []int32 // curves that bounded a face taken out as noise
}

func newWork(g *Guard, curves []Curve, s Settings) *work {
	w := &work{s: s, guard: g, drawn: len(curves), nodes: newNodeTable(len(curves) + 16)}
	kept, middles := make([]int32, 0, len(curves)), make([]geom.Point, 0, len(curves))
	for i := range curves {
		c := &curves[i]
		switch {
		case !measurable(c):
			w.strays = append(w.strays, rightward(c))
		case isShort(c):
			w.repair(DuplicateRemoved, rightward(c).A, c.Chord(), c.ID)
		default:
			kept = append(kept, int32(i))
			middles = append(middles, geom.Point{X: (c.A.X + c.B.X) / 2, Y: (c.A.Y + c.B.Y) / 2})
		}
	}
	// Each run from its left end to its right one, and all in the order of place:
	// order and direction of the input then decide nothing, and curves that meet
	// lie near each other in memory.
	w.segs = make([]seg, len(kept))
	keys := geom.PlaceKeys(middles)
	for k, key := range keys {
		c := &w.segs[k].Curve
		if *c = curves[kept[key.Number()]]; backward(c.Curve) {
			c.Curve = c.Reverse()
		}
	}
	for i := 0; i < len(keys); {
		k := i + 1
		for k < len(keys) && keys[k].SameCell(keys[i]) {
			k++
		}
		if k > i+1 {
			slices.SortFunc(w.segs[i:k], func(g, h seg) int { return compareCurves(&g.Curve, &h.Curve) })
		}
		i = k
	}
	w.nodes.setBlocks(middles, keys)
	for i := range w.segs {
		g := &w.segs[i]
		g.node[0], g.node[1] = w.nodes.put(g.A), w.nodes.put(g.B)
		w.spend(1+w.nodes.takeLooked(), int32(i))
	}
	w.placed = len(w.segs)
	w.mergeNear()
	if w.nodes.moved || len(w.nodes.near) > 0 {
		w.anchor()
	}
	return w
}

// boxIndex returns an index of boxes of segs, or of parts of them, in the order
// of segs.
func (w *work) boxIndex(boxes []geom.Box) *geom.Index {
	if len(w.segs) > w.placed { // arcs and bridges stand at the end
		return geom.NewBoxIndex(boxes)
	}
	return geom.NewPlacedIndex(boxes)
}

// farthest is how far in mm from the origin coordinates are still closed: there
// float64 keeps a hundredth of the measuring tolerance. Callers shift drawings
// to a local origin, so anything beyond is a stray far from everything.
const farthest = 1e8

func measurable(c *Curve) bool {
	return math.Abs(c.A.X) <= farthest && math.Abs(c.A.Y) <= farthest && math.Abs(c.B.X) <= farthest && math.Abs(c.B.Y) <= farthest &&
		math.Abs(c.Bulge) <= math.MaxFloat64
}

// isShort reports whether a curve has no length.
func isShort(c *Curve) bool {
	return math.Abs(c.B.X-c.A.X) <= geom.Tolerance && c.Chord() <= geom.Tolerance
}

func (w *work) repair(k RepairKind, at geom.Point, size float64, id int32) {
	w.repairs = append(w.repairs, Repair{Kind: k, At: at, Size: size, ID: id})
}

// mergeNear makes one of nodes that are the same as drawn, nearest first, but
// never of the two ends of one curve: a chain of very short curves must not
// collapse.
func (w *work) mergeNear() {
	near := w.nodes.near
	if len(near) == 0 {
		return
	}
	pos := w.nodes.pos
	slices.SortFunc(near, func(p, q nearPair) int {
		return cmp.Or(compareMeasured(p.d, q.d), w.comparePlaces(pos[p.a].Lerp(pos[p.b], 0.5), pos[q.a].Lerp(pos[q.b], 0.5)))
	})
	u := newUnions(len(pos))
	touched := map[int32]bool{}
	for _, p := range near {
		touched[p.a], touched[p.b] = true, true
	}
	short := map[[2]int32]bool{}
	for i := range w.segs {
		if n := w.segs[i].node; touched[n[0]] && touched[n[1]] {
			short[[2]int32{min(n[0], n[1]), max(n[0], n[1])}] = true
		}
	}
	members := map[int32][]int32{}
	of := func(r int32) []int32 {
		if m := members[r]; m != nil {
			return m
		}
		return []int32{r}
	}
	for _, p := range near {
		a, b := u.find(p.a), u.find(p.b)
		w.spend(len(of(a))*len(of(b)), -1)
		if a == b || !w.mayMerge(of(a), of(b), short) {
			continue
		}
		all := append(slices.Clone(of(a)), of(b)...)
		u.join(a, b)
		members[u.find(a)] = all
	}
	for r, m := range members {
		if u.find(r) != r {
			continue
		}
		sum := geom.Point{}
		for _, n := range m {
			sum = sum.Add(pos[n])
		}
		pos[r] = sum.Mul(1 / float64(len(m)))
	}
	for i := range w.segs {
		g := &w.segs[i]
		g.node = [2]int32{u.find(g.node[0]), u.find(g.node[1])}
	}
}

func (w *work) mayMerge(a, b []int32, short map[[2]int32]bool) bool {
	for _, m := range a {
		for _, n := range b {
			if short[[2]int32{min(m, n), max(m, n)}] || w.nodes.pos[m].Distance(w.nodes.pos[n]) > 2*coincident {
				return false
			}
		}
	}
	return true
}

// anchor sets the ends of every curve to its nodes; an arc keeps its bulge.
func (w *work) anchor() {
	for i := range w.segs {
		g := &w.segs[i]
		g.A, g.B = w.nodes.pos[g.node[0]], w.nodes.pos[g.node[1]]
	}
}

// compareCurves orders curves by what is drawn; only of exact copies does the
// number decide, which nothing but a layer depends on.
func compareCurves(c, d *Curve) int {
	return cmp.Or(comparePoints(c.A, d.A), comparePoints(c.B, d.B), cmp.Compare(c.Bulge, d.Bulge),
		cmp.Compare(c.Kind, d.Kind), cmp.Compare(b2i(c.Entity < 0), b2i(d.Entity < 0)), cmp.Compare(c.ID, d.ID))
}

// rightward returns the curve run from its left end to its right one.
func rightward(c *Curve) Curve {
	d := *c
	if backward(d.Curve) {
		d.Curve = d.Curve.Reverse()
	}
	return d
}

// backward reports whether a curve runs from its right end to its left one.
func backward(c geom.Curve) bool { return comparePoints(c.B, c.A) < 0 }

func comparePoints(p, q geom.Point) int {
	switch { // coordinates are finite here, and this is the inner loop of sorts
	case p.X < q.X:
		return -1
	case p.X > q.X:
		return 1
	case p.Y < q.Y:
		return -1
	case p.Y > q.Y:
		return 1
	}
	return 0
}

func lower(p, q geom.Point) geom.Point {
	if comparePoints(q, p) < 0 {
		return q
	}
	return p
}

// incidence lists the ends (2*seg + side) at every node.
type incidence struct {
	first    []int32
	ends     []int32
	free     int // nodes with one end
	revision int
}

func (x incidence) at(n int32) []int32 { return x.ends[x.first[n]:x.first[n+1]] }

// incidence returns the ends at every node as they are now.
func (w *work) incidence() incidence {
	if w.inc.first == nil || w.inc.revision != w.revision {
		w.inc = w.newIncidence()
	}
	return w.inc
}

func (w *work) newIncidence() incidence {
	first := make([]int32, len(w.nodes.pos)+2)
	for i := range w.segs {
		if g := &w.segs[i]; !g.dead {
			first[g.node[0]+2]++
			first[g.node[1]+2]++
		}
	}
	free := 0
	for i := 2; i < len(first); i++ {
		if first[i] == 1 {
			free++
		}
		first[i] += first[i-1]
	}
	ends := make([]int32, first[len(first)-1])
	for i := range w.segs {
		if g := &w.segs[i]; !g.dead {
			for side, n := range g.node {
				ends[first[n+1]] = int32(2*i + side)
				first[n+1]++
			}
		}
	}
	return incidence{first[:len(first)-1], ends, free, w.revision}
}

// dropCopies merges curves with the same ends and the same middle. The copies
// are kept beside the one that stays: whether they are a repair or the common
// edge of two outlines is known only when the faces are.
func (w *work) dropCopies(inc incidence) {
	for n := range int32(len(inc.first) - 1) {
		at := inc.at(n)
		if len(at) < 2 {
			continue
		}
		if len(at) > 8 { // many spokes: bring those with the same far end together
			at = slices.Clone(at)
			slices.SortFunc(at, func(e, f int32) int { return cmp.Compare(w.far(e), w.far(f)) })
		}
		for i, e := range at {
			if w.segs[e/2].dead {
				continue
			}
			for _, f := range at[i+1:] {
				w.spend(1, e/2)
				if w.far(e) != w.far(f) {
					if len(at) > 8 {
						break
					}
					continue
				}
				g, h := &w.segs[e/2], &w.segs[f/2]
				if e/2 != f/2 && !g.dead && !h.dead && g.node[0] != g.node[1] && sameCurve(g, h) {
					w.mergeCopy(e/2, f/2)
				}
			}
		}
	}
}

// far returns the node at the other end of the curve that ends in e.
func (w *work) far(e int32) int32 { return w.segs[e/2].node[1-e%2] }

func sameCurve(g, h *seg) bool {
	same := g.node == h.node
	if !same && (g.node[0] != h.node[1] || g.node[1] != h.node[0]) {
		return false
	}
	if g.Bulge == 0 && h.Bulge == 0 {
		return true
	}
	return g.Middle().Distance(h.Middle()) <= coincident
}

// mergeCopy keeps one of two curves: boundaries before dividers, curves as drawn
// before those that repairs made, the first of exact copies.
func (w *work) mergeCopy(i, j int32) {
	g, h := &w.segs[i], &w.segs[j]
	if cmp.Or(cmp.Compare(g.Kind, h.Kind), cmp.Compare(b2i(g.ID < 0), b2i(h.ID < 0)), cmp.Compare(i, j)) > 0 {
		i, j, g, h = j, i, h, g
	}
	h.dead = true
	w.revision++
	if w.copies == nil {
		w.copies = map[int32][]Curve{}
	}
	w.copies[i] = append(append(w.copies[i], h.Curve), w.copies[j]...)
	delete(w.copies, j)
}
