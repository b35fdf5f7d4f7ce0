package trace

import (
	"math"
	"testing"

	"trueup/dxfio/geom"
)

// What nobody draws must still end, and end quickly.
func TestHostileDrawings(t *testing.T) {
	line := func(id int, a, b geom.Point) Curve { return Curve{Curve: geom.Line(a, b), ID: int32(id), Entity: -1} }
	const n = 1500
	for name, make := range map[string]func(i int) Curve{
		"spokes":    func(i int) Curve { return line(i, geom.Point{}, geom.Point{X: 1000}.Rotate(float64(i)/n*6)) },
		"identical": func(i int) Curve { return line(i, geom.Point{}, geom.Point{X: 1000}) },
		"lines in a bundle": func(i int) Curve {
			return line(i, geom.Point{Y: float64(i) / n}, geom.Point{X: 1000, Y: float64(i) / n})
		},
		"free ends in one spot": func(i int) Curve {
			return line(i, geom.Point{X: 1}.Rotate(float64(i)), geom.Point{X: 1000}.Rotate(float64(i)))
		},
		"tiny steps": func(i int) Curve {
			return line(i, geom.Point{X: float64(i) * 0.003}, geom.Point{X: float64(i+1) * 0.003})
		},
		"not a number": func(i int) Curve { return line(i, geom.Point{X: math.NaN()}, geom.Point{X: float64(i)}) },
		"far away":     func(i int) Curve { return line(i, geom.Point{X: 9e7 + float64(i)}, geom.Point{X: 9e7, Y: 1e3}) },
		"huge":         func(i int) Curve { return line(i, geom.Point{X: 1e300, Y: float64(i)}, geom.Point{X: -1e300, Y: 1}) },
	} {
		t.Run(name, func(t *testing.T) {
			var curves []Curve
			for i := range n {
				curves = append(curves, make(i))
			}
			r := Close(curves, Default())
			for _, f := range r.Faces {
				if a := f.Outer.Geom().Area(); !(a > 0) {
					t.Errorf("face of area %g", a)
				}
			}
			if len(r.Strays)+len(r.Open)+len(r.Repairs)+len(r.Faces)+len(r.Crossings) == 0 {
				t.Error("the curves are gone without a word")
			}
		})
	}
}

func TestNothingAtAll(t *testing.T) {
	if r := Close(nil, Default()); len(describe(r)) != 0 {
		t.Errorf("no curves give %v", describe(r))
	}
	if r := Subtract(nil, nil); len(r) != 0 {
		t.Errorf("no outline gives %v", r)
	}
}
