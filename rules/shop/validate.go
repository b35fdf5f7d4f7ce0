package shop

import (
	"fmt"
	"math"
)

// Fault is one thing wrong with the settings.
type Fault struct {
	Key   string // dotted, below the shop's table: "saw.blade_diameter", "feed.granite.saw"
	Found string // what stands there and what is allowed
}

// Validate returns what is wrong with settings that are each in their range but
// do not go together, or that a row of a list lacks. Thicknesses are those of
// the stone the shop cuts, beside those of its slabs; the saw has to reach
// through all of them.
func (s *Settings) Validate(thicknesses ...float64) []Fault {
	var out []Fault
	fault := func(key, format string, args ...any) {
		out = append(out, Fault{key, fmt.Sprintf(format, args...)})
	}
	if len(s.Materials) == 0 {
		fault("material", "no material; allowed: at least one")
	}
	for _, m := range s.Materials {
		if m.Density <= 0 {
			fault("material."+m.Name+".density", "%g kg/m3; allowed: above 0", m.Density)
		}
		if m.Flexural > 0 && m.SafetyFactor < 1 {
			fault("material."+m.Name+".safety_factor", "%g; allowed: 1 or more, where a flexural strength is given", m.SafetyFactor)
		}
	}
	s.checkFeeds(fault)
	for _, slab := range s.Slabs {
		key := "slab." + slab.Name
		if l, b := slab.usable(); l <= 0 || b <= 0 {
			fault(key+".margin", "%g mm all round leaves nothing of a slab of %g x %g mm", slab.Margin, slab.Length, slab.Width)
		}
		if slab.Material != "" {
			if _, ok := s.Material(slab.Material); !ok {
				fault(key+".material", "%q is not among the materials", slab.Material)
			}
		}
		thicknesses = append(thicknesses, slab.Thickness)
	}
	s.checkSaw(fault, thicknesses)
	if p := s.Polisher; p.Feed <= 0 || p.Feed > p.FastestFeed {
		fault("polisher.feed", "%g mm/min; allowed: above 0, up to polisher.fastest_feed, %g mm/min", p.Feed, p.FastestFeed)
	}
	if a := s.Access; (a.From > 0) != (a.To > 0) {
		fault("access.corridor_from", "only one corridor has a width; allowed: both, or 0 for both")
	}
	return out
}

func (s *Settings) checkFeeds(fault func(key, format string, args ...any)) {
	for _, f := range s.Feeds {
		key := "feed." + f.Name
		if f.Material != "" {
			if _, ok := s.Material(f.Material); !ok {
				fault(key+".material", "%q is not among the materials", f.Material)
			}
		}
		if f.From >= f.To {
			fault(key+".to", "%g mm; allowed: above from, %g mm", f.To, f.From)
		}
		if f.Saw <= 0 {
			fault(key+".saw", "%g mm/min; allowed: above 0", f.Saw)
		}
		if f.Router <= 0 {
			fault(key+".router", "%g mm/min; allowed: above 0", f.Router)
		}
		if f.Polish < 0 || f.Polish > s.Polisher.FastestFeed {
			fault(key+".polish", "%g mm/min; allowed: 0 to polisher.fastest_feed, %g mm/min", f.Polish, s.Polisher.FastestFeed)
		}
	}
}

func (s *Settings) checkSaw(fault func(key, format string, args ...any), thicknesses []float64) {
	thickest := 0.0
	for _, t := range thicknesses {
		thickest = math.Max(thickest, t)
	}
	need := thickest + s.Saw.Overcut
	switch {
	case s.Saw.Blade/2 < need:
		fault("saw.blade_diameter", "%g mm cuts at most %g mm deep; stone of %g mm with the overcut needs %g mm: allowed, with the flange of %g mm: %g mm or more",
			s.Saw.Blade, s.Saw.Blade/2, thickest, need, s.Saw.Flange, 2*need+s.Saw.Flange)
	case s.Saw.reach() < need:
		fault("saw.flange_diameter", "%g mm lets a blade of %g mm cut %g mm deep; stone of %g mm with the overcut needs %g mm: allowed: %g mm or less, or a larger blade",
			s.Saw.Flange, s.Saw.Blade, s.Saw.reach(), thickest, need, s.Saw.Blade-2*need)
	}
	if s.Saw.BevelFeedShare <= 0 {
		fault("saw.bevel_feed_share", "%g; allowed: above 0, up to 1", s.Saw.BevelFeedShare)
	}
}
