package clearance

import (
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// clear reports whether the line of a minimum runs through stone from end to end:
// no boundary between.
func (p *Plate) clear(m Minimum) bool {
	if m.Width <= 2*grazing {
		return true
	}
	d := m.To.P.Sub(m.From.P).Mul(1 / m.Width)
	from, to := m.From.P.Add(d.Mul(grazing)), m.To.P.Sub(d.Mul(grazing))
	free := true
	p.tree.searchLine(from, to, func(i int32) bool {
		free = i == m.From.curve && !m.From.corner || i == m.To.curve && !m.To.corner || p.hit(i, from, d) >= m.Width-2*grazing
		return free
	})
	return free
}

// grazing is the length in mm at both ends of a line where it may touch the
// boundary that it starts from.
const grazing = 1e-5

// hit returns how far from a, along the unit vector d, the line first meets
// curve i; +Inf when it does not. Ends of the curve count.
func (p *Plate) hit(i int32, a, d geom.Point) float64 {
	c, s := p.curves[i], &p.sites[i]
	if s.bend == 0 {
		e := c.A.Sub(a)
		x := s.out.Cross(d)
		if math.Abs(x) <= sameDirection {
			return math.Inf(1) // along the line: its neighbours are met
		}
		t, u := s.out.Cross(e)/x, d.Cross(e)/x
		if t >= 0 && u >= -geom.Tolerance && u <= s.length+geom.Tolerance {
			return t
		}
		return math.Inf(1)
	}
	// |a + t d - o| = r
	e := a.Sub(s.center)
	b, q := e.Dot(d), e.Dot(e)-s.radius*s.radius
	disc := b*b - q
	if disc < 0 {
		return math.Inf(1)
	}
	root := math.Sqrt(disc)
	for _, t := range [2]float64{-b - root, -b + root} {
		if t < 0 {
			continue
		}
		u := c.Fraction(a.Add(d.Mul(t))) * s.length
		if u >= -geom.Tolerance && u <= s.length+geom.Tolerance {
			return t
		}
	}
	return math.Inf(1)
}

// cell is a stretch of a curve from which a line straight across the stone meets
// the same curve within the limit.
type cell struct {
	from, to float64 // lengths along the curve
	partner  int32   // the curve met; -1 when none is within the limit
}

// cells adds to all what divides curve i by what straight lines across the stone meet within the
// limit. On an arc that the stone fills they are followed to its centre.
func (p *Plate) cells(all []cell, i int32, limit float64) []cell {
	base := len(all)
	s := &p.sites[i]
	reach := limit
	if s.bend > 0 {
		reach = math.Min(limit, s.radius)
	}
	c := p.curves[i]
	far, farEnd := c.A.Add(p.inward(i, 0).Mul(reach)), c.B.Add(p.inward(i, s.length).Mul(reach))
	swept := c.Box().Extend(far).Extend(farEnd)
	if s.bend != 0 {
		swept = c.Box().Grow(reach)
	}
	var some [16]float64
	cuts := append(some[:0], 0, s.length)
	p.tree.search(swept, func(j int32) bool {
		switch {
		case j == i:
		case s.bend == 0 && p.sites[j].bend == 0:
			cuts = p.lineCuts(cuts, i, j, reach)
		default:
			cuts = p.cuts(cuts, i, j, reach, geom.Curve{A: far, B: farEnd, Bulge: c.Bulge})
		}
		return true
	})
	slices.Sort(cuts)
	for k := 1; k < len(cuts); k++ {
		if cuts[k]-cuts[k-1] <= geom.Tolerance {
			continue
		}
		partner := p.across(i, (cuts[k]+cuts[k-1])/2, reach)
		if n := len(all) - 1; n >= base && all[n].partner == partner {
			all[n].to = cuts[k]
			continue
		}
		all = append(all, cell{cuts[k-1], cuts[k], partner})
	}
	return all
}

// across returns the curve that a line square from curve i meets first within
// reach, -1 for none.
func (p *Plate) across(i int32, at, reach float64) int32 {
	a, d := p.pointAt(i, at), p.inward(i, at)
	best, partner := reach, int32(-1)
	p.tree.searchLine(a, a.Add(d.Mul(reach)), func(j int32) bool {
		if j != i {
			if t := p.hit(j, a, d); t < best && t > geom.Tolerance {
				best, partner = t, j
			}
		}
		return true
	})
	return partner
}

// lineCuts is cuts between two lines.
func (p *Plate) lineCuts(cuts []float64, i, j int32, reach float64) []float64 {
	s := &p.sites[i]
	a := p.curves[i].A
	n := s.out.Left()
	u, v := p.curves[j].A.Sub(a), p.curves[j].B.Sub(a)
	h, k := u.Dot(n), v.Dot(n)
	if math.Max(h, k) < 0 || math.Min(h, k) > reach {
		return cuts
	}
	add := func(at float64) {
		if at > 0 && at < s.length {
			cuts = append(cuts, at)
		}
	}
	x, y := u.Dot(s.out), v.Dot(s.out)
	add(x)
	add(y)
	if (h-reach)*(k-reach) < 0 {
		add(x + (y-x)*(reach-h)/(k-h))
	}
	return cuts
}

// cuts adds the lengths along curve i at which what a line across it meets may
// change on account of curve j: where the line passes an end of j, where it
// touches j, and where j comes within reach.
func (p *Plate) cuts(cuts []float64, i, j int32, reach float64, offset geom.Curve) []float64 {
	s, b := &p.sites[i], &p.sites[j]
	c, d := p.curves[i], p.curves[j]
	add := func(q geom.Point) {
		at := c.Fraction(q) * s.length
		if at > 0 && at < s.length {
			cuts = append(cuts, at)
		}
	}
	add(d.A)
	add(d.B)
	if offset.A.Distance(offset.B) > geom.Tolerance {
		for _, h := range geom.CommonPoints(offset, d) {
			add(h)
		}
	}
	if b.bend == 0 {
		return cuts
	}
	if s.bend == 0 {
		add(b.center.Add(s.out.Mul(b.radius)))
		add(b.center.Sub(s.out.Mul(b.radius)))
		return cuts
	}
	// From the centre of arc i the tangents to the circle of j.
	to := b.center.Sub(s.center)
	if n := to.Norm(); n > b.radius {
		half := math.Asin(b.radius / n)
		add(s.center.Add(to.Rotate(half)))
		add(s.center.Add(to.Rotate(-half)))
	}
	return cuts
}

// clearParts returns the level stretches that remain of one whose middle is not
// clear; cells are those of the curve that it starts from.
func (p *Plate) clearParts(m Minimum, cells []cell) []Minimum {
	var parts []Minimum
	low, high := m.From.at-m.Level/2, m.From.at+m.Level/2
	for _, k := range cells {
		from, to := math.Max(k.from, low), math.Min(k.to, high)
		if k.partner != m.To.curve || to-from <= geom.Tolerance {
			continue
		}
		part := m
		at := (from + to) / 2
		part.From = p.place(m.From.curve, at, p.pointAt(m.From.curve, at))
		q, t := geom.NearestPoint(p.curves[m.To.curve], part.From.P)
		part.To = p.place(m.To.curve, t*p.sites[m.To.curve].length, q)
		part.Level = to - from
		parts = append(parts, part)
	}
	return parts
}
