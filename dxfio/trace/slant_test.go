package trace

import (
	"math"
	"testing"

	"trueup/dxfio/geom"
)

// TestSlantingSeams cuts a square top with n slanting seams, all parallel, into
// n + 1 pieces, however the drawing is turned: among so many long boxes the index
// turns with them.
func TestSlantingSeams(t *testing.T) {
	const n, side = 300, 10000.0
	curves := parse(t, "poly 0,0 10000,0 10000,10000 0,10000")
	for i := range n { // from the lower edge to the right one, and from the left one to the upper
		a, b := geom.Point{X: side * float64(2*i+1) / n}, geom.Point{X: side, Y: side * (1 - float64(2*i+1)/n)}
		if i >= n/2 {
			k := side * float64(2*(i-n/2)+1) / n
			a, b = geom.Point{Y: k}, geom.Point{X: side - k, Y: side}
		}
		curves = append(curves, Curve{Curve: geom.Line(a, b), ID: int32(len(curves)), Kind: Divider, Entity: -1})
	}
	w := newWork(nil, curves, Default())
	if _, f := w.boxesOf(w.alive()); f.own() || math.Abs(math.Abs(f.X)-math.Sqrt(0.5)) > 0.01 {
		t.Errorf("indexed along %v, want along the diagonal", f)
	}
	r := newRand(t, 51)
	for _, angle := range []float64{0, math.Pi / 4, 0.3, 2, 6 * r.Float64()} {
		turned := disorder(r, curves)
		for i := range turned {
			turned[i].Curve = turned[i].Curve.Rotate(angle)
		}
		res := closed(turned, Default())
		if len(res.Faces) != n+1 || len(res.Strays)+len(res.Open)+len(res.Repairs)+len(res.Crossings) > 0 {
			t.Errorf("turned by %g: %s, want %d faces and nothing else", angle, counts(res), n+1)
		}
		sum := 0.0
		for _, f := range res.Faces {
			sum += f.Outer.Geom().Area()
		}
		if math.Abs(sum-side*side) > 1e-3 {
			t.Errorf("turned by %g: the faces have %.6f mm2 together, want %.0f", angle, sum, side*side)
		}
	}
}
