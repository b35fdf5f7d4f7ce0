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

// lipSlope is how many times as long along the seam as square to the supports a lip
// may be: a seam leaves the cabinets' fronts at 30 degrees at least, the mitre of a
// square corner at 45. A seam that runs at a smaller angle lies in a gap beside them.
const lipSlope = 2

// lipStep is how far apart in mm a lip is measured.
const lipStep = 1

// leastGap is the length in mm under which a stretch without support is a joint
// between two cabinets and not a gap, whether a seam crosses it or runs along it: no run of
// cabinets stands perfectly together, and stone over so little is carried from both sides.
const leastGap = 10

// gapStep is how finely in mm the width of a gap beside a seam is looked at.
const gapStep = 0.25

// Stretch is a part of a seam that nothing carries.
type Stretch struct {
	Line   geom.Witness // its ends
	Length float64      // along the seam, mm
	Over   bool         // it lies over an opening
	Piece  string       // whose edge it was measured along
}

// UnsupportedSeam returns the stretches of a seam of the template that nothing
// carries: no support within SeamReach on either side, and no joint between two of them (see inJoint). Stretches at its ends that are
// a lip (see isLip) and lie over no opening are the top's own overhang and do not
// count. Of mates that are drawn with a joint the one that is carried less counts,
// and both of mates drawn apart. known is false when nothing says what carries the
// seam: no support is drawn, or carried says that there is none under its pieces.
func (s *Site) UnsupportedSeam(t *piece.Template, seam *piece.Seam, carried func(piece string) bool) (stretches []Stretch, known bool) {
	if !t.HasSupport {
		return nil, false
	}
	for k := range 2 {
		chain := seam.Chains[k]
		if len(chain) == 0 || !carried(seam.Pieces[k]) && (seam.Apart || !carried(seam.Pieces[1-k])) {
			return nil, false
		}
		next := s.unsupported(t, seam.Pieces[k], chain)
		switch {
		case seam.Apart:
			stretches = append(stretches, next...)
		case k == 0:
			stretches = next
			if math.Max(seam.MaxGap, -seam.MinGap) <= geom.Tolerance {
				return stretches, true // one line
			}
		case lengthOf(next) > lengthOf(stretches)+geom.Tolerance:
			stretches = next
		}
	}
	return stretches, true
}

func lengthOf(stretches []Stretch) float64 {
	sum := 0.0
	for i := range stretches {
		sum += stretches[i].Length
	}
	return sum
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
	// Lips are measured to what carries, so that everything within their reach
	// belongs to the seam, whichever way it lies in the box around it.
	bs := s.within(geom.Loop(chain).Box().Grow(2*SeamReach + SeamLip))
	m := Model{bearers: bs}
	boundary := boundaries(bs)
	var out []stretch
	along, open := 0.0, false
	total := geom.Loop(chain).Length()
	for _, c := range chain {
		length := c.Length()
		cuts := seamCuts(c, boundary)
		for i := 0; i+1 < len(cuts); i++ {
			part := c.Part(cuts[i], cuts[i+1])
			carried := m.besideCarried(part) || m.inJoint(t, part)
			if carried {
				open = false
				continue
			}
			if !open {
				out = append(out, stretch{Stretch: Stretch{Line: geom.Witness{From: part.A}, Piece: id}, from: along + cuts[i]*length})
			}
			last := &out[len(out)-1]
			last.Line.To = part.B
			last.Length += part.Length()
			last.Over = last.Over || overOpening(t, part.Middle())
			last.parts = append(last.parts, part)
			open = true
		}
		along += length
	}
	var kept []Stretch
	for i := range out {
		s := &out[i]
		atStart, atEnd := s.from < geom.Tolerance, s.from+s.Length > total-geom.Tolerance
		// With nothing under either end there is nothing that it runs out from.
		if s.Length < leastGap || atStart != atEnd && !s.Over && m.isLip(s) {
			continue
		}
		kept = append(kept, s.Stretch)
	}
	return kept
}

// stretch is a Stretch with its curves and where it begins along the seam, in mm.
type stretch struct {
	Stretch
	from  float64
	parts []geom.Curve
}

// isLip reports whether a stretch at the end of a seam is the front strip over the
// cabinets that carry the rest: nowhere farther than SeamLip from what carries, and
// not much longer than that. A seam in a gap is as near to the cabinets on both sides
// all along.
func (m *Model) isLip(s *stretch) bool {
	if s.Length > lipSlope*SeamLip+geom.Tolerance {
		return false
	}
	carrying := m.carryingEdges()
	most := 0.0
	for _, c := range s.parts {
		n := math.Ceil(c.Length() / lipStep)
		for k := 0.0; k <= n; k++ {
			most = math.Max(most, distanceTo(carrying, c.At(k/n)))
		}
	}
	return most <= SeamLip+geom.Tolerance && s.Length <= lipSlope*most+geom.Tolerance
}

// carryingEdges returns the edges of all that carries, wherever stone lies.
func (m *Model) carryingEdges() []geom.Curve {
	curves := m.drawnSupports()
	cutEachOther(curves)
	var out []geom.Curve
	for i := range curves {
		c := &curves[i]
		slices.Sort(c.cuts)
		from := 0.0
		for _, t := range append(c.cuts, 1) {
			if t <= from {
				continue
			}
			part := c.part(from, t)
			from = t
			length := part.Length()
			if length < samePoint {
				continue
			}
			step := part.Tangent(0.5).Left().Mul(math.Min(sideStep, length/4))
			if mid := part.Middle(); m.isCarried(mid.Add(step)) != m.isCarried(mid.Sub(step)) {
				out = append(out, part)
			}
		}
	}
	return out
}

// drawnSupports lists the curves of supports and openings.
func (m *Model) drawnSupports() []drawn {
	var out []drawn
	loops := 0
	for i := range m.bearers {
		b := &m.bearers[i]
		for _, list := range [3][]shape{b.areas, b.holes, b.openings} {
			for _, s := range list {
				loops++
				for _, c := range s.loop {
					if c.A != c.B {
						out = append(out, drawn{Curve: c, loop: loops, box: c.Box()})
					}
				}
			}
		}
	}
	return out
}

// distanceTo returns how far in mm a point is from the nearest of the curves.
func distanceTo(curves []geom.Curve, p geom.Point) float64 {
	least := math.Inf(1)
	for _, c := range curves {
		least = math.Min(least, c.Distance(p))
	}
	return least
}

// boundaries lists the curves at which support may begin or end.
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
	for _, side := range [4]float64{-SeamReach, SeamReach, -leastGap, leastGap} {
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

// inJoint reports whether a stretch of seam runs along a joint between two supports,
// narrower than leastGap all the way, that is no opening.
func (m *Model) inJoint(t *piece.Template, c geom.Curve) bool {
	inset := math.Min(sideStep/c.Length(), 0.25) // off the ends, where what carries may end too
	for _, at := range [3]float64{inset, 0.5, 1 - inset} {
		p, n := c.At(at), c.Tangent(at).Left()
		if overOpening(t, p) || m.toCarried(p, n)+m.toCarried(p, n.Mul(-1)) >= leastGap-geom.Tolerance {
			return false
		}
	}
	return true
}

// toCarried returns how far it is from p along n to what carries, leastGap when that is
// farther.
func (m *Model) toCarried(p, n geom.Point) float64 {
	for d := 0.0; d < leastGap; d += gapStep {
		if !m.isCarried(p.Add(n.Mul(d))) {
			continue
		}
		free := math.Max(0, d-gapStep)
		for d-free > geom.Tolerance { // where it begins, so that the step decides nothing
			if mid := (free + d) / 2; m.isCarried(p.Add(n.Mul(mid))) {
				d = mid
			} else {
				free = mid
			}
		}
		return d
	}
	return leastGap
}

func overOpening(t *piece.Template, p geom.Point) bool {
	for _, o := range t.Openings {
		if o.Area.Locate(p) != geom.Outside {
			return true
		}
	}
	return false
}
