package rules

import (
	"math"
	"testing"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// TestSeamOverAGapFromEverySide: a seam in the middle of a gap of 90 mm lies over
// nothing for its whole length, however the drawing is turned. It passed at 12 of 17
// angles, as a lip: half a gap away from the cabinets that the box around a slanting
// seam reached. Places by hand.
func TestSeamOverAGapFromEverySide(t *testing.T) {
	rest := func(y float64) geom.Loop { return box(1000, 0, 1400, y) } // what carries the back of the seam
	for _, tc := range []struct {
		name     string
		cabinets []geom.Loop
		want     float64 // mm over nothing; 0: the seam is carried
	}{
		{"a gap of 9, the seam in it", []geom.Loop{box(0, 0, 1195.5, 600), box(1204.5, 0, 2400, 600)}, 0},
		{"a gap of 6, the seam in it", []geom.Loop{box(0, 0, 1197, 600), box(1203, 0, 2400, 600)}, 0},
		{"a gap of 9.5, on a step of the search", []geom.Loop{box(0, 0, 1195.25, 600), box(1204.75, 0, 2400, 600)}, 0},
		{"a gap of 9.9, nearer to one side", []geom.Loop{box(0, 0, 1193.4, 600), box(1203.3, 0, 2400, 600)}, 0},
		{"a gap of 10.6", []geom.Loop{box(0, 0, 1194.7, 600), box(1205.3, 0, 2400, 600)}, 638},
		{"beside one cabinet, 4.5 off it", []geom.Loop{box(0, 0, 1195.5, 600), box(1500, 0, 2400, 600)}, 638},
		{"a gap of 90", []geom.Loop{box(0, 0, 1155, 600), box(1245, 0, 2400, 600)}, 638},
		{"a gap of 20", []geom.Loop{box(0, 0, 1190, 600), box(1210, 0, 2400, 600)}, 638},
		{"a gap of 60 before a rail", []geom.Loop{box(0, 0, 1170, 600), box(1230, 0, 2400, 600), rest(100)}, 538},
		{"a joint of 4", []geom.Loop{box(0, 0, 1198, 600), box(1202, 0, 2400, 600)}, 0},
		{"a lip of 50", []geom.Loop{box(0, 0, 2400, 588)}, 0},
		{"a lip of 50.5", []geom.Loop{box(0, 0, 2400, 587.5)}, 50.5},
	} {
		for k := range 17 {
			angle := 2 * math.Pi * float64(k) / 17
			tp := turnedTemplate(seamedTops(0, tc.cabinets...), angle)
			flags := runRule(ptr(seamUnsupported()), supportInput(tp)).flags
			got := 0.0
			for _, f := range flags {
				got += f.Measured
			}
			if math.Abs(got-tc.want) > 1e-6 {
				t.Errorf("%s turned by %.1f degrees: %.3f mm over nothing, want %.3f", tc.name, angle*180/math.Pi, got, tc.want)
			}
		}
	}
}

// TestMitreOverNothing: from the inside corner of an L to its outside one, the
// cabinets end before the blind corner. Only the mitre's two ends are near a cabinet:
// 686 mm over nothing passed as a lip. Of a mitre between fronts that overhang by 40
// the end is a lip of 40 square to either front.
func TestMitreOverNothing(t *testing.T) {
	const depth = 640
	mitre := []geom.Curve{geom.Line(xy(0, 0), xy(depth, depth))}
	for _, tc := range []struct {
		name     string
		cabinets []geom.Loop
		want     float64
	}{
		{"blind corner without a cabinet, a post at the wall", []geom.Loop{box(0, 0, 110, 110), box(660, 0, 2400, 600), box(0, 660, 600, 2400)}, depth*math.Sqrt2 - 110*math.Sqrt2},
		{"over the corner cabinet", []geom.Loop{box(0, 0, 2400, 600), box(0, 600, 600, 2400)}, 0},
	} {
		for k := range 17 {
			tp := carriedTop(geom.Polygon(xy(0, 0), xy(2400, 0), xy(2400, depth), xy(depth, depth)), tc.cabinets...)
			other := piece.Piece{ID: "B", Kind: piece.Counter, Outline: geom.Polygon(xy(0, 0), xy(depth, depth), xy(depth, 2400), xy(0, 2400)), Material: "granite", Thickness: 30}
			tp.Pieces = append(tp.Pieces, other)
			back := geom.Loop(mitre).Reverse()
			tp.Seams = []piece.Seam{{ID: "S1", Kind: piece.MitreSeam, Pieces: [2]string{"A", "B"}, Chains: [2][]geom.Curve{back, mitre}, Moved: mitre, Length: depth * math.Sqrt2}}
			tp = turnedTemplate(tp, 2*math.Pi*float64(k)/17)
			got := 0.0
			for _, f := range runRule(ptr(seamUnsupported()), supportInput(tp)).flags {
				got += f.Measured
			}
			if math.Abs(got-tc.want) > 1e-6 {
				t.Errorf("%s, turn %d of 17: %.3f mm over nothing, want %.3f", tc.name, k, got, tc.want)
			}
		}
	}
}

// turnedTemplate turns pieces, seams, supports and openings about the origin.
func turnedTemplate(t *piece.Template, angle float64) *piece.Template {
	turn := func(l []geom.Curve) []geom.Curve { return geom.Loop(l).Rotate(angle) }
	out := *t
	out.Pieces, out.Seams, out.Supports, out.Openings = nil, nil, nil, nil
	for _, p := range t.Pieces {
		p.Outline = turn(p.Outline)
		out.Pieces = append(out.Pieces, p)
	}
	for _, s := range t.Seams {
		s.Chains = [2][]geom.Curve{turn(s.Chains[0]), turn(s.Chains[1])}
		s.Moved = turn(s.Moved)
		out.Seams = append(out.Seams, s)
	}
	for _, s := range t.Supports {
		out.Supports = append(out.Supports, piece.Support{Area: turn(s.Area), Line: turn(s.Line)})
	}
	for _, o := range t.Openings {
		out.Openings = append(out.Openings, piece.Opening{Area: turn(o.Area)})
	}
	return &out
}
