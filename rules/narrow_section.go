package rules

import (
	"fmt"
	"math"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/rules/clearance"
)

// narrowSection finds strips of stone that are too narrow: between a cutout and
// the edge, between two cutouts, and necks of the outline itself. Package
// clearance defines the measure; it is exact on lines and arcs, a width equal to
// the limit passes, touching is 0, and the witness stands in the middle of a
// strip that is equally narrow all along.
//
// One flag a strip, with the length of boundary over which it is under the
// flag's limit. A strip under the stop limit raises no warning beside its stop.
//
// What is no flaw: corners and roundings; the sides of a notch, between which is
// air; a tongue or a whole piece that is narrow to its end, which is its design,
// unless it is under the least width. The rail behind a cutout that runs over the
// edge is measured as beside that cutout, to its end too. Round holes belong to
// hole-spacing, the stone between a cutout and a seam to seam-near-cutout.
func narrowSection() Rule {
	return Rule{
		ID:         "narrow-section",
		Severities: []Severity{Stop, Warn},
		What:       "Strips of stone too narrow to be carried.",
		Why:        "The rail before a sink, the bridge between two cutouts and the neck beside a notch break when the piece is lifted.",
		How: "The least width straight across the stone between a cutout and the edge, two cutouts, or two stretches of the outline where it narrows and widens again, " +
			"with the length that is under the limit. Corners are no necks; a tongue or piece that is narrow to its end only counts under the least width. " +
			"Round holes belong to hole-spacing, cutout to seam to seam-near-cutout.",
		Limits: []string{"rules.narrow_stop", "rules.narrow_warn", "rules.narrow_sink.stop", "rules.narrow_sink.warn", "rules.narrow_cooktop.stop",
			"rules.narrow_cooktop.warn", "rules.narrow_neck.stop", "rules.narrow_neck.warn", "rules.narrow_least"},
		Check: func(in *Input, out *Findings) {
			for i := range in.Template.Pieces {
				in.checkNarrow(&in.Template.Pieces[i], out)
			}
		},
	}
}

// limitsFor returns the limits beside a kind of cutout, "" for a neck.
func (s *Settings) limitsFor(k piece.CutoutKind) Narrow {
	special := s.NarrowNeck
	switch k {
	case piece.Sink:
		special = s.NarrowSink
	case piece.Cooktop:
		special = s.NarrowCooktop
	case piece.Other, piece.Hole:
		special = Narrow{}
	}
	general := Narrow{Stop: s.NarrowStop, Warn: s.NarrowWarn}
	if special.Stop > 0 {
		general.Stop = special.Stop
	}
	if special.Warn > 0 {
		general.Warn = special.Warn
	}
	return general
}

// The tags of an outline's curves; a cutout over the edge has overEdge plus its
// place among the cutouts.
const (
	plain int32 = iota
	seamed
	overEdge
)

// narrowPiece is a piece on its way through the rule.
type narrowPiece struct {
	*piece.Piece
	plate   *clearance.Plate
	cutouts []*piece.Cutout // by loop number less 1
}

func newNarrowPiece(p *piece.Piece) narrowPiece {
	n := narrowPiece{Piece: p}
	loops := []clearance.Loop{{Curves: p.Outline, Tags: outlineTags(p)}}
	for i := range p.Cutouts {
		if c := &p.Cutouts[i]; c.Kind != piece.Hole && !c.OverEdge && len(c.Loop) > 0 {
			loops = append(loops, clearance.Loop{Curves: c.Loop})
			n.cutouts = append(n.cutouts, c)
		}
	}
	n.plate = clearance.New(loops)
	return n
}

// onEdge is the distance in mm within which a curve of the outline is part of an
// edge or cutout that was made of it.
const onEdge = 0.02

// outlineTags tells which curves of the outline are seams and which the notch of
// a cutout over the edge; nil when none is.
func outlineTags(p *piece.Piece) []int32 {
	var curves []geom.Curve
	var tags []int32
	for _, e := range p.Edges {
		if e.Finish == piece.SeamEdge {
			for _, c := range e.Curves {
				curves, tags = append(curves, c), append(tags, seamed)
			}
		}
	}
	for i, c := range p.Cutouts {
		if c.OverEdge {
			for _, k := range c.Loop {
				curves, tags = append(curves, k), append(tags, overEdge+int32(i))
			}
		}
	}
	if len(curves) == 0 {
		return nil
	}
	index := geom.NewIndex(curves)
	found := make([]int32, len(p.Outline))
	for i, c := range p.Outline {
		m := c.Middle()
		if k, q, ok := index.Nearest(m); ok && q.Distance(m) <= onEdge {
			found[i] = tags[k]
		}
	}
	return found
}

// asDrawn is the length in mm by which a measure may be past its limit and still
// equal it: what it loses between two coordinates written to four places of an
// inch, 0.00005 in at either end.
const asDrawn = 0.003

// strait is what a strip lies between: the class that settles its limits.
type strait struct {
	from, to int32 // loops
	notch    int32 // cutout over the edge, -1 for none
}

func (in *Input) checkNarrow(p *piece.Piece, out *Findings) {
	if in.ended() { // Run says so
		return
	}
	n := newNarrowPiece(p)
	n.plate.Stop = in.ended
	s := in.Settings
	widest := s.NarrowLeast
	for _, k := range []piece.CutoutKind{"", piece.Sink, piece.Cooktop, piece.Other} {
		l := s.limitsFor(k)
		widest = math.Max(widest, math.Max(l.Stop, l.Warn))
	}
	classes := map[strait][]clearance.Minimum{}
	var order []strait
	for _, m := range n.plate.Minima(widest) {
		c, ok := n.class(m)
		if !ok {
			continue
		}
		if classes[c] == nil {
			order = append(order, c)
		}
		classes[c] = append(classes[c], m)
	}
	for _, c := range order {
		if c.from > 0 && c.to > 0 && in.overEachOther(p, n.cutouts[c.from-1], n.cutouts[c.to-1]) {
			continue // no strip is left to measure
		}
		in.checkStrait(&n, c, classes[c], out)
	}
}

// class returns what a minimum lies between, and false when another rule or none
// looks at it.
func (n *narrowPiece) class(m clearance.Minimum) (strait, bool) {
	c := strait{m.From.Loop, m.To.Loop, -1}
	outline := m.From.Loop == 0
	if outline && m.To.Loop != 0 {
		return c, m.From.Tag != seamed
	}
	if outline {
		for _, tag := range [2]int32{m.From.Tag, m.To.Tag} {
			if tag >= overEdge {
				c.notch = max(c.notch, tag-overEdge)
			}
		}
	}
	return c, true
}

// limits returns the limits of a class: of two cutouts the larger ones.
func (n *narrowPiece) limits(s *Settings, c strait) Narrow {
	if c.to == 0 {
		if c.notch >= 0 {
			return s.limitsFor(n.Cutouts[c.notch].Kind)
		}
		return s.limitsFor("")
	}
	l := s.limitsFor(n.cutouts[c.to-1].Kind)
	if c.from > 0 {
		k := s.limitsFor(n.cutouts[c.from-1].Kind)
		l = Narrow{Stop: math.Max(l.Stop, k.Stop), Warn: math.Max(l.Warn, k.Warn)}
	}
	return l
}

func (in *Input) checkStrait(n *narrowPiece, c strait, minima []clearance.Minimum, out *Findings) {
	l := n.limits(in.Settings, c)
	stops := n.plate.Strips(minima, l.Stop)
	neck := c.to == 0 && c.notch < 0
	told := map[clearance.Minimum]bool{} // minima of strips that were flagged
	flag := func(w *clearance.Strip, severity Severity, limit float64) {
		in.narrowFlag(n, c, w, severity, limit, out)
		for _, m := range w.All {
			told[m] = true
		}
	}
	for i := range stops {
		if stops[i].Width < l.Stop-asDrawn && (!neck || !stops[i].Dead) {
			flag(&stops[i], Stop, l.Stop)
		}
	}
	if l.Warn > l.Stop {
		for _, w := range n.plate.Strips(minima, l.Warn) {
			if w.Width >= l.Stop-asDrawn && w.Width < l.Warn-asDrawn && (!neck || !w.Dead) {
				flag(&w, Warn, l.Warn)
			}
		}
	}
	if !neck {
		return
	}
	for _, w := range n.plate.Strips(minima, in.Settings.NarrowLeast) {
		// A stub no longer than it is wide does not break off.
		if !told[w.Minimum] && w.Width < in.Settings.NarrowLeast-asDrawn && w.Stretch >= in.Settings.NarrowLeast {
			flag(&w, Stop, in.Settings.NarrowLeast)
		}
	}
}

func (in *Input) narrowFlag(n *narrowPiece, c strait, s *clearance.Strip, severity Severity, limit float64, out *Findings) {
	w := s.Witness()
	between, other, remedy := n.words(c)
	middle := s.Middle
	f := Flag{
		Severity: severity, Piece: n.ID, Other: other, Witness: &w, At: w.Middle(), Anchor: &middle,
		Stretch: s.Stretch, Measured: s.Width, Limit: limit, Unit: "mm",
	}
	l := in.lengths()
	switch {
	case s.Width == 0:
		f.Message = fmt.Sprintf("No stone is left %s at %s; %s are wanted.", between, in.place(f.At), l.Up(limit))
	case s.Stretch < 1:
		f.Message = fmt.Sprintf("Only %s of stone %s at %s; %s are wanted.", l.Under(s.Width, limit), between, in.place(f.At), l.Up(limit))
	default:
		f.Message = fmt.Sprintf("Only %s of stone %s at %s; %s are wanted, and %s of its length have less.",
			l.Under(s.Width, limit), between, in.place(f.At), l.Up(limit), l.Rough(s.Stretch))
	}
	f.Remedy = fmt.Sprintf(remedy, l.Up(limit-s.Width), l.Up(limit))
	out.Flag(f)
}

// words returns how a strip is called, the cutout concerned, and the remedy with
// places for the missing width and the limit.
func (n *narrowPiece) words(c strait) (between, other, remedy string) {
	switch {
	case c.to == 0 && c.notch < 0:
		return "in the neck of piece " + n.ID, "", "Widen the neck by %s to %s, or make it two pieces with a seam."
	case c.to == 0:
		k := &n.Cutouts[c.notch]
		name := cutoutName(k.Kind)
		return fmt.Sprintf("between the %s %s and the edge", name, k.ID), k.ID, "Make the " + name + " %s shallower, or widen the rail to %s."
	case c.from == 0:
		k := n.cutouts[c.to-1]
		name := cutoutName(k.Kind)
		return fmt.Sprintf("between the %s %s and the edge", name, k.ID), k.ID, "Move the " + name + " %s away from the edge, or widen the rail to %s."
	}
	a, b := n.cutouts[c.from-1], n.cutouts[c.to-1]
	return fmt.Sprintf("between the %s %s and the %s %s", cutoutName(a.Kind), a.ID, cutoutName(b.Kind), b.ID), a.ID + " " + b.ID,
		"Move the cutouts %s further apart, or widen the bridge to %s."
}
