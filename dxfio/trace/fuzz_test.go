package trace

import (
	"math"
	"testing"

	"trueup/dxfio/geom"
)

// FuzzClose reads curves from bytes, on a coarse grid so that ends meet, and
// looks for loops that gape, run the wrong way round, or overlap their parent.
func FuzzClose(f *testing.F) {
	f.Add([]byte{0, 0, 9, 0, 0, 9, 0, 9, 9, 0, 9, 9, 0, 9, 0, 0, 9, 0, 0, 0})
	f.Add([]byte{0, 0, 9, 9, 0, 9, 9, 9, 0, 0, 9, 0, 0, 9, 0, 0, 9, 0, 0, 0, 4, 0, 4, 9, 200})
	f.Fuzz(func(t *testing.T, data []byte) {
		var curves []Curve
		for len(data) >= 5 && len(curves) < 60 {
			c := Curve{ID: int32(len(curves)), Entity: -1}
			c.A = geom.Point{X: float64(data[0]%16) * 40, Y: float64(data[1]%16) * 40}
			c.B = geom.Point{X: float64(data[2]%16) * 40, Y: float64(data[3]%16) * 40}
			switch k := data[4]; {
			case k >= 200:
				c.Kind = Divider
			case k >= 100:
				c.Bulge = float64(k-150) / 50
			case k >= 50: // ends that miss each other
				c.B.X += float64(k-75) / 8
			}
			curves = append(curves, c)
			data = data[5:]
		}
		r := closed(curves, Default())
		for i, f := range r.Faces {
			net := f.Outer.Geom().Area()
			for _, l := range append([]Loop{f.Outer}, f.Holes...) {
				for k, c := range l {
					if c.B != l[(k+1)%len(l)].A {
						t.Errorf("face %d gapes after %v", i, c)
					}
				}
			}
			for _, h := range f.Holes {
				a := h.Geom().Area()
				if a >= 0 {
					t.Errorf("face %d has a hole of area %g", i, a)
				}
				net += a
			}
			if !(net > -geom.Tolerance) || math.IsNaN(net) {
				t.Errorf("face %d has the area %g", i, net)
			}
		}
	})
}
