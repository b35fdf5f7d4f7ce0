package trace

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"trueup/dxfio/geom"
)

// chords returns the corners of n chords along an arc, both ends included.
func chords(center geom.Point, r, fromDeg, sweepDeg float64, n int) []geom.Point {
	var p []geom.Point
	for i := range n + 1 {
		a := (fromDeg + sweepDeg*float64(i)/float64(n)) * math.Pi / 180
		s, c := math.Sincos(a)
		p = append(p, geom.Point{X: center.X + r*c, Y: center.Y + r*s})
	}
	return p
}

func ring(p []geom.Point, entity int32) []Curve {
	var out []Curve
	for i := range p {
		out = append(out, Curve{Curve: geom.Line(p[i], p[(i+1)%len(p)]), ID: int32(i), Entity: entity})
	}
	return out
}

// facetedTop is a top with its four corners rounded in n chords each.
func facetedTop(w, h, r float64, n int) []geom.Point {
	var p []geom.Point
	p = append(p, chords(geom.Point{X: w - r, Y: r}, r, -90, 90, n)...)
	p = append(p, chords(geom.Point{X: w - r, Y: h - r}, r, 0, 90, n)...)
	p = append(p, chords(geom.Point{X: r, Y: h - r}, r, 90, 90, n)...)
	return append(p, chords(geom.Point{X: r, Y: r}, r, 180, 90, n)...)
}

func TestFacets(t *testing.T) {
	noise := func(p []geom.Point, size float64) []geom.Point {
		r := newRand(t, 5)
		q := make([]geom.Point, len(p))
		for i := range p {
			q[i] = p[i].Add(geom.Point{X: size, Y: 0}.Rotate(r.Float64() * 7))
		}
		return q
	}
	rect := func(w, h, r float64) float64 { return w*h - (4-math.Pi)*r*r } // any handbook
	for _, tc := range []struct {
		name   string
		points []geom.Point
		area   float64
		tol    float64
		curves int
		radii  string // of the repairs, sorted as they come
	}{
		{"rounded top, 8 chords a corner", facetedTop(600, 400, 25, 8), rect(600, 400, 25), 1e-6, 8, "25.000 25.000 25.000 25.000"},
		{"rounded top, 4 chords a corner", facetedTop(600, 400, 25, 4), rect(600, 400, 25), 1e-6, 8, "25.000 25.000 25.000 25.000"},
		{"rounded top, 90 chords a corner", facetedTop(600, 400, 25, 90), rect(600, 400, 25), 1e-6, 8, "25.000 25.000 25.000 25.000"},
		{"rounded top with noise", noise(facetedTop(600, 400, 25, 8), 0.01), rect(600, 400, 25), 30, 8, ""},
		{"short straights between corners", facetedTop(54, 54, 25, 12), rect(54, 54, 25), 1e-6, 8, "25.000 25.000 25.000 25.000"},
		{"3 mm straights between large corners", facetedTop(203, 203, 100, 12), rect(203, 203, 100), 1e-6, 8, "100.000 100.000 100.000 100.000"},
		{"whole circle of 48", chords(geom.Point{X: 7, Y: 7}, 100, 3, 360, 48)[:48], math.Pi * 1e4, 1e-6, 2, "100.000"},
		{"tap hole of 16", chords(geom.Point{}, 17.5, 3, 360, 16)[:16], math.Pi * 17.5 * 17.5, 1e-6, 2, "17.500"},
		{"octagon", chords(geom.Point{}, 600, 0, 360, 8)[:8], 8.0 / 2 * 600 * 600 * math.Sin(math.Pi/4), 1e-6, 8, ""},
		{"twelve-sided table", chords(geom.Point{}, 600, 0, 360, 12)[:12], 6 * 600 * 600 * math.Sin(math.Pi/6), 1e-6, 12, ""},
		{"24-sided table", chords(geom.Point{}, 600, 0, 360, 24)[:24], 12 * 600 * 600 * math.Sin(math.Pi/12), 1e-6, 24, ""},
		{"round table of 72", chords(geom.Point{}, 600, 0, 360, 72)[:72], math.Pi * 36e4, 1e-6, 2, "600.000"},
		{"chamfered corner in two", []geom.Point{{X: 0, Y: 0}, {X: 600, Y: 0}, {X: 620, Y: 4}, {X: 632, Y: 20}, {X: 636, Y: 40}, {X: 636, Y: 400}, {X: 0, Y: 400}}, -1, 0, 7, ""},
		{"bow front", append(chords(geom.Point{X: 1000, Y: 3980}, 4000, 255.5224878, 28.955024376, 30), geom.Point{X: 2000, Y: 600}, geom.Point{X: 0, Y: 600}), -1, 0, 4, "4000.000"},
		{"three quarter arc", append(chords(geom.Point{}, 80, 0, 270, 36), geom.Point{}), 0.75 * math.Pi * 6400, 1e-6, 4, "80.000"},
		{"two radii in a row", append(append(chords(geom.Point{}, 100, 0, 90, 12), chords(geom.Point{X: 0, Y: 40}, 60, 90, 90, 12)[1:]...), geom.Point{X: -60, Y: -50}, geom.Point{X: 100, Y: -50}), -1, 0, 5, "60.000 100.000"},
		{"S curve", append(append(chords(geom.Point{}, 100, 0, 90, 12), chords(geom.Point{X: 0, Y: 160}, 60, 270, -90, 12)[1:]...), geom.Point{X: -200, Y: 160}, geom.Point{X: -200, Y: -50}, geom.Point{X: 100, Y: -50}), -1, 0, 6, "60.000 100.000"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			for shift := range 5 {
				p := append(append([]geom.Point(nil), tc.points[shift:]...), tc.points[:shift]...)
				r := closed(ring(p, int32(shift)-1), Default())
				if len(r.Faces) != 1 || len(r.Open)+len(r.Strays)+len(r.Crossings) > 0 {
					t.Fatalf("shift %d: %v", shift, describe(r))
				}
				outer := r.Faces[0].Outer
				if len(outer) != tc.curves {
					t.Errorf("shift %d: %d curves, want %d: %v", shift, len(outer), tc.curves, describe(r))
				}
				if a := outer.Geom().Area(); tc.area > 0 && math.Abs(a-tc.area) > tc.tol {
					t.Errorf("shift %d: area %.9g, want %.9g", shift, a, tc.area)
				}
				var radii []string
				for _, x := range r.Repairs {
					if x.Kind != FacetsToArc {
						t.Errorf("shift %d: repair %v", shift, x)
					}
					radii = append(radii, fmt.Sprintf("%.3f", x.Radius))
				}
				if got := strings.Join(radii, " "); tc.radii != "" && got != tc.radii {
					t.Errorf("shift %d: radii %s, want %s", shift, got, tc.radii)
				} else if tc.radii == "" && tc.curves == len(tc.points) && got != "" {
					t.Errorf("shift %d: sides became arcs %s", shift, got)
				}
			}
		})
	}
}

// Corners as written with two decimals of a millimetre, three of an inch, or
// further off but within the tolerance of 0.1 mm, are the arcs they were: four
// of the radius, and four sides. Area and radius from the shape before rounding.
func TestFacetsRounded(t *testing.T) {
	for _, step := range []float64{0.001, 0.0254, 0.01, 0.1} {
		for _, r := range []float64{10, 15, 25, 50, 100, 150} {
			for _, n := range []int{5, 6, 8, 12, 24, 60, 90} {
				if arc := r * math.Pi / 2; arc/float64(n) < 8*step || step == 0.1 && (n < 8 || arc/float64(n) < 5) {
					continue // rounding turns chords as short by up to 25 degrees, or by more than the corner
				}
				for _, at := range []geom.Point{{}, {X: 0.0037, Y: 0.0071}} {
					var p []geom.Point
					for _, q := range facetedTop(600, 400, r, n) {
						q = q.Add(at)
						p = append(p, geom.Point{X: math.Round(q.X/step) * step, Y: math.Round(q.Y/step) * step})
					}
					got := closed(ring(p, 1), Default())
					if len(got.Faces) != 1 {
						t.Fatalf("radius %g in %d chords to %g: %v", r, n, step, describe(got))
					}
					outer := got.Faces[0].Outer
					want := 600*400 - (4-math.Pi)*r*r
					if a := outer.Geom().Area(); len(outer) != 8 || math.Abs(a-want) > 2000*step {
						t.Errorf("radius %g in %d chords to %g: %d curves, area %.2f, want 8 and %.2f", r, n, step, len(outer), a, want)
						continue
					}
					for _, c := range outer {
						if c.Bulge != 0 && math.Abs(c.Radius()-r) > 0.03*r+step {
							t.Errorf("radius %g in %d chords to %g: an arc of %g", r, n, step, c.Radius())
						}
					}
				}
			}
		}
	}
}
