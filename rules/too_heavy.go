package rules

import "fmt"

// tooHeavy finds pieces that neither the shop's crew nor its gear can lift. Measured is
// the mass, net area x thickness x density; the limit is the crew times the load of a
// person or what the gear lifts, whichever is more. Equal passes. A shop that named
// neither is asked nothing: most tops are heavier than two may lift, and all of them say
// how heavy on their sheets. Load: 23 kg under the best conditions, revised NIOSH lifting
// equation, DHHS (NIOSH) 94-110; the greater of crew and gear: common practice, no source.
func tooHeavy() Rule {
	return Rule{
		ID:         "too-heavy",
		Severities: []Severity{Warn},
		What:       "Pieces too heavy for the shop's crew and gear.",
		Why:        "Stone slabs crush. Clamps, cart, lifting gear or more people have to be there before the truck is.",
		How: "Net area, cutouts out, times thickness times density, against what the gear lifts or the crew times the load of one person by the revised NIOSH lifting equation, whichever is more. " +
			"A screening figure: local rules on lifting decide. Where the settings name neither crew nor gear, and for pieces of a material the settings do not know, it is not checked.",
		Limits: []string{"shop.lift.crew", "shop.lift.gear", "shop.lift.load_constant"},
		Check: func(in *Input, out *Findings) {
			lift := &in.Shop.Lift
			if !lift.Known() {
				out.Unchecked("neither crew nor lifting gear in the settings")
				return
			}
			limit := lift.Most()
			if limit <= 0 {
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
				can, remedy := fmt.Sprintf("the gear lifts %s", in.mass(limit)), "Stronger gear, or a seam that makes two pieces of it."
				if lift.CrewLoad() >= lift.Gear {
					can, remedy = fmt.Sprintf("a crew of %d lifts %s by hand", lift.Crew, in.mass(limit)), fmt.Sprintf("Lifting gear or a cart with clamps, or %d people.", s.Handling.Persons)
				}
				out.Flag(Flag{
					Piece: p.ID, At: s.Handling.Centre, Measured: s.Mass, Limit: limit, Unit: "kg",
					Message: fmt.Sprintf("Piece %s weighs %s; %s.", p.ID, in.mass(s.Mass), can), Remedy: remedy,
				})
			}
		},
	}
}

// massRounding is the relative rounding of a computed mass.
const massRounding = 1e-9
