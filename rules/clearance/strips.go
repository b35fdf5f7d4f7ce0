package clearance

import (
	"cmp"
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// Strip is a stretch of stone under the limit with the narrowest place in it.
type Strip struct {
	Minimum
	// Stretch is the length in mm along the boundary from which a line straight
	// across meets the other side under the limit, on the side where that is
	// longer; 0 between two corners.
	Stretch float64
	// Middle is the middle of that stretch.
	Middle geom.Point
	// All are the minima in the strip.
	All []Minimum
	// Dead is true for a strip of the outline with itself that does not widen to
	// the limit again at one of its ends: a tongue, or a piece that is as narrow
	// all along.
	Dead bool
}

// Bounds of one strip along the boundary.
const (
	// sameStrip is the length in mm of boundary that may be wider inside one strip.
	sameStrip = 10
	// sameSide is the angle in radians by which the boundary turns at a corner or
	// in a rounding tighter than the limit before it is another side of the stone.
	sameSide = math.Pi/4 + 1e-9
)

// Strips gathers minima, which must all be between the same two loops, to strips
// under the limit. Minima are in one strip when the boundary stays under the
// limit from one to the other on either side, without turning a corner.
func (p *Plate) Strips(minima []Minimum, limit float64) []Strip {
	if !slices.ContainsFunc(minima, func(m Minimum) bool { return m.Width < limit-geom.Tolerance }) {
		return nil
	}
	g := gatherer{p: p, limit: limit, of: make([]struct{ from, to int32 }, len(p.curves)), at: map[sideCurve][]int{}}
	minima = slices.Clone(minima)
	slices.SortStableFunc(minima, func(a, b Minimum) int { return cmp.Compare(a.Width, b.Width) })
	for _, m := range minima {
		if m.Width >= limit-geom.Tolerance {
			continue
		}
		if p.stopped() {
			return nil
		}
		g.ends = append(g.ends, [2]int{g.run(m.From, m.To), g.run(m.To, m.From)})
		g.minima = append(g.minima, m)
		if m.Width == 0 { // loops that touch or cross do so in one strip
			g.join(g.ends[0][0], g.ends[len(g.ends)-1][0])
		}
	}
	return g.strips()
}

type gatherer struct {
	p      *Plate
	limit  float64
	cells  []cell                     // of all curves asked for
	of     []struct{ from, to int32 } // where those of a curve are; every curve has some
	runs   []run
	at     map[sideCurve][]int // runs that pass over a curve
	minima []Minimum
	roomy  []int8   // of places along the outline: 1 a circle of the limit fits, -1 none, 0 not tried
	ends   [][2]int // runs at both ends of each minimum
}

type sideCurve struct{ curve, partner int32 }

// run is a connected stretch of one loop under the limit.
type run struct {
	loop, partner int32
	from, to      float64 // lengths along the loop; from may lie before its start, to behind its end
	under         []span  // what of it is under the limit
	group         int     // root of its strip: itself, or a run before it
}

type span struct{ from, to float64 }

// run returns the run that the place lies in.
func (g *gatherer) run(from, to Place) int {
	partner := to.Loop
	key := sideCurve{from.curve, partner}
	s := g.p.along(from)
	round := g.p.round[from.Loop]
	for _, k := range g.at[key] {
		r := &g.runs[k]
		for _, turn := range [3]float64{0, round, -round} {
			if s+turn > r.from+geom.Tolerance && s+turn < r.to-geom.Tolerance {
				return k
			}
		}
	}
	w := walker{g: g, loop: from.Loop, partner: partner}
	v := to.P.Sub(from.P).Unit()
	k := len(g.runs)
	r := run{loop: from.Loop, partner: partner, group: k}
	visit := func(curve int32) {
		c := sideCurve{curve, partner}
		if list := g.at[c]; len(list) == 0 || list[len(list)-1] != k {
			g.at[c] = append(list, k)
		}
	}
	visit(from.curve)
	forward := w.walk(from, v, true, visit)
	var back []span
	if n := len(forward); n == 0 || forward[n-1].to < s+round-geom.Tolerance { // else it went all the way round
		back = w.walk(from, v, false, visit)
	}
	r.from, r.to = s, s
	r.under = append(back, forward...)
	for _, u := range r.under {
		r.from, r.to = math.Min(r.from, u.from), math.Max(r.to, u.to)
	}
	g.runs = append(g.runs, r)
	return k
}

// cellsOf returns the cells of a curve, computed once.
func (g *gatherer) cellsOf(i int32) []cell {
	k := g.of[i]
	if k.to == 0 {
		k.from = int32(len(g.cells))
		g.cells = g.p.cells(g.cells, i, g.limit)
		k.to = int32(len(g.cells))
		g.of[i] = k
	}
	return g.cells[k.from:k.to]
}

// walker follows one loop from a place while it stays under the limit.
type walker struct {
	g             *gatherer
	loop, partner int32
}

// walk returns the stretches under the limit in one direction, as lengths along
// the loop.
func (w *walker) walk(from Place, v geom.Point, forward bool, visit func(int32)) []span {
	p := w.g.p
	i, at := from.curve, from.at
	if from.corner {
		side := p.inward(i, 0)
		if !forward {
			i = p.sites[i].prev
			at = p.sites[i].length
			side = p.inward(i, at)
		}
		if side.Dot(v) < math.Cos(sameSide) {
			return nil
		}
	}
	var under []span
	total, wider, bent := 0.0, 0.0, 0.0
	base := p.along(from) // length along the loop at the walk's position
	for total < p.round[w.loop] {
		s := &p.sites[i]
		visit(i)
		end, stop := w.bendLimit(i, at, forward, &bent)
		on := w.ahead(i, at, end, func(c cell) bool {
			if c.partner < 0 || p.sites[c.partner].loop != w.partner {
				wider += c.to - c.from
				return wider <= sameStrip
			}
			wider = 0
			under = extend(under, span{base + c.from - at, base + c.to - at})
			return true
		})
		if !on {
			return under
		}
		gone := math.Abs(end - at)
		total += gone
		if stop {
			return under
		}
		if forward {
			base, at = base+gone, 0
			if w.corner(i, s.next, true, &bent) {
				return under
			}
			i = s.next
		} else {
			base -= gone
			if w.corner(s.prev, i, false, &bent) {
				return under
			}
			i = s.prev
			at = p.sites[i].length
		}
	}
	return under
}

// extend adds a stretch, to the last one where it touches that.
func extend(list []span, u span) []span {
	if n := len(list) - 1; n >= 0 {
		switch l := &list[n]; {
		case math.Abs(u.from-l.to) <= geom.Tolerance:
			l.to = u.to
			return list
		case math.Abs(u.to-l.from) <= geom.Tolerance:
			l.from = u.from
			return list
		}
	}
	return append(list, u)
}

// ahead calls visit with the cells of curve i between two lengths, in walking
// order, until it returns false.
func (w *walker) ahead(i int32, at, end float64, visit func(c cell) bool) bool {
	low, high := math.Min(at, end), math.Max(at, end)
	list := w.g.cellsOf(i)
	for k := range list {
		c := list[k]
		if end < at {
			c = list[len(list)-1-k]
		}
		c.from, c.to = math.Max(c.from, low), math.Min(c.to, high)
		if c.to > c.from && !visit(c) {
			return false
		}
	}
	return true
}

// bendLimit returns how far along curve i a walk from at stays on the same side
// of the stone, and whether it ends there. A long straight or gentle stretch is
// a side of its own: what turned before it is forgotten.
func (w *walker) bendLimit(i int32, at float64, forward bool, bent *float64) (float64, bool) {
	s := &w.g.p.sites[i]
	end := 0.0
	if forward {
		end = s.length
	}
	if s.radius >= w.g.limit {
		if math.Abs(end-at) >= w.g.limit/2 {
			*bent = 0
		}
		return end, false
	}
	turn := math.Abs(end-at) / s.length * s.sweep
	if !forward {
		turn = -turn
	}
	left := sameSide - math.Abs(*bent)
	if math.Signbit(turn) != math.Signbit(*bent) {
		left = sameSide + math.Abs(*bent)
	}
	if math.Abs(turn) <= left {
		*bent += turn
		return end, false
	}
	part := math.Abs(end-at) * left / math.Abs(turn)
	if forward {
		return at + part, true
	}
	return at - part, true
}

// corner adds the turn at the corner between two curves and reports whether the
// walk is round it.
func (w *walker) corner(before, behind int32, forward bool, bent *float64) bool {
	s := &w.g.p.sites[behind]
	turn := math.Atan2(s.in.Cross(s.out), s.in.Dot(s.out))
	near := math.Min(w.g.p.sites[before].length, s.length)
	if near >= math.Abs(turn)*w.g.limit && math.Abs(turn) < sameSide {
		return false // one of the facets of a gentle curve
	}
	if !forward {
		turn = -turn
	}
	*bent += turn
	return math.Abs(*bent) > sameSide
}
