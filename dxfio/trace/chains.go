package trace

import (
	"cmp"
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// A chain is a boundary that closes by itself: a closed entity, or loose curves
// that meet two by two. Where chains share or cross edges, the faces tell how
// they lie: every face knows how often it lies in which chain.

// owner is a chain that runs along a curve.
type owner struct {
	chain   int32
	reverse bool // the chain runs against the curve
}

// chains tells which chains run along each curve.
type chains struct {
	w      *work
	owners [][]owner // by seg
	one    []owner   // backs the owners of segs that have just one
	count  int32
	signs  []uint64 // by chain, see signature
}

// item is a curve or a copy of it.
type item struct {
	seg    int32
	entity int32
	node   [2]int32
}

// newChains finds the chains among boundaries. The nodes are those of a plan.
func (w *work) newChains(segs []int32) *chains {
	c := &chains{w: w, owners: make([][]owner, len(w.segs)), one: make([]owner, 0, len(w.segs))}
	items := make([]item, 0, len(segs))
	for _, i := range segs {
		g := &w.segs[i]
		if g.Kind != Boundary {
			continue
		}
		items = append(items, item{i, g.Entity, g.node})
		for _, d := range w.copies[i] {
			if d.Kind == Boundary {
				items = append(items, item{i, d.Entity, g.node})
			}
		}
	}
	// Entities first; what does not close by itself joins the loose curves.
	loose := c.close(items, func(i item) int32 { return i.entity })
	for k := range loose {
		loose[k].entity = -1
	}
	c.close(loose, func(item) int32 { return 0 })
	c.dropRepeats()
	return c
}

// dropRepeats leaves of several chains along the same curves one: an outline drawn
// a thousand times conflicts no more than one.
func (c *chains) dropRepeats() {
	if len(c.w.copies) == 0 || c.count < 2 {
		return
	}
	c.signature(0)
	seen, repeats := map[uint64]bool{}, map[int32]bool{}
	for k, sign := range c.signs {
		repeats[int32(k)] = seen[sign]
		seen[sign] = true
	}
	for i, owners := range c.owners {
		c.owners[i] = slices.DeleteFunc(owners, func(o owner) bool { return repeats[o.chain] })
	}
}

// close walks the cycles of items with the same group in which every node joins
// two, notes them as chains and returns the items left.
func (c *chains) close(items []item, group func(item) int32) (left []item) {
	mates := endMates(items, group)
	done := make([]bool, len(items))
	for k, i := range items {
		if done[k] {
			continue
		}
		if group(i) < 0 {
			left = append(left, i)
			continue
		}
		var walked []int32 // 2*item + side it is left by
		closed := true
		for e := int32(2*k + 1); ; {
			walked = append(walked, e)
			f := mates[e]
			if f < 0 {
				closed = false
				break
			}
			if e = f ^ 1; e == int32(2*k+1) || len(walked) > len(items) {
				break
			}
		}
		if !closed {
			left = append(left, i)
			done[k] = true
			continue
		}
		for _, e := range walked {
			done[e/2] = true
			it := items[e/2]
			c.addOwner(it.seg, owner{c.count, e%2 == 0})
		}
		c.count++
	}
	return left
}

func (c *chains) addOwner(seg int32, o owner) {
	n := len(c.one)
	if c.owners[seg] != nil || n == cap(c.one) {
		c.owners[seg] = append(c.owners[seg], o)
		return
	}
	c.one = append(c.one, o)
	c.owners[seg] = c.one[n : n+1 : n+1]
}

// endMates returns for every end 2*item+side the other end of its group at its
// node where there are just two, otherwise -1.
func endMates(items []item, group func(item) int32) []int32 {
	type place struct{ group, node, end int32 }
	ends, mates := make([]place, 0, 2*len(items)), make([]int32, 2*len(items))
	for k, i := range items {
		g := group(i)
		for side, n := range i.node {
			mates[2*k+side] = -1
			if g >= 0 {
				ends = append(ends, place{g, n, int32(2*k + side)})
			}
		}
	}
	slices.SortFunc(ends, func(a, b place) int {
		return cmp.Or(cmp.Compare(a.group, b.group), cmp.Compare(a.node, b.node), cmp.Compare(a.end, b.end))
	})
	for i := 0; i < len(ends); {
		k := i + 1
		for k < len(ends) && ends[k].group == ends[i].group && ends[k].node == ends[i].node {
			k++
		}
		if k == i+2 {
			mates[ends[i].end], mates[ends[i+1].end] = ends[i+1].end, ends[i].end
		}
		i = k
	}
	return mates
}

// of returns the chains along an edge, in the edge's direction.
func (c *chains) of(p *plan, i int32) []owner {
	all := c.owners[p.edges[i].seg]
	for _, o := range p.beside(i) {
		for _, q := range c.owners[o.seg] {
			all = append(slices.Clip(all), owner{q.chain, q.reverse != o.reverse})
		}
	}
	return all
}

// winding says how often a face lies in a chain.
type winding struct {
	chain int32
	turns int
}

// windings returns for every cell the chains it lies in, from the outside of
// each part inward; with inherit also those that a part lies in as a whole.
func (c *chains) windings(n *nest, inherit bool) [][]winding {
	of := make([][]winding, len(n.cells))
	known := make([]bool, len(n.cells))
	var queue []int32
	step := func(h half, from []winding) {
		if at := n.cellOf[n.of[h^1]]; at >= 0 && !known[at] {
			known[at] = true
			of[at] = c.across(n.plan, h, from)
			c.w.spend(1+len(of[at]), n.edges[h/2].seg)
			queue = append(queue, at)
		}
	}
	var roots []int32 // contours; those inside a cell come behind it
	for k := range n.contours {
		if !inherit || n.contours[k].parent < 0 {
			roots = append(roots, int32(k))
		}
	}
	for len(roots) > 0 {
		k := roots[0]
		roots = roots[1:]
		var around []winding
		if up := n.contours[k].parent; inherit && up >= 0 {
			around = of[up]
		}
		for _, hs := range n.contours[k].cycles {
			for _, h := range hs {
				step(h, around)
			}
		}
		for len(queue) > 0 {
			at := queue[0]
			queue = queue[1:]
			if inherit {
				roots = append(roots, n.cells[at].inside...)
			}
			for _, h := range n.cells[at].outer {
				step(h, of[at])
			}
			for _, hs := range n.cells[at].holes {
				for _, h := range hs {
					step(h, of[at])
				}
			}
		}
	}
	return of
}

// across returns the windings on the right of a half-edge, given those on its
// left.
func (c *chains) across(p *plan, h half, left []winding) []winding {
	now := slices.Clone(left)
	for _, o := range c.of(p, h/2) {
		d := -1
		if o.reverse != (h%2 == 1) {
			d = 1
		}
		k := slices.IndexFunc(now, func(w winding) bool { return w.chain == o.chain })
		if k < 0 {
			now = append(now, winding{o.chain, d})
		} else if now[k].turns += d; now[k].turns == 0 {
			now = slices.Delete(now, k, k+1)
		}
	}
	return now
}

// pairSteps is what a pair of chains around one face costs, in the steps of a
// Guard.
const pairSteps = 4

// conflicts is what is wrong with the chains of a plan.
type conflicts struct {
	self    map[int32]bool       // chains that cross themselves
	overlap map[[2]int32]float64 // pairs of chains that overlap, with the area
	at      map[[2]int32]geom.Point
	area    map[int32]float64 // of every chain
}

// conflicts compares the windings of all faces. A chain that crosses itself has
// faces, beside drawing noise, with different windings other than 0; two chains
// overlap where faces lie in both, unless one lies in the other. A narrow
// overlap counts as well: the outlines then keep their full shapes, and what
// the overlap means is for the caller to say.
func (c *chains) conflicts(n *nest) conflicts {
	out := conflicts{map[int32]bool{}, map[[2]int32]float64{}, map[[2]int32]geom.Point{}, map[int32]float64{}}
	turns := map[int32]int{}
	most := map[[2]int32]float64{}
	for at, in := range c.windings(n, false) {
		a := n.cells[at].area
		if n.width(int32(at)) <= coincident {
			continue
		}
		noise := c.w.isNoise(n, int32(at))
		c.w.spend(len(in)*len(in)*pairSteps/2, n.edges[n.cells[at].outer[0]/2].seg)
		for k, w := range in {
			out.area[w.chain] += a
			for _, v := range in[:k] {
				pair := [2]int32{min(v.chain, w.chain), max(v.chain, w.chain)}
				out.overlap[pair] += a
				if a > most[pair] {
					most[pair] = a
					out.at[pair] = n.loop(n.cells[at].outer).Centroid()
				}
			}
			if noise {
				continue
			}
			if t, ok := turns[w.chain]; ok && t != w.turns {
				out.self[w.chain] = true
			}
			turns[w.chain] = w.turns
		}
	}
	for pair, a := range out.overlap {
		smaller := math.Min(out.area[pair[0]], out.area[pair[1]])
		if atMost(smaller-a, c.w.s.SliverArea) || out.self[pair[0]] || out.self[pair[1]] {
			delete(out.overlap, pair)
		}
	}
	return out
}

// compareBoxes orders boxes by place: the left, then the lower first.
func compareBoxes(a, b geom.Box) int {
	p, q := roundedBox(a), roundedBox(b)
	return slices.Compare(p[:], q[:])
}

// roundedBox gives a box in multiples of what is one place as drawn.
func roundedBox(b geom.Box) [4]float64 {
	return [4]float64{math.Round(b.Min.X / coincident), math.Round(b.Min.Y / coincident),
		math.Round(b.Max.X / coincident), math.Round(b.Max.Y / coincident)}
}

// compareRounded orders lengths that differ by more than what is one place as
// drawn.
func compareRounded(a, b float64) int {
	if math.Abs(a-b) > 2*coincident { // surely not in one place
		return cmp.Compare(a, b)
	}
	return cmp.Compare(math.Round(a/coincident), math.Round(b/coincident))
}
