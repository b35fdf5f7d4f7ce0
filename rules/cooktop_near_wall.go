package rules

import (
	"fmt"
	"math"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// cooktopNearWall measures from a cooktop's cutout to the walls: lines of the wall role
// and edges marked as against a wall. Heat needs room, and the appliance reaches past
// its cutout. Measured is the least distance in mm to a straight wall, the witness leads
// there; of walls on several sides each is told. Equal passes. What the maker of the
// appliance asks for governs, and local codes. Limit: 50 mm, common practice, no source.
func cooktopNearWall() Rule {
	return Rule{
		ID:         "cooktop-near-wall",
		Severities: []Severity{Warn},
		What:       "Cooktops near a wall.",
		Why:        "The appliance does not go in, or the wall behind it gets too hot; its maker's instructions and local codes say how near it may be.",
		How:        "The least distance from the cooktop's cutout to a line of a wall or an edge marked as against a wall; one flag a side.",
		Limits:     []string{"rules.cooktop_wall"},
		Check:      checkCooktops,
	}
}

func checkCooktops(in *Input, out *Findings) {
	walls := in.wallCurves()
	index := geom.NewIndex(walls)
	limit := in.Settings.CooktopWall
	for i := range in.Template.Pieces {
		p := &in.Template.Pieces[i]
		for k := range p.Cutouts {
			c := &p.Cutouts[k]
			if c.Kind != piece.Cooktop {
				continue
			}
			if in.ended() {
				return
			}
			for _, w := range nearestWalls(c.Loop, walls, index, limit) {
				out.Flag(Flag{
					Piece: p.ID, Other: c.ID, Witness: &w, Measured: w.Length(), Limit: limit, Unit: "mm",
					Message: fmt.Sprintf("The cooktop %s lies %s from the wall at %s; at least %s is usual.", c.ID, in.lengths().Under(w.Length(), limit), in.place(w.To), in.lengths().Up(limit)),
					Remedy: fmt.Sprintf("Move the cooktop %s away from the wall, or check that its maker's instructions allow %s.",
						in.lengths().Up(limit-w.Length()), in.lengths().Of(w.Length())),
				})
			}
		}
	}
}

// wallCurves returns the lines of walls, and the edges that stand against one.
func (in *Input) wallCurves() []geom.Curve {
	walls := append([]geom.Curve(nil), in.Template.Walls...)
	for i := range in.Template.Pieces {
		for _, e := range in.Template.Pieces[i].Edges {
			if e.Finish == piece.Wall {
				walls = append(walls, e.Curves...)
			}
		}
	}
	return walls
}

// otherSide is the cosine of the angle, 45 degrees, from which on two ways to a wall lead
// to two sides of the cooktop.
const otherSide = 0.7071067811865476

// nearestWalls returns the ways from a cutout to the walls nearer than a limit, the
// shortest to each side.
func nearestWalls(l geom.Loop, walls []geom.Curve, index *geom.Index, limit float64) []geom.Witness {
	var found []geom.Witness
	middle := l.Centroid()
	for _, c := range l {
		index.Search(c.Box().Grow(limit), func(i int) bool {
			w := wayAcross(c, walls[i])
			if w.Length() >= limit-geom.Tolerance {
				return true
			}
			for k, f := range found {
				if w.Length() < geom.Tolerance || f.Length() < geom.Tolerance || w.To.Sub(w.From).Unit().Dot(f.To.Sub(f.From).Unit()) > otherSide {
					if nearer(w, f, middle) {
						found[k] = w
					}
					return true
				}
			}
			found = append(found, w)
			return true
		})
	}
	return found
}

// nearer reports whether a way is shorter than another, or as short and nearer to the
// middle of the cutout.
func nearer(w, f geom.Witness, middle geom.Point) bool {
	if math.Abs(w.Length()-f.Length()) > geom.Tolerance {
		return w.Length() < f.Length()
	}
	return w.From.Distance(middle) < f.From.Distance(middle)-geom.Tolerance
}

// sameWay is the sine of the angle, 0.1 degree, up to which two lines are parallel: the
// way between them is then drawn across the middle of where they face each other.
const sameWay = 0.0017453

// wayAcross returns the shortest way from one curve to another, between parallel lines
// that in the middle of where they face each other.
func wayAcross(c, d geom.Curve) geom.Witness {
	shortest := geom.Nearest(c, d)
	if !c.IsLine() || !d.IsLine() || math.Abs(c.Tangent(0).Cross(d.Tangent(0))) > sameWay {
		return shortest
	}
	u := c.Tangent(0)
	from, to := d.A.Sub(c.A).Dot(u), d.B.Sub(c.A).Dot(u)
	from, to = math.Max(0, math.Min(from, to)), math.Min(c.Length(), math.Max(from, to))
	if to-from <= geom.Tolerance {
		return shortest
	}
	a := c.A.Add(u.Mul((from + to) / 2))
	b, _ := geom.NearestPoint(d, a)
	return geom.Witness{From: a, To: b}
}
