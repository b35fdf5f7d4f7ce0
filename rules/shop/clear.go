package shop

import (
	"cmp"
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// graze is how far in mm the kerf may touch the stone before the stone counts
// as being in the way: what a measuring device strays, so that a wall line drawn
// with a hair's kink is still one that the blade runs past.
const graze = 0.1

// interval is a stretch along a line, in mm from its start.
type interval struct{ from, to float64 }

// track is the strip beside a straight that the kerf takes, on the waste side.
type track struct {
	at, along, out geom.Point // start of the straight, unit directions along it and into the waste
	length         float64
	from, to       float64 // how far out the strip lies: graze .. kerf
	room           float64 // how far the strip is looked at beyond either end
}

func newTrack(s *straight, b blade) track {
	u := s.base.Tangent(0)
	return track{s.from(), u, u.Left().Mul(-1), s.from().Distance(s.to()), graze, math.Max(b.kerf, 2*graze), b.plunge}
}

func (t track) x(p geom.Point) float64 { return p.Sub(t.at).Dot(t.along) }
func (t track) y(p geom.Point) float64 { return p.Sub(t.at).Dot(t.out) }

// stands reports whether a curve reaches into the strip's side of the straight
// by more than a graze: a step of less in a wall line is no corner.
func (t track) stands(c geom.Curve) bool {
	return math.Max(t.y(c.Middle()), math.Max(t.y(c.A), t.y(c.B))) > t.from
}

func (t track) box() geom.Box {
	b := geom.EmptyBox()
	for _, x := range [2]float64{-t.room, t.length + t.room} {
		for _, y := range [2]float64{t.from, t.to} {
			b = b.Extend(t.at.Add(t.along.Mul(x)).Add(t.out.Mul(y)))
		}
	}
	return b
}

// free returns the stretches of the strip, beside the straight and up to room
// beyond its ends, into which no curve of the loop reaches, in ascending order.
// Those that overlap the straight lie in waste: the strip begins beside the
// straight, and between there and stone stands a curve of the loop. An end at
// -room or length+room means that nothing is in the way there.
func (t track) free(loop geom.Loop, index *geom.Index) []interval {
	var taken []interval
	index.Search(t.box(), func(i int) bool {
		taken = append(taken, t.taken(loop[i])...)
		return true
	})
	slices.SortFunc(taken, func(a, b interval) int { return cmp.Compare(a.from, b.from) })
	var out []interval
	at, end := -t.room, t.length+t.room
	for _, k := range taken {
		if k.from > at {
			out = append(out, interval{at, math.Min(k.from, end)})
		}
		at = math.Max(at, k.to)
		if at >= end {
			return out
		}
	}
	return append(out, interval{at, end})
}

// taken returns the stretches along the strip that the curve takes. The curve
// is split where it crosses the strip's long sides and, an arc, where it turns
// back along the strip; each part then runs one way.
func (t track) taken(c geom.Curve) []interval {
	cuts := []float64{0, 1}
	cuts = append(cuts, t.crossings(c, t.from)...)
	cuts = append(cuts, t.crossings(c, t.to)...)
	if !c.IsLine() {
		cuts = append(cuts, fractions(c, t.along.Mul(c.Radius())), fractions(c, t.along.Mul(-c.Radius())))
	}
	slices.Sort(cuts)
	var out []interval
	for i := 1; i < len(cuts); i++ {
		a, b := cuts[i-1], cuts[i]
		if a < 0 || b > 1 || a == b {
			continue
		}
		if y := t.y(c.At((a + b) / 2)); y > t.from && y < t.to {
			p, q := t.x(c.At(a)), t.x(c.At(b))
			out = append(out, interval{math.Min(p, q), math.Max(p, q)})
		}
	}
	return out
}

// crossings returns the fractions of the curve at which it lies y out.
func (t track) crossings(c geom.Curve, y float64) []float64 {
	if c.IsLine() {
		a, b := t.y(c.A), t.y(c.B)
		if (a < y) == (b < y) {
			return nil
		}
		return []float64{(y - a) / (b - a)}
	}
	h := y - t.y(c.Center())
	r := c.Radius()
	if math.Abs(h) >= r {
		return nil
	}
	w := math.Sqrt((r - h) * (r + h))
	up := t.out.Mul(h)
	return []float64{fractions(c, up.Add(t.along.Mul(w))), fractions(c, up.Sub(t.along.Mul(w)))}
}

// fractions returns the fraction of the arc at the given radius vector from its
// centre, outside 0 to 1 when the arc does not go there.
func fractions(c geom.Curve, radius geom.Point) float64 {
	return c.Fraction(c.Center().Add(radius))
}
