// Package clearance measures how wide stone is between its edges.
//
// In go the boundary loops of one plate, stone on the left of every curve (the
// outline counter-clockwise, cutouts clockwise); out come the places where the
// stone is narrowest (Minima) and the strips under a limit around them (Strips).
//
// The measure: a straight line through stone that meets the boundary squarely
// at both ends, or at an inside corner, and that gets no shorter when either end
// slides along the boundary a little. So a corner is no neck: there the line
// slides out. Lines and arcs are exact; nothing is approximated by chords.
//
// Work is n log n in the number of curves on anything a shop cuts: the boundary
// stands in a tree along its run whose nodes know their box and the directions
// of their inner normals (Johnson and Cohen, Spatialized normal cone
// hierarchies, 2001), and two nodes are only opened when they can face each
// other within the limit.
package clearance

import (
	"math"

	"trueup/dxfio/geom"
)

// Plate is the boundary of one plate of stone, prepared for measuring. It is
// not changed by measuring and may be read by many at once.
type Plate struct {
	curves []geom.Curve
	sites  []site
	boxes  []geom.Box
	first  []int32   // first curve of each loop; one more than loops
	start  []float64 // length along its loop at which each curve starts
	round  []float64 // length around each loop
	tree   tree

	// Stop, asked now and then, ends Minima and Strips before they have found
	// everything. nil never does.
	Stop func() bool
}

// site is a curve with the corner at its start, as minima see them.
type site struct {
	in, out geom.Point // unit directions before and behind the corner
	end     geom.Point // unit direction at the curve's end
	length  float64
	bend    float64 // curvature, 1/mm: positive where the stone lies inside the arc's circle
	center  geom.Point
	radius  float64
	sweep   float64
	loop    int32
	prev    int32
	next    int32
	tag     int32
	corner  bool // the stone is hollow or smooth here, so that a minimum may end at the corner
}

// Loop is one loop of a plate; Tags tells its curves apart for the caller, who
// finds them again in the minima; nil for all 0.
type Loop struct {
	Curves geom.Loop
	Tags   []int32
}

// Names of the engine's tolerances.
const (
	// sameDirection is the sine of the angle within which two directions are the
	// same: over a metre it moves an edge by 1e-4 mm, and turning a drawing leaves
	// a millionth of it.
	sameDirection = 1e-7
	// straight is the sagitta in mm up to which an arc is measured as a line.
	straight = 1e-8
)

// New prepares a plate. Loop 0 is the outline. Neighbouring lines that continue
// one another with the same tag are taken together; curves without length are
// left out.
func New(loops []Loop) *Plate {
	n := 0
	for _, l := range loops {
		n += len(l.Curves)
	}
	p := &Plate{curves: make([]geom.Curve, 0, n), sites: make([]site, 0, n), boxes: make([]geom.Box, 0, n), start: make([]float64, 0, n)}
	for _, l := range loops {
		p.first = append(p.first, int32(len(p.curves)))
		p.addLoop(l)
	}
	p.first = append(p.first, int32(len(p.curves)))
	p.tree = newTree(p)
	return p
}

func (p *Plate) addLoop(l Loop) {
	curves, tags := joined(l)
	loop, base, n := int32(len(p.round)), int32(len(p.curves)), int32(len(curves))
	at := 0.0
	for i, c := range curves {
		s := site{
			radius: math.Inf(1),
			loop:   loop, prev: base + (int32(i)+n-1)%n, next: base + (int32(i)+1)%n, tag: tags[i],
		}
		if c.IsLine() {
			d := c.B.Sub(c.A)
			s.length = math.Sqrt(d.Dot(d))
			s.out = d.Mul(1 / s.length)
			s.end = s.out
		} else {
			s.out, s.end, s.length = c.Tangent(0), c.Tangent(1), c.Length()
			s.radius, s.center, s.sweep = c.Radius(), c.Center(), c.Sweep()
			s.bend = math.Copysign(1/s.radius, c.Bulge)
		}
		p.curves, p.sites, p.boxes = append(p.curves, c), append(p.sites, s), append(p.boxes, boxOf(c))
		p.start = append(p.start, at)
		at += s.length
	}
	for i := base; i < base+n; i++ {
		s := &p.sites[i]
		s.in = p.sites[s.prev].end
		s.corner = s.in.Cross(s.out) <= sameDirection && (s.in.Dot(s.out) > 0 || s.in.Cross(s.out) < 0)
	}
	p.round = append(p.round, at)
}

// joined returns the curves of a loop without empty ones, with lines that go on
// in one direction taken together.
func joined(l Loop) ([]geom.Curve, []int32) {
	curves, tags := make([]geom.Curve, 0, len(l.Curves)), make([]int32, 0, len(l.Curves))
	for i, c := range l.Curves {
		var tag int32
		if l.Tags != nil {
			tag = l.Tags[i]
		}
		if e := c.B.Sub(c.A); e.Dot(e) <= geom.Tolerance*geom.Tolerance {
			if n := len(curves); n > 0 {
				curves[n-1].B = c.B
			}
			continue
		}
		if c.Bulge != 0 && math.Abs(c.Bulge)*c.Chord()/2 <= straight {
			c.Bulge = 0
		}
		if n := len(curves); n > 0 && tags[n-1] == tag && goesOn(curves[n-1], c) {
			curves[n-1].B = c.B
			continue
		}
		curves, tags = append(curves, c), append(tags, tag)
	}
	if n := len(curves); n > 2 && tags[n-1] == tags[0] && goesOn(curves[n-1], curves[0]) {
		curves[0].A = curves[n-1].A
		curves, tags = curves[:n-1], tags[:n-1]
	}
	return curves, tags
}

// goesOn reports whether line d continues line c: their common corner lies on
// the line from end to end.
func goesOn(c, d geom.Curve) bool {
	if !c.IsLine() || !d.IsLine() {
		return false
	}
	u, v := c.B.Sub(c.A), d.B.Sub(d.A)
	if x := u.Cross(v); u.Dot(v) <= 0 || x*x > straight*straight*(u.Dot(u)+v.Dot(v)) {
		return false
	}
	return true
}

func boxOf(c geom.Curve) geom.Box {
	if c.IsLine() {
		return geom.Box{
			Min: geom.Point{X: min(c.A.X, c.B.X), Y: min(c.A.Y, c.B.Y)},
			Max: geom.Point{X: max(c.A.X, c.B.X), Y: max(c.A.Y, c.B.Y)},
		}
	}
	return c.Box()
}

// Place is a point of the boundary.
type Place struct {
	Loop, Tag int32
	curve     int32
	at        float64 // length along the curve; 0 with corner
	corner    bool
	P         geom.Point
}

// along returns the length along the loop of a place.
func (p *Plate) along(q Place) float64 { return p.start[q.curve] + q.at }

// pointAt returns the point at a length along a curve.
func (p *Plate) pointAt(i int32, at float64) geom.Point {
	return p.curves[i].At(math.Max(0, math.Min(1, at/p.sites[i].length)))
}

// inward returns the unit direction into the stone at a length along a curve.
func (p *Plate) inward(i int32, at float64) geom.Point {
	s := &p.sites[i]
	if s.bend == 0 {
		return s.out.Left()
	}
	return s.out.Rotate(s.sweep * at / s.length).Left()
}
