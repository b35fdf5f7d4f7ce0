package report

import (
	"math/rand/v2"
	"testing"

	"trueup/dxfio/geom"
)

// The way to the paper and back ends where it began.
func TestFrameBack(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 11))
	for range 1000 {
		f := frame{turn: r.Float64() * 7, scale: 0.01 + r.Float64(), middle: geom.Point{X: r.Float64() * 5000, Y: r.Float64() * 5000}, at: geom.Point{X: 90, Y: 60}}
		p := geom.Point{X: r.Float64()*9000 - 3000, Y: r.Float64()*9000 - 3000}
		if d := f.back(f.point(p)).Distance(p); d > 1e-8 {
			t.Fatalf("%v comes back %g away through %+v", p, d, f)
		}
	}
}
