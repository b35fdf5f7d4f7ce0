package geom

import (
	"cmp"
	"math"
	"slices"
)

// ContactKind says how two curves meet.
type ContactKind int8

// The kinds of contact.
const (
	// Crossing curves pass through each other inside both.
	Crossing ContactKind = iota
	// Touching curves meet at an end of one of them, or run tangent.
	Touching
	// Overlapping curves share a stretch; the stretch is reported as two
	// neighbouring contacts, its two ends.
	Overlapping
)

// Intersection is a place where two curves meet: at fraction T of the first and
// U of the second one's length. An end that takes part is met exactly: T or U
// is then 0 or 1 and P that end.
type Intersection struct {
	P    Point
	T, U float64
	Kind ContactKind
}

// Intersect returns where two curves meet, in the order of T. Curves that come
// within Tolerance of each other without crossing (ends, tangents) touch, and
// stretches that stay within Tolerance of each other overlap; a tangency is one
// contact, not two.
//
// Lines and arcs are treated alike as circles a|P|^2 + b.P + g = 0 about a point
// near both curves, scaled to slope 1: a line is the case a = 0, and an arc that
// is nearly a line keeps its full precision because its far centre is never
// computed.
func Intersect(c, d Curve) []Intersection {
	if c.A == c.B || d.A == d.B || !c.looseBox().Grow(Tolerance).Overlaps(d.looseBox()) {
		return nil
	}
	if c.Bulge == 0 && d.Bulge == 0 {
		if h, ok := plainCrossing(c, d); ok {
			return []Intersection{h}
		}
	}
	p := newPair(c, d)
	p.ends()
	if p.overlaps() {
		return p.sorted()
	}
	p.crossings()
	return p.sorted()
}

// plainCrossing is the quick answer for two lines that pass through each other
// well away from their ends.
func plainCrossing(c, d Curve) (Intersection, bool) {
	u, v, w := c.B.Sub(c.A), d.B.Sub(d.A), d.A.Sub(c.A)
	clear := func(u, a, b Point) bool {
		margin := 4 * Tolerance * (math.Abs(u.X) + math.Abs(u.Y))
		s, t := u.Cross(a), u.Cross(b)
		return s > margin && t < -margin || s < -margin && t > margin
	}
	if !clear(u, w, d.B.Sub(c.A)) || !clear(v, w.Mul(-1), c.B.Sub(d.A)) {
		return Intersection{}, false
	}
	den := u.Cross(v)
	t := w.Cross(v) / den
	return Intersection{P: c.At(t), T: t, U: w.Cross(u) / den, Kind: Crossing}, true
}

// looseBox is a quick box around the curve: the ends grown by the sagitta.
// Arcs beyond a half turn take the exact one.
func (c Curve) looseBox() Box {
	if math.Abs(c.Bulge) > 1 {
		return c.Box()
	}
	b := Box{c.A, c.A}.Extend(c.B)
	if c.Bulge != 0 {
		// The bow leaves the chord by the sagitta vector s; a rectangle on the
		// chord of that height holds the arc up to a half turn.
		s := c.B.Sub(c.A).Left().Mul(-c.Bulge / 2)
		b = b.Extend(c.A.Add(s)).Extend(c.B.Add(s))
	}
	return b
}

// pair is two curves on their way to their contacts.
type pair struct {
	c, d   Curve
	fc, fd frame
	hits   []Intersection
}

func newPair(c, d Curve) *pair { return &pair{c: c, d: d, fc: c.frame(), fd: d.frame()} }

// ends finds the ends that lie on the other curve.
func (p *pair) ends() {
	for _, t := range [2]float64{0, 1} {
		e := p.c.At(t)
		q, u := NearestPoint(p.d, e)
		if e.Distance(q) <= Tolerance {
			p.add(Intersection{e, t, snapEnd(p.d, u), Touching})
		}
	}
	for _, u := range [2]float64{0, 1} {
		e := p.d.At(u)
		q, t := NearestPoint(p.c, e)
		if e.Distance(q) <= Tolerance {
			p.add(Intersection{e, snapEnd(p.c, t), u, Touching})
		}
	}
}

// snapEnd moves a fraction within Tolerance of an end to that end.
func snapEnd(c Curve, t float64) float64 {
	l := c.Length()
	switch {
	case t*l <= Tolerance:
		return 0
	case (1-t)*l <= Tolerance:
		return 1
	}
	return t
}

// add keeps a contact unless one at the same ends is known.
func (p *pair) add(h Intersection) {
	for _, k := range p.hits {
		if k.T == h.T && (h.T == 0 || h.T == 1) && math.Abs(k.U-h.U)*p.d.Length() <= 2*Tolerance ||
			k.U == h.U && (h.U == 0 || h.U == 1) && math.Abs(k.T-h.T)*p.c.Length() <= 2*Tolerance {
			return
		}
	}
	p.hits = append(p.hits, h)
}

// overlaps turns neighbouring end contacts between which the curves stay
// together into overlaps, and reports whether there is one.
func (p *pair) overlaps() bool {
	if len(p.hits) < 2 {
		return false
	}
	h := p.sorted()
	found := false
	for i := 1; i < len(h); i++ {
		if p.together(h[i-1], h[i]) {
			h[i-1].Kind, h[i].Kind = Overlapping, Overlapping
			found = true
		}
	}
	return found
}

// together reports whether the curves run together between two contacts. Two
// circles that agree in three well-spread points agree everywhere between; a
// fourth and fifth guard against curves that weave about each other.
func (p *pair) together(g, h Intersection) bool {
	for _, k := range [3]float64{0.5, 0.25, 0.75} {
		m := p.c.At(g.T + k*(h.T-g.T))
		u := p.fd.fraction(m)
		if low, high := math.Min(g.U, h.U), math.Max(g.U, h.U); u <= low || u >= high {
			return false
		}
		if math.Abs(p.fd.signedDistance(m)) > Tolerance {
			return false
		}
	}
	return true
}

func (p *pair) sorted() []Intersection {
	slices.SortFunc(p.hits, func(g, h Intersection) int {
		return cmp.Or(cmp.Compare(g.T, h.T), cmp.Compare(g.U, h.U))
	})
	return p.hits
}

// crossings adds the contacts inside both curves and drops those that only
// repeat an end contact.
func (p *pair) crossings() {
	for _, s := range solve(p.c, p.d) {
		t, u := p.fc.fraction(s.at), p.fd.fraction(s.at)
		lc, ld := p.c.Length(), p.d.Length()
		if t*lc < -Tolerance || (1-t)*lc < -Tolerance || u*ld < -Tolerance || (1-u)*ld < -Tolerance {
			continue
		}
		h := Intersection{P: s.at, T: clamp01(t), U: clamp01(u), Kind: Crossing}
		if s.tangent {
			h.Kind = Touching
		}
		if !p.repeats(h) {
			p.hits = append(p.hits, h)
		}
	}
}

// repeats reports whether a contact is an end contact again: the curves stay
// within Tolerance of each other from one to the other, as a line and its
// fillet do beside their common end.
func (p *pair) repeats(h Intersection) bool {
	for _, k := range p.hits {
		if k.P.Distance(h.P) <= 2*Tolerance {
			return true
		}
		atEnd := k.T == 0 || k.T == 1 || k.U == 0 || k.U == 1
		m := p.c.At((k.T + h.T) / 2)
		if atEnd && p.d.Distance(m) <= Tolerance {
			return true
		}
	}
	return false
}
