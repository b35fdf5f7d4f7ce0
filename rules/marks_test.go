package rules

import (
	"math"
	"strings"
	"testing"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// What building the template found of texts and marks arrives with severity, figures
// and words; how it is found is checked from the file on (package pipeline).
func TestMarkRules(t *testing.T) {
	edge := geom.Witness{From: geom.Point{X: 400}, To: geom.Point{X: 1400}}
	for _, c := range []struct {
		name     string
		rule     Rule
		problem  piece.Problem
		severity Severity
		measured float64
		says     string
	}{
		{"one text", mirroredText(), piece.Problem{Kind: piece.MirroredText, At: geom.Point{X: 5, Y: 7}, Count: 1, Measured: 1, Why: "SINK"}, Stop, 1, `The text "SINK" at (5, 7) reads backwards`},
		{"symbols", mirroredText(), piece.Problem{Kind: piece.MirroredText, At: geom.Point{X: 5, Y: 7}, Count: 3, Measured: 3, Why: "DW", Part: true}, Warn, 3, "a block was turned over"},
		{"finished and wall", edgeContradiction(), piece.Problem{Kind: piece.EdgeContradiction, Piece: "A", Layer: "POLISH", Other: "WALLS", At: edge.Middle(), Witness: edge, Measured: 1000, Limit: 10}, Stop, 1000,
			"Edge 1 of piece A is marked finished (layer POLISH) and against a wall (layer WALLS) over 1000 mm, between x = 400 and x = 1400."},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := input(template(t, top))
			in.Template.Problems = []piece.Problem{c.problem}
			got, _ := check(t, c.rule, in)
			if len(got) != 1 || got[0].Severity != c.severity || got[0].Measured != c.measured || !strings.Contains(got[0].Message, c.says) {
				t.Errorf("want %s %v %q: %s", c.severity, c.measured, c.says, listed(got))
			}
		})
	}
}

func TestPieceUnfinished(t *testing.T) {
	const other = "outline 0,900 2400,900 2400,1540 0,1540"
	runCases(t, pieceUnfinished(), []ruleCase{
		{"nothing said of one", top + "finished 1; " + other, nil, []want{{Warn, 6080, 100, at(1200, 1220), 0, "Piece B has no finished edge"}}, "2 x (2400 + 640)"},
		{"both finished", top + "finished 1; " + other + "; finished 1", nil, nil, "nothing to say"},
		{"neither finished", top + other, nil, nil, "nobody marks finishes"},
		{"against walls and at seams", top + "finished 1; " + other + "; wall 1; wall 2; wall 3; seam 4", nil, nil, "nothing to finish"},
		{"as much as may be", top + "finished 1; outline 0,900 100,900 100,1540 0,1540; wall 2; wall 3; wall 4", nil, nil, "equal passes"},
		{"an arc said nothing of", top + "finished 1; outline 0,900^0.1 2400,900 2400,1540 0,1540; wall 2; wall 3; wall 4", nil,
			[]want{{Warn, 6060 * 4 * math.Atan(0.1), 100, nil, 0, "edge 1, 2416 mm long, carries no mark"}}, "R = 2400 x 1.01 / 0.4 = 6060, turning by 4 atan 0.1"},
	})
}
