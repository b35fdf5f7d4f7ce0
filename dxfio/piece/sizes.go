package piece

import (
	"math"

	"trueup/dxfio"
	"trueup/dxfio/geom"
)

// Sizes are what tells whether the unit of a drawing is right: the tops it would give,
// or the lines of outlines as far as they go while none closes, its sinks and its holes.
// Lengths in mm.
type Sizes struct {
	Top      [2]float64 // length and width of the largest top, 0 and 0 when there is no outline
	Depth    float64    // of the largest top's runs, 0 when none closes
	Sinks    [][2]float64
	Cooktops [][2]float64
	Holes    []float64 // diameters
	Outline  bool      // Top is measured on lines that do not close
}

// SizesOf measures a template; d is its drawing.
func SizesOf(t *Template, d *dxfio.Drawing, roles *Roles) Sizes {
	var s Sizes
	var largest geom.Rectangle
	counter := false
	for i := range t.Pieces {
		p := &t.Pieces[i]
		r := geom.SmallestRectangle(p.Outline)
		if better := r.Area() > largest.Area(); p.Kind == Counter && !counter || better && (p.Kind == Counter) == counter {
			largest, counter, s.Depth = r, p.Kind == Counter, runDepth(p.Outline)
		}
		for k := range p.Cutouts {
			s.cutout(p.Cutouts[k].Kind, p.Cutouts[k].Loop, p.Cutouts[k].Diameter)
		}
	}
	for i := range t.Problems {
		if p := &t.Problems[i]; p.Kind == CutoutOutside && len(p.Loops) > 0 {
			s.cutout(CutoutKind(p.Other), p.Loops[0], 0)
		}
	}
	if len(t.Pieces) == 0 {
		var points []geom.Point
		cutting := map[int32]bool{}
		for i := range d.Layers {
			role, _ := roles.Of(d.Layers[i].Name)
			cutting[int32(i)] = role == OutlineRole || role == SplashRole
		}
		for i := range d.Curves {
			if c := &d.Curves[i]; cutting[c.Layer] {
				points = append(points, c.A, c.Middle(), c.B)
			}
		}
		if len(points) > 0 {
			largest, s.Outline = geom.SmallestRectangle(geom.Polygon(points...)), true
		}
	}
	s.Top = [2]float64{largest.Length, largest.Width}
	return s
}

// runDepth is the width of a band that has the area and the boundary of the loop, however
// often it turns a corner: of a U it is the depth of its runs, of a rectangle its width.
// A loop with more area than a square of its boundary holds is measured as that square.
func runDepth(l geom.Loop) float64 {
	half := l.Length() / 2
	return (half - math.Sqrt(math.Max(0, half*half-4*math.Abs(l.Area())))) / 2
}

func (s *Sizes) cutout(kind CutoutKind, l geom.Loop, diameter float64) {
	switch kind {
	case Cooktop:
		r := geom.SmallestRectangle(l)
		s.Cooktops = append(s.Cooktops, [2]float64{r.Length, r.Width})
	case Sink:
		r := geom.SmallestRectangle(l)
		s.Sinks = append(s.Sinks, [2]float64{r.Length, r.Width})
	case Hole:
		if diameter > 0 {
			s.Holes = append(s.Holes, diameter)
		}
	}
}

// Between these sizes in mm lie tops, sinks and cooktops, and holes that a shop makes: a
// filler and a top of two slabs, a bar sink and a double one, a screw's hole and a bin's
// (common practice, no source). A top with a sink in it is no filler.
const (
	leastTopLength, mostTopLength   = 100, 8000
	leastTopWidth, mostTopWidth     = 40, 2500
	leastTopArea                    = 17500 // mm2, under a filler of 300 x 60 mm and over a kitchen of 2700 x 640 mm at a tenth
	leastSinkTopLength              = 450
	leastSinkTopWidth               = 300
	leastSinkLength, mostSinkLength = 250, 1400
	leastSinkWidth, mostSinkWidth   = 150, 800
	leastCooktopWidth               = 250
	leastHole, mostHole             = 5, 120
	// the sizes that most have, which decide between units that all fit
	leastUsualDepth, mostUsualDepth   = 600, 660
	leastUsualLength, mostUsualLength = 1500, 3000
	usualSinkLength, usualHole        = 650, 35
	// Two units in which the sizes are equally usual to this factor are both named: a
	// factor of 1.5 is what a vanity and a kitchen differ by in depth and length together.
	aboutEqual = 1.5
)

// Fits reports whether everything has a size that a shop makes, once each length is
// multiplied by scale. Of several sinks or holes one of a usual size is enough: a block
// that came in another unit than the drawing is a flaw of its own.
func (s Sizes) Fits(scale float64) bool {
	within := func(v, least, most float64) bool {
		return v*scale >= least-geom.Tolerance && v*scale <= most+geom.Tolerance
	}
	length, width := s.Top[0], s.Top[1]
	if length > 0 && !s.Outline && !(within(length, leastTopLength, mostTopLength) && within(width, leastTopWidth, mostTopWidth)) {
		return false
	}
	if length > 0 && !s.Outline && length*width*scale*scale < leastTopArea {
		return false
	}
	if s.Outline && !within(length, leastTopLength, 4*mostTopLength) { // several tops may lie beside each other
		return false
	}
	sink := len(s.Sinks) == 0
	for _, z := range s.Sinks {
		sink = sink || within(z[0], leastSinkLength, mostSinkLength) && within(z[1], leastSinkWidth, mostSinkWidth)
	}
	cooktop := len(s.Cooktops) == 0
	for _, z := range s.Cooktops {
		cooktop = cooktop || within(z[0], leastSinkLength, mostSinkLength) && within(z[1], leastCooktopWidth, mostSinkWidth)
	}
	hole := len(s.Holes) == 0
	for _, d := range s.Holes {
		hole = hole || within(d, leastHole, mostHole)
	}
	if len(s.Sinks)+len(s.Cooktops) > 0 && length > 0 && !s.Outline {
		sink = sink && length*scale >= leastSinkTopLength && width*scale >= leastSinkTopWidth
	}
	return sink && cooktop && hole
}

// strange is how far the sizes lie from usual ones: the sum of the logarithms.
func (s Sizes) strange(scale float64) float64 {
	off := func(v, least, most float64) float64 {
		return math.Max(0, math.Max(math.Log(least/(v*scale)), math.Log(v*scale/most)))
	}
	sum := off(s.Top[0], leastUsualLength, mostUsualLength)
	if s.Depth > 0 {
		sum += off(s.Depth, leastUsualDepth, mostUsualDepth)
	}
	if len(s.Sinks) > 0 {
		sum += off(s.Sinks[0][0], usualSinkLength, usualSinkLength)
	}
	if len(s.Holes) > 0 {
		sum += off(s.Holes[0], usualHole, usualHole)
	}
	return sum
}

// drawingUnits are those that tops are drawn in, the most usual first.
var drawingUnits = [...]dxfio.Unit{dxfio.UnitMillimetre, dxfio.UnitInch, dxfio.UnitCentimetre, dxfio.UnitMetre, dxfio.UnitFoot}

// Gross reports sizes that nothing cut has, in whatever unit else it fits: a top shorter
// than the least or wider than any slab.
func (s Sizes) Gross() bool {
	return s.Top[0] > 0 && (s.Top[0] < leastTopLength || !s.Outline && s.Top[1] > mostDepth)
}

// FittingUnits returns the unit in which what was read in unit u has the most usual sizes
// of all in which it fits, u aside when other is true, and the next best where its sizes
// are about as usual; UnitNone where there is none.
func (s Sizes) FittingUnits(u dxfio.Unit, other bool) (best, next dxfio.Unit) {
	best, next = dxfio.UnitNone, dxfio.UnitNone
	if s.Top[0] == 0 {
		return best, next
	}
	least, second := math.Inf(1), math.Inf(1)
	for _, v := range drawingUnits {
		scale := v.Millimetres() / u.Millimetres()
		if other && v == u || !s.Fits(scale) {
			continue
		}
		switch off := s.strange(scale); {
		case off < least-geom.Tolerance:
			next, second = best, least
			best, least = v, off
		case off < second-geom.Tolerance:
			next, second = v, off
		}
	}
	if second-least > math.Log(aboutEqual) {
		next = dxfio.UnitNone
	}
	return best, next
}
