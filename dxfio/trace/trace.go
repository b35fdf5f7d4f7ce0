// Package trace closes loose curves to loops.
//
// In go curves as drawn, each with the caller's number; out come the bounded
// faces of their arrangement, what stayed open, what crosses itself, what was
// left over, and a list of every repair with place and size. The order of the
// input, the direction of the curves and a rigid motion of the drawing do not
// change the result. The package knows neither layers nor roles beyond Kind.
package trace

import "trueup/dxfio/geom"

// Kind says what a curve may do.
type Kind uint8

// The kinds of input curve.
const (
	// Boundary curves close to faces; ends may be joined, restored, trimmed, bridged.
	Boundary Kind = iota
	// Divider curves (seams) cut faces in two; ends that stop a little short of
	// or run a little past a boundary are fitted to it.
	Divider
)

// Curve is an input or boundary curve with the caller's number.
type Curve struct {
	geom.Curve
	ID   int32 // the caller's index; -1 for a curve that a repair made
	Kind Kind
	// Entity groups curves drawn as one entity (a closed polyline); curves of
	// one entity are already in order. -1 when not known.
	Entity int32
}

// Loop is a closed chain of traced curves.
type Loop []Curve

// Geom returns the loop without the numbers.
func (l Loop) Geom() geom.Loop {
	g := make(geom.Loop, len(l))
	for i, c := range l {
		g[i] = c.Curve
	}
	return g
}

// Face is a bounded face of the arrangement: Outer counter-clockwise, Holes
// clockwise. Every region enclosed is a face, also one inside a hole of
// another; Depth counts the faces it lies in (0 outermost) by boundaries alone:
// a divider that runs up to a hole does not make the hole a neighbour. A drawn
// curve is one Curve of a loop even where corners of neighbours lie on it.
type Face struct {
	Outer  Loop
	Holes  []Loop
	Depth  int
	Parent int // index of the face whose hole this lies in, -1 outermost
}

// OpenChain is a chain of curves that does not close.
type OpenChain struct {
	Curves   []Curve
	From, To geom.Point // its free ends
	Gap      float64    // distance between From and the nearest free end that could close it, mm
}

// Crossing is a place where one outline crosses itself, or two outlines cross. A
// self-crossing outline gives no face; of two that overlap, however narrowly,
// both are faces with their full shapes.
type Crossing struct {
	At   geom.Point
	A, B int32   // IDs of the crossing curves
	Self bool    // of one closed chain; otherwise of two closed chains that overlap
	Area float64 // of the overlap, mm2; 0 when Self
}

// RepairKind names a repair as it stands in result documents.
type RepairKind string

// The kinds of repair.
const (
	GapClosed        RepairKind = "gap-closed"
	CornerRestored   RepairKind = "corner-restored"
	OvershootTrimmed RepairKind = "overshoot-trimmed"
	DuplicateRemoved RepairKind = "duplicate-removed"
	FacetsToArc      RepairKind = "facets-to-arc"
	CurveToArcs      RepairKind = "curve-to-arcs"
	SliverRemoved    RepairKind = "sliver-removed"
)

// Repair is a change made to the drawing. Size is the distance of the ends as
// drawn, or how far the farther one was moved where that is more (joins, corners,
// trims), the length removed (duplicates, 0 for a curve without length), the largest
// distance between the chords and their arc, both ways (facets), the greatest distance
// of what was taken out from what is left (slivers) or the error reached (curves to
// arcs), in mm.
type Repair struct {
	Kind   RepairKind
	At     geom.Point
	Size   float64
	ID     int32   // a curve of the input it belongs to, for its layer
	Radius float64 // of the arc that stands for facets, mm; else 0
}

// Coarse is a run of sides on one circle that would be an arc but for their
// bulge, which is more than FacetSagitta or goes over another line: they stay
// straight.
type Coarse struct {
	At       geom.Point // the middle of the run; of a whole ring the middle of its circle
	From, To geom.Point // its ends; of a ring both are At
	Sides    int
	Side     float64 // mean length of a side, mm
	Radius   float64 // of the circle through the corners, mm
	Sagitta  float64 // of the longest side, mm
	ID       int32   // a curve of the input, the lowest of the run
	Crosses  bool    // the bulge is small enough, but the arc would cross a line beside the sides
}

// Chord says which arc a chord was read as: both are IDs of input curves, the
// arc's being the lowest among its chords'.
type Chord struct{ ID, Arc int32 }

// Result is what tracing made of the curves, in an order that does not depend
// on the order of the input.
type Result struct {
	Faces     []Face
	Open      []OpenChain
	Strays    []Curve // curves that bound no face and belong to no open chain of note
	Crossings []Crossing
	Repairs   []Repair
	Chords    []Chord // curves that an arc stands for, without the one whose ID it has
	Coarse    []Coarse
}

// Settings are the tolerances of closing, in mm unless the name says otherwise.
type Settings struct {
	Join           float64 `toml:"join" unit:"mm" min:"0" max:"5" doc:"free ends this near are the same point" source:"common practice, no source"`
	Bridge         float64 `toml:"bridge" unit:"mm" min:"0" max:"50" doc:"gaps, short corners and overshoots up to this are repaired; wider ones stay open" source:"common practice, no source"`
	FacetTolerance float64 `toml:"facet_tolerance" unit:"mm" min:"0" max:"1" doc:"chords whose ends lie within this of one circle are read as its arc" source:"common practice, no source"`
	FacetSagitta   float64 `toml:"facet_sagitta" unit:"mm" min:"0" max:"50" doc:"chords that bulge more than this from their arc stay straight sides: past what an exporter makes of a curve, somebody drew them" source:"common practice, no source"`
	FacetTurn      float64 `toml:"facet_turn" unit:"deg" min:"1" max:"60" doc:"chords that turn more than this at a corner stay straight sides" source:"common practice, no source"`
	SliverArea     float64 `toml:"sliver_area" unit:"mm2" min:"0" doc:"faces under this area that crossing lines make are drawing noise, listed as repairs; what is drawn closed never is" source:"common practice, no source"`
	Meetings       int     `toml:"meetings" min:"0" max:"1000000000" doc:"most places where the curves of a drawing cross, touch or run along each other, beside ten for every curve; a drawing with more is refused; 0: any number" source:"common practice, no source"`
	Comparisons    int     `toml:"comparisons" min:"0" max:"1000000000000" doc:"most comparisons of curves with each other, beside a thousand for every curve; a drawing that needs more is refused; 0: any number" source:"common practice, no source"`
}

// Default returns the settings a shop starts with.
func Default() Settings {
	return Settings{Join: 0.5, Bridge: 3, FacetTolerance: 0.1, FacetSagitta: 2, FacetTurn: 25, SliverArea: 100, Meetings: 100_000, Comparisons: 20_000_000}
}
