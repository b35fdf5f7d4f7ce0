package rules

import (
	"context"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/dxfio/trace"
	"trueup/rules/shop"
)

// reexport draws a drawing again: turned and shifted as a whole, its curves in
// another order and run the other way. Texts keep their places in the stone.
func reexport(d *dxfio.Drawing, angle float64, shift geom.Point, seed uint64) *dxfio.Drawing {
	rng := rand.New(rand.NewPCG(seed, 5))
	out := *d
	move := func(p geom.Point) geom.Point { return p.Rotate(angle).Add(shift) }
	out.Curves = slices.Clone(d.Curves)
	for i, c := range out.Curves {
		c.Curve = c.Rotate(angle).Translate(shift)
		if seed > 0 && d.Curves[i].Type != dxfio.EntityPolyline && rng.IntN(2) == 0 {
			c.Curve = c.Reverse()
		}
		out.Curves[i] = c
	}
	if seed > 0 {
		// Entities in another order; the curves of one stay together.
		var byEntity [][]dxfio.Curve
		for i, c := range out.Curves {
			if i == 0 || c.Entity != out.Curves[i-1].Entity {
				byEntity = append(byEntity, nil)
			}
			byEntity[len(byEntity)-1] = append(byEntity[len(byEntity)-1], c)
		}
		rng.Shuffle(len(byEntity), func(i, j int) { byEntity[i], byEntity[j] = byEntity[j], byEntity[i] })
		out.Curves = slices.Concat(byEntity...)
	}
	out.Texts = slices.Clone(d.Texts)
	for i := range out.Texts {
		out.Texts[i].At = move(out.Texts[i].At)
	}
	out.Marks = slices.Clone(d.Marks)
	for i := range out.Marks {
		out.Marks[i].At = move(out.Marks[i].At)
	}
	return &out
}

// keysOfDrawing takes a drawing through pieces and all rules.
func keysOfDrawing(t *testing.T, d *dxfio.Drawing) []Flag {
	t.Helper()
	tpl, err := piece.Build(context.Background(), d, piece.Default(), trace.Default())
	if err != nil {
		t.Fatal(err)
	}
	s, m := Default(), shop.Default()
	return Run(&Input{Template: tpl, Settings: &s, Shop: &m}).Flags
}

// The demo drawings keep the keys of all their flaws, of every rule, however
// they are drawn again.
func TestDemoKeysSurviveReexport(t *testing.T) {
	files, err := filepath.Glob("../testdata/demo/*.dxf")
	if err != nil || len(files) < 5 {
		t.Fatalf("%d demo drawings, %v", len(files), err)
	}
	flaws := 0
	for _, path := range files {
		f, err := os.Open(path)
		if err != nil {
			t.Fatal(err)
		}
		raw, err := dxfio.Read(f, dxfio.Options{File: path, AreaLayer: piece.Default().Roles.Cutting})
		f.Close()
		if err != nil {
			continue // one is broken on purpose
		}
		unit := raw.Units
		if !unit.Known() {
			unit = dxfio.UnitMillimetre
		}
		d, _ := raw.Millimetres(unit)
		before := keysOfDrawing(t, d)
		flaws += len(before)
		for i, angle := range []float64{0, 90, 180, 270, 33, 211.7} {
			again := reexport(d, angle*math.Pi/180, geom.Point{X: 1234.5 * float64(i), Y: -77.7 * float64(i)}, uint64(i+1))
			after := keysOfDrawing(t, again)
			if len(after) != len(before) {
				t.Errorf("%s turned by %g: %d flags, %d before:\n%s---\n%s", filepath.Base(path), angle, len(after), len(before), listed(after), listed(before))
				continue
			}
			for _, b := range before {
				if !slices.ContainsFunc(after, func(a Flag) bool { return a.Key == b.Key }) {
					t.Errorf("%s turned by %g: %s is lost:\n%snow\n%s", filepath.Base(path), angle, b.Key, listed([]Flag{b}), listed(after))
				}
			}
		}
	}
	if flaws < 10 {
		t.Errorf("only %d flaws in all", flaws)
	}
}
