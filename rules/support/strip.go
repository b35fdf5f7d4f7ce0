package support

import (
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// stripSamples is at how many places between the critical ones the stone beside
// a chord is measured: between straight edges the width is linear and the
// critical places suffice, arcs bow between them.
const stripSamples = 8

// Strip returns the least width of stone across a chord, measured square to it
// from edge to edge through each of its points, at most the given width: the
// beam that carries a load on the chord. It is short by Sliver at most beside
// straight edges; beside arcs it is the least of samples.
func (m *Model) Strip(w geom.Witness, most float64) float64 {
	length := w.Length()
	if length == 0 {
		return 0
	}
	d := w.To.Sub(w.From).Mul(1 / length)
	n := d.Left()
	at := []float64{0, length}
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
	for i := 0; i+1 < len(at); i++ {
		lo, hi := at[i]+Sliver/10, at[i+1]-Sliver/10
		if lo >= hi {
			continue
		}
		for k := 0; k <= stripSamples; k++ {
			p := w.From.Add(d.Mul(lo + (hi-lo)*float64(k)/stripSamples))
			ahead, behind, to, from := meets(m.stone, p, n)
			if ahead.edge != nil && behind.edge != nil {
				most = math.Min(most, to-from)
			}
		}
	}
	return most
}
