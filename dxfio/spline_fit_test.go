package dxfio

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"trueup/dxfio/geom"
)

// Natural cubic spline through (1,2), (2,3), (3,5): S' is 0.75, 1.5 and 2.25 at
// the points (Burden and Faires, Numerical Analysis, section 3.5; from memory,
// checked by substitution).
func TestNaturalSlopes(t *testing.T) {
	got := openSlopes([]vec3{{x: 2}, {x: 3}, {x: 5}}, []float64{1, 1}, vec3{}, vec3{})
	for i, want := range []float64{0.75, 1.5, 2.25} {
		if math.Abs(got[i].x-want) > 1e-12 {
			t.Errorf("slope %d: %v, want %v", i, got[i].x, want)
		}
	}
}

// Four points on the unit circle: by symmetry the slopes of the closed spline
// are tangents of one length m with 4 h m = 3 * 2, h = sqrt(2).
func TestClosedSlopes(t *testing.T) {
	p := []vec3{{x: 1}, {y: 1}, {x: -1}, {y: -1}, {x: 1}}
	h := []float64{math.Sqrt2, math.Sqrt2, math.Sqrt2, math.Sqrt2}
	m := 3 / (2 * math.Sqrt2)
	for i, want := range []vec3{{y: m}, {x: -m}, {y: -m}, {x: m}, {y: m}} {
		if got := closedSlopes(p, h)[i]; got.sub(want).norm() > 1e-12 {
			t.Errorf("slope %d: %v, want %v", i, got, want)
		}
	}
}

func TestSplineByFitPoints(t *testing.T) {
	for _, tc := range []struct {
		name, groups string
		closed       bool
		through      []geom.Point
	}{
		{"open", "70 8 71 3 74 4 11 0 21 0 11 100 21 80 11 250 21 -40 11 400 21 0", false, []geom.Point{{}, {X: 100, Y: 80}, {X: 250, Y: -40}, {X: 400}}},
		{"with tangents", "70 8 71 3 12 0 22 1 13 0 23 -1 11 0 21 0 11 100 21 80 11 400 21 0", false, []geom.Point{{}, {X: 100, Y: 80}, {X: 400}}},
		{"closed", "70 9 71 3 11 0 21 0 11 100 21 80 11 50 21 200 11 -60 21 90", true, []geom.Point{{}, {X: 100, Y: 80}, {X: 50, Y: 200}, {X: -60, Y: 90}}},
		{"closed, first point again at the end", "70 9 71 3 11 0 21 0 11 100 21 80 11 50 21 200 11 0 21 0", true, []geom.Point{{}, {X: 100, Y: 80}, {X: 50, Y: 200}}},
		{"points that repeat", "70 8 71 3 11 0 21 0 11 0 21 0 11 100 21 80 11 100 21 80", false, []geom.Point{{}, {X: 100, Y: 80}}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			d := mustRead(t, entities("0 SPLINE 8 TOP "+tc.groups))
			n := len(d.Curves)
			for _, p := range tc.through {
				best := math.Inf(1)
				for _, c := range d.Curves {
					best = math.Min(best, c.Distance(p))
				}
				if best > 0.01 {
					t.Errorf("passes %v at a distance of %v", p, best)
				}
			}
			for i := range d.Curves[:n-1] {
				if turn := d.Curves[i].Tangent(1).Cross(d.Curves[i+1].Tangent(0)); math.Abs(turn) > 1e-6 {
					t.Errorf("tangent turns by %v at %v", turn, d.Curves[i].B)
				}
			}
			if first, last := d.Curves[0], d.Curves[n-1]; tc.closed && (first.A != last.B || math.Abs(last.Tangent(1).Cross(first.Tangent(0))) > 1e-6) {
				t.Errorf("does not close smoothly: %v to %v", last.B, first.A)
			}
			if tc.name == "with tangents" && (math.Abs(d.Curves[0].Tangent(0).X) > 1e-9 || math.Abs(d.Curves[n-1].Tangent(1).X) > 1e-9) {
				t.Errorf("tangents %v and %v", d.Curves[0].Tangent(0), d.Curves[n-1].Tangent(1))
			}
		})
	}
}

// Found by fuzzing: a spline that runs to and fro on a line turned back between
// two samples. Its fit points are its turns or lie between them.
func TestSplineTurnsBack(t *testing.T) {
	d := mustRead(t, entities("0 SPLINE 8 TOP 70 8 71 3 11 0 21 42 11 0 21 64 11 0 21 0 11 0 21 50 11 0 21 121"))
	lowest, passed := math.Inf(1), false
	for _, c := range d.Curves {
		lowest = math.Min(lowest, c.Box().Min.Y)
		passed = passed || c.Box().Min.Y <= 0 && c.Box().Max.Y >= 0
	}
	// The natural spline through these points dips to -0.43865 behind the third,
	// computed apart from this code, by its second derivatives.
	if math.Abs(lowest+0.43865) > 0.01 || !passed {
		t.Errorf("lowest point at %v", lowest)
	}
}

// By hand, three points on chords of one length h with directions d0 and d1: the
// natural spline leaves the first with (5 d0 - d1) / 4, the parabola with (3 d0 -
// d1) / 2, and both have the slope (d0 + d1) / 2 in the middle; they differ most a
// third of the way, by 4/27 h |d0 - d1| / 4. For chords (100, 80) and (100, -80)
// that is 160 / 27.
func TestEndDoubt(t *testing.T) {
	p := []vec3{{}, {x: 100, y: 80}, {x: 200}}
	h := []float64{math.Hypot(100, 80), math.Hypot(100, 80)}
	doubt := endDoubt(p, h, openSlopes(p, h, vec3{}, vec3{}), vec3{}, vec3{})
	if got, want := doubt[1].sub(doubt[0]).norm(), 160.0/27; math.Abs(got-want) > 1e-9 {
		t.Errorf("ends differ by %v, want %v", got, want)
	}
}

// Only a spline whose ends programs bend differently is told to be in doubt, and
// it is read nevertheless.
func TestSplineEndsInDoubt(t *testing.T) {
	var dense strings.Builder // points every 2 mm of a circle of 300 mm: the ends differ by micrometres
	for i := range 60 {
		s, c := math.Sincos(2 * float64(i) / 300)
		fmt.Fprintf(&dense, " 11 %.9f 21 %.9f", 300*c, 300*s)
	}
	const points = " 11 0 21 0 11 100 21 80 11 200 21 0"
	for _, tc := range []struct {
		name, groups string
		doubt        bool
	}{
		{"without tangents", "70 8 71 3" + points, true},
		{"with one tangent", "70 8 71 3 12 1 22 2" + points, true},
		{"with both tangents", "70 8 71 3 12 1 22 2 13 1 23 -2" + points, false},
		{"closed", "70 9 71 3" + points, false},
		{"two points: a line", "70 8 71 3 11 0 21 0 11 100 21 80", false},
		{"points on a line", "70 8 71 3 11 0 21 0 11 100 21 0 11 200 21 0", false},
		{"points close together", "70 8 71 3" + dense.String(), false},
		{"control points", "70 8 71 3 40 0 40 0 40 0 40 0 40 1 40 1 40 1 40 1 10 0 20 0 10 100 20 80 10 200 20 80 10 300 20 0" + points, false},
	} {
		t.Run(tc.name, func(t *testing.T) {
			d := mustRead(t, entities("0 SPLINE 8 TOP "+tc.groups))
			if len(d.Curves) == 0 {
				t.Error("not read")
			}
			if tc.doubt {
				wantUnread(t, d, Unread{"SPLINE", "TOP", WhySplineEnds, 1})
			} else {
				wantUnread(t, d)
			}
		})
	}
}
