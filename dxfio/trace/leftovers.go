package trace

import (
	"cmp"
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// leftovers sorts the edges that bound no face into open chains and strays.
func (w *work) leftovers(out *Result, first *layer, layers []*layer) {
	used := map[int32]bool{} // curves with an edge on a face of another layer
	for _, l := range layers {
		for i := range l.edges {
			if e := &l.edges[i]; !l.dead[i] && len(layers) > 1 {
				used[e.seg] = true
			}
		}
	}
	out.Strays = append(out.Strays, w.strays...)
	var boundary []int32
	for _, i := range first.loose {
		e := &first.edges[i]
		switch {
		case w.segs[e.seg].Kind == Boundary:
			boundary = append(boundary, i)
		case len(layers) > 1 && used[e.seg]:
			// It cuts a face of another layer.
		default:
			out.Strays = append(out.Strays, first.part(i))
		}
	}
	chains := first.openChains(boundary)
	var ends *freeEnds
	if len(chains) > 0 {
		ends = newFreeEnds(chains)
		ends.w = w
	}
	for _, c := range chains {
		c.measure(ends)
		if c.ofNote() {
			out.Open = append(out.Open, OpenChain{c.curves, c.from, c.to, c.gap})
		} else {
			out.Strays = append(out.Strays, c.curves...)
		}
	}
	out.Strays = joinStrays(out.Strays)
	w.outside(out, first)
}

// part returns a loose edge as a curve of the drawing.
func (l *layer) part(i int32) Curve {
	c := l.w.segs[l.edges[i].seg].Curve
	c.Curve = l.edges[i].Curve
	return c
}

// joinStrays makes one curve of strays that were one line, wherever they stand.
func joinStrays(in []Curve) []Curve {
	slices.SortStableFunc(in, func(a, b Curve) int { return cmp.Compare(a.ID, b.ID) })
	for i := 0; i < len(in); {
		k := i + 1
		for k < len(in) && in[k].ID == in[i].ID {
			k++
		}
		if k > i+1 {
			inDirection(in[i:k])
		}
		i = k
	}
	return joinParts(in)
}

// inDirection turns and sorts parts of one line so that they follow each other.
func inDirection(parts []Curve) {
	u := parts[0].B.Sub(parts[0].A)
	for i := range parts {
		if c := &parts[i]; c.Bulge == 0 && u.Dot(c.B.Sub(c.A)) < 0 {
			c.Curve = c.Curve.Reverse()
		}
	}
	slices.SortStableFunc(parts, func(a, b Curve) int { return cmp.Compare(u.Dot(a.A), u.Dot(b.A)) })
}

// joinParts makes one curve of neighbours that were one line.
func joinParts(in []Curve) []Curve {
	var out []Curve
	for _, c := range in {
		if k := len(out) - 1; k >= 0 && out[k].ID == c.ID && out[k].B == c.A && c.Bulge == 0 && out[k].Bulge == 0 &&
			geom.Line(out[k].A, c.B).Distance(c.A) <= coincident { // curves of repairs have one number
			out[k].B = c.B
			continue
		}
		out = append(out, c)
	}
	return out
}

// outside gives the dividers that bound only regions that are no faces.
func (w *work) outside(out *Result, l *layer) {
	if l.outsiders == nil {
		return
	}
	kept := func(h int32) bool {
		at := l.cellOf[l.of[h]]
		return at >= 0 && !l.outsiders[at]
	}
	for i := range l.edges {
		if e := &l.edges[i]; !l.dead[i] && w.segs[e.seg].Kind == Divider && !kept(int32(2*i)) && !kept(int32(2*i+1)) {
			out.Strays = append(out.Strays, l.part(int32(i)))
		}
	}
}

// open is a chain of loose boundaries.
type open struct {
	curves   []Curve
	from, to geom.Point
	free     [2]bool // whether nothing else meets the end
	length   float64
	gap      float64
}

// looseEnds is the graph of loose edges.
type looseEnds struct {
	*layer
	at    map[int32][]int32 // ends 2*edge+side by node
	alive map[int32]bool    // nodes on faces
}

// next returns the end that goes on from e: straight on through a crossing, or
// the other one where just two meet.
func (g looseEnds) next(e int32) (int32, bool) {
	n := g.edges[e/2].node[e%2]
	at := g.at[n]
	g.w.spend(len(at), g.edges[e/2].seg)
	for _, f := range at {
		if f/2 != e/2 && g.edges[f/2].seg == g.edges[e/2].seg && g.inner[n] {
			return f, true
		}
	}
	if g.alive[n] || len(at) != 2 {
		return 0, false
	}
	if at[0] == e {
		return at[1], true
	}
	return at[0], true
}

// place returns where an end lies and whether nothing else meets it.
func (g looseEnds) place(e int32) (geom.Point, bool) {
	n := g.edges[e/2].node[e%2]
	return g.w.nodes.pos[n], len(g.at[n]) == 1 && !g.alive[n]
}

// openChains walks loose edges to chains.
func (l *layer) openChains(loose []int32) []*open {
	if len(loose) == 0 {
		return nil
	}
	g := looseEnds{l, map[int32][]int32{}, map[int32]bool{}}
	for i := range l.edges {
		if e := &l.edges[i]; !l.dead[i] {
			g.alive[e.node[0]], g.alive[e.node[1]] = true, true
		}
	}
	for _, i := range loose {
		for side, n := range l.edges[i].node {
			g.at[n] = append(g.at[n], 2*i+int32(side))
		}
	}
	done := map[int32]bool{}
	var out []*open
	for _, i := range loose {
		if !done[i] {
			out = append(out, g.chain(i, done))
		}
	}
	return out
}

// chain walks back from an edge to the start of its chain and then forward.
func (g looseEnds) chain(i int32, done map[int32]bool) *open {
	start := 2 * i
	for f, ok := g.next(start); ok && f/2 != i; f, ok = g.next(start) {
		start = f ^ 1
	}
	c := &open{}
	c.from, c.free[0] = g.place(start)
	for e := start ^ 1; ; {
		done[e/2] = true
		p := g.part(e / 2)
		if e%2 == 0 {
			p.Curve = p.Curve.Reverse()
		}
		c.curves = append(c.curves, p)
		c.length += p.Length()
		c.to, c.free[1] = g.place(e)
		f, ok := g.next(e)
		if !ok || done[f/2] {
			break
		}
		e = f ^ 1
	}
	c.curves = joinParts(c.curves)
	if comparePoints(c.to, c.from) < 0 {
		c.reverse()
	}
	return c
}

func (c *open) reverse() {
	c.curves = reversed(c.curves)
	c.from, c.to = c.to, c.from
	c.free[0], c.free[1] = c.free[1], c.free[0]
}

// freeEnds finds free ends by place.
type freeEnds struct {
	w     *work
	x     *geom.Index
	owner []*open
	point []geom.Point
}

func newFreeEnds(all []*open) *freeEnds {
	f := &freeEnds{}
	var boxes []geom.Box
	for _, c := range all {
		for k, p := range [2]geom.Point{c.from, c.to} {
			if c.free[k] {
				f.owner, f.point = append(f.owner, c), append(f.point, p)
				boxes = append(boxes, geom.EmptyBox().Extend(p))
			}
		}
	}
	f.x = geom.NewBoxIndex(boxes)
	return f
}

// nearest returns the free end nearest to p that is not the end (c, k) itself,
// in growing squares around p.
func (f *freeEnds) nearest(c *open, k int, p geom.Point, within float64) (geom.Point, float64) {
	own := [2]geom.Point{c.from, c.to}[k]
	for reach := math.Min(within, 1); ; reach = math.Min(within, 4*reach) {
		best, least := geom.Point{}, math.Inf(1)
		skipped := false
		f.x.Search(geom.EmptyBox().Extend(p).Grow(reach), func(i int) bool {
			if f.owner[i] == c && f.point[i] == own && !skipped {
				skipped = true
				return true
			}
			f.w.spend(1, -1)
			if d := p.Distance(f.point[i]); d < least || d == least && comparePoints(f.point[i], best) < 0 {
				best, least = f.point[i], d
			}
			return true
		})
		if least <= reach || reach >= within {
			return best, least
		}
	}
}

// measure sets the gap: from the free end (of two, that with the smaller one) to
// the nearest free end that could close it.
func (c *open) measure(f *freeEnds) {
	c.gap = c.from.Distance(c.to)
	if !c.free[0] || !c.free[1] {
		c.gap = math.Inf(1)
	}
	within := math.Max(c.length, c.from.Distance(c.to))
	best := c.gap
	for k, p := range [2]geom.Point{c.from, c.to} {
		if !c.free[k] {
			continue
		}
		if _, d := f.nearest(c, k, p, within); d < best {
			best = d
			if k == 1 { // From is the end the gap is measured from
				defer c.reverse()
			}
		}
	}
	c.gap = best
	if math.IsInf(best, 1) {
		c.gap = c.from.Distance(c.to)
	}
}

// strayShare: a single curve whose nearest free end is farther than this share
// of its own length is a mark or a leftover, no side of an open outline.
const strayShare = 0.5

// ofNote reports whether the chain looks like an outline that is not closed.
func (c *open) ofNote() bool {
	if !c.free[0] && !c.free[1] {
		return false
	}
	if len(c.curves) > 1 && c.free[0] && c.free[1] && !c.straight() {
		return true
	}
	return atMost(c.gap, strayShare*c.length)
}

// straight reports whether the chain is one line drawn in parts, a centre line
// say: it is then judged as a single curve.
func (c *open) straight() bool {
	whole := geom.Line(c.from, c.to)
	for _, k := range c.curves {
		if k.Bulge != 0 || whole.Distance(k.A) > coincident || whole.Distance(k.B) > coincident {
			return false
		}
	}
	return c.length <= whole.Length()+coincident
}

func sortResult(r *Result) {
	slices.SortFunc(r.Open, func(a, b OpenChain) int {
		return cmp.Or(comparePoints(lower(a.From, a.To), lower(b.From, b.To)), cmp.Compare(a.Gap, b.Gap))
	})
	sortStrays(r.Strays)
	slices.SortFunc(r.Crossings, func(a, b Crossing) int {
		return cmp.Or(comparePoints(a.At, b.At), cmp.Compare(a.Area, b.Area), cmp.Compare(a.A, b.A), cmp.Compare(a.B, b.B))
	})
	slices.SortFunc(r.Repairs, func(a, b Repair) int {
		return cmp.Or(comparePoints(a.At, b.At), cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Size, b.Size), cmp.Compare(a.ID, b.ID))
	})
	slices.SortFunc(r.Coarse, func(a, b Coarse) int {
		return cmp.Or(comparePoints(a.At, b.At), cmp.Compare(a.Radius, b.Radius), cmp.Compare(a.ID, b.ID))
	})
}

// sortStrays orders curves by their lower end, then by length.
func sortStrays(strays []Curve) {
	type key struct {
		at     geom.Point
		length float64
		from   int32
	}
	keys := make([]key, len(strays))
	for i, c := range strays {
		keys[i] = key{lower(c.A, c.B), c.Length(), int32(i)}
	}
	slices.SortFunc(keys, func(a, b key) int {
		if c := comparePoints(a.at, b.at); c != 0 {
			return c
		}
		return cmp.Or(cmp.Compare(a.length, b.length), cmp.Compare(a.from, b.from))
	})
	drawn := slices.Clone(strays)
	for to, k := range keys {
		strays[to] = drawn[k.from]
	}
}
