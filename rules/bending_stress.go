package rules

import (
	"fmt"

	"trueup/dxfio/geom"
	"trueup/rules/support"
)

// bendingStress estimates the bending stress in the strip of stone that carries
// the worst point of each piece. A span is taken as a beam simply supported at
// its ends with a point load at the middle, an overhang as a cantilever with the
// load at its end, both with their own weight. The strip is as wide as the stone
// across the chord, at most support.strip_width; the stress is the greatest along
// it, so a narrow place counts by the moment there. Stone narrower than
// support.strip_least, the tip of a point, is no beam and is left to sharp-point
// and narrow-section. What hangs over beyond a place and is both shorter and
// narrower than the area the load stands on carries its share of the load. The
// limit is the material's flexural strength over its safety factor.
//
// It is a screening figure, never a structural design: a top is a plate on
// supports that give, stone varies, and codes and licensed professionals decide.
// Beams: AISC Steel Construction Manual, Table 3-23; Roark's Formulas for Stress
// and Strain, table 8.1. Load: 200 lbf, ANSI/AWI 1236-2022 3.3.4. Strengths:
// ASTM minimums by stone group, see the materials.
func bendingStress() Rule {
	return Rule{
		ID:         "bending-stress",
		Severities: []Severity{Warn},
		What:       "Stone that a person's weight may bend too far, as a screening figure, not a structural design.",
		Why:        "Weak stone cracks on spans and overhangs that strong stone carries.",
		How: "The strip that carries the worst point of the top is taken as a beam: simply supported with the point load at the middle, or a cantilever with it at the end, and its own weight. " +
			"Width: the stone across it, at most strip_width; places narrower than strip_least are left to sharp-point and narrow-section. A span that rests on lines between supports, as on a table with legs, counts 4/3 times, as a plate on its corners bends more at its edges. What hangs over by less than load_side both ways carries its share of the load, by its length. The greatest stress along the strip, moment over section modulus, is compared with flexural strength over safety factor. " +
			"Materials without a strength are not checked. A screening figure, never a structural design.",
		Limits: []string{"rules.support.point_load", "rules.support.load_side", "rules.support.strip_width", "rules.support.strip_least", "shop.material"},
		Check: func(in *Input, out *Findings) {
			if in.Shop == nil {
				out.Unchecked("there are no settings of the shop's materials")
				return
			}
			in.eachCarried(out, func(c *carriedPiece) {
				m, ok := in.Shop.Material(c.Material)
				switch {
				case c.Material == "":
					out.Unchecked(fmt.Sprintf("piece %s has no material", c.ID))
					return
				case !ok:
					out.Unchecked(fmt.Sprintf("the material %q of piece %s is not among the shop's materials", c.Material, c.ID))
					return
				case m.Flexural <= 0 || m.SafetyFactor <= 0:
					out.Unchecked(fmt.Sprintf("the settings have no flexural strength or safety factor for %s, the material of piece %s", m.Name, c.ID))
					return
				}
				worst := c.worst()
				if !worst.sure {
					out.Unchecked("piece " + c.ID + ": " + intricate)
				}
				if !worst.looked {
					return
				}
				if worst.Kind == support.Unhelped {
					out.Unchecked(fmt.Sprintf("part of piece %s has no support from any side, so no strip carries it", c.ID))
					return
				}
				at, s := worst.at, newStrip(in, c, worst.Chord, m.Density)
				if s.width == 0 {
					out.Unchecked(fmt.Sprintf("the stone of piece %s that hangs over at %s is nowhere %s wide, so no strip carries it", c.ID, in.place(at), in.lengths().Of(in.Settings.Support.Least)))
					return
				}
				if s.peak*twoWay <= m.Flexural/m.SafetyFactor { // a line that is as bad may be taken for it
					return
				}
				at, chord := c.model.Settle(c.limits, at)
				s = newStrip(in, c, chord, m.Density)
				if f, ok := in.stressFlag(c, s, m.Flexural/m.SafetyFactor); ok {
					f.At = at
					out.Flag(f)
				}
			})
		},
	}
}

// strip is the beam that carries a piece's worst point, as wide as the stone
// where it is stressed most; 0 when the stone is too narrow everywhere.
type strip struct {
	beam
	chord support.Chord
	load  float64
	peak  float64 // its greatest stress, MPa
	lines bool    // it rests on lines between supports and counts twoWay times
}

// counts is how many times the stress of the strip as a beam counts.
func (s strip) counts() float64 {
	if s.lines {
		return twoWay
	}
	return 1
}

// twoWay is how many times the stress of a strip counts that rests on lines between
// supports. What is carried both ways bends more at the free edges between the supports
// than a strip of the whole: a square plate on its corners by 0.1527 q a^2 under its
// own weight (Poisson's ratio 0.25), 1.22 times the 0.125 of the beam (Timoshenko and
// Woinowsky-Krieger, Theory of Plates and Shells, 2nd ed., ch. 6, plates supported at
// the corners; from memory, and found again by finite elements), and under the point
// load of the screen at the middle of a free edge 1.08 to 1.32 times (finite elements,
// tops of 450 to 900 mm).
const twoWay = 4.0 / 3

func newStrip(in *Input, c *carriedPiece, chord support.Chord, density float64) strip {
	s := &in.Settings.Support
	worst := strip{chord: chord, load: s.PointLoad, lines: chord.Kind == support.Span && (chord.Rests[0] != nil || chord.Rests[1] != nil)}
	length := chord.Length()
	for _, at := range c.model.Stations(chord.Line, s.Strip) {
		if at.Width < s.Least-geom.Tolerance {
			continue
		}
		b := beam{at.Width, c.Thickness, density}
		load := s.PointLoad
		var moment float64
		if chord.Kind == support.Span {
			moment = b.spanMoment(length, load, at.At)
		} else {
			load *= shareOfLoad(length-at.At, at.Width, s.LoadSide)
			moment = b.cantileverMoment(length, load, at.At)
		}
		if stress := worst.counts() * moment / b.modulus(); stress > worst.peak || worst.width == 0 {
			worst.beam, worst.load, worst.peak = b, load, stress
		}
	}
	return worst
}

// shareOfLoad returns how much of the load can stand on what hangs over beyond a
// place: all of it, unless that is both shorter and narrower than the area the
// load stands on. A corner of a top that hangs over by a few millimetres carries
// the few millimetres of a person's elbow, not the person. The share goes by the
// length alone: what does not stand on the stone behind the place stands on the
// stone before it, but what would stand beside a narrow strip is leant on the
// strip all the same. By the area a tongue half as wide would carry half the
// load at the same stress, however narrow.
func shareOfLoad(length, width, side float64) float64 {
	if length >= side || width >= side {
		return 1
	}
	return length / side
}

// longest returns the length in mm at which the stress reaches the allowed one.
func (s strip) longest(allowed float64) float64 {
	allowed /= s.counts()
	if s.chord.Kind == support.Span {
		return longest(s.weight()/8, s.load/4, allowed*s.modulus())
	}
	return longest(s.weight()/2, s.load, allowed*s.modulus())
}

func (in *Input) stressFlag(c *carriedPiece, s strip, allowed float64) (Flag, bool) {
	stress := s.peak
	if stress <= allowed*(1+stressRounding) {
		return Flag{}, false
	}
	what := "span"
	if s.chord.Kind == support.Cantilever {
		what = "overhang"
	}
	remedy := "A support under this place"
	if longest := s.longest(allowed); longest >= 1 {
		remedy = fmt.Sprintf("At most %s of %s here", in.lengths().Down(longest), what)
	}
	w := s.chord.Line
	return Flag{
		Piece: c.ID, Witness: &w, Measured: stress, Limit: allowed, Unit: "MPa",
		Message: fmt.Sprintf("A person (%s) on the %s of %s of piece %s stresses the stone to %s (a strip %s wide, %s mm thick); %s is allowed. A screening figure, not a structural design.",
			in.force(s.load), what, in.lengths().Of(s.chord.Length()), c.ID, in.stress(stress), in.lengths().Of(s.width), number(c.Thickness), in.stress(allowed)),
		Remedy: remedy + ", or stronger or thicker stone: a screening figure, not a structural design; ask a licensed professional.",
	}, true
}

// stressRounding is the relative rounding of a computed stress.
const stressRounding = 1e-9
