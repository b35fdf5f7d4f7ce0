package shop

import (
	"math"
	"math/rand/v2"
	"testing"

	"trueup/dxfio/geom"
	"trueup/rules/textform"
)

// The short way to the rectangle around a cutout against the long one, by every
// angle: rectangles, rounded ones, and what only looks like one.
func TestSmallestBox(t *testing.T) {
	const seed = 3
	rng := rand.New(rand.NewPCG(seed, 1))
	short := 0
	for i := range 300 {
		w, h, r := 20+900*rng.Float64(), 20+500*rng.Float64(), 60*rng.Float64()
		l := geom.Polygon(geom.Point{}, geom.Point{X: w}, geom.Point{X: w, Y: h}, geom.Point{Y: h})
		switch i % 4 {
		case 1:
			l = textform.Rounded(l, r)
		case 2:
			l[1].Bulge = 0.02 // a bowed side
		case 3:
			l[2].A.X, l[1].B.X = l[2].A.X-1, l[1].B.X-1 // out of square
		}
		if i%2 == 0 {
			l = l.Reverse()
		}
		l = l.Rotate(2 * math.Pi * rng.Float64())
		if _, ok := squareSides(l); ok {
			short++
		}
		got, want := smallestBox(l), geom.SmallestRectangle(l)
		if math.Abs(got.Length-want.Length) > 1e-6 || math.Abs(got.Width-want.Width) > 1e-6 || got.Center.Distance(want.Center) > 1e-6 {
			t.Fatalf("seed %d, case %d: %+v, want %+v", seed, i, got, want)
		}
		if turn := math.Abs(got.AngleDeg - want.AngleDeg); want.Length > want.Width+1e-6 && math.Min(turn, 180-turn) > 1e-6 {
			t.Fatalf("seed %d, case %d: at %v degrees, want %v", seed, i, got.AngleDeg, want.AngleDeg)
		}
	}
	if short < 100 {
		t.Errorf("the short way was taken %d times of 300", short)
	}
}

// Square sides alone make no box: stairs of 100 mm have all their sides square,
// and the smallest rectangle around ten of them lies along them, at 45 degrees.
func TestStairsAreNoBox(t *testing.T) {
	points := []geom.Point{{X: 0, Y: 0}}
	for i := range 10 {
		at := 100 * float64(i)
		points = append(points, geom.Point{X: at + 200, Y: at}, geom.Point{X: at + 200, Y: at + 100})
	}
	for i := 10; i > 0; i-- {
		at := 100 * float64(i)
		points = append(points, geom.Point{X: at - 100, Y: at}, geom.Point{X: at - 100, Y: at - 100})
	}
	l := geom.Polygon(points[:len(points)-1]...)
	if _, ok := squareSides(l); ok {
		t.Error("stairs are taken for four sides")
	}
	// Across: between the lines through the outer corners (200,0) and (0,100).
	near(t, "width", smallestBox(l).Width, 300/math.Sqrt2, 1e-6)
}
