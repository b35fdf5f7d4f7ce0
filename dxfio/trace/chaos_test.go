package trace

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"trueup/dxfio/geom"
)

// chaosDrawings is how many chaotic drawings TestChaos closes; more by hand.
var chaosDrawings = flag.Int("chaos", 1500, "number of chaotic drawings that TestChaos closes")

// chaos returns a drawing that nobody would draw: ends on a coarse grid that
// miss each other by anything from nothing to more than is bridged, lines and
// arcs, dividers, closed entities, whole and partial copies, short chords. Every
// choice of closing comes up, mostly with several answers that are as good.
func chaos(r *rand.Rand) []Curve {
	step := [3]float64{3, 10, 40}[r.IntN(3)]
	miss := [4]float64{0, 0.003, 0.4, 3}[r.IntN(4)]
	at := func() geom.Point {
		p := geom.Point{X: float64(r.IntN(12)) * step, Y: float64(r.IntN(12)) * step}
		if r.IntN(2) == 0 {
			p = p.Add(geom.Point{X: (r.Float64()*2 - 1) * miss, Y: (r.Float64()*2 - 1) * miss})
		}
		return p
	}
	var out []Curve
	add := func(c geom.Curve, kind Kind, entity int32) {
		out = append(out, Curve{Curve: c, ID: int32(len(out)), Kind: kind, Entity: entity})
	}
	for k := range 2 + r.IntN(12) {
		kind := Boundary
		if r.IntN(5) == 0 {
			kind = Divider
		}
		switch r.IntN(8) {
		case 0: // a closed entity
			a, b := at(), at()
			p := []geom.Point{a, {X: b.X, Y: a.Y}, b, {X: a.X, Y: b.Y}}
			for i := range p {
				add(geom.Line(p[i], p[(i+1)%4]), Boundary, int32(k))
			}
		case 1: // chords
			a, radius := at(), 10+40*r.Float64()
			n := 5 + r.IntN(8)
			for i := range n {
				t := 0.2 * float64(i)
				add(geom.Line(a.Add(geom.Point{X: radius}.Rotate(t)), a.Add(geom.Point{X: radius}.Rotate(t+0.2))), kind, -1)
			}
		case 2: // a copy, or a part of one
			if len(out) > 0 {
				c := out[r.IntN(len(out))].Curve
				if r.IntN(2) == 0 && c.A != c.B {
					c = c.Part(0.3*r.Float64(), 0.6+0.4*r.Float64())
				}
				add(c, kind, -1)
			}
		case 3:
			add(geom.Curve{A: at(), B: at(), Bulge: r.Float64()*2 - 1}, kind, -1)
		case 4: // two lines to one corner
			p := at()
			add(geom.Line(at(), p), kind, -1)
			add(geom.Line(p.Add(geom.Point{X: r.Float64() * miss}), at()), kind, -1)
		default:
			add(geom.Line(at(), at()), kind, -1)
		}
	}
	return out
}

// renumbered gives the curves and their entities the numbers they have in their
// own order, as a caller does that reads them from a file in that order.
func renumbered(in []Curve) []Curve {
	entities := map[int32]int32{-1: -1}
	for i := range in {
		e, known := entities[in[i].Entity]
		if !known {
			e = int32(len(entities))
			entities[in[i].Entity] = e
		}
		in[i].ID, in[i].Entity = int32(i), e
	}
	return in
}

// TestChaos: neither the order of the curves nor their direction nor their
// numbers change what closing makes of a drawing, whatever it is.
func TestChaos(t *testing.T) {
	differ := 0
	for seed := range uint64(*chaosDrawings) {
		r := rand.New(rand.NewPCG(seed, 31))
		curves := chaos(r)
		want := fingerprint(closed(curves, Default()), same)
		for range 3 {
			if got := fingerprint(closed(renumbered(disorder(r, curves)), Default()), same); !slices.Equal(got, want) {
				if differ++; differ <= 3 {
					t.Errorf("seed %d, disordered:\n got %q\nwant %q", seed, got, want)
				}
				break
			}
		}
	}
	if differ > 0 {
		t.Errorf("%d of %d drawings differ", differ, *chaosDrawings)
	}
}

// roundingShare is the share of chaotic drawings that may come out with other
// counts when they are shifted and turned: there the last digits decide, say
// whether two curves a micrometre apart run along each other.
const roundingShare = 0.005

// counts says how much of each kind a result holds.
func counts(r Result) string {
	repairs := map[RepairKind]int{}
	for _, p := range r.Repairs {
		repairs[p.Kind]++
	}
	return fmt.Sprintf("%d faces, %d open, %d strays, %d crossings, %v", len(r.Faces), len(r.Open), len(r.Strays), len(r.Crossings), repairs)
}

// TestChaosMoved: a rigid motion changes the last digits of every coordinate, so
// choices between answers that are equal as drawn must rest on what is the
// drawing's own.
func TestChaosMoved(t *testing.T) {
	differ := 0
	for seed := range uint64(*chaosDrawings) {
		r := rand.New(rand.NewPCG(seed, 31))
		curves := chaos(r)
		angle, shift := r.Float64()*2*math.Pi, geom.Point{X: r.Float64()*1e4 - 5e3, Y: r.Float64()*1e4 - 5e3}
		moved := disorder(r, curves)
		for i := range moved {
			moved[i].Curve = moved[i].Curve.Rotate(angle).Translate(shift)
		}
		if got, want := counts(closed(moved, Default())), counts(closed(curves, Default())); got != want {
			differ++
			t.Logf("seed %d, moved: %s, as drawn %s", seed, got, want)
		}
	}
	if most := int(roundingShare * float64(*chaosDrawings)); differ > most {
		t.Errorf("%d of %d drawings differ, at most %d may", differ, *chaosDrawings, most)
	}
}
