package shop

import "math"

// Lift is how people lift, and what they can. The lengths are those of the
// revised NIOSH lifting equation (DHHS (NIOSH) 94-110); with the defaults all its
// multipliers are 1 and a person lifts the load constant.
type Lift struct {
	Load       float64 `toml:"load_constant" unit:"kg" min:"1" max:"50" doc:"load a person lifts under the best conditions" source:"23 kg, DHHS (NIOSH) 94-110, rev. 2021"`
	Horizontal float64 `toml:"horizontal" unit:"mm" min:"1" max:"630" doc:"hands in front of the ankles" source:"250 mm: multiplier 1, DHHS (NIOSH) 94-110"`
	Vertical   float64 `toml:"vertical" unit:"mm" min:"0" max:"1750" doc:"hands above the floor at the start" source:"750 mm: multiplier 1, DHHS (NIOSH) 94-110"`
	Travel     float64 `toml:"travel" unit:"mm" min:"0" max:"1750" doc:"how far up or down it is lifted" source:"250 mm: multiplier 1, DHHS (NIOSH) 94-110"`
	TurnDeg    float64 `toml:"turn" unit:"deg" min:"0" max:"135" doc:"turn of the body during the lift" source:"0: multiplier 1, DHHS (NIOSH) 94-110"`
	Frequency  float64 `toml:"frequency_multiplier" unit:"share" min:"0.01" max:"1" doc:"for lifts that repeat" source:"DHHS (NIOSH) 94-110, table of frequency multipliers"`
	Coupling   float64 `toml:"coupling_multiplier" unit:"share" min:"0.5" max:"1" doc:"for a poor grip" source:"DHHS (NIOSH) 94-110, table of coupling multipliers"`
	Crew       int     `toml:"crew" unit:"" min:"0" max:"20" doc:"people who lift by hand in this shop; a piece heavier than they and the gear lift is flagged; 0: not said" source:"the shop's own"`
	Gear       float64 `toml:"gear" unit:"kg" min:"0" max:"50000" doc:"what the shop's lifting gear lifts (clamp, crane, cart); 0: not said" source:"the gear's plate"`
	RailWidth  float64 `toml:"rail_width" unit:"mm" min:"0" max:"1000" doc:"rails narrower than this on both sides of a cutout want a strongback" source:"common practice, no source"`
	RailLength float64 `toml:"rail_length" unit:"mm" min:"0" max:"10000" doc:"of cutouts at least this long" source:"common practice, no source"`
}

// Limits of the lifting equation, mm: closer and shorter count as these.
const (
	nearestHands   = 250
	shortestTravel = 250
)

// PersonLoad returns the recommended weight limit of the revised NIOSH lifting
// equation in kg:
//
//	RWL = LC x HM x VM x DM x AM x FM x CM
//	HM = 250/H   VM = 1 - 0.0003 |V - 750|   DM = 0.82 + 45/D   AM = 1 - 0.0032 A
//
// with H, V, D in mm, A in degrees. HM and DM are at most 1.
func (l Lift) PersonLoad() float64 {
	hm := nearestHands / math.Max(l.Horizontal, nearestHands)
	vm := 1 - 0.0003*math.Abs(l.Vertical-750)
	dm := 0.82 + 45/math.Max(l.Travel, shortestTravel)
	am := 1 - 0.0032*l.TurnDeg
	return l.Load * hm * vm * dm * am * l.Frequency * l.Coupling
}

// CrewLoad returns what the shop's crew lifts by hand, kg; 0 where the shop did not say
// how many they are.
func (l Lift) CrewLoad() float64 { return float64(l.Crew) * l.PersonLoad() }

// Known reports whether the shop said what it can lift with.
func (l Lift) Known() bool { return l.Crew > 0 || l.Gear > 0 }

// Most returns what the shop lifts with its crew or its gear, whichever is more, kg.
func (l Lift) Most() float64 { return math.Max(l.CrewLoad(), l.Gear) }
