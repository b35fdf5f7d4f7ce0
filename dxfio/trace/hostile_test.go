package trace

import (
	"math"
	"slices"
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
		"hatch of slanting lines": func(i int) Curve {
			return line(i, geom.Point{X: float64(i)}, geom.Point{X: float64(i) + 1e4, Y: 1e4})
		},
		"partly along each other": func(i int) Curve {
			return line(i, geom.Point{X: float64(i * 7919 % n)}, geom.Point{X: float64(i*7919%n) + 50 + float64(i*104729%n), Y: 0})
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
			r := closed(curves, Default())
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

// TestCrowd: lines along each other by the hundred come out as what they cover,
// and every one of them but those needed for it is named as a repeat.
func TestCrowd(t *testing.T) {
	r := newRand(t, 41)
	curves := parse(t, top)
	for i := range 600 {
		x := 100 * float64(i%3) // three heaps with nothing between, the last 50 mm longer
		a, b := x+10+70*r.Float64(), x+10+70*r.Float64()
		if i < 6 {
			a, b = x+10, x+80+50*math.Floor(float64(i%3)/2)
		}
		curves = append(curves, Curve{Curve: geom.Line(geom.Point{X: 100 + a, Y: 300}, geom.Point{X: 100 + b, Y: 300}), ID: int32(len(curves)), Entity: -1})
	}
	want := fingerprint(closed(curves, Default()), same)
	for range 3 {
		res := closed(disorder(r, curves), Default())
		if got := fingerprint(res, same); !slices.Equal(got, want) {
			t.Errorf("disordered:\n got %q\nwant %q", got, want)
		}
		loose := 0.0
		for _, c := range res.Strays {
			loose += c.Length()
		}
		for _, o := range res.Open {
			for _, c := range o.Curves {
				loose += c.Length()
			}
		}
		if len(res.Faces) != 1 || math.Abs(loose-(70+70+120)) > geom.Tolerance {
			t.Errorf("%d faces, %.6f mm loose, want 260", len(res.Faces), loose)
		}
		named := map[int32]bool{}
		for _, p := range res.Repairs {
			named[p.ID] = p.Kind == DuplicateRemoved
		}
		if n := len(named); n < 600-6 {
			t.Errorf("%d lines are named as repeats", n)
		}
	}
}

func TestNothingAtAll(t *testing.T) {
	if r := closed(nil, Default()); len(describe(r)) != 0 {
		t.Errorf("no curves give %v", describe(r))
	}
	if r := all(Subtract(nil, nil, nil)); len(r) != 0 {
		t.Errorf("no outline gives %v", r)
	}
}
