package rules

import (
	"strings"
	"testing"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// Rules that report what building the template found. The figures are the
// problem's own; what is tested is that they arrive, with place, unit and words.
func TestProblemRules(t *testing.T) {
	gap := geom.Witness{From: geom.Point{X: 100, Y: 0}, To: geom.Point{X: 106, Y: 8}}
	for _, c := range []struct {
		rule     Rule
		problem  piece.Problem
		unit     string
		measured float64
		words    []string // in message and remedy together
	}{
		{openOutline(), piece.Problem{Kind: piece.OpenOutline, Layer: "COUNTER", At: gap.Middle(), Witness: gap, Measured: 10, Limit: 3}, "mm", 10,
			[]string{"COUNTER", "10 mm apart", "(100, 0)", "(106, 8)"}},
		{selfCrossing(), piece.Problem{Kind: piece.SelfCrossing, Layer: "COUNTER", At: geom.Point{X: 5, Y: 7}}, "", 0, []string{"COUNTER", "crosses itself", "(5, 7)"}},
		{overlappingPieces(), piece.Problem{Kind: piece.OverlappingPieces, Piece: "A", Other: "B", At: gap.Middle(), Witness: gap, Measured: 4800}, "mm2", 4800,
			[]string{"A and B", "4800 mm2"}},
		{strayCurve(), piece.Problem{Kind: piece.StrayCurve, Layer: "SINK", Role: piece.CutoutRole, Entity: "LINE", At: gap.Middle(), Witness: gap, Measured: 50, Count: 1}, "mm", 50,
			[]string{"LINE of 50 mm", "SINK", "bounds nothing"}},
		{cutoutOutside(), piece.Problem{Kind: piece.CutoutOutside, Layer: "SINK", Other: "sink", At: geom.Point{X: 5, Y: 7}}, "", 0, []string{"The sink on layer SINK at (5, 7)"}},
		{cutoutOutside(), piece.Problem{Kind: piece.CutoutOutside, Layer: "SINK", Other: "sink", Loops: []geom.Loop{box(3000, 0, 3762, 432)}, At: geom.Point{X: 3381, Y: 216}}, "", 0,
			[]string{"The sink of 762 x 432 mm on layer SINK at (3381, 216)", "Move the sink into its piece"}},
		// A block of 762 x 432 mm in a drawing in inches, around the whole top.
		{cutoutOutside(), piece.Problem{Kind: piece.CutoutOutside, Layer: "SINK", Other: "sink", Loops: []geom.Loop{box(-9000, -5000, 10354.8, 5972.8)}, At: geom.Point{X: 677.4, Y: 486.4}}, "", 0,
			[]string{"The sink of 19354.8 x 10972.8 mm", "Check the size of the sink", "25.4 times too large"}},
		{unmappedLayer(), piece.Problem{Kind: piece.UnmappedLayer, Layer: "FOO", Piece: "A", At: geom.Point{X: 5, Y: 7}, Count: 3, Closed: 1}, "", 3,
			[]string{"FOO has no role", "a closed line on it lies in piece A around (5, 7)", `in the settings: add "foo" to pieces.roles.cutout, or to outline, support or opening`, `add "foo" to pieces.roles.ignore`}},
		{layerDoubtful(), piece.Problem{Kind: piece.LayerDoubtful, Layer: "WINDOW LEDGE", Role: piece.SupportRole, Roles: []piece.Role{piece.OutlineRole, piece.SupportRole}, At: geom.Point{X: 5, Y: 7}, Count: 2, Why: piece.DoubtName}, "", 2,
			[]string{"layer WINDOW LEDGE may hold outlines of stone or supports", "taken for supports", `add "window ledge" to pieces.roles.outline`, `add "window ledge" to pieces.roles.support`}},
		{layerDoubtful(), piece.Problem{Kind: piece.LayerDoubtful, Layer: "PANEL", Role: piece.SupportRole, Roles: []piece.Role{piece.OutlineRole, piece.SupportRole}, At: geom.Point{X: 5, Y: 7}, Count: 1, Length: 900, Width: 640, Why: piece.DoubtApart}, "", 1,
			[]string{"move the line to a layer for what it is", "which count for every drawing", "layer PANEL was taken for supports", "around (5, 7), 900 x 640 mm, is as large as a piece and has no top over it"}},
		{rolesGuessed(), piece.Problem{Kind: piece.RolesGuessed, Layer: "0", At: geom.Point{X: 5, Y: 7}, Count: 2, Closed: 1}, "", 2,
			[]string{"on layer 0, which has no role", "2 pieces", "1 cutout", `add "0" to pieces.roles.outline`}},
		{unitsUnknown(), piece.Problem{Kind: piece.UnitsUnknown, Why: "mm was assumed from the sizes"}, "", 0, []string{"mm was assumed"}},
		{unitsImplausible(), piece.Problem{Kind: piece.UnitsImplausible, Measured: 60960, Length: 60960, Width: 16256}, "mm", 60960, []string{"would be 60960 x 16256 mm", "$INSUNITS"}},
		{unitsImplausible(), piece.Problem{Kind: piece.UnitsImplausible, Measured: 4, Length: 4, Width: 1.5, Unit: dxfio.UnitFoot, NextUnit: dxfio.UnitMetre}, "mm", 4,
			[]string{"In feet everything fits: it would be 1219.2 x 457.2 mm. In m it would be 4000 x 1500 mm, which is about as usual.", "drawn in feet or m,"}},
		{offPlane(), piece.Problem{Kind: piece.OffPlane, Layer: "COUNTER", Entity: "CIRCLE", At: geom.Point{X: 5, Y: 7}, Measured: 35, Count: 1, Closed: 1}, "mm", 35,
			[]string{"The closed CIRCLE on layer COUNTER", "stands up", "35 mm"}},
		{wideLine(), piece.Problem{Kind: piece.WideLine, Layer: "HOLE", Role: piece.CutoutRole, At: geom.Point{X: 5, Y: 7}, Measured: 17.5, Limit: 2, Count: 1}, "mm", 17.5,
			[]string{"1 entity on layer HOLE is up to 17.5 mm wide", "(5, 7)", "the middle of the width is cut", "Set the width to 0"}},
		{dashedLine(), piece.Problem{Kind: piece.DashedLine, Layer: "COUNTER", Role: piece.OutlineRole, At: geom.Point{X: 5, Y: 7}, Measured: 2, Count: 2}, "", 2,
			[]string{"2 entities on layer COUNTER are dashed", "(5, 7)", "Accepting cuts it as drawn"}},
		{unmappedLayer(), piece.Problem{Kind: piece.UnmappedLayer, Layer: "LAYER 7", Piece: "A", At: geom.Point{X: 5, Y: 7}, Count: 1, Open: 1, Length: 640}, "", 1,
			[]string{"Layer LAYER 7 has no role, and a line on it lies in piece A over 640 mm around (5, 7)", `add "layer 7" to pieces.roles.seam, or to outline`}},
		{unmappedLayer(), piece.Problem{Kind: piece.UnmappedLayer, Layer: "ISLAND", Role: piece.OutlineRole, Why: dxfio.WhyOff, At: geom.Point{X: 5, Y: 7}, Count: 1, Large: 1, Length: 1200, Width: 600}, "", 1,
			[]string{"Layer ISLAND is switched off, and a line on it around (5, 7), 1200 x 600 mm, is as large as a piece", "show it in CAD", "delete it there and export again. Accepting cuts nothing of it."}},
		{unmappedLayer(), piece.Problem{Kind: piece.UnmappedLayer, Layer: "NOTES", Role: piece.IgnoreRole, Why: "ignored by its name (note)", Piece: "A", At: geom.Point{X: 5, Y: 7}, Count: 1, Points: 1}, "", 1,
			[]string{"Layer NOTES is ignored by its name (note), and a point on it lies in piece A at (5, 7)", "Move it to a layer for what it is", `add "notes" to pieces.roles.ignore`}},
		{coarseCurve(), piece.Problem{Kind: piece.CoarseCurve, Layer: "COUNTER", At: gap.Middle(), Witness: gap, Measured: 585, Count: 4, Radius: 1499, Bulge: 28.8, Limit: 2}, "mm", 28.8,
			[]string{"4 sides of 585 mm on layer COUNTER from (100, 0) to (106, 8)", "cut straight", "radius of 1499 mm and bulge by 28.8 mm", "as an arc of radius 1499 mm"}},
		{edgeFromMark(), piece.Problem{Kind: piece.EdgeFromMark, Layer: "FINISHED", Role: piece.FinishedRole, At: gap.Middle(), Witness: gap, Measured: 10, Count: 1, Why: piece.MarkedBesides}, "mm", 10,
			[]string{"The edge of 10 mm from (100, 0) to (106, 8) is drawn on layer FINISHED only", "own line is missing", "Accept it if"}},
		{seamAmbiguous(), piece.Problem{Kind: piece.SeamAmbiguous, Piece: "A", At: geom.Point{X: 5, Y: 7}, Why: "no side of another piece fits this seam"}, "", 0,
			[]string{"piece A", "no side of another piece fits"}},
	} {
		t.Run(c.rule.ID, func(t *testing.T) {
			if string(c.problem.Kind) != c.rule.ID {
				t.Errorf("the problem is %s", c.problem.Kind)
			}
			tpl := template(t, top)
			if flags, unchecked := check(t, c.rule, input(tpl)); len(flags)+len(unchecked) > 0 {
				t.Errorf("not silent without the problem:\n%s%v", listed(flags), unchecked)
			}
			tpl.Problems = []piece.Problem{{Kind: "another"}, c.problem}
			flags, _ := check(t, c.rule, input(tpl))
			if len(flags) != 1 {
				t.Fatalf("%d flags, want 1", len(flags))
			}
			f := flags[0]
			if f.Measured != c.measured || f.Limit != c.problem.Limit || f.Unit != c.unit || f.At != c.problem.At || f.Severity != c.rule.Severities[0] {
				t.Errorf("%s", listed(flags))
			}
			for _, w := range c.words {
				if !strings.Contains(f.Message+" "+f.Remedy, w) {
					t.Errorf("%q lacks %q", f.Message+" "+f.Remedy, w)
				}
			}
		})
	}
}

func TestUnreadEntity(t *testing.T) {
	roles := piece.Default().Roles
	role := func(layer string) piece.Role { r, _ := roles.Of(layer); return r }
	for _, c := range []struct {
		name   string
		unread dxfio.Unread
		want   bool
	}{
		{"region that may be a sink", dxfio.Unread{Type: "REGION", Layer: "SINK", Why: "solid model", Count: 1}, true},
		{"external reference with the outline", dxfio.Unread{Type: "INSERT", Layer: "COUNTER", Why: "external reference: its drawing is another file", Count: 1}, true},
		{"sink on a layer that is switched off", dxfio.Unread{Type: "LWPOLYLINE", Layer: "SINK", Why: "layer switched off", Count: 1}, true},
		{"name on a frozen layer", dxfio.Unread{Type: "TEXT", Layer: "COUNTER", Why: "layer frozen", Count: 1}, false},
		{"switched off and without a role", dxfio.Unread{Type: "LINE", Layer: "SCAN 2", Why: "layer switched off", Count: 9}, false},
		{"type never heard of", dxfio.Unread{Type: "ACME_EDGE", Layer: "OUTLINE", Why: "unknown type", Count: 2}, true},
		{"broken spline on the outline", dxfio.Unread{Type: "SPLINE", Layer: "COUNTER", Why: "spline knots do not match its control points", Count: 1}, true},
		{"spline whose ends are in doubt", dxfio.Unread{Type: "SPLINE", Layer: "COUNTER", Why: dxfio.WhySplineEnds, Count: 2}, true},
		{"region on a layer without a role", dxfio.Unread{Type: "REGION", Layer: "BOWL X", Why: "solid model", Count: 1}, true},
		{"external reference on a support's layer", dxfio.Unread{Type: "INSERT", Layer: "CABINET", Why: "external reference: its drawing is another file", Count: 1}, true},
		{"external reference on an ignored layer", dxfio.Unread{Type: "INSERT", Layer: "NOTES", Why: "external reference: its drawing is another file", Count: 1}, false},
		{"endless line on the outline's layer", dxfio.Unread{Type: "XLINE", Layer: "COUNTER", Why: "endless construction line", Count: 4}, false},
		{"hatch on notes", dxfio.Unread{Type: "HATCH", Layer: "NOTES", Why: "filled area on a layer without a cutting role", Count: 3}, false},
		{"hatch on a layer without a role", dxfio.Unread{Type: "HATCH", Layer: "PATTERN", Why: "filled area on a layer without a cutting role", Count: 3}, false},
		{"dimension on the outline's layer", dxfio.Unread{Type: "DIMENSION", Layer: "COUNTER", Why: "not geometry", Count: 9}, false},
		{"line without length", dxfio.Unread{Type: "LINE", Layer: "COUNTER", Why: "zero length", Count: 9}, false},
		{"attribute definition", dxfio.Unread{Type: "ATTDEF", Layer: "COUNTER", Why: "attribute definition", Count: 9}, false},
		{"solid of a cabinet", dxfio.Unread{Type: "3DSOLID", Layer: "CABINET", Why: "solid model", Count: 9}, false},
		{"something on a frozen layer of cutouts", dxfio.Unread{Type: "REGION", Layer: "SINK", Why: "layer frozen", Count: 1}, true},
		{"a sink drawn on a sheet", dxfio.Unread{Type: "LWPOLYLINE", Layer: "SINK", Why: dxfio.WhyPaper, Count: 1}, true},
		{"a frame on a sheet", dxfio.Unread{Type: "LWPOLYLINE", Layer: "FRAME", Why: dxfio.WhyPaper, Count: 1}, false},
		{"a title block", dxfio.Unread{Type: "INSERT", Layer: "SINK", Why: dxfio.WhyPaper, Count: 1}, false},
		{"paper space", dxfio.Unread{Type: "REGION", Layer: "SINK", Why: "paper space", Count: 1}, false},
		{"code page", dxfio.Unread{Type: "$DWGCODEPAGE", Why: "unknown", Count: 1}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			tpl := template(t, top)
			tpl.Unread = []dxfio.Unread{c.unread}
			in := input(tpl)
			in.Role = role
			flags, unchecked := check(t, unreadEntity(), in)
			if len(flags) == 1 != c.want || len(unchecked) > 0 {
				t.Errorf("flagged %v, want %v: %s%v", len(flags) == 1, c.want, listed(flags), unchecked)
			}
			if c.want && (flags[0].Measured != float64(c.unread.Count) || !strings.Contains(flags[0].Message, c.unread.Type)) {
				t.Error(listed(flags))
			}
			if read := c.unread.Why == dxfio.WhySplineEnds || c.unread.Why == dxfio.WhyPaper; c.want && read == strings.Contains(flags[0].Message, "not read") {
				t.Error(listed(flags))
			}
		})
	}
	tpl := template(t, top)
	tpl.Unread = []dxfio.Unread{{Type: "REGION", Layer: "SINK", Why: "solid model", Count: 1}}
	if _, unchecked := check(t, unreadEntity(), input(tpl)); len(unchecked) != 1 {
		t.Error("without roles the rule did not look, and does not say so")
	}
}

func TestChangedSinceRelease(t *testing.T) {
	for _, c := range []struct {
		name, released string
		want           int
	}{
		{"never released", "", 0},
		{"released as revision 2", "revision 2", 1},
		{"released under a name", "kitchen B, 12 March", 1},
	} {
		in := input(template(t, top))
		in.Released = c.released
		flags, unchecked := check(t, changedSinceRelease(), in)
		if len(flags) != c.want || len(unchecked) > 0 {
			t.Fatalf("%s: %s%v", c.name, listed(flags), unchecked)
		}
		if c.want > 0 && (flags[0].Severity != Stop || !strings.Contains(flags[0].Message, c.released)) {
			t.Errorf("%s: %s", c.name, listed(flags))
		}
	}
	key := func(released string) string {
		in := input(template(t, top))
		in.Released = released
		flags, _ := check(t, changedSinceRelease(), in)
		giveKeys(Catalogue(), in.Template, flags)
		return flags[0].Key
	}
	if SameKey(key("revision 2"), key("revision 3")) {
		t.Error("accepting the change since one release would accept the next")
	}
}

// A layer without a role stops only where something closed on it lies in stone.
func TestUnmappedLayerSeverity(t *testing.T) {
	for _, c := range []struct {
		closed   int
		severity Severity
		words    string
	}{{0, Warn, "Layer FOO has 3 entities with curves and no role; the first is at (5, 7)."}, {1, Stop, "a closed line on it"}, {4, Stop, "4 closed lines on it lie in stone, the longest in"}} {
		in := input(template(t, top))
		in.Template.Problems = []piece.Problem{{Kind: piece.UnmappedLayer, Layer: "FOO", At: geom.Point{X: 5, Y: 7}, Count: 3, Closed: c.closed}}
		flags, _ := check(t, unmappedLayer(), in)
		if len(flags) != 1 || flags[0].Severity != c.severity || !strings.Contains(flags[0].Message, c.words) {
			t.Errorf("%d closed: %s", c.closed, listed(flags))
		}
	}
}

// A curve that the pieces were to be made of and that could not be used is told as
// one not read; other problems are other rules'.
func TestCurveThatCouldNotBeUsed(t *testing.T) {
	tpl := template(t, top)
	tpl.Problems = []piece.Problem{
		{Kind: piece.UnreadEntity, Layer: "SINK", Entity: "SPLINE", Why: "no length", Count: 2},
		{Kind: piece.StrayCurve, Layer: "COUNTER", Entity: "LINE", Count: 1},
	}
	flags, _ := check(t, unreadEntity(), input(tpl))
	if len(flags) != 1 || flags[0].Measured != 2 || !strings.Contains(flags[0].Message, "no length") || flags[0].Other != "SINK SPLINE" {
		t.Error(listed(flags))
	}
}

// A frozen sink that unmapped-layer stops for is not told a second time.
func TestHiddenLayerIsToldOnce(t *testing.T) {
	for _, c := range []struct {
		name   string
		closed int
		want   int
	}{{"it lies in stone, which is a stop of its own", 1, 0}, {"it lies elsewhere", 0, 1}} {
		tpl := template(t, top)
		tpl.Problems = []piece.Problem{{Kind: piece.UnmappedLayer, Layer: "SINK", Role: piece.CutoutRole, Why: dxfio.WhyFrozen, Count: 1, Closed: c.closed}}
		tpl.Unread = []dxfio.Unread{{Type: "LWPOLYLINE", Layer: "SINK", Why: dxfio.WhyFrozen, Count: 1}}
		in := input(tpl)
		in.Role = func(string) piece.Role { return piece.CutoutRole }
		flags, _ := check(t, unreadEntity(), in)
		if len(flags) != c.want || c.want == 1 && !strings.Contains(flags[0].Remedy, `add "sink" to pieces.roles.ignore`) {
			t.Errorf("%s: %s", c.name, listed(flags))
		}
	}
}

// A sloping line is a warning: it is shorter from above, and still a line.
func TestOffPlaneOfALine(t *testing.T) {
	tpl := template(t, top)
	tpl.Problems = []piece.Problem{{Kind: piece.OffPlane, Layer: "COUNTER", Entity: "LINE", At: geom.Point{X: 5, Y: 7}, Measured: 12.5, Count: 1}}
	flags, _ := check(t, offPlane(), input(tpl))
	if len(flags) != 1 || flags[0].Severity != Warn || !strings.Contains(flags[0].Message, "LINE on layer COUNTER at (5, 7) leaves the plane of the drawing by 12.5 mm") {
		t.Errorf("%s", listed(flags))
	}
}
