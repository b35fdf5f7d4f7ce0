package shop

// Figure explains one set-up figure.
type Figure struct {
	Name    string
	Unit    string // empty for a count or text
	Formula string
	Source  string
}

const practice = "common practice, no source"

// Figures explains every set-up figure, in the order in which a job sheet shows
// them. Values in lower case are settings or measures of the drawing.
func Figures() []Figure {
	return []Figure{
		{"mass", "kg", "net area (cutouts and holes out) x thickness x density", "definition; density from the material's row"},
		{"saw cuts", "mm", "straights of the outline and of the cutouts, less what the blade stops short at either end", "geometry of the drawing"},
		{"stops short", "mm", "c(t+e) - c(e) at an inside corner, with c(h) = sqrt(h (D - h)), D blade diameter, t thickness, e overcut: the top face may not be cut past the corner, the bottom face is uncut for that length", "chord of a circle"},
		{"left for the router", "mm", "arcs, what the saw stops short, straights between corners nearer than 2 c(t+e) + plunge allowance, and straights with less than the shortest cut to saw; with the saw's share it adds up to the perimeters of outline and cutouts, round holes left out", "geometry of the drawing"},
		{"saw minutes", "min", "each cut's length / saw feed + set-up a cut; a mitre or bevel at its share of the feed", practice},
		{"router minutes", "min", "length left for the router / router feed + set-up a run + round holes x minutes a hole", practice},
		{"polish pass", "mm", "finished straight edges that face the same way within 0.1 degrees (setting) and lie back from the outermost by no more than the deepest step", practice},
		{"step at", "mm", "from the leading end of the side to where the stretch before the step ends, along the side", "geometry of the drawing"},
		{"step offset", "mm", "of the stretch after the step against the leading stretch, square to it, positive outward", "geometry of the drawing"},
		{"polish minutes", "min", "finished length / feed; 0 for sides that go by hand", practice},
		{"feed length", "mm", "run-in + the side from leading to trailing end + run-out", practice},
		{"run minutes", "min", "saw + router + polisher, where the polisher takes feed length / feed + set-up a pass, and nothing for sides that go by hand", practice},
		{"fits the slab", "", "for some rotation a: w(a) <= usable length and w(a + 90) <= usable width, w being the extent of the piece, arcs counted exactly; on a veined slab with the long side along or across it", "exact on the convex hull"},
		{"least number of slabs", "", "the greater of: stone area / usable slab area, rounded up; number of pieces that cannot share a slab by area (Martello and Toth's bound L2): a bound, not a nesting", "Martello and Toth, Knapsack Problems (1990), ch. 8"},
		{"centre of gravity", "mm", "centroid of the outline with the cutouts taken out", "definition"},
		{"persons", "", "mass / load a person, rounded up; load = LC x HM x VM x DM x AM x FM x CM", "revised NIOSH lifting equation, DHHS (NIOSH) 94-110"},
		{"strongback advised", "", "a cutout at least the rail length long with rails thinner than the rail width on both long sides", practice},
		{"passes the corner", "mm", "min over v of (a sin v + b cos v - w) / (sin v cos v), a and b corridors, w thickness + clearance; (a^(2/3) + b^(2/3))^(3/2) for w = 0", "ladder around a corner, calculus textbooks"},
	}
}
