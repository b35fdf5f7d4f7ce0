package dxfio

import (
	"math"
	"math/rand/v2"
	"testing"

	"trueup/dxfio/geom"
)

// The gauge against the general distance of package geom.
func TestGauge(t *testing.T) {
	const seed = 5
	rng := rand.New(rand.NewPCG(seed, seed))
	for range 8_000 {
		c := geom.Curve{A: geom.Point{X: rng.Float64() * 100, Y: rng.Float64() * 100}, B: geom.Point{X: rng.Float64() * 100, Y: rng.Float64() * 100}, Bulge: 2*rng.Float64() - 1}
		switch rng.IntN(4) {
		case 0:
			c.Bulge = 0
		case 1:
			c.Bulge *= 1e-7
		}
		g := newGauge(c)
		p := c.At(rng.Float64()*1.2 - 0.1).Add(geom.Point{X: rng.NormFloat64(), Y: rng.NormFloat64()}.Mul(0.02 * c.Chord()))
		if got, want := g.distance(p), c.Distance(p); math.Abs(got-want) > 1e-9 {
			t.Fatalf("seed %d: %v from %v: %v, want %v", seed, p, c, got, want)
		}
	}
}
