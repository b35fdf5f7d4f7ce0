package support

import "trueup/dxfio/geom"

// tie is the length in mm by which of two points on opposite sides of a top one
// may be less bad and still stand for the other. The search itself stays within
// the rest of Slack.
const tie = Slack / 2

// settleSide chooses between the place's worst point and its mirror image in the
// top, when that is as bad and in the same place: rounding would choose another
// one in every export of the drawing. Which of the two is chosen follows from the
// shape alone, however the drawing is turned.
func (s *search) settleSide(p *Place) {
	center := s.outline.loop.Centroid()
	for _, d := range s.ways {
		v := p.At.Sub(center)
		along, across := d.Dot(v), d.Cross(v)
		// The sign of the product does not depend on which way d points.
		if along*across >= 0 {
			continue
		}
		q := center.Add(d.Mul(along)).Sub(d.Left().Mul(across))
		if !p.holds(q) || !s.isFree(q) {
			continue
		}
		f := s.point(q)
		if f.Kind == p.Kind && (p.Score-f.Score)*p.Length() <= tie*p.Score {
			p.At, p.Chord = q, f.Chord
			return
		}
	}
}

// holds reports whether a point lies in the place's stone.
func (p *Place) holds(q geom.Point) bool {
	for _, c := range p.cells {
		if !c.apart(polygon{q}, touching) {
			return true
		}
	}
	return false
}
