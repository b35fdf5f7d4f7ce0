// Package shop computes the machines' set-up figures of a piece: what the saw
// cuts and how far it stops short, what is left to the router, the steps the
// polisher's operator sets, whether a slab is large enough and how many people
// lift it.
//
// In go pieces and the shop's machines as settings; out come lengths in mm,
// masses in kg and minutes. The package judges nothing: rules compare the
// figures with limits. All machine rates are common practice, no source:
// confirm them on the shop's own tools.
package shop

import "trueup/dxfio/geom"

// Setup is every set-up figure of one piece. Lengths are mm, masses kg, times
// minutes; places are local millimetres as in the template.
type Setup struct {
	// Rectangle is the smallest-area rectangle around the piece, arcs counted
	// exactly: worked out once for all who ask.
	Rectangle geom.Rectangle

	Mass       float64 // kg: net area x thickness x density
	SawLength  float64 // mm the saw cuts, outline and cutouts
	RouterLeft float64 // mm left for the router
	// RouterCorners is what corners in the blade's way leave of straights,
	// RouterArcs the arcs, RouterStraights the straights without a corner in the
	// way that are too short or too thick to saw. Together they are RouterLeft.
	RouterCorners, RouterArcs, RouterStraights float64

	RunMinutes float64 // machine minutes of saw, router and polisher
	Polish     []PolishPass

	Piece     string // id
	Thickness float64
	Material  string // name of the material the figures are for

	// The minutes of RunMinutes by machine, set-ups included.
	SawMinutes, RouterMinutes, PolishMinutes float64

	Cuts   []SawCut    // in the order of the outline, then of the cutouts
	Router []RouterRun // likewise
	Holes  int         // round holes, drilled: part of neither length
	Bevels []Bevel     // edges that the drawing marks as mitred or bevelled

	PolishNote string          // why there is no pass, empty when there is one
	Finished   []ProfileLength // finished length by profile, in order of profile
	Curves     []FinishedCurve // finished edges that no edge line polishes: curves, and the steps of a side

	Slab     SlabFit
	Handling Handling
	Notes    []string // what could not be told and why, one sentence each
}

// SawCut is one straight cut along the outline or a cutout.
type SawCut struct {
	Edges  []int  // numbers of the outline's edges it runs along; none on a cutout
	Cutout string // id of the cutout, empty on the outline
	// From and To are the ends of what is cut through down to the bottom face, in
	// the loop's direction of travel.
	From, To geom.Point
	Length   float64 // from From to To
	AngleDeg float64 // of the cut against the x axis, 0 <= a < 180
	// Start and End tell how far the cut stops short of the straight's ends.
	Start, End Stop
	Bevel      bool // the blade is tilted: see Bevel
	Minutes    float64
}

// Stop is how far a cut through the stone stops before the end of its straight.
type Stop struct {
	Short float64 // mm at the bottom face; 0: the cut goes to the end
	Why   string  // empty when Short is 0
}

// RouterRun is what is left to the router in one go, between two cuts.
type RouterRun struct {
	Cutout string // id of the cutout, empty on the outline
	Parts  []RouterPart
	Length float64
}

// RouterPart is a line or arc of a router's run.
type RouterPart struct {
	Curve geom.Curve
	// Corner is true when the saw could have cut it but for a corner of the stone
	// in the way of the blade.
	Corner bool
	Why    string
}

// Bevel is an edge that the drawing's layer or text marks as mitred or bevelled.
type Bevel struct {
	Edge    int
	Length  float64
	Profile string // as the drawing says
}

// ProfileLength is the finished length of one edge profile.
type ProfileLength struct {
	Profile string // empty: the shop's usual one
	Length  float64
}

// FinishedCurve is a finished edge that no edge line polishes: a curve, or the
// short edge that makes a step in a side.
type FinishedCurve struct {
	Edge    int
	Length  float64
	Radius  float64 // mm, of its longest arc; 0 for a step
	Outside bool    // a curve that bows outward
	Profile string
	Why     string // who polishes it
}

// PolishPass is one pass through the edge polisher: all finished straight edges
// on one side of a piece.
type PolishPass struct {
	Edges []int // numbers of the finished edges on this side, counter-clockwise
	// Length is the finished length, Minutes that length at the feed; 0 where the
	// side goes by hand.
	Length  float64 // mm
	Minutes float64
	// StepsLeadStart holds the steps met when the start of the side (counter-
	// clockwise travel) leads; StepsLeadEnd when its end leads.
	StepsLeadStart, StepsLeadEnd []Step

	Profile   string    // of its edges; several are joined by " + "
	Stretches []Stretch // the whole side, finished or not, counter-clockwise
	Extent    float64   // of the side from its leading to its trailing end, mm
	Height    float64   // of the piece square to the side, mm
	// AheadStart and AheadEnd are how far the piece itself reaches beyond the
	// side's start and end, mm: where the operator sets from the piece's leading
	// end, this is added to the distances.
	AheadStart, AheadEnd float64
	FeedLength           float64 // Extent with run-in and run-out
	FeedMinutes          float64 // FeedLength at the feed and the set-up: counts in RunMinutes
	// HandWork says why the edge line cannot polish this side; empty when it can.
	// FeedMinutes is then 0.
	HandWork string
	TooTall  bool // nothing but the height keeps this side from the line
}

// Stretch is a straight part of a side between steps.
type Stretch struct {
	Edge     int     // number; 0 where the side is interrupted by something not parallel
	From, To float64 // mm from the start of the side, counter-clockwise
	Offset   float64 // against the first stretch, positive outward
	Finished bool
}

// Step is an offset of a side against its leading stretch.
type Step struct {
	At     float64 // mm from the leading end
	Offset float64 // mm, positive outward
}
