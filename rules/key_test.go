package rules

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// keysOf runs two rules whose flags lie all over a piece and returns their keys,
// sorted.
func keysOf(t *testing.T, tpl *piece.Template) []string {
	t.Helper()
	var keys []string
	for _, f := range flagsOf(tpl) {
		keys = append(keys, f.Key)
	}
	slices.Sort(keys)
	return keys
}

func flagsOf(tpl *piece.Template) []Flag {
	in := input(tpl)
	var flags []Flag
	for _, r := range []Rule{narrowSection(), insideRadius(), holeSpacing(), sharpPoint()} {
		found := runRule(&r, in)
		flags = append(flags, withoutHidden(found.flags)...)
	}
	sortFlags(Catalogue(), flags)
	giveKeys(Catalogue(), tpl, flags)
	return flags
}

// keyShapes are templates with several flaws, from no symmetry to all of it.
var keyShapes = map[string]string{
	"L":              "outline 0,0 2400,0 2400,650 650,650 650,1850 0,1850; sink 900,40 1500,500; hole 1200,560 d35; cutout 100,900 520,1500 r3",
	"rectangle":      top + "sink 300,45 1000,520; cooktop 1600,40 2200,560; hole 1100,610 d35",
	"equal legs":     "outline 0,0 1800,0 1800,600 600,600 600,1800 0,1800; sink 900,45 1500,500",
	"slightly wedge": "outline 0,0 2400,0 2400,652 0,640; sink 850,45 1550,520",
	"trapezoid":      "outline 0,0 2400,0 1600,640 200,640; sink 850,45 1350,520",
	"square":         "outline 0,0 900,0 900,900 0,900; round 300,245 d400; hole 300,870 d35",
	"round":          "outline 600,0^1 -600,0^1; sink 100,-150 500,150; cutout -400,-40 -300,40",
	"bare rectangle": "outline 0,0 1000,0 1000,280 1100,280 1100,0 2400,0 2400,640 1400,640 1400,325 1300,325 1300,640 0,640",
}

func TestKeysSurviveRedrawing(t *testing.T) {
	for name, drawing := range keyShapes {
		t.Run(name, func(t *testing.T) {
			tpl := template(t, drawing)
			want := keysOf(t, tpl)
			if len(want) < 2 {
				t.Fatalf("too few flaws to tell apart: %v", want)
			}
			for i, k := range want {
				if i > 0 && k == want[i-1] {
					t.Errorf("two flaws share the key %s", k)
				}
			}
			for _, m := range redrawings() {
				if m.name == "mirrored" {
					continue // the mirror image is another piece
				}
				if got := keysOf(t, moved(tpl, m)); !slices.Equal(got, want) {
					t.Errorf("%s:\n %v\nwant\n %v", m.name, got, want)
				}
			}
			for _, angle := range []float64{1, 90, 180, 270, 359.5} {
				a := angle * math.Pi / 180
				turned := redrawing{loop: func(l geom.Loop) geom.Loop { return l.Rotate(a) }}
				if got := keysOf(t, moved(tpl, turned)); !slices.Equal(got, want) {
					t.Errorf("turned by %g degrees:\n %v\nwant\n %v", angle, got, want)
				}
			}
			// Another piece to the left of it, so that every name changes.
			other := template(t, "outline -3000,0 -1000,0 -1000,500 -3000,500")
			other.Pieces = append(other.Pieces, tpl.Pieces...)
			other.Pieces[1].ID = "B"
			if got := keysOf(t, other); !slices.Equal(got, want) {
				t.Errorf("beside another piece:\n %v\nwant\n %v", got, want)
			}
		})
	}
}

// A new export rounds coordinates; exact keys nearly always stand, SameKey does
// always.
func TestKeysSurviveNoise(t *testing.T) {
	for name, drawing := range keyShapes {
		tpl := template(t, drawing)
		before := flagsOf(tpl)
		for seed := range uint64(20) {
			rng := rand.New(rand.NewPCG(seed, 7))
			shaken := redrawing{loop: func(l geom.Loop) geom.Loop { return shaken(l, rng, 0.002) }}
			after := flagsOf(moved(tpl, shaken))
			for _, f := range before {
				if len(f.Key) == 0 || strings.Contains(f.Key, "#") {
					continue
				}
				if !slices.ContainsFunc(after, func(g Flag) bool { return SameKey(f.Key, g.Key) }) {
					t.Errorf("%s, seed %d: %s at %v is lost; now:\n%s", name, seed, f.Key, f.At, listed(after))
				}
			}
		}
	}
}

// shaken moves every corner of a loop by noise.
func shaken(l geom.Loop, rng *rand.Rand, size float64) geom.Loop {
	out := slices.Clone(l)
	for i := range out {
		d := geom.Point{X: size * (2*rng.Float64() - 1), Y: size * (2*rng.Float64() - 1)}
		out[i].A = out[i].A.Add(d)
		out[(i+len(out)-1)%len(out)].B = out[i].A
	}
	return out
}

func TestKeysChangeWithTheFlaw(t *testing.T) {
	key := func(drawing string) string {
		flags := flagsOf(template(t, drawing))
		if len(flags) != 1 {
			t.Fatalf("%s: %d flaws, want 1\n%s", drawing, len(flags), listed(flags))
		}
		return flags[0].Key
	}
	first := key(top + "sink 800,48 1560,500 r10")
	for name, c := range map[string]struct {
		drawing string
		same    bool
	}{
		"the same":                          {top + "sink 800,48 1560,500 r10", true},
		"measured again":                    {top + "sink 800.4,47.6 1560.3,500 r10", true},
		"much narrower":                     {top + "sink 800,20 1560,500 r10", false},
		"elsewhere":                         {top + "sink 1000,48 1760,500 r10", false},
		"behind instead of in front":        {top + "sink 800,140 1560,592 r10", false},
		"another rule":                      {top + "sink 800,100 1560,500 r10; hole 400,62 d80", false},
		"a larger piece":                    {"outline 0,0 2800,0 2800,640 0,640; sink 1000,48 1760,500 r10", false},
		"a tap hole more":                   {top + "sink 800,48 1560,500 r10; hole 1180,560 d35", true},
		"the other edge a little elsewhere": {"outline 0,0 2400,0 2400,641 0,641; sink 800,48 1560,500 r10", true},
	} {
		if got := key(c.drawing); SameKey(first, got) != c.same {
			t.Errorf("%s: %s and %s are the same: %v", name, first, got, !c.same)
		}
	}
}

func TestEqualPiecesGetNumberedKeys(t *testing.T) {
	tpl := template(t, "outline 0,0 1200,0 1200,550 0,550; sink 300,45 900,400 r10; outline 0,1000 1200,1000 1200,1550 0,1550; sink 300,1045 900,1400 r10")
	keys := keysOf(t, tpl)
	if len(keys) != 2 || keys[0] == keys[1] || keys[0]+"#2" != keys[1] {
		t.Errorf("two equal vanities: %v", keys)
	}
	if SameKey(keys[0], keys[1]) {
		t.Error("the two are taken for one")
	}
}

func TestSameKey(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want bool
	}{
		{"narrow-section|20|3|-4|79", "narrow-section|20|3|-4|79", true},
		{"narrow-section|20|3|-4|79", "narrow-section|21|4|-5|80", true},
		{"narrow-section|20|3|-4|79", "narrow-section|20|5|-4|79", false},
		{"narrow-section|20|3|-4|79", "narrow-section|20|3|-4|81", false},
		{"narrow-section|20|3|-4|79", "hole-spacing|20|3|-4|79", false},
		{"narrow-section|20|3|-4|79", "narrow-section|20|3|-4|79#2", false},
		{"narrow-section|20|3|-4|79#2", "narrow-section|20|3|-3|79#2", true},
		{"unmapped-layer|'SINKS", "unmapped-layer|'SINK", false},
		{"unmapped-layer|'1", "unmapped-layer|'2", false},
		{"units-unknown|'", "units-unknown|'", true},
		{"", "", false},
		{"a", "a|1", false},
	} {
		if got := SameKey(c.a, c.b); got != c.want || SameKey(c.b, c.a) != c.want {
			t.Errorf("SameKey(%q, %q) = %v", c.a, c.b, got)
		}
	}
}

// The moments behind the frame, against closed forms (recomputed by hand).
func TestMoments(t *testing.T) {
	// Rectangle a x b: c11 = area (a^2+b^2)/12, c20 = area (a^2-b^2)/12.
	m := momentsOf(geom.Polygon(geom.Point{X: 5, Y: 5}, geom.Point{X: 65, Y: 5}, geom.Point{X: 65, Y: 25}, geom.Point{X: 5, Y: 25}))
	if math.Abs(m.c11-1200*(3600+400)/12) > 1e-6 || math.Abs(real(m.c20)-1200*(3600-400)/12) > 1e-6 || math.Abs(imag(m.c20)) > 1e-6 {
		t.Errorf("rectangle: c11 %v, c20 %v", m.c11, m.c20)
	}
	// Circle of radius r: c11 = pi r^4 / 2, nothing else.
	m = momentsOf(geom.Circle(geom.Point{X: 3, Y: -7}, 10))
	if math.Abs(m.c11-math.Pi*1e4/2) > 1e-4 || math.Abs(real(m.c20)) > 1e-4 || math.Abs(imag(m.c30)) > 1e-3 {
		t.Errorf("circle: %+v", m)
	}
}

func TestRunIsDeterministic(t *testing.T) {
	tpl := template(t, keyShapes["L"])
	first := Run(input(tpl))
	for range 5 {
		again := Run(input(tpl))
		if len(again.Flags) != len(first.Flags) || len(again.Unchecked) != len(first.Unchecked) {
			t.Fatal("another number of flags")
		}
		for i := range again.Flags {
			if again.Flags[i].Key != first.Flags[i].Key || again.Flags[i].Message != first.Flags[i].Message {
				t.Errorf("flag %d differs:\n%s%s", i, listed(again.Flags[i:i+1]), listed(first.Flags[i:i+1]))
			}
		}
	}
}

// A flag at a seam belongs to the larger of the pieces it joins: its key does not
// follow what becomes of the smaller one.
func TestKeyAtASeamBelongsToTheLargerPiece(t *testing.T) {
	var want string
	for _, end := range []float64{2700, 2900, 3150, 3400} {
		tpl := &piece.Template{
			Pieces: []piece.Piece{{ID: "A", Outline: box(0, 0, 2400, 640)}, {ID: "B", Outline: box(2400, 0, end, 640)}},
			Seams:  []piece.Seam{{ID: "S1", Pieces: [2]string{"A", "B"}}},
		}
		for _, f := range []Flag{
			{Rule: "seam-mismatch", Piece: "B", Other: "S1", At: xy(2400, 320), Measured: 2, Unit: "mm"},
			{Rule: "seam-mismatch", Piece: "A", Other: "S1", At: xy(2400, 320), Measured: 2, Unit: "mm"},
		} {
			flags := []Flag{f}
			giveKeys(Catalogue(), tpl, flags)
			if want == "" {
				want = flags[0].Key
			}
			if flags[0].Key != want {
				t.Errorf("B to %v, flag of %s: %s, want %s", end, f.Piece, flags[0].Key, want)
			}
		}
	}
}

// What lies on no piece has its place in the frame of the nearest one: pieces
// farther off change nothing, another place does.
func TestKeyBesideThePieces(t *testing.T) {
	key := func(at geom.Point, others ...geom.Loop) string {
		tpl := &piece.Template{}
		for i, l := range append(others, box(0, 0, 2400, 640)) { // the nearest comes last
			tpl.Pieces = append(tpl.Pieces, piece.Piece{ID: string(rune('A' + i)), Outline: l})
		}
		flags := []Flag{{Rule: "stray-curve", Other: "SCAN", At: at, Witness: &geom.Witness{From: at, To: at.Add(xy(10, 0))}, Measured: 10, Unit: "mm"}}
		giveKeys(Catalogue(), tpl, flags)
		return flags[0].Key
	}
	at := xy(2000, -100)
	alone := key(at)
	if with := key(at, box(5000, 0, 6200, 900), box(-4000, 0, -1000, 700)); with != alone {
		t.Errorf("with pieces farther off %s, alone %s", with, alone)
	}
	if other := key(xy(1500, -100)); other == alone {
		t.Errorf("half a metre further the key is still %s", other)
	}
}

// Flags stand gravest first, then as the catalogue lists their rules, then by
// piece and place.
func TestOrderOfFlags(t *testing.T) {
	flags := []Flag{
		{Rule: "saw-short", Severity: Note, Piece: "A"},
		{Rule: "overhang", Severity: Stop, Piece: "A"},
		{Rule: "narrow-section", Severity: Warn, Piece: "A"},
		{Rule: "narrow-section", Severity: Stop, Piece: "B"},
		{Rule: "narrow-section", Severity: Stop, Piece: "A", At: xy(900, 5)},
		{Rule: "narrow-section", Severity: Stop, Piece: "A", At: xy(100, 9)},
		{Rule: "hole-spacing", Severity: Warn, Piece: "A"},
		{Rule: "open-outline", Severity: Stop},
	}
	sortFlags(Catalogue(), flags)
	var got []string
	for _, f := range flags {
		got = append(got, strings.TrimSpace(string(f.Severity)+" "+f.Rule+" "+f.Piece))
	}
	want := []string{"stop open-outline", "stop narrow-section A", "stop narrow-section A", "stop narrow-section B", "stop overhang A",
		"warn narrow-section A", "warn hole-spacing A", "note saw-short A"}
	if !slices.Equal(got, want) || flags[1].At.X != 100 {
		t.Errorf("order %q, want %q", got, want)
	}
}
