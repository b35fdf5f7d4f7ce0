package rules

import "fmt"

// tooHeavy finds pieces that the shop's crew cannot lift by hand. Measured is
// the mass, net area x thickness x density; the limit is the crew times the load
// of a person. Equal passes. Load: 23 kg under the best conditions, revised
// NIOSH lifting equation, DHHS (NIOSH) 94-110; crew of two: common practice, no
// source.
func tooHeavy() Rule {
	return Rule{
		ID:         "too-heavy",
		Severities: []Severity{Warn},
		What:       "Pieces too heavy for the crew to lift by hand.",
		Why:        "Stone slabs crush. Clamps, cart, lifting gear or more people have to be there before the truck is.",
		How: "Net area, cutouts out, times thickness times density, against the crew times the load of one person by the revised NIOSH lifting equation. " +
			"A screening figure: local rules on lifting decide. Pieces of a material the settings do not know are not checked.",
		Limits: []string{"shop.lift.crew", "shop.lift.load_constant"},
		Check: func(in *Input, out *Findings) {
			limit, one := in.Shop.Lift.CrewLoad(), in.Shop.Lift.PersonLoad()
			if one <= 0 {
				out.Unchecked("the lifting settings leave a person no load")
				return
			}
			for i := range in.Template.Pieces {
				p := &in.Template.Pieces[i]
				s := in.setup(p)
				if s.Mass <= 0 {
					out.Unchecked(fmt.Sprintf("the mass of piece %s is not known", p.ID))
					continue
				}
				if s.Mass <= limit*(1+massRounding) {
					continue
				}
				centre := s.Handling.Centre
				out.Flag(Flag{
					Piece: p.ID, At: centre, Measured: s.Mass, Limit: limit, Unit: "kg",
					Message: fmt.Sprintf("Piece %s weighs %s; a crew of %d lifts %s by hand.", p.ID, in.mass(s.Mass), in.Shop.Lift.Crew, in.mass(limit)),
					Remedy:  fmt.Sprintf("Lifting gear or a cart with clamps, or %d people.", s.Handling.Persons),
				})
			}
		},
	}
}

// massRounding is the relative rounding of a computed mass.
const massRounding = 1e-9
