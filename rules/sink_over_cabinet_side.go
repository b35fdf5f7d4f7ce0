package rules

import (
	"fmt"
	"math"
	"slices"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// sinkOverCabinetSide finds sinks that are cut across the side of a cabinet: the bowl
// hangs where a side panel stands, between two cabinets or at the end of one. It looks at
// the lines of supports, and of openings beside them, that run through the line of a
// sink. A line along the sink's long side is the front or the back of its cabinet, which
// an apron sink stands over by its design, unless another cabinet begins there.
//
// Measured is how far in mm the sink reaches past that line on the side where it reaches
// less, so that moving it by as much clears the panel; the witness leads from the line to
// there. Lines up to 60 mm apart, the panels of two cabinets side by side, are one
// (common practice, no source). Equal passes. Limit: 1/8 in (3.2 mm), position of a cutout, Architectural
// Woodwork Standards, 1st ed. 2009, 4.4.3.
func sinkOverCabinetSide() Rule {
	return Rule{
		ID:         "sink-over-cabinet-side",
		Severities: []Severity{Warn},
		What:       "Sinks across the side of a cabinet.",
		Why:        "The bowl stands on the panel, which has to be cut away on site, or the sink is drawn over the wrong cabinet.",
		How: "The lines of supports and openings that run through a sink, other than along its long side where no second support begins: how far the sink reaches past the line, on the side where it reaches less. " +
			"Lines up to 60 mm apart are one.",
		Limits: []string{"rules.sink_cabinet"},
		Check:  checkSinkSides,
	}
}

const (
	// panelPair is the distance in mm up to which two lines under a sink are the
	// panels of one pair of cabinets side by side, a filler between them.
	panelPair = 60
	// elongated is the ratio of a sink's sides from which its long side tells where the
	// front is; of a square or round one the nearest edge of the top does.
	elongated = 1.1
	// secondCabinet is the distance in mm beyond a cabinet's line at which another one
	// is looked for: past the play between two cabinets.
	secondCabinet = 12
)

// panel is a stretch of line under a sink.
type panel struct {
	line  geom.Curve
	reach float64
	way   geom.Witness
}

func checkSinkSides(in *Input, out *Findings) {
	t := in.Template
	loops, lines := in.cabinetLoops(), supportLines(t)
	boxes := make([]geom.Box, len(loops))
	for i := range loops {
		boxes[i] = loops[i].Box()
	}
	index, lineIndex := geom.NewBoxIndex(boxes), geom.NewIndex(lines)
	areas := supportAreas(t)
	for i := range t.Pieces {
		p := &t.Pieces[i]
		for k := range p.Cutouts {
			c := &p.Cutouts[k]
			if c.Kind != piece.Sink || len(c.Loop) == 0 {
				continue
			}
			if in.ended() {
				return
			}
			var under []geom.Curve
			index.Search(c.Loop.Box(), func(j int) bool {
				for _, side := range loops[j] {
					under = append(under, within(side, c.Loop)...)
				}
				return true
			})
			lineIndex.Search(c.Loop.Box(), func(j int) bool {
				under = append(under, within(lines[j], c.Loop)...)
				return true
			})
			for _, s := range sides(in.panels(p, c, under, areas)) {
				out.Flag(in.sinkFlag(p, c, s))
			}
		}
	}
}

func (in *Input) sinkFlag(p *piece.Piece, c *piece.Cutout, s panel) Flag {
	l, w := in.lengths(), s.way
	return Flag{
		Piece: p.ID, Other: c.ID, Witness: &w, Measured: s.reach, Limit: in.Settings.SinkCabinet, Unit: "mm", Stretch: s.line.Length(),
		Message: fmt.Sprintf("The sink %s stands over the side of a cabinet at %s and reaches %s past it.", c.ID, in.place(s.line.Middle()), l.Of(s.reach)),
		Remedy:  fmt.Sprintf("Move the sink or the cabinet %s so that the side stands beside the sink, or have the panel cut away on site.", l.Up(s.reach)),
	}
}

// cabinetLoops returns the outlines of supports and openings, and the edges of what does
// not carry inside supports.
func (in *Input) cabinetLoops() []geom.Loop {
	var out []geom.Loop
	for i := range in.Template.Supports {
		s := &in.Template.Supports[i]
		if len(s.Area) > 0 && !s.Assumed { // of an assumed one nobody knows the sides
			out = append(append(out, s.Area), s.Holes...)
		}
	}
	for i := range in.Template.Openings {
		out = append(out, in.Template.Openings[i].Area)
	}
	return out
}

func supportLines(t *piece.Template) []geom.Curve {
	var out []geom.Curve
	for i := range t.Supports {
		out = append(out, t.Supports[i].Line...)
	}
	return out
}

// supportAreas finds the areas of supports by place.
func supportAreas(t *piece.Template) *geom.Index {
	boxes := make([]geom.Box, len(t.Supports))
	for i := range boxes {
		boxes[i] = t.Supports[i].Area.Box()
	}
	return geom.NewBoxIndex(boxes)
}

// within returns the parts of a curve that lie inside a loop.
func within(c geom.Curve, l geom.Loop) []geom.Curve {
	if !c.Box().Overlaps(l.Box()) {
		return nil
	}
	cuts := []float64{0, 1}
	for _, d := range l {
		for _, h := range geom.Intersect(c, d) {
			_, t := geom.NearestPoint(c, h.P)
			cuts = append(cuts, t)
		}
	}
	slices.Sort(cuts)
	var out []geom.Curve
	for i := 1; i < len(cuts); i++ {
		if part := c.Part(cuts[i-1], cuts[i]); part.Length() > geom.Tolerance && l.Locate(part.Middle()) == geom.Inside {
			out = append(out, part)
		}
	}
	return out
}

// panels returns the stretches of line under a sink that are sides of cabinets.
func (in *Input) panels(p *piece.Piece, c *piece.Cutout, under []geom.Curve, areas *geom.Index) []panel {
	front := in.frontOf(p, c)
	var out []panel
	for _, s := range under {
		u := s.B.Sub(s.A).Unit()
		if u == (geom.Point{}) {
			continue
		}
		across := u.Left()
		if math.Abs(u.Dot(front)) > otherSide && !in.twoCabinets(s.Middle(), across, areas) {
			continue // the front or the back of the cabinet
		}
		at := s.Middle()
		least, most := c.Loop.Extent(across)
		here := at.Dot(across)
		reach, way := most-here, across
		if here-least < reach {
			reach, way = here-least, across.Mul(-1)
		}
		if reach > in.Settings.SinkCabinet+geom.Tolerance {
			out = append(out, panel{s, reach, geom.Witness{From: at, To: at.Add(way.Mul(reach))}})
		}
	}
	return out
}

// frontOf returns the direction in which the front of the cabinet under a sink runs.
func (in *Input) frontOf(p *piece.Piece, c *piece.Cutout) geom.Point {
	r := geom.SmallestRectangle(c.Loop)
	if r.Width > 0 && r.Length/r.Width > elongated {
		return geom.Point{X: 1}.Rotate(r.AngleDeg * math.Pi / 180)
	}
	var front geom.Point
	least := math.Inf(1)
	for _, d := range p.Outline {
		if q, t := geom.NearestPoint(d, r.Center); q.Distance(r.Center) < least {
			front, least = d.Tangent(t), q.Distance(r.Center)
		}
	}
	return front
}

// twoCabinets reports whether supports lie on both sides of a line, one on each.
func (in *Input) twoCabinets(at, across geom.Point, areas *geom.Index) bool {
	holds := func(p geom.Point) int {
		first := -1
		areas.Search(geom.Box{Min: p, Max: p}, func(i int) bool {
			if in.Template.Supports[i].Area.Locate(p) == geom.Inside && (first < 0 || i < first) {
				first = i
			}
			return true
		})
		return first
	}
	one, other := holds(at.Add(across.Mul(secondCabinet))), holds(at.Sub(across.Mul(secondCabinet)))
	return one >= 0 && other >= 0 && one != other
}

// sides brings the lines of one place together: of two panels that stand side by side
// the sink has to pass both, so that the farther one counts.
func sides(all []panel) []panel {
	var out []panel
	for len(all) > 0 {
		far := 0
		for i := range all {
			if all[i].reach > all[far].reach {
				far = i
			}
		}
		first := all[far]
		var rest []panel
		for _, q := range all {
			if q.line.Middle().Distance(first.line.Middle()) > panelPair {
				rest = append(rest, q)
			}
		}
		out, all = append(out, first), rest
	}
	return out
}
