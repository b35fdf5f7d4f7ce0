package rules

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// insideRadius finds inside corners of outlines and cutouts that are too tight.
// Measured is the radius, exact for arcs, 0 for a sharp corner; the place is the
// corner, or the middle of the arc. A radius less than the grace under a limit
// passes: a nominal 3/8 in is 9.525 mm for one shop and 9.5 for the next.
//
// A boundary that hardly bends is no corner. What counts is the stone that a
// round of the wanted radius R leaves where the boundary turns by the angle f
// with the radius r: (R - r)(1/cos(f/2) - 1). Up to shallow it passes; at
// R = 9.5 mm a sharp corner then turns by up to 11.7 degrees. An outline may bend
// by rules.inside_turn: both sides are sawn from end to end, and what a bit leaves
// between them at 45 degrees is 0.08 of its radius, 0.8 mm that a hand pad takes
// off. Nor does stone crack from a bend as from a notch: the stress at a sharp
// corner grows with 1/r to the power 0.46 at a right angle, 0.33 at 45 degrees and
// 0 where it does not turn (M. L. Williams, Stress singularities resulting from
// various boundary conditions in angular corners of plates in extension, 1952;
// figures from memory). A cutout is routed all round and its rails carry, so that
// its corners count from shallow on.
//
// Arcs of several radii that follow one another, and the chords of a rounding
// that was drawn with straight lines, are one corner. The corners of one cutout
// that have one radius are one flag, since one decision settles them: a cutout is
// cut as drawn or drawn anew. Those of an outline are flagged one by one.
func insideRadius() Rule {
	return Rule{
		ID:         "inside-radius",
		Severities: []Severity{Stop, Warn},
		What:       "Inside corners with too small a radius.",
		Why:        "Below the router bit's radius the corner cannot be cut as drawn; below the stone's a crack starts there.",
		How: "The radius of every inside corner of outline and cutouts, also in notches and seam edges; 0 for a sharp one. " +
			"Round holes are drilled and do not count, nor do bends of an outline by up to rules.inside_turn, corners nearer to each other than the radius taken together, " +
			"nor others so slight that a rounding would leave under 0.05 mm of stone. " +
			"One flag for the corners of a cutout that have one radius, within 0.05 mm; one each for those of an outline.",
		Limits: []string{"rules.router_bit_diameter", "rules.inside_radius", "rules.inside_radius_grace", "rules.inside_turn"},
		Check: func(in *Input, out *Findings) {
			for i := range in.Template.Pieces {
				p := &in.Template.Pieces[i]
				in.checkCorners(p, "", "outline", p.Outline, out)
				for _, c := range p.Cutouts {
					if c.Kind != piece.Hole && !c.OverEdge {
						in.checkCorners(p, c.ID, cutoutName(c.Kind)+" "+c.ID, c.Loop, out)
					}
				}
			}
		},
	}
}

// shallow is the thickness of stone in mm that a bend may lack and still be no
// corner: less than anybody sees or measures on a sawn edge.
const shallow = 0.05

func (in *Input) checkCorners(p *piece.Piece, id, name string, l geom.Loop, out *Findings) {
	s := in.Settings
	bit := s.RouterBit / 2
	var stops, warns []bend
	for _, c := range bends(l, math.Max(bit, s.InsideRadius)) {
		switch {
		case id == "" && c.turn <= s.InsideTurn*math.Pi/180+slightDifference:
		case c.tighter(bit, s.InsideGrace):
			stops = append(stops, c)
		case c.tighter(s.InsideRadius, s.InsideGrace):
			warns = append(warns, c)
		}
	}
	for _, same := range alike(stops, id != "") {
		out.Flag(in.cornerFlag(p, id, name, same, Stop, bit, "the router bit cuts none under %s"))
	}
	for _, same := range alike(warns, id != "") {
		out.Flag(in.cornerFlag(p, id, name, same, Warn, s.InsideRadius, "cracks start from radii under %s"))
	}
}

// sameRadius is the difference in mm up to which two corners of a cutout have one
// radius: they were drawn with it, and one decision settles them.
const sameRadius = 0.05

// alike sorts bends into groups of one radius, each left to right, bottom to top;
// without together every bend is a group of its own.
func alike(list []bend, together bool) [][]bend {
	slices.SortStableFunc(list, func(a, b bend) int { return cmp.Compare(a.radius, b.radius) })
	var groups [][]bend
	for _, c := range list {
		if n := len(groups) - 1; together && n >= 0 && c.radius-groups[n][0].radius <= sameRadius {
			groups[n] = append(groups[n], c)
		} else {
			groups = append(groups, []bend{c})
		}
	}
	for _, g := range groups {
		slices.SortStableFunc(g, func(a, b bend) int { return cmp.Or(cmp.Compare(a.at.X, b.at.X), cmp.Compare(a.at.Y, b.at.Y)) })
	}
	return groups
}

// mostPlaces bounds how many places a sentence lists.
const mostPlaces = 8

// cornerFlag is the flag of the corners of one outline or cutout that have one
// radius. why takes the limit.
func (in *Input) cornerFlag(p *piece.Piece, id, name string, same []bend, severity Severity, limit float64, why string) Flag {
	first, n := same[0], len(same)
	f := Flag{Severity: severity, Piece: p.ID, Other: id, At: first.at, Measured: first.radius, Limit: limit, Unit: "mm"}
	for _, c := range same {
		f.Measured = math.Min(f.Measured, c.radius)
	}
	tightest := bend{radius: f.Measured}
	l := in.lengths()
	wanted, because := l.RadiusUp(math.Max(limit, in.Settings.InsideRadius)), fmt.Sprintf(why, l.RadiusUp(limit))
	instead := l.Radius(f.Measured)
	if f.Measured == 0 {
		if instead = "a sharp corner"; n > 1 {
			instead = "sharp ones"
		}
	}
	if n == 1 {
		f.Message = fmt.Sprintf("The inside corner of the %s at %s %s; %s.", name, in.place(first.at), tightest.describe(l, "is", "has"), because)
		f.Remedy = fmt.Sprintf("A %s radius instead of %s.", wanted, instead)
		return f
	}
	var places []string
	var sum geom.Point
	for i, c := range same {
		sum = sum.Add(c.at)
		if i > 0 {
			f.Further = append(f.Further, c.at)
		}
		if i < mostPlaces {
			places = append(places, in.place(c.at))
		}
	}
	if more := n - mostPlaces; more > 0 {
		places = append(places, fmt.Sprintf("%d more", more))
	}
	middle := sum.Mul(1 / float64(n)) // stays where it is in the stone, however it is turned
	f.Anchor = &middle
	f.Message = fmt.Sprintf("%d inside corners of the %s %s, at %s; %s.", n, name, tightest.describe(l, "are", "have"), listOf(places), because)
	f.Remedy = fmt.Sprintf("A %s radius at all %d, instead of %s.", wanted, n, instead)
	return f
}

// bend is an inside corner with everything that belongs to it.
type bend struct {
	at     geom.Point
	radius float64
	turn   float64 // radians, all its arcs and corners together
	tight  float64 // turn of its tightest member
	end    float64 // length along the loop where it ends
}

// tighter reports whether the bend is too tight for a rounding of radius r.
func (b bend) tighter(r, grace float64) bool {
	left := (r - b.radius) * (1/math.Cos(math.Min(b.turn, math.Pi*0.9)/2) - 1)
	return b.radius < r-grace-geom.Tolerance && left > shallow
}

func (b bend) describe(l dxfio.Lengths, is, has string) string {
	if b.radius == 0 {
		return is + " sharp"
	}
	return has + " a radius of " + l.Radius(b.radius)
}

// sameBend is the length in mm of boundary between two arcs up to which they are
// one corner.
const sameBend = 0.5

// slightTurn is the turn up to which a sharp corner may be one of those that a
// right angle was cut off or rounded with, one side or more of them between.
const slightTurn = math.Pi/4 + 0.01

// slightDifference is what the angle of a corner in radians loses between its
// coordinates and here: 0.01 mm on a side of 100.
const slightDifference = 1e-4

// bends joins the inside corners of a loop that are tighter than r to bends, in
// the order of the loop.
func bends(l geom.Loop, r float64) []bend {
	start := make([]float64, len(l)+1) // length along the loop at which curves start
	for i, c := range l {
		start[i+1] = start[i] + c.Length()
	}
	var list []bend
	for _, k := range piece.InsideCorners(l) {
		if k.Radius >= r {
			continue
		}
		b, from := bendOf(l, k, start)
		if last := len(list) - 1; last >= 0 && list[last].meets(b, from-list[last].end, r) {
			list[last].join(b)
		} else {
			list = append(list, b)
		}
	}
	if n := len(list) - 1; n > 0 {
		first, from := list[0], 0.0
		for _, k := range piece.InsideCorners(l) {
			if k.Radius < r {
				_, from = bendOf(l, k, start)
				break
			}
		}
		if list[n].meets(first, from+start[len(l)]-list[n].end, r) {
			list[n].join(first)
			list = list[1:]
		}
	}
	return list
}

// bendOf returns one corner as a bend and the length along the loop at which it
// starts.
func bendOf(l geom.Loop, k piece.InsideCorner, start []float64) (bend, float64) {
	if k.Curves == 0 {
		turn := (k.Deg - 180) * math.Pi / 180
		return bend{k.At, 0, turn, turn, start[k.Curve]}, start[k.Curve]
	}
	turn, length := 0.0, 0.0
	for i := range k.Curves {
		c := l[(k.Curve+i)%len(l)]
		turn, length = turn+math.Abs(c.Sweep()), length+c.Length()
	}
	return bend{k.At, k.Radius, turn, turn, start[k.Curve] + length}, start[k.Curve]
}

// meets reports whether a bend that starts a length beyond the end of b belongs
// to the same corner.
func (b bend) meets(c bend, beyond, r float64) bool {
	if beyond <= sameBend {
		return true
	}
	return b.radius == 0 && c.radius == 0 && b.tight <= slightTurn && c.tight <= slightTurn && beyond < r
}

// join adds a bend that follows; the tightest member gives radius and place.
func (b *bend) join(c bend) {
	if c.radius < b.radius || c.radius == b.radius && c.tight > b.tight+geom.Tolerance {
		b.radius, b.at = c.radius, c.at
	}
	b.tight = math.Max(b.tight, c.tight)
	b.turn, b.end = b.turn+c.turn, c.end
}
