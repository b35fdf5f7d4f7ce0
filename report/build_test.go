package report

import (
	"bytes"
	"encoding/json"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/rules"
	"trueup/rules/shop"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.Abs(got-want) > tolerance {
		t.Errorf("%s: got %.9g, want %.9g within %g", what, got, want, tolerance)
	}
}

// onePiece is a template of one counter.
func onePiece(outline geom.Loop, cutouts ...piece.Cutout) Input {
	return Input{Source: Source{File: "a.dxf"}, Template: &piece.Template{Pieces: []piece.Piece{{
		ID: "A", Kind: piece.Counter, Outline: outline, Edges: edgesOf(outline), Cutouts: cutouts, Thickness: 30, Material: "granite",
	}}}}
}

// Worked figures of an L-shaped top by the polygon formulas, and of the same
// with an inside fillet: area + (1 - pi/4) r2, perimeter - (2 - pi/2) r.
func TestBuildMeasuresTheL(t *testing.T) {
	sharp := line(0, 0, 2400, 0, 2400, 650, 650, 650, 650, 1850, 0, 1850)
	r := Build(onePiece(sharp)).Pieces[0]
	near(t, "area", r.Area, 2340000, 1e-6)
	near(t, "gross area", r.GrossArea, 2340000, 1e-6)
	near(t, "perimeter", r.Perimeter, 8500, 1e-6)
	near(t, "centroid x", r.Centroid[0], 908.333333, 1e-6)
	near(t, "centroid y", r.Centroid[1], 633.333333, 1e-6)
	near(t, "length", r.Length, 2400, 1e-6)
	near(t, "width", r.Width, 1850, 1e-6)

	filleted := geom.Loop{
		geom.Line(pt(0, 0), pt(2400, 0)), geom.Line(pt(2400, 0), pt(2400, 650)), geom.Line(pt(2400, 650), pt(660, 650)),
		{A: pt(660, 650), B: pt(650, 660), Bulge: -math.Tan(math.Pi / 8)}, geom.Line(pt(650, 660), pt(650, 1850)),
		geom.Line(pt(650, 1850), pt(0, 1850)), geom.Line(pt(0, 1850), pt(0, 0)),
	}
	r = Build(onePiece(filleted)).Pieces[0]
	near(t, "filleted area", r.Area, 2340000+(1-math.Pi/4)*100, 1e-5)
	near(t, "filleted perimeter", r.Perimeter, 8495.707963, 1e-5)
	if e := r.Edges[3]; e.Kind != "arc" || e.Radius != 10 {
		t.Errorf("edge 4: %s of radius %v, want an arc of 10", e.Kind, e.Radius)
	}
}

// A rounded rectangle: A = wh - (4 - pi) r2, P = 2(w + h) - 8r + 2 pi r; for 600
// x 400 with r 25: 239 463.495 and 1957.080.
func TestBuildTakesCutoutsOut(t *testing.T) {
	in := onePiece(line(0, 0, 2400, 0, 2400, 650, 0, 650), piece.Cutout{ID: "A-1", Kind: piece.Sink, Loop: rounded(900, 100, 600, 400, 25)},
		piece.Cutout{ID: "A-2", Kind: piece.Other, Loop: line(0, 0, 100, 0, 100, 100, 0, 100), OverEdge: true})
	p := Build(in).Pieces[0]
	c := p.Cutouts[0]
	near(t, "cutout area", c.Area, 239463.495, 1e-3)
	near(t, "cutout perimeter", c.Perimeter, 1957.080, 1e-3)
	near(t, "net area", p.Area, 2400*650-239463.495, 1e-3)
	near(t, "gross area", p.GrossArea, 2400*650, 1e-6)
	near(t, "cutout length", c.Length, 600, 1e-6)
	near(t, "cutout width", c.Width, 400, 1e-6)
	// The centroid of the rest: the whole's moment less the cutout's.
	near(t, "centroid x", p.Centroid[0], 1200, 1e-6)
	near(t, "centroid y", p.Centroid[1], (2400*650*325-239463.4954*300)/(2400*650-239463.4954), 1e-4)
}

func TestSmallestRadius(t *testing.T) {
	bump := geom.Loop{ // a square opening with a bump of stone on its lower side and round corners of 20
		geom.Line(pt(20, 0), pt(100, 0)), {A: pt(100, 0), B: pt(110, 0), Bulge: -1}, geom.Line(pt(110, 0), pt(180, 0)),
		{A: pt(180, 0), B: pt(200, 20), Bulge: math.Tan(math.Pi / 8)}, geom.Line(pt(200, 20), pt(200, 180)),
		{A: pt(200, 180), B: pt(180, 200), Bulge: math.Tan(math.Pi / 8)}, geom.Line(pt(180, 200), pt(20, 200)),
		{A: pt(20, 200), B: pt(0, 180), Bulge: math.Tan(math.Pi / 8)}, geom.Line(pt(0, 180), pt(0, 20)),
		{A: pt(0, 20), B: pt(20, 0), Bulge: math.Tan(math.Pi / 8)},
	}
	for _, c := range []struct {
		name string
		loop geom.Loop
		want float64
	}{
		{"rounded", rounded(0, 0, 600, 400, 19), 19},
		{"rounded, drawn the other way", rounded(0, 0, 600, 400, 19).Reverse(), 19},
		{"sharp", line(0, 0, 600, 0, 600, 400, 0, 400).Reverse(), 0},
		{"circle", hole(0, 0, 35), 17.5},
		{"bump of stone into a sharp corner counts only by its corners", bump, 0},
		{"nothing", nil, 0},
	} {
		if got := (piece.Cutout{Loop: c.loop}).MinRadius(); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: got %v, want %v", c.name, got, c.want)
		}
	}
}

func TestBuildShiftsPlaces(t *testing.T) {
	in := kitchenInput()
	r := Build(in)
	if got, want := r.Flags[1].Witness, []XY{{6180, 12572.5}, {6180, 12542}}; len(got) != 2 || got[0] != want[0] || got[1] != want[1] {
		t.Errorf("witness %v, want %v", got, want)
	}
	if r.Flags[1].At != (XY{6180, 12557.25}) {
		t.Errorf("flag at %v", r.Flags[1].At)
	}
	if b := r.Pieces[0].BoundingBox; b != [4]float64{5000, 12000, 7438.1, 12650} {
		t.Errorf("box %v", b)
	}
	if r.Pieces[0].Edges[0].From != (XY{5000, 12000}) {
		t.Errorf("first edge from %v", r.Pieces[0].Edges[0].From)
	}
}

func TestVerdicts(t *testing.T) {
	stop := rules.Flag{Rule: "narrow-section", Severity: rules.Stop, Message: "too narrow", Remedy: "widen it", Key: "k1"}
	warn := rules.Flag{Rule: "too-heavy", Severity: rules.Warn, Message: "heavy", Key: "k2"}
	outline := line(0, 0, 100, 0, 100, 100, 0, 100)
	for _, c := range []struct {
		name      string
		pieces    bool
		flags     []rules.Flag
		decisions map[string]Decision
		want      Verdict
	}{
		{"nothing wrong", true, nil, nil, Ready},
		{"a warning", true, []rules.Flag{warn}, nil, Ready},
		{"a stop", true, []rules.Flag{warn, stop}, nil, Review},
		{"a stop accepted", true, []rules.Flag{stop}, map[string]Decision{"k1": {Choice: Accept}}, Ready},
		{"another stop accepted", true, []rules.Flag{stop}, map[string]Decision{"k9": {Choice: Accept}}, Review},
		{"a stop sent back", true, []rules.Flag{stop}, map[string]Decision{"k1": {Choice: Return}}, Review},
		{"a warning sent back", true, []rules.Flag{warn}, map[string]Decision{"k2": {Choice: Return}}, Review},
		{"no piece", false, []rules.Flag{stop}, map[string]Decision{"k1": {Choice: Accept}}, Failed},
		{"no piece and no flag", false, nil, nil, Failed},
	} {
		in := onePiece(outline)
		if !c.pieces {
			in.Template.Pieces = nil
		}
		in.Findings.Flags, in.Decisions = c.flags, c.decisions
		r := Build(in)
		if r.Verdict != c.want {
			t.Errorf("%s: %s, want %s", c.name, r.Verdict, c.want)
		}
		if (r.Error != "") != (c.want == Failed) {
			t.Errorf("%s: error %q", c.name, r.Error)
		}
		if c.want == Failed && !strings.HasPrefix(r.Error, "a.dxf: no piece could be made: ") && len(c.flags) > 0 {
			t.Errorf("%s: error %q does not name the file and the flag", c.name, r.Error)
		}
	}
}

func TestBuildRefusesWhatIsNotANumber(t *testing.T) {
	in := onePiece(line(0, 0, 100, 0, 100, 100, 0, 100))
	in.Findings.Flags = []rules.Flag{{Rule: "bending-stress", Severity: rules.Warn, Message: "m", Measured: math.NaN(), Limit: math.Inf(1), At: pt(math.Inf(-1), 0)}}
	r := Build(in)
	var out bytes.Buffer
	if err := r.WriteJSON(&out, false); err != nil {
		t.Fatal(err)
	}
	last := r.Unchecked[len(r.Unchecked)-1]
	if last.Rule != "report" || !strings.Contains(last.Why, "F1 measured") || !strings.Contains(last.Why, "F1 limit") || !strings.Contains(last.Why, "F1 x") {
		t.Errorf("unchecked says %q", last)
	}
}

func TestNumbersAreRounded(t *testing.T) {
	b := builder{}
	for _, c := range [][2]float64{{0.1 + 0.2, 0.3}, {-1e-9, 0}, {1234.56789012, 1234.56789}, {5e8 + 0.1234567, 500000000.123457}, {1e15 + 0.3, 1e15 + 0.3}} {
		if got := b.number("", c[0]); got != c[1] || math.Signbit(got) && got == 0 {
			t.Errorf("%v becomes %v, want %v", c[0], got, c[1])
		}
	}
	for deg, want := range map[float64]float64{0: 0, 180: 0, -30: 150, 179.99999999: 0, 350: 170} {
		if got := b.halfTurn("", deg); math.Abs(got-want) > 1e-6 {
			t.Errorf("angle %v becomes %v, want %v", deg, got, want)
		}
	}
}

// The document of every kind of result obeys the published schema (JSON Schema
// draft 2020-12, checked with a validator that passes the standard's suite).
func TestResultsObeyTheSchema(t *testing.T) {
	schema := compileSchema(t)
	undecided := kitchenInput()
	undecided.Decisions, undecided.SeamSupported = nil, nil
	for name, r := range map[string]*Result{
		"kitchen": Build(kitchenInput()), "nothing decided": Build(undecided), "no piece": Build(Input{Source: Source{File: "x.dxf"}}),
		"failed": FailedResult(Source{File: "x.dxf", Bytes: 3}, "job", 1, errors.New("x.dxf, line 3: found; do")), "failed without a cause": FailedResult(Source{}, "", 0, nil),
	} {
		for _, indent := range []bool{false, true} {
			var out bytes.Buffer
			if err := r.WriteJSON(&out, indent); err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			if lines := bytes.Count(out.Bytes(), []byte("\n")); !indent && lines != 1 {
				t.Errorf("%s: %d lines, want one", name, lines)
			}
			document, err := jsonschema.UnmarshalJSON(&out)
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			if err := schema.Validate(document); err != nil {
				t.Errorf("%s: %v", name, err)
			}
		}
	}
}

func compileSchema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(SchemaJSON()))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	c.DefaultDraft(jsonschema.Draft2020)
	if err := c.AddResource("result.json", document); err != nil {
		t.Fatal(err)
	}
	schema, err := c.Compile("result.json")
	if err != nil {
		t.Fatal(err)
	}
	return schema
}

// The schema must refuse documents that break it; otherwise the test above
// proves nothing.
func TestSchemaRefuses(t *testing.T) {
	schema := compileSchema(t)
	for name, spoil := range map[string]func(map[string]any){
		"null list":            func(d map[string]any) { d["seams"] = nil },
		"unknown verdict":      func(d map[string]any) { d["verdict"] = "fine" },
		"failed without error": func(d map[string]any) { d["verdict"] = "failed" },
		"no pieces":            func(d map[string]any) { d["pieces"] = []any{} },
		"missing list":         func(d map[string]any) { delete(d, "unread") },
		"half a witness": func(d map[string]any) {
			d["flags"].([]any)[0].(map[string]any)["witness_mm"] = []any{[]any{0.0, 0.0}}
		},
		"other schema": func(d map[string]any) { d["schema"] = 2.0 },
		"text for a number": func(d map[string]any) {
			d["pieces"].([]any)[0].(map[string]any)["length_mm"] = "long"
		},
	} {
		var out bytes.Buffer
		if err := Build(kitchenInput()).WriteJSON(&out, false); err != nil {
			t.Fatal(err)
		}
		var d map[string]any
		if err := json.Unmarshal(out.Bytes(), &d); err != nil {
			t.Fatal(err)
		}
		spoil(d)
		if schema.Validate(d) == nil {
			t.Errorf("%s passes", name)
		}
	}
}

// The names of the fields are a promise to programs that read them.
func TestFieldNames(t *testing.T) {
	var out bytes.Buffer
	if err := Build(kitchenInput()).WriteJSON(&out, false); err != nil {
		t.Fatal(err)
	}
	var d map[string]any
	if err := json.Unmarshal(out.Bytes(), &d); err != nil {
		t.Fatal(err)
	}
	first := func(v any) map[string]any { return v.([]any)[0].(map[string]any) }
	p := first(d["pieces"])
	setup := p["setup"].(map[string]any)
	for what, c := range map[string]struct {
		in    map[string]any
		names string
	}{
		"document": {d, "schema source verdict units pieces seams flags repairs unchecked unread"},
		"piece":    {p, "id kind length_mm width_mm angle_deg area_mm2 gross_area_mm2 perimeter_mm thickness_mm mass_kg centroid_mm bbox_mm edges cutouts setup"},
		"edge":     {first(p["edges"]), "n kind from_mm to_mm length_mm radius_mm corner_deg finish"},
		"cutout":   {first(p["cutouts"]), "id kind area_mm2 perimeter_mm length_mm width_mm min_radius_mm diameter_mm centroid_mm"},
		"setup":    {setup, "saw_mm router_mm run_minutes polish"},
		"polish":   {first(setup["polish"]), "edges length_mm minutes steps_lead_start steps_lead_end"},
		"seam":     {first(d["seams"]), "id pieces kind length_mm max_gap_mm supported steps"},
		"flag":     {first(d["flags"]), "id key rule severity piece at_mm witness_mm stretch_mm measured limit unit message remedy decision"},
		"repair":   {first(d["repairs"]), "kind at_mm size_mm layer"},
	} {
		for _, name := range strings.Fields(c.names) {
			if _, ok := c.in[name]; !ok {
				t.Errorf("%s has no %s", what, name)
			}
		}
	}
}

// What the set-up says in words, and the slab a piece lies on, reach the document.
func TestSetupWordsAreTold(t *testing.T) {
	in := kitchenInput()
	in.Setups = map[string]*shop.Setup{}
	for _, p := range in.Template.Pieces {
		in.Setups[p.ID] = &shop.Setup{}
	}
	in.Setups["A"] = &shop.Setup{Notes: []string{"one", "two"}, PolishNote: "no edge is marked finished", Slab: shop.SlabFit{Slab: "usual", OK: true}}
	in.Setups["B"] = &shop.Setup{Slab: shop.SlabFit{Slab: "nearest"}}
	r := Build(in)
	a, b := r.Pieces[0].Setup, r.Pieces[1].Setup
	if want := []string{"one", "two", "no edge is marked finished"}; !slices.Equal(a.Notes, want) {
		t.Errorf("notes %q, want %q", a.Notes, want)
	}
	if a.Slab != "usual" || b.Slab != "" || len(b.Notes) != 0 {
		t.Errorf("slabs %q and %q, notes %q", a.Slab, b.Slab, b.Notes)
	}
}
