package clearance

import (
	"cmp"
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// Minimum is a place where the stone is narrowest: the straight line from From
// to To through stone gets no shorter when its ends slide a little.
type Minimum struct {
	From, To Place
	Width    float64 // mm; 0 where two loops touch or cross
	// Level is the length over which the width stays the same, as between
	// parallel edges; From and To then lie in its middle.
	Level float64
}

// Witness returns the line of the minimum.
func (m Minimum) Witness() geom.Witness { return geom.Witness{From: m.From.P, To: m.To.P} }

// Minima returns every minimum shorter than the limit in mm, narrowest first.
// Between two places of one loop that are less than a quarter of the limit apart
// along it there is none: see toothShare.
func (p *Plate) Minima(limit float64) []Minimum {
	f := finder{p: p, limit: limit}
	p.facing(limit, f.pair)
	var kept []Minimum
	cells := map[int32][]cell{} // of a curve that many others stand behind each other before
	for _, m := range f.found {
		switch {
		case p.clear(m):
			kept = append(kept, m)
		case m.Level > 0:
			list, ok := cells[m.From.curve]
			if !ok {
				list = p.cells(nil, m.From.curve, limit)
				cells[m.From.curve] = list
			}
			kept = append(kept, p.clearParts(m, list)...)
		}
	}
	slices.SortFunc(kept, func(a, b Minimum) int {
		return cmp.Or(cmp.Compare(a.Width, b.Width), cmp.Compare(a.From.curve, b.From.curve),
			cmp.Compare(a.To.curve, b.To.curve), cmp.Compare(a.From.at, b.From.at))
	})
	return kept
}

// finder collects minima on their way from pairs of curves.
type finder struct {
	p     *Plate
	limit float64
	found []Minimum
}

// pair finds the minima between two curves and the corners at their starts.
func (f *finder) pair(i, j int32) {
	p := f.p
	a, b := &p.sites[i], &p.sites[j]
	if a.loop != b.loop && f.contact(i, j) {
		return
	}
	switch {
	case a.bend == 0 && b.bend == 0:
		f.lines(i, j)
	case a.bend == 0:
		f.lineArc(i, j)
	case b.bend == 0:
		f.lineArc(j, i)
	default:
		f.arcs(i, j)
	}
	if a.corner {
		f.cornerCurve(i, j)
	}
	if b.corner {
		f.cornerCurve(j, i)
	}
	if a.corner && b.corner {
		f.corners(i, j)
	}
}

// contact notes where curves of two loops touch or cross: no stone is between.
func (f *finder) contact(i, j int32) bool {
	c, d := f.p.curves[i], f.p.curves[j]
	a, b := &f.p.boxes[i], &f.p.boxes[j]
	if gap2(a, b) > geom.Tolerance*geom.Tolerance {
		return false
	}
	hits := geom.Intersect(c, d)
	for k, h := range hits {
		level := 0.0
		if k > 0 && h.Kind == geom.Overlapping && hits[k-1].Kind == geom.Overlapping {
			level = (h.T - hits[k-1].T) * f.p.sites[i].length
			h.T, h.U = (h.T+hits[k-1].T)/2, (h.U+hits[k-1].U)/2
			h.P = c.At(h.T)
		}
		f.found = append(f.found, Minimum{
			From: f.p.place(i, h.T*f.p.sites[i].length, h.P), To: f.p.place(j, h.U*f.p.sites[j].length, h.P), Level: level,
		})
	}
	return len(hits) > 0
}

func (p *Plate) place(i int32, at float64, q geom.Point) Place {
	s := &p.sites[i]
	return Place{Loop: s.loop, Tag: s.tag, curve: i, at: math.Max(0, math.Min(s.length, at)), P: q}
}

// add keeps a minimum under the limit, From on the earlier curve.
func (f *finder) add(from, to Place, level float64) {
	if from.curve > to.curve {
		from, to = to, from
	}
	if w := from.P.Distance(to.P); w > geom.Tolerance && w < f.limit {
		f.found = append(f.found, Minimum{From: from, To: to, Width: w, Level: level})
	}
}

// lines finds the level stretch between two parallel lines that look at each
// other. Lines that are not parallel have their minima at corners.
func (f *finder) lines(i, j int32) {
	a, b := &f.p.sites[i], &f.p.sites[j]
	c, d := f.p.curves[i], f.p.curves[j]
	if a.out.Dot(b.out) > 0 || math.Abs(a.out.Cross(b.out))*math.Min(a.length, b.length) > geom.Tolerance {
		return
	}
	s0 := math.Max(0, d.B.Sub(c.A).Dot(a.out))
	s1 := math.Min(a.length, d.A.Sub(c.A).Dot(a.out))
	if s1-s0 <= geom.Tolerance {
		return
	}
	at := (s0 + s1) / 2
	from := f.p.pointAt(i, at)
	u := from.Sub(d.A).Dot(b.out)
	to := f.p.pointAt(j, u)
	if to.Sub(from).Dot(a.out.Left()) <= 0 {
		return
	}
	f.add(f.p.place(i, at, from), f.p.place(j, u, to), s1-s0)
}

// turned returns the length along an arc at which its direction is dir, and
// whether it is anywhere.
func (s *site) turned(dir geom.Point) (float64, bool) {
	turn := math.Atan2(s.out.Cross(dir), s.out.Dot(dir))
	switch {
	case s.sweep > 0 && turn < -sameDirection:
		turn += 2 * math.Pi
	case s.sweep < 0 && turn > sameDirection:
		turn -= 2 * math.Pi
	}
	t := turn / s.sweep
	slack := sameDirection / math.Abs(s.sweep)
	return math.Max(0, math.Min(1, t)) * s.length, t >= -slack && t <= 1+slack
}

// lineArc finds the point of an arc hollow to the stone that faces a line: seen
// from a line, an arc that the stone fills is nowhere nearest.
func (f *finder) lineArc(i, j int32) {
	a, b := &f.p.sites[i], &f.p.sites[j]
	if b.bend > 0 {
		return
	}
	u, ok := b.turned(a.out.Mul(-1))
	if !ok {
		return
	}
	to := f.p.pointAt(j, u)
	v := to.Sub(f.p.curves[i].A)
	at := v.Dot(a.out)
	if at < 0 || at > a.length || v.Dot(a.out.Left()) <= 0 {
		return
	}
	f.add(f.p.place(i, at, f.p.pointAt(i, at)), f.p.place(j, u, to), 0)
}

// arcs finds where two arcs face each other: on the line of their centres, or
// all along when they have one centre.
func (f *finder) arcs(i, j int32) {
	a, b := &f.p.sites[i], &f.p.sites[j]
	axis := b.center.Sub(a.center)
	if axis.Norm() <= geom.Tolerance {
		f.concentric(i, j)
		return
	}
	axis = axis.Unit()
	for _, n := range [2]geom.Point{axis, axis.Mul(-1)} { // the direction into the stone at From
		at, ok := a.turned(n.Left().Mul(-1))
		if !ok {
			continue
		}
		u, ok := b.turned(n.Left())
		if !ok {
			continue
		}
		from, to := f.p.pointAt(i, at), f.p.pointAt(j, u)
		if w := to.Sub(from).Dot(n); w > 0 && isLeast(w, a.bend, b.bend) {
			f.add(f.p.place(i, at, from), f.p.place(j, u, to), 0)
		}
	}
}

// isLeast reports whether a line of width w that stands square on two curves of
// the given curvatures is no longer than its neighbours: the second derivatives
// of its length as either end slides, and both together, are not negative.
func isLeast(w, a, b float64) bool {
	const rounding = 1e-9
	p, q := 1-w*a, 1-w*b
	return p >= -rounding && q >= -rounding && p*q >= 1-rounding
}

// concentric finds the level stretch between two arcs about one centre, the
// inner one hollow to the stone and the outer one filled by it.
func (f *finder) concentric(i, j int32) {
	a, b := &f.p.sites[i], &f.p.sites[j]
	if a.bend*b.bend >= 0 || (a.bend > 0) != (a.radius > b.radius) {
		return
	}
	// Of the two ends of either arc those that lie on the other one bound the
	// stretch. Two arcs up to half a turn share one stretch, or two that meet
	// opposite: then the first is taken, the corners give the rest.
	var ends []float64
	for _, at := range [2]float64{0, a.length} {
		if _, ok := b.turned(f.p.inward(i, at).Left()); ok {
			ends = append(ends, at)
		}
	}
	for _, u := range [2]float64{0, b.length} {
		if at, ok := a.turned(f.p.inward(j, u).Left()); ok {
			ends = append(ends, at)
		}
	}
	if len(ends) < 2 {
		return
	}
	slices.Sort(ends)
	for k := len(ends) - 1; k > 0; k-- {
		at := (ends[0] + ends[k]) / 2
		if u, ok := b.turned(f.p.inward(i, at).Left()); ok && ends[k]-ends[0] > geom.Tolerance {
			f.add(f.p.place(i, at, f.p.pointAt(i, at)), f.p.place(j, u, f.p.pointAt(j, u)), ends[k]-ends[0])
			return
		}
	}
}

// opens reports whether a line that leaves the corner at the start of curve i
// along the unit vector v gets no shorter when it slides along either edge, and
// the largest curvature of the edges that it stands square on (-Inf for none).
func (p *Plate) opens(i int32, v geom.Point) (bend float64, ok bool) {
	s := &p.sites[i]
	along, back := s.out.Dot(v), s.in.Dot(v)
	if along > sameDirection || back < -sameDirection || s.out.Cross(v) <= 0 && s.in.Cross(v) <= 0 {
		return 0, false
	}
	bend = math.Inf(-1)
	if along > -sameDirection {
		bend = s.bend
	}
	if back < sameDirection {
		bend = math.Max(bend, p.sites[s.prev].bend)
	}
	return bend, true
}

// least is isLeast for ends that may be corners (-Inf).
func least(w, a, b float64) bool {
	switch {
	case math.IsInf(a, -1) && math.IsInf(b, -1):
		return true
	case math.IsInf(a, -1):
		return w*b <= 1
	case math.IsInf(b, -1):
		return least(w, b, a)
	}
	return isLeast(w, a, b)
}

// cornerCurve finds the minimum between the corner at the start of curve i and
// the inside of curve j.
func (f *finder) cornerCurve(i, j int32) {
	c, b := f.p.curves[i].A, &f.p.sites[j]
	if f.p.sites[i].prev == j {
		return
	}
	var u float64
	if b.bend == 0 {
		u = c.Sub(f.p.curves[j].A).Dot(b.out)
	} else {
		u = f.p.curves[j].Fraction(c) * b.length
	}
	if u <= 0 || u >= b.length {
		return
	}
	q := f.p.pointAt(j, u)
	v := q.Sub(c)
	w := v.Norm()
	if w >= f.limit || w <= geom.Tolerance || f.p.inward(j, u).Dot(v) >= 0 {
		return
	}
	if bend, ok := f.p.opens(i, v.Mul(1/w)); ok && least(w, bend, b.bend) {
		f.add(f.p.cornerAt(i), f.p.place(j, u, q), 0)
	}
}

// corners finds the minimum between the corners at the starts of two curves.
func (f *finder) corners(i, j int32) {
	c, d := f.p.curves[i].A, f.p.curves[j].A
	v := d.Sub(c)
	w := v.Norm()
	if w >= f.limit || w <= geom.Tolerance {
		return
	}
	v = v.Mul(1 / w)
	a, ok := f.p.opens(i, v)
	if !ok {
		return
	}
	if b, ok := f.p.opens(j, v.Mul(-1)); ok && least(w, a, b) {
		f.add(f.p.cornerAt(i), f.p.cornerAt(j), 0)
	}
}

func (p *Plate) cornerAt(i int32) Place {
	q := p.place(i, 0, p.curves[i].A)
	q.corner = true
	return q
}
