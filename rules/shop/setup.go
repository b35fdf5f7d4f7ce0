package shop

import (
	"fmt"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// SetUp returns the set-up figures of a piece of the template. Figures that the
// settings cannot give (an unknown material, no feed for the thickness, a blade
// that does not reach through the stone) stay 0 and are named in Notes.
func SetUp(p *piece.Piece, t *piece.Template, s *Settings) Setup {
	out := Setup{Piece: p.ID, Thickness: p.Thickness, Material: s.materialName(p.Material), Rectangle: geom.SmallestRectangle(p.Outline)}
	if m, ok := s.Material(out.Material); ok {
		out.Mass = Mass(p.NetArea(), p.Thickness, m.Density)
	} else {
		out.note("the mass is not known: the settings have no material %q", out.Material)
	}
	feed, known := s.feed(out.Material, p.Thickness)
	if !known {
		out.note("minutes are not known: the settings have no feed for %s of %.1f mm", out.Material, p.Thickness)
	}
	out.saw(p, t.Units.Lengths, s)
	out.polish(p, t.Units.Lengths, s)
	if known {
		out.times(s, feed)
	}
	out.Slab = fitSlab(p, out.Rectangle, out.Material, s)
	out.Handling = handling(p, out.Rectangle, out.Mass, s)
	return out
}

// Mass returns the mass in kg of stone of a net area in mm2, a thickness in mm
// and a density in kg/m3.
func Mass(area, thickness, density float64) float64 { return area * thickness * density * 1e-9 }

func (s *Setup) note(format string, args ...any) {
	s.Notes = append(s.Notes, fmt.Sprintf(format, args...))
}

// saw divides the outline and the cutouts between saw and router.
func (s *Setup) saw(p *piece.Piece, lengths dxfio.Lengths, set *Settings) {
	b := set.Saw.blade(p.Thickness)
	b.lengths = lengths
	if set.Saw.reach() < p.Thickness+set.Saw.Overcut {
		s.note("the blade reaches %s deep and does not cut through %.1f mm of stone: everything is left to the router", lengths.Rough(set.Saw.reach()), p.Thickness)
		b.through = false
	}
	loops := []sawnLoop{divide(p.Outline, "", b)}
	for i := range p.Cutouts {
		c := &p.Cutouts[i]
		switch {
		case isHole(c):
			s.Holes++
		case !c.OverEdge:
			loops = append(loops, divide(c.Loop, c.ID, b))
		}
	}
	for _, l := range loops {
		s.Cuts = append(s.Cuts, l.cuts...)
		s.Router = append(s.Router, l.runs...)
	}
	s.bevels(p, set, b)
	for i := range s.Cuts {
		s.SawLength += s.Cuts[i].Length
	}
	for i := range s.Router {
		s.RouterLeft += s.Router[i].Length
		for _, part := range s.Router[i].Parts {
			length := part.Curve.Length()
			switch {
			case part.Corner:
				s.RouterCorners += length
			case !part.Curve.IsLine():
				s.RouterArcs += length
			default:
				s.RouterStraights += length
			}
		}
	}
}

// times fills in the minutes of every cut, pass and machine.
func (s *Setup) times(set *Settings, feed Feed) {
	for i := range s.Cuts {
		c := &s.Cuts[i]
		f := feed.Saw
		if c.Bevel {
			f *= set.Saw.BevelFeedShare
		}
		c.Minutes = c.Length/f + set.Saw.Setup
		s.SawMinutes += c.Minutes
	}
	s.RouterMinutes = s.RouterLeft/feed.Router + float64(len(s.Router))*set.Router.Setup + float64(s.Holes)*set.Router.Hole
	for i := range s.Polish {
		p := &s.Polish[i]
		if p.HandWork == "" { // work by hand takes the line no time
			p.Minutes = p.Length / feed.Polish
			p.FeedMinutes = p.FeedLength/feed.Polish + set.Polisher.Setup
			s.PolishMinutes += p.FeedMinutes
		}
	}
	s.RunMinutes = s.SawMinutes + s.RouterMinutes + s.PolishMinutes
}
