package support

import (
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// stripSamples is at how many places between the critical ones the stone beside
// a chord is measured: between straight edges the width is linear, arcs bow.
const stripSamples = 8

// Station is a place along a chord with the width of stone across it there.
type Station struct {
	At    float64 // mm from the chord's start
	Width float64 // mm, square to the chord from edge to edge
}

// Stations measures the stone across a chord along its length: at both ends, in
// the middle, and on both sides of every place where the width may jump or turn,
// with samples between for arcs. Widths count up to most. They are exact to a
// hundredth of a millimetre beside straight edges.
func (m *Model) Stations(w geom.Witness, most float64) []Station {
	length := w.Length()
	if length == 0 {
		return nil
	}
	d := w.To.Sub(w.From).Mul(1 / length)
	at := []float64{0, length / 2, length}
	for i := range m.stone {
		e := &m.stone[i]
		at = append(at, d.Dot(e.a.Sub(w.From)))
		if e.radius > 0 {
			c := d.Dot(e.center.Sub(w.From))
			at = append(at, c-e.radius, c, c+e.radius)
		}
	}
	at = slices.DeleteFunc(at, func(t float64) bool { return t < 0 || t > length })
	slices.Sort(at)
	const beside = Sliver / 10 // a corner's width is that of either side
	var out []Station
	for i := 0; i+1 < len(at); i++ {
		lo, hi := at[i], at[i+1]
		if hi-lo < 2*beside {
			continue
		}
		for k := 0; k <= stripSamples; k++ {
			t := lo + (hi-lo)*float64(k)/stripSamples
			p := w.From.Add(d.Mul(math.Min(math.Max(t, lo+beside), hi-beside)))
			ahead, behind, to, from := meets(m.stone, p, d.Left())
			if ahead.edge != nil && behind.edge != nil {
				out = append(out, Station{t, math.Min(most, to-from)})
			}
		}
	}
	return out
}
