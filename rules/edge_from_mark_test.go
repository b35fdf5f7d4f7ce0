package rules

import (
	"math"
	"testing"
)

// A front of 2400 mm whose outline is closed by a mark. Where the gap lies in the
// edge the mark only marks, and the outline is open; a whole edge is taken from the
// mark, and told: as a note where marks are drawn instead of the outline, as a stop
// where elsewhere they are drawn besides. All figures are lengths as drawn.
func TestEdgesFromMarks(t *testing.T) {
	const back = "COUNTER loose 2400,0 2400,640 0,640 0,0;"
	for _, c := range []struct {
		name, drawing string
		rule          string
		severity      Severity
		measured      float64
		pieces        int
	}{
		{"gap just past bridging, in the middle of the front", back + "COUNTER 0,0 1200,0; COUNTER 1203.2,0 2400,0; FINISHED 0,0 2400,0", "open-outline", Stop, 3.2, 0},
		{"wide gap in the middle", back + "COUNTER 0,0 1200,0; COUNTER 1280,0 2400,0; FINISHED 0,0 2400,0; WALL 0,640 2400,640", "open-outline", Stop, 80, 0},
		{"gap at the corner", back + "COUNTER 25,0 2400,0; FINISHED 0,0 2400,0", "open-outline", Stop, 25, 0},
		{"gap at the wall, the mark longer than the top", "COUNTER loose 1230,640 0,640 0,0 2400,0 2400,640 1238,640; WALL -400,640 3000,640", "open-outline", Stop, 8, 0},
		{"gap in a round front", "COUNTER 0,0 0,640 2400,640 2400,0; COUNTER 2400,0^-0.05 1300,-120; COUNTER 1100,-120^-0.05 0,0; " +
			"FINISHED 2400,0^-0.05 1300,-120 1100,-120^-0.05 0,0", "edge-from-mark", Stop, 200, 1},
		{"the whole front on the finished layer", back + "FINISHED 0,0 2400,0", "edge-from-mark", Note, 2400, 1},
		{"the front and a side in one line", "COUNTER loose 0,0 0,640 2400,640; FINISHED 2400,640 2400,0 0,0", "edge-from-mark", Note, 3040, 1},
		{"half of the front is finished and drawn there", back + "COUNTER 0,0 1200,0; FINISHED 1200,0 2400,0", "edge-from-mark", Note, 1200, 1},
		{"the back is the wall, longer than the top", "COUNTER loose 0,640 0,0 2400,0 2400,640; WALL -300,640 2700,640", "edge-from-mark", Note, 2400, 1},
		{"a front lost where the wall marks a line", back + "FINISHED 0,0 2400,0; WALL 0,640 2400,640", "edge-from-mark", Stop, 2400, 1},
		{"a back lost where the finish marks a part of the front", "COUNTER loose 0,640 0,0 2400,0 2400,640; FINISHED 600,0 2400,0; WALL 0,640 2400,640", "edge-from-mark", Stop, 2400, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			tpl := drawn(t, c.drawing)
			if len(tpl.Pieces) != c.pieces {
				t.Errorf("%d pieces, want %d", len(tpl.Pieces), c.pieces)
			}
			var flags []Flag
			for _, r := range [2]Rule{openOutline(), edgeFromMark()} {
				more, _ := check(t, r, input(tpl))
				flags = append(flags, more...)
			}
			if len(flags) != 1 || flags[0].Rule != c.rule || flags[0].Severity != c.severity || math.Abs(flags[0].Measured-c.measured) > 1e-6 {
				t.Errorf("want %s %v %v:\n%s", c.severity, c.rule, c.measured, listed(flags))
			}
		})
	}
}

// The front slipped inward by 30 mm: the top ends there, and the finish line between
// the sides' ends made a strip of stone that nobody drew.
func TestMarksMakeNoPieces(t *testing.T) {
	tpl := drawn(t, "COUNTER loose 2400,0 2400,640 0,640 0,0; COUNTER 0,30 2400,30; FINISHED 0,0 2400,0; WALL 0,640 2400,640")
	if len(tpl.Pieces) != 1 {
		t.Errorf("%d pieces, want 1", len(tpl.Pieces))
	}
	flags, _ := check(t, strayCurve(), input(tpl))
	if len(flags) != 2 || flags[0].Measured != 30 || flags[1].Measured != 30 {
		t.Errorf("want the 30 mm of both sides told:\n%s", listed(flags))
	}
}
