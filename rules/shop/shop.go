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

// Setup is every set-up figure of one piece.
type Setup struct {
	Mass       float64 // kg: net area x thickness x density
	SawLength  float64 // mm the saw cuts, outline and cutouts
	RouterLeft float64 // mm left for the router
	RunMinutes float64 // machine minutes of saw, router and polisher
	Polish     []PolishPass
}

// PolishPass is one pass through the edge polisher.
type PolishPass struct {
	Edges   []int   // numbers of the edges on this side
	Length  float64 // mm
	Minutes float64
	// StepsLeadStart holds the steps met when the start of the side (counter-
	// clockwise travel) leads; StepsLeadEnd when its end leads.
	StepsLeadStart, StepsLeadEnd []Step
}

// Step is an offset of a side against its leading stretch.
type Step struct {
	At     float64 // mm from the leading end
	Offset float64 // mm, positive outward
}
