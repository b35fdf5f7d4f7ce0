package rules

import (
	"testing"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// Rules about what lies under and beside the tops, their figures by hand; turned,
// mirrored, in other units and from the file on they are checked in package pipeline.
func TestCabinetRules(t *testing.T) {
	sunk := func(kind piece.CutoutKind, x0, y0, x1, y1 float64) piece.Cutout {
		return piece.Cutout{ID: "A-1", Kind: kind, Loop: box(x0, y0, x1, y1).Reverse()}
	}
	for _, c := range []struct {
		name     string
		rule     Rule
		cabinets []geom.Loop
		cutout   *piece.Cutout
		walls    []geom.Curve
		want     []want
		source   string
	}{
		{"cabinet within the stone", cabinetProud(), []geom.Loop{box(0, 38, 2400, 640)}, nil, nil, nil, "38 mm behind the front"},
		{"cabinet 4.8 mm proud", cabinetProud(), []geom.Loop{box(0, -4.8, 2400, 640)}, nil, nil, nil, "equal passes"},
		{"cabinets in a row, all proud", cabinetProud(), []geom.Loop{box(0, -5, 600, 640), box(600, -5, 1200, 640), box(1200, -5, 2400, 640)}, nil, nil,
			[]want{{Warn, 5, 4.8, at(900, -2.5), 2397.9616, "over 2398 mm"}}, "1 mm off either corner; where two meet, twice from 0.01 mm off it, 4.8/5 of that under the limit at either side"},
		{"cabinet 5 mm proud", cabinetProud(), []geom.Loop{box(0, -5, 2400, 640)}, nil, nil, []want{{Warn, 5, 4.8, at(1200, -2.5), 2398, "stands out 5 mm past the stone"}}, "1 mm off either corner"},
		{"round leg past the corner", cabinetProud(), []geom.Loop{geom.Circle(geom.Point{X: 1200, Y: 20}, 40)}, nil, nil, []want{{Warn, 20, 4.8, at(1200, -10), 0, ""}}, "40 - 20"},
		{"sink in its cabinet", sinkOverCabinetSide(), []geom.Loop{box(700, 38, 1500, 640)}, &piece.Cutout{ID: "A-1", Kind: piece.Sink, Loop: box(700, 120, 1500, 520).Reverse()}, nil, nil, "touching is not across"},
		{"sink 10 mm over the side", sinkOverCabinetSide(), []geom.Loop{box(700, 38, 1500, 640)}, ptrTo(sunk(piece.Sink, 800, 120, 1510, 520)), nil, []want{{Warn, 10, 3.2, at(1505, 320), 400, "reaches 10 mm past it"}}, "1510 - 1500"},
		{"cooktop 50 mm from the wall", cooktopNearWall(), nil, ptrTo(sunk(piece.Cooktop, 800, 80, 1360, 590)), []geom.Curve{lineFrom(0, 640, 2400, 640)}, nil, "equal passes"},
		{"cooktop 49 mm from the wall", cooktopNearWall(), nil, ptrTo(sunk(piece.Cooktop, 800, 80, 1360, 591)), []geom.Curve{lineFrom(0, 640, 2400, 640)}, []want{{Warn, 49, 50, at(1080, 615.5), 0, "lies 49 mm from the wall"}}, "640 - 591"},
		{"sink near the wall", cooktopNearWall(), nil, ptrTo(sunk(piece.Sink, 800, 80, 1360, 591)), []geom.Curve{lineFrom(0, 640, 2400, 640)}, nil, "no cooktop"},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := input(template(t, top))
			for _, loop := range c.cabinets {
				in.Template.Supports = append(in.Template.Supports, piece.Support{Area: loop})
			}
			if c.cutout != nil {
				in.Template.Pieces[0].Cutouts = []piece.Cutout{*c.cutout}
			}
			in.Template.Walls = c.walls
			got, unchecked := check(t, c.rule, in)
			if len(unchecked) > 0 {
				t.Error(unchecked)
			}
			wantFlags(t, got, c.want, func(p geom.Point) geom.Point { return p })
		})
	}
}

func ptrTo(c piece.Cutout) *piece.Cutout { return &c }

func TestSplashDiffers(t *testing.T) {
	runCases(t, splashDiffers(), []ruleCase{
		{"as long as the wall", top + "wall 3; splash 0,900 2400,900 2400,1000 0,1000", nil, nil, "by hand"},
		{"at the limit", top + "wall 3; splash 0,900 2403.2,900 2403.2,1000 0,1000", nil, nil, "3.2 mm passes"},
		{"past it", top + "wall 3; splash 0,900 2404,900 2404,1000 0,1000", nil, []want{{Warn, 4, 3.2, at(1202, 950), 0, "4 mm longer"}}, "2404 - 2400"},
		{"on an arc", "outline 0,0 2400,0 2400,640^0.1 0,640; wall 3; splash 0,900 2415.968136,900 2415.968136,1000 0,1000", nil, nil, "R = 2400 x 1.01 / 0.4, turning by 4 atan 0.1"},
		{"behind another in either corner", top + "wall 2; wall 3; wall 4; splash 0,900 2340,900 2340,1000 0,1000", nil, nil, "2400 - 2 x 30"},
		{"side splash at an unmarked edge", top + "finished 1; wall 3; splash 0,900 640,900 640,1000 0,1000", nil, nil, "640, the depth of the top: nobody said what stands there"},
		{"as long as a finished edge alone", top + "finished 2; finished 4; wall 3; splash 0,900 640,900 640,1000 0,1000", nil, []want{{Warn, 1760, 3.2, at(320, 950), 0, "1760 mm shorter"}}, "2400 - 640"},
		{"no splash", top + "wall 3", nil, nil, "nothing to compare"},
	})
	for name, drawing := range map[string]string{"no top": "splash 0,900 2400,900 2400,1000 0,1000", "no edge": top + "finished 1; finished 2; finished 3; finished 4; splash 0,900 2400,900 2400,1000 0,1000"} {
		if got, unchecked := check(t, splashDiffers(), input(template(t, drawing))); len(got) > 0 || len(unchecked) != 1 {
			t.Errorf("%s: %s%v", name, listed(got), unchecked)
		}
	}
}
