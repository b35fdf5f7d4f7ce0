package support

import (
	"math"
	"slices"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// SeamReach is how far beside a seam in mm what carries may end: a seam along
// the side of a cabinet stands on it, half a joint away.
const SeamReach = 3

// SeamLip is how far in mm the end of a seam may run out past the supports: the
// front strip of a top over its cabinets, measured square to them, so that a
// mitre has the same strip as a straight seam. ANSI/AWI 1236-2022 3.3.2 has 31.8 mm
// (1-1/4 in) at most; 50 mm (2 in) is common practice, no source.
const SeamLip = 50

// leastGap is the length in mm under which a stretch without support is a joint
// between two cabinets and not a gap.
const leastGap = 10

// Stretch is a part of a seam that nothing carries.
type Stretch struct {
	Line   geom.Witness // its ends
	Length float64      // along the seam, mm
	Over   bool         // it lies over an opening
	Piece  string       // whose edge it was measured along
}

// UnsupportedSeam returns the stretches of a seam of the template that nothing
// carries: no support within SeamReach on either side. Stretches at its ends up
// to SeamLip that lie over no opening are the top's own overhang and do not
// count. Both mates are looked at when they are drawn apart. known is false when
// nothing says what carries the seam: no support is drawn, or carried says that
// there is none under its pieces.
func (s *Site) UnsupportedSeam(t *piece.Template, seam *piece.Seam, carried func(piece string) bool) (stretches []Stretch, known bool) {
	if !t.HasSupport {
		return nil, false
	}
	sides := 1 // mates that meet share their supports
	if seam.Apart {
		sides = 2
	}
	for k := range sides {
		chain := seam.Chains[k]
		if len(chain) == 0 || !carried(seam.Pieces[k]) && (seam.Apart || !carried(seam.Pieces[1-k])) {
			return nil, false
		}
		stretches = append(stretches, s.unsupported(t, seam.Pieces[k], chain)...)
	}
	return stretches, true
}

// SeamSupported reports whether a seam is carried over its whole length, by the
// measure of UnsupportedSeam; lines bear over the width bearing in mm.
func SeamSupported(t *piece.Template, seam *piece.Seam, bearing float64) (supported, known bool) {
	site := NewSite(t, bearing)
	stretches, known := site.UnsupportedSeam(t, seam, func(id string) bool {
		for i := range t.Pieces {
			if t.Pieces[i].ID == id {
				return site.Piece(&t.Pieces[i]).Carried()
			}
		}
		return false
	})
	return known && len(stretches) == 0, known
}

// unsupported finds the stretches along a chain, exact at the edges of supports
// and openings.
func (s *Site) unsupported(t *piece.Template, id string, chain []geom.Curve) []Stretch {
	bs := s.within(geom.Loop(chain).Box().Grow(2 * SeamReach))
	m := Model{bearers: bs}
	boundary := boundaries(bs)
	var out []Stretch
	along, open := 0.0, false
	total := geom.Loop(chain).Length()
	starts := []float64{}
	for _, c := range chain {
		length := c.Length()
		cuts := seamCuts(c, boundary)
		for i := 0; i+1 < len(cuts); i++ {
			part := c.Part(cuts[i], cuts[i+1])
			carried := m.besideCarried(part)
			if carried {
				open = false
				continue
			}
			over := overOpening(t, part.Middle())
			if !open {
				out = append(out, Stretch{Line: geom.Witness{From: part.A}, Piece: id})
				starts = append(starts, along+cuts[i]*length)
			}
			last := &out[len(out)-1]
			last.Line.To = part.B
			last.Length += part.Length()
			last.Over = last.Over || over
			open = true
		}
		along += length
	}
	kept := out[:0]
	for i, s := range out {
		atEnd := starts[i] < geom.Tolerance || starts[i]+s.Length > total-geom.Tolerance
		end := s.Line.To
		if starts[i] < geom.Tolerance {
			end = s.Line.From
		}
		if s.Length < leastGap || atEnd && !s.Over && lip(end, boundary) <= SeamLip+geom.Tolerance {
			continue
		}
		kept = append(kept, s)
	}
	return kept
}

// lip returns how far in mm the end of a seam stands off what carries: of a
// straight seam the length that runs out, of a mitre the overhang of the fronts
// that it runs between.
func lip(end geom.Point, boundary []geom.Curve) float64 {
	least := math.Inf(1)
	for _, b := range boundary {
		p, _ := geom.NearestPoint(b, end)
		least = math.Min(least, p.Distance(end))
	}
	return least
}

// boundaries lists the curves at which support may begin or end, moved to
// either side of themselves by SeamReach where the reach beside a seam ends.
func boundaries(bs []bearer) []geom.Curve {
	var out []geom.Curve
	for i := range bs {
		for _, list := range [3][]shape{bs[i].areas, bs[i].holes, bs[i].openings} {
			for _, s := range list {
				out = append(out, s.loop...)
			}
		}
	}
	return out
}

// seamCuts returns the fractions of a seam's curve at which support may begin or
// end, 0 and 1 among them: where the seam or a line beside it crosses an edge.
func seamCuts(c geom.Curve, boundary []geom.Curve) []float64 {
	cuts := []float64{0, 1}
	lines := []geom.Curve{c}
	for _, side := range [2]float64{-SeamReach, SeamReach} {
		if o, ok := c.Offset(side); ok {
			lines = append(lines, o)
		}
	}
	for _, l := range lines {
		for _, b := range boundary {
			for _, x := range geom.Intersect(l, b) {
				cuts = append(cuts, x.T)
			}
		}
	}
	slices.Sort(cuts)
	return slices.CompactFunc(cuts, func(a, b float64) bool { return math.Abs(a-b)*c.Length() < geom.Tolerance })
}

// besideCarried reports whether support lies under the middle of a stretch of
// seam or within SeamReach beside it.
func (m *Model) besideCarried(c geom.Curve) bool {
	p := c.Middle()
	n := c.Tangent(0.5).Left()
	return m.isCarried(p) || m.isCarried(p.Add(n.Mul(SeamReach))) || m.isCarried(p.Sub(n.Mul(SeamReach)))
}

func overOpening(t *piece.Template, p geom.Point) bool {
	for _, o := range t.Openings {
		if o.Area.Locate(p) != geom.Outside {
			return true
		}
	}
	return false
}
