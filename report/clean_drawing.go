package report

import (
	"math"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// The layers of a clean drawing, one a role. The built-in layer patterns read
// them back as what they are.
const (
	layerOutline = "OUTLINE"
	layerCutout  = "CUTOUT"
	layerHole    = "CUTOUT-HOLE"
	layerSink    = "CUTOUT-SINK"
	layerCooktop = "CUTOUT-COOKTOP"
	layerSeam    = "SEAM"
	layerSupport = "SUPPORT"
	layerOpening = "OPENING"
	layerSplash  = "SPLASH"
	layerFinish  = "FINISHED"
	layerWall    = "WALL"
	layerName    = "PIECE-NAME"
)

// textHeight is the height of names and flag numbers in drawings, mm: readable
// beside a piece of half a metre and not larger than a small splash.
const textHeight = 25

// CleanDrawing returns the drawing for the machines: closed outlines and cutouts
// of every piece, finished edges, edges at walls, seams, supports and names, each
// role on its own layer, in the frame of the template and in the given unit.
// Outlines run counter-clockwise, cutouts clockwise. Checked again, it gives the
// pieces and set-up figures of the template.
func CleanDrawing(t *piece.Template, unit dxfio.Unit) *dxfio.Sheet {
	s := newSheet(t.Shift, unit)
	for i := range t.Pieces {
		p := &t.Pieces[i]
		layer := layerOutline
		if p.Kind == piece.Splash {
			layer = layerSplash
		}
		s.closed(layer, p.Outline)
		for _, c := range p.Cutouts {
			if !c.OverEdge { // the outline has its notch already
				s.closed(cutoutLayer(c.Kind), c.Loop)
			}
		}
		s.text(layerName, p.ID, nameAt(p), textHeight)
		s.marks(p.Edges)
	}
	for _, seam := range t.Seams {
		s.open(layerSeam, seam.Chains[0])
	}
	for _, sup := range t.Supports {
		if sup.Assumed {
			continue // nobody drew it, and whoever reads this drawing may take it so again
		}
		s.closed(layerSupport, sup.Area)
		for _, h := range sup.Holes {
			s.closed(layerSupport, h)
		}
		s.open(layerSupport, sup.Line)
	}
	for _, o := range t.Openings {
		s.closed(layerOpening, o.Area)
	}
	return s.done()
}

// marks draws what the template says of edges along them: finished ones with
// their profile, and those at a wall. Neighbours are one line.
func (s *sheet) marks(edges []piece.Edge) {
	for from := 0; from < len(edges); {
		finish := edges[from].Finish
		var along []geom.Curve
		to := from
		for ; to < len(edges) && edges[to].Finish == finish; to++ {
			along = append(along, edges[to].Curves...)
		}
		switch finish {
		case piece.Finished:
			s.open(layerFinish, along)
			for _, e := range edges[from:to] {
				s.text(layerFinish, e.Profile, e.Curves[len(e.Curves)/2].Middle(), textHeight)
			}
		case piece.SeamEdge: // the seam is drawn already; a mitre along it is told
			for _, e := range edges[from:to] {
				s.text(layerFinish, e.Profile, e.Curves[len(e.Curves)/2].Middle(), textHeight)
			}
		case piece.Wall:
			s.open(layerWall, along)
		}
		from = to
	}
}

func cutoutLayer(k piece.CutoutKind) string {
	switch k {
	case piece.Hole:
		return layerHole
	case piece.Sink:
		return layerSink
	case piece.Cooktop:
		return layerCooktop
	default:
		return layerCutout
	}
}

// nameAt returns a place inside the stone for the name: the piece keeps it when
// the clean drawing is read again.
func nameAt(p *piece.Piece) geom.Point {
	stone := geom.Region{Outer: p.Outline}
	for _, c := range p.Cutouts {
		if !c.OverEdge {
			stone.Holes = append(stone.Holes, c.Loop)
		}
	}
	if c := stone.Centroid(); stone.Locate(c) == geom.Inside {
		return c
	}
	// Beside the middle of an edge there is always stone; try ever nearer.
	for depth := 20.0; depth > 1e-3; depth /= 2 {
		for _, c := range p.Outline {
			if q := c.Middle().Add(c.Tangent(0.5).Left().Mul(depth)); stone.Locate(q) == geom.Inside {
				return q
			}
		}
	}
	return p.Outline[0].A
}

// sheet builds a dxfio.Sheet from local millimetres.
type sheet struct {
	shift geom.Point
	scale float64
	out   dxfio.Sheet
	known map[string]bool
}

func newSheet(shift geom.Point, unit dxfio.Unit) *sheet {
	if !unit.Known() {
		unit = dxfio.UnitMillimetre
	}
	return &sheet{shift: shift, scale: 1 / unit.Millimetres(), out: dxfio.Sheet{Unit: unit}, known: map[string]bool{}}
}

// layerColor keeps neighbouring roles apart on a dark and on a light screen
// (colour numbers of the DXF group 62). Meaning never rests on colour: the layer's name says it.
func layerColor(name string) int {
	switch name {
	case layerOutline, layerName:
		return 7
	case layerSplash:
		return 42
	case layerCutout, layerHole, layerSink, layerCooktop:
		return 30
	case layerSeam:
		return 170
	case layerSupport:
		return 96
	case layerFinish:
		return 212
	case layerWall:
		return 52
	default:
		return 252
	}
}

func (s *sheet) layer(name string, color int) string {
	if !s.known[name] {
		s.known[name] = true
		s.out.Layers = append(s.out.Layers, dxfio.SheetLayer{Name: name, Color: color})
	}
	return name
}

func (s *sheet) role(name string) string {
	return s.layer(name, layerColor(name))
}

// leastWritten is the distance from an axis, in the drawing's unit, below which
// a coordinate is written as 0: what is left over from shifting the drawing to
// its local origin and back. Without it a corner at 0 stands as -0.0 in the file.
const leastWritten = 1e-9

func (s *sheet) place(p geom.Point) geom.Point {
	q := p.Add(s.shift).Mul(s.scale)
	if math.Abs(q.X) < leastWritten {
		q.X = 0
	}
	if math.Abs(q.Y) < leastWritten {
		q.Y = 0
	}
	return q
}

func (s *sheet) chain(curves []geom.Curve) []geom.Curve {
	out := make([]geom.Curve, len(curves))
	for i, c := range curves {
		out[i] = geom.Curve{A: s.place(c.A), B: s.place(c.B), Bulge: c.Bulge}
	}
	return out
}

func (s *sheet) closed(layer string, l geom.Loop) {
	if len(l) > 0 {
		s.out.Polylines = append(s.out.Polylines, dxfio.Polyline{Layer: s.role(layer), Curves: s.chain(l), Closed: true})
	}
}

func (s *sheet) open(layer string, curves []geom.Curve) {
	if len(curves) > 0 {
		s.out.Polylines = append(s.out.Polylines, dxfio.Polyline{Layer: s.role(layer), Curves: s.chain(curves)})
	}
}

func (s *sheet) text(layer, value string, at geom.Point, height float64) {
	if value != "" {
		s.out.Texts = append(s.out.Texts, dxfio.Label{Layer: s.role(layer), Value: value, At: s.place(at), Height: height * s.scale})
	}
}

func (s *sheet) done() *dxfio.Sheet { return &s.out }
