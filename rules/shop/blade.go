package shop

import (
	"math"

	"trueup/dxfio"
)

// Chord returns the half-length in mm of the chord that a blade of the given
// diameter cuts at the surface when its lowest point lies depth below it:
//
//	c(h) = sqrt(R^2 - (R-h)^2) = sqrt(h (D - h))
//
// It is the distance from the blade's axis to where the rim leaves the surface.
// A depth of 0 or less gives 0, one of R or more gives R.
func Chord(diameter, depth float64) float64 {
	if depth <= 0 {
		return 0
	}
	if depth >= diameter/2 {
		return diameter / 2
	}
	return math.Sqrt(depth * (diameter - depth))
}

// reach returns how deep the blade cuts at most: down to its flange.
func (s Saw) reach() float64 { return (s.Blade - s.Flange) / 2 }

// blade is the saw's blade set for one thickness of stone.
type blade struct {
	top    float64 // c(t+e), half the chord in the top face
	bottom float64 // c(e), half the chord in the bottom face
	kerf   float64
	plunge float64 // room in the top face that the plunging blade takes, with allowance
	least  float64 // shortest cut worth sawing
	// through is false when the blade does not reach through the stone.
	through bool
	lengths dxfio.Lengths // of what is said about its cuts
}

func (s Saw) blade(thickness float64) blade {
	c := Chord(s.Blade, thickness+s.Overcut)
	return blade{top: c, bottom: Chord(s.Blade, s.Overcut), kerf: s.Kerf, plunge: 2*c + s.PlungeRoom, least: s.Shortest, through: true}
}

// short returns how far a cut through the stone ends before the place where the
// blade's kerf in the top face has to end: c(t+e) - c(e).
//
// The top face may not be cut past the corner, so the axis stands c(t+e) before
// it. The bottom face is then cut through to c(e) past the axis. What lies
// between, measured in the bottom face, is uncut or cut only partly through: the
// router cuts it through the whole thickness.
func (b blade) short() float64 { return b.top - b.bottom }
