package shop

import (
	"math"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// Handling is what the people who carry a piece need to know. Slabs crush: it
// plans clamps, carts and lifting gear and replaces no local rule on lifting.
type Handling struct {
	Centre      geom.Point // centre of gravity, cutouts taken out
	CarryLength float64    // long side of the smallest rectangle, mm
	CarryWidth  float64    // its short side
	PersonLoad  float64    // kg a person, by the lifting equation
	Persons     int        // who lift the mass by hand; 0: mass or load not known
	Rails       []Rails    // cutouts that leave thin rails: a strongback is advised
	// Passes is the longest piece of this thickness that gets around the corner of
	// the corridors, 0 when the settings give none.
	Passes float64
}

// Rails are the strips of stone a long cutout leaves on its two long sides.
type Rails struct {
	Cutout string
	Length float64         // of the cutout's long side, mm
	Thin   [2]geom.Witness // across the thinnest place of either rail
}

// handling works out how a piece is carried.
func handling(p *piece.Piece, box geom.Rectangle, mass float64, s *Settings) Handling {
	h := Handling{
		Centre: p.Region().Centroid(), CarryLength: box.Length, CarryWidth: box.Width,
		PersonLoad: s.Lift.PersonLoad(), Rails: rails(p, &s.Lift),
	}
	if mass > 0 && h.PersonLoad > 0 {
		h.Persons = int(math.Ceil(mass/h.PersonLoad - loadRounding))
	}
	if s.Access.Known() {
		h.Passes = s.Access.Longest(p.Thickness)
	}
	return h
}

// loadRounding keeps a mass of exactly so many persons' loads from counting as
// one more.
const loadRounding = 1e-9

// rails finds the long cutouts with a thin rail on either long side.
func rails(p *piece.Piece, l *Lift) []Rails {
	var out []Rails
	var index *geom.Index
	for i := range p.Cutouts {
		c := &p.Cutouts[i]
		if isHole(c) || c.OverEdge {
			continue
		}
		box := smallestBox(c.Loop)
		if box.Length < l.RailLength {
			continue
		}
		if index == nil {
			index = geom.NewIndex(p.Outline)
		}
		r := Rails{Cutout: c.ID, Length: box.Length}
		across := geom.Point{X: 0, Y: 1}.Rotate(box.AngleDeg * math.Pi / 180)
		one, front := thinnest(p, index, c, across, l.RailWidth)
		two, back := thinnest(p, index, c, across.Mul(-1), l.RailWidth)
		if front && back {
			r.Thin = [2]geom.Witness{one, two}
			out = append(out, r)
		}
	}
	return out
}

// squareTo is the cosine of the angle, 30 degrees, up to which the shortest way
// from a cutout to the edge lies across the rail rather than along it.
const squareTo = 0.8660254037844386 // sqrt(3)/2

// thinnest returns the shortest way across the stone from a cutout towards a
// side, to the outline, when it is under the limit.
func thinnest(p *piece.Piece, index *geom.Index, c *piece.Cutout, side geom.Point, limit float64) (geom.Witness, bool) {
	best, found := geom.Witness{}, false
	for _, k := range c.Loop {
		index.Search(k.Box().Grow(limit), func(i int) bool {
			w := geom.Nearest(k, p.Outline[i])
			d := w.To.Sub(w.From)
			if n := d.Norm(); n < limit && n > geom.Tolerance && d.Dot(side) >= squareTo*n && (!found || w.Shorter(best)) {
				best, found = w, true
			}
			return true
		})
	}
	return best, found
}
