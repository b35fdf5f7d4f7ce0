package audit

import (
	"slices"

	"trueup/dxfio/geom"
)

// missing returns what was drawn and is not released, an entity at a time.
func (a *audit) missing() []Difference {
	var found []Difference
	entity := int32(-1)
	for i := range a.d.Curves {
		c := &a.d.Curves[i]
		if c.Told || c.Role == Mark || !a.spend(1) {
			continue
		}
		gaps, limit := a.notReleased(c)
		if len(gaps) == 0 {
			continue
		}
		w := a.farthest(c.Curve, gaps, &a.released)
		more := Difference{
			Kind: Missing, Witness: w, Distance: w.Length(), Limit: limit, Length: length(c.Curve, gaps),
			Layer: c.Layer, Piece: -1, Cutout: -1, Role: c.Role, Count: 1,
		}
		if k := len(found) - 1; k >= 0 && c.Entity == entity && c.Entity >= 0 {
			found[k] = found[k].with(more)
			continue
		}
		entity = c.Entity
		found = append(found, more)
	}
	return found
}

// with returns the graver of two differences of one entity or loop, which stands
// for both.
func (d Difference) with(e Difference) Difference {
	length, count := d.Length+e.Length, d.Count+e.Count
	if e.Distance > d.Distance+geom.Tolerance {
		d = e
	}
	d.Length, d.Count = length, count
	return d
}

// notReleased returns the stretches of a drawn curve that matter and are not
// released, and the limit that they are past.
func (a *audit) notReleased(c *Curve) ([]geom.Span, float64) {
	reach := Fit
	if c.Role == Seam {
		reach = a.d.Limits.Mark
	}
	gaps, limit := a.unexplained(c.Curve, &a.released, reach)
	if len(gaps) == 0 {
		return nil, limit
	}
	var left []geom.Span
	for _, g := range gaps {
		for _, s := range a.parts(c.Curve, g) {
			if a.matters(c.Role, c.Curve, s) {
				left = append(left, s)
			}
		}
	}
	if len(left) == 0 || len(a.named.curves) == 0 {
		return left, limit
	}
	// What a flag names need not be looked at again; it may name parts of a curve.
	unnamed := a.beyond(c.Curve, &a.named, a.d.Limits.Join+Fit)
	return common(left, unnamed, c.Length()), limit
}

// parts cuts a stretch of a curve where it meets released lines.
func (a *audit) parts(c geom.Curve, g geom.Span) []geom.Span {
	at := []float64{g.From, g.To}
	a.released.index.Search(c.Part(g.From, g.To).Box(), func(i int) bool {
		for _, m := range geom.Intersect(c, a.released.curves[i]) {
			if g.From < m.T && m.T < g.To {
				at = append(at, m.T)
			}
		}
		return a.spend(10)
	})
	slices.Sort(at)
	var parts []geom.Span
	for i := range at[1:] {
		if (at[i+1]-at[i])*c.Length() > geom.Tolerance {
			parts = append(parts, geom.Span{From: at[i], To: at[i+1]})
		}
	}
	return parts
}

// beside is how far in mm beside a line its two sides are looked at.
const beside = 2 * Fit

// matters reports whether a line drawn through the middle of a stretch would cut
// anything that the release leaves: that of a cutout or a seam only in stone, that
// of an outline not in a cutout or along its edge, where the stone is cut away.
func (a *audit) matters(r Role, c geom.Curve, s geom.Span) bool {
	t := (s.From + s.To) / 2
	p := c.At(t)
	if r != Outline {
		pieces, _ := a.around(p)
		return len(pieces) > 0
	}
	anyCut := false
	for _, side := range [2]float64{beside, -beside} {
		pieces, cut := a.around(p.Add(c.Tangent(t).Left().Mul(side)))
		if len(pieces) > 0 {
			return true
		}
		anyCut = anyCut || cut
	}
	return !anyCut
}

// common returns what two lists of stretches share. Both are in order.
func common(a, b []geom.Span, length float64) []geom.Span {
	var both []geom.Span
	for _, s := range a {
		for _, t := range b {
			from, to := max(s.From, t.From), min(s.To, t.To)
			if (to-from)*length > geom.Tolerance {
				both = append(both, geom.Span{From: from, To: to})
			}
		}
	}
	return both
}

// added returns what is released and was not drawn, a loop at a time.
func (a *audit) added() []Difference {
	var found []Difference
	look := func(curves []geom.Curve, piece, cutout int) {
		worst := Difference{Count: 0}
		for _, c := range curves {
			if !a.spend(1) {
				return
			}
			gaps, limit := a.unexplained(c, &a.drawn, Fit)
			if len(gaps) == 0 {
				continue
			}
			w := a.farthest(c, gaps, &a.drawn)
			more := Difference{
				Kind: Added, Witness: w, Distance: w.Length(), Limit: limit, Length: length(c, gaps), Layer: -1, Piece: piece, Cutout: cutout, Count: 1,
			}
			if worst.Count == 0 {
				worst = more
			} else {
				worst = worst.with(more)
			}
		}
		if worst.Count > 0 {
			found = append(found, worst)
		}
	}
	for i := range a.r.Pieces {
		p := &a.r.Pieces[i]
		look(p.Outline, i, -1)
		for k := range p.Cutouts {
			look(p.Cutouts[k].Loop, i, k)
		}
	}
	look(a.r.Seams, -1, -1)
	return found
}

// points returns the marked holes that nothing cuts.
func (a *audit) points() []Difference {
	var found []Difference
	for _, p := range a.d.Points {
		if !a.spend(1) {
			return nil
		}
		if _, q, ok := a.released.index.Nearest(p.At); ok && q.Distance(p.At) <= Fit {
			continue // on a released line: beside it is as good as in it
		}
		if pieces, _ := a.around(p.At); len(pieces) > 0 {
			found = append(found, Difference{
				Kind: Uncut, Witness: geom.Witness{From: p.At, To: p.At}, Layer: p.Layer, Piece: pieces[0], Cutout: -1, Role: Cutout, Count: 1,
			})
		}
	}
	return found
}
