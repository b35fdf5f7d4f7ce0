package rules

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/dxfio/trace"
	"trueup/rules/shop"
)

// A drawing says the same however it lies on its sheet: turned by any angle,
// mirrored, moved to site coordinates, in inches or metres, its entities in another
// order and drawn the other way. Everything that is read from it is compared: flags,
// pieces, cutouts, seams and set-up figures.

// variant is a way to draw a drawing again.
type variant struct {
	name    string
	angle   float64 // radians, after mirroring
	mirror  bool
	shift   geom.Point // mm, after turning
	unit    dxfio.Unit
	shuffle uint64 // seed; 0 leaves order and directions
}

// move takes a place in mm of the first drawing to that of the variant, in mm.
func (v variant) move(p geom.Point) geom.Point {
	if v.mirror {
		p.X = -p.X
	}
	return p.Rotate(v.angle).Add(v.shift)
}

// variants are ways in which a scene is drawn again. Angles are arbitrary, since a
// quarter turn leaves every line along an axis.
func variants(rng *rand.Rand, n int) []variant {
	const site = 1e6 // mm: a kilometre, as site coordinates are
	units := []dxfio.Unit{dxfio.UnitMillimetre, dxfio.UnitInch, dxfio.UnitMetre, dxfio.UnitCentimetre}
	var out []variant
	if n > 1 {
		out = append(out, variant{name: "mirrored", mirror: true, unit: dxfio.UnitMillimetre},
			variant{name: "turned by 90 degrees", angle: math.Pi / 2, unit: dxfio.UnitMillimetre})
	}
	for range n {
		v := variant{
			angle: 2 * math.Pi * rng.Float64(), mirror: rng.IntN(2) == 0, unit: units[rng.IntN(len(units))], shuffle: 1 + rng.Uint64N(1e6),
			shift: geom.Point{X: site * (2*rng.Float64() - 1), Y: site * (2*rng.Float64() - 1)},
		}
		v.name = fmt.Sprintf("turned by %.4f degrees, mirrored %v, at (%.0f, %.0f), in %v, order %d", v.angle*180/math.Pi, v.mirror, v.shift.X, v.shift.Y, v.unit, v.shuffle)
		out = append(out, v)
	}
	return out
}

// draw draws a drawing in millimetres again.
func (v variant) draw(d *dxfio.Drawing) *dxfio.Drawing {
	scale := 1 / v.unit.Millimetres()
	place := func(p geom.Point) geom.Point { return v.move(p).Mul(scale) }
	out := *d
	out.Units = v.unit
	out.Curves = make([]dxfio.Curve, len(d.Curves))
	for i, c := range d.Curves {
		if v.mirror {
			c.Bulge = -c.Bulge
		}
		c.A, c.B = place(c.A), place(c.B)
		out.Curves[i] = c
	}
	out.Texts = slices.Clone(d.Texts)
	for i := range out.Texts {
		out.Texts[i].At, out.Texts[i].Height = place(d.Texts[i].At), d.Texts[i].Height*scale
	}
	out.Marks = slices.Clone(d.Marks)
	for i := range out.Marks {
		out.Marks[i].At = place(d.Marks[i].At)
	}
	out.Changes = slices.Clone(d.Changes)
	for i := range out.Changes {
		out.Changes[i].At, out.Changes[i].Size = place(d.Changes[i].At), d.Changes[i].Size*scale
	}
	if v.shuffle > 0 {
		v.reorder(&out)
	}
	return &out
}

// reorder puts entities into another order and draws half of them the other way;
// the curves of one stay together.
func (v variant) reorder(d *dxfio.Drawing) {
	rng := rand.New(rand.NewPCG(v.shuffle, 7))
	var entities [][]dxfio.Curve
	for i, c := range d.Curves {
		if i == 0 || c.Entity != d.Curves[i-1].Entity {
			entities = append(entities, nil)
		}
		last := &entities[len(entities)-1]
		*last = append(*last, c)
	}
	rng.Shuffle(len(entities), func(i, j int) { entities[i], entities[j] = entities[j], entities[i] })
	for _, e := range entities {
		if closed := len(e) > 1 && e[len(e)-1].B == e[0].A; closed && rng.IntN(2) == 0 {
			k := rng.IntN(len(e))
			copy(e, append(slices.Clone(e[k:]), e[:k]...)) // begins at another corner
		}
		if rng.IntN(2) == 0 {
			slices.Reverse(e)
			for i := range e {
				e[i].Curve = e[i].Reverse()
			}
		}
	}
	d.Curves = slices.Concat(entities...)
}

// seen is what a drawing comes to: flags and figures with their places in the
// drawing's own frame, mm.
type seen struct {
	flags  []Flag
	places map[string]geom.Point // centroid of each piece
	pieces map[string][]float64
	seams  []placed
	tpl    *piece.Template
}

// placed is a list of figures at a place.
type placed struct {
	at      geom.Point
	figures []float64
	words   string
}

// see takes a drawing through pieces, set-up and all rules.
func see(t testing.TB, d *dxfio.Drawing) *seen {
	t.Helper()
	local, shift := d.Millimetres(d.Units)
	tpl, err := piece.Build(context.Background(), local, piece.Default(), trace.Default())
	if err != nil {
		t.Fatal(err)
	}
	tpl.Shift, tpl.Units = shift, piece.Units{Drawing: d.Units, From: "header"}
	settings, m := Default(), shop.Default()
	in := &Input{Template: tpl, Settings: &settings, Shop: &m, Setups: map[string]*shop.Setup{}}
	s := &seen{places: map[string]geom.Point{}, pieces: map[string][]float64{}, tpl: tpl}
	for i := range tpl.Pieces {
		p := &tpl.Pieces[i]
		p.Thickness, p.Material = 30, "granite"
		setup := shop.SetUp(p, tpl, &m)
		in.Setups[p.ID] = &setup
		s.places[p.ID] = p.Outline.Centroid().Add(shift)
		s.pieces[p.ID] = figuresOf(p, &setup)
	}
	s.flags = Run(in).Flags
	for i := range s.flags {
		f := &s.flags[i]
		f.At = f.At.Add(shift)
		if f.Anchor != nil {
			a := f.Anchor.Add(shift)
			f.Anchor = &a
		}
	}
	for i := range tpl.Seams {
		e := &tpl.Seams[i]
		at := geom.Loop(e.Chains[0]).Length()
		s.seams = append(s.seams, placed{e.Chains[0][0].A.Lerp(e.Chains[0][len(e.Chains[0])-1].B, 0.5).Add(shift),
			[]float64{e.Length, at, e.MaxGap, e.MinGap, float64(len(e.Steps))}, string(e.Kind)})
	}
	return s
}

// figuresOf lists the figures of a piece that do not depend on how it lies.
func figuresOf(p *piece.Piece, s *shop.Setup) []float64 {
	out := []float64{
		p.Outline.Area(), p.NetArea(), p.Outline.Length(), s.Rectangle.Length, s.Rectangle.Width, s.Mass,
		s.SawLength, s.RouterLeft, s.RouterCorners, s.RouterArcs, s.RouterStraights, s.RunMinutes, float64(s.Holes),
		float64(len(p.Edges)), float64(len(p.Cutouts)), float64(len(s.Cuts)), float64(len(s.Polish)),
	}
	var rest [][]float64
	for _, c := range p.Cutouts {
		rest = append(rest, []float64{1, math.Abs(c.Loop.Area()), c.Loop.Length(), c.MinRadius(), c.Diameter})
	}
	for _, e := range p.Edges {
		rest = append(rest, []float64{2, e.Length(), float64(len(string(e.Finish)))})
	}
	for _, pass := range s.Polish {
		steps := []float64{3, pass.Length, pass.Extent, pass.Height, pass.FeedMinutes, float64(len(pass.StepsLeadStart) + len(pass.StepsLeadEnd))}
		var at []float64
		for _, step := range slices.Concat(pass.StepsLeadStart, pass.StepsLeadEnd) {
			at = append(at, step.At)
		}
		slices.Sort(at)
		rest = append(rest, append(steps, at...))
	}
	slices.SortFunc(rest, func(a, b []float64) int {
		for i := range min(len(a), len(b)) {
			if d := a[i] - b[i]; math.Abs(d) > sortedApart {
				return int(math.Copysign(1, d))
			}
		}
		return len(a) - len(b)
	})
	return slices.Concat(append([][]float64{out}, rest...)...)
}

// sortedApart is how far figures differ in mm that tell two edges of a piece apart.
const sortedApart = 1e-3

const (
	sameFigure   = 1e-5 // relative, of figures that are computed and not searched
	sameMeasured = 1e-3 // relative, of what a rule measures
	sameAtPoint  = 2e-2 // relative, of widths and shares of stone read at the searched point, which lies within some mm
	sameLength   = 1.0  // mm: the accuracy of the support search
	samePlaceOf  = 10.0 // mm: what is equally bad has its middle told to 2 mm an end, and lies in a corner of several as good
)

// compare reports how a drawing that was drawn again differs.
func compare(v variant, a, b *seen) []string {
	var out []string
	name := map[string]string{"": ""} // of b's pieces by a's
	for id, at := range a.places {
		for other, p := range b.places {
			if v.move(at).Distance(p) < 0.5 {
				name[id] = other
			}
		}
		if name[id] == "" {
			out = append(out, fmt.Sprintf("piece %s is gone", id))
			continue
		}
		f, g := a.pieces[id], b.pieces[name[id]]
		if len(f) != len(g) {
			out = append(out, fmt.Sprintf("piece %s has %d figures, %d before", id, len(g), len(f)))
			continue
		}
		for i := range f {
			if math.Abs(f[i]-g[i]) > sameFigure*math.Max(1, math.Abs(f[i])) {
				out = append(out, fmt.Sprintf("piece %s figure %d is %.6f, was %.6f", id, i, g[i], f[i]))
			}
		}
	}
	if len(a.places) != len(b.places) {
		out = append(out, fmt.Sprintf("%d pieces, %d before", len(b.places), len(a.places)))
	}
	out = append(out, compareSeams(v, a, b)...)
	left := slices.Clone(b.flags)
	for _, f := range a.flags {
		// What hangs over past its limits hangs by chords that graze corners: the width of stone
		// across them, and with it the stress beside the stop, jumps within a millimetre.
		far := f.Rule == "bending-stress" && slices.ContainsFunc(a.flags, func(o Flag) bool {
			return o.Piece == f.Piece && o.Rule == "overhang"
		})
		i := slices.IndexFunc(left, func(g Flag) bool {
			if far && g.Rule == f.Rule && g.Piece == name[f.Piece] {
				return true
			}
			return v.same(f, g, name)
		})
		if i < 0 {
			out = append(out, "lost: "+told(f, v.move(f.At)))
			continue
		}
		left = slices.Delete(left, i, i+1)
	}
	for _, g := range left {
		out = append(out, "new: "+told(g, g.At))
	}
	return out
}

func told(f Flag, at geom.Point) string {
	return fmt.Sprintf("%s %s %s %.4f at (%.2f, %.2f) %s", f.Rule, f.Severity, f.Piece, f.Measured, at.X, at.Y, f.Message)
}

// same reports whether g is the flag f of the drawing drawn again.
func (v variant) same(f, g Flag, name map[string]string) bool {
	// Of a seam either mate may be named.
	seam := strings.HasPrefix(f.Rule, "seam-")
	if f.Rule != g.Rule || f.Severity != g.Severity || name[f.Piece] != g.Piece && !seam {
		return false
	}
	allow := sameMeasured * math.Abs(f.Measured)
	if f.Unit == "MPa" || f.Unit == "share" {
		allow = sameAtPoint * math.Abs(f.Measured)
	}
	if f.Unit == "mm" && slices.Contains(searchedRules, f.Rule) {
		allow = math.Max(allow, sameLength)
	}
	if math.Abs(f.Measured-g.Measured) > allow+sameFigure {
		return false
	}
	near := func(p, q geom.Point) bool { return v.move(p).Distance(q) <= samePlaceOf }
	return f.Piece == "" || wholeRules[f.Rule] || near(f.At, g.At) || f.Anchor != nil && g.Anchor != nil && near(*f.Anchor, *g.Anchor)
}

// wholeRules are about a piece as a whole: their place is one of several as good.
var wholeRules = func() map[string]bool {
	of := map[string]bool{}
	for _, r := range Catalogue() {
		of[r.ID] = r.Whole
	}
	return of
}()

// searchedRules measure by a search that is exact to a millimetre.
var searchedRules = []string{"unsupported-span", "overhang"}

func compareSeams(v variant, a, b *seen) []string {
	var out []string
	left := slices.Clone(b.seams)
	for _, s := range a.seams {
		i := slices.IndexFunc(left, func(o placed) bool {
			if s.words != o.words || v.move(s.at).Distance(o.at) > 2 {
				return false
			}
			for k := range s.figures {
				if math.Abs(s.figures[k]-o.figures[k]) > 1e-4 {
					return false
				}
			}
			return true
		})
		if i < 0 {
			out = append(out, fmt.Sprintf("seam lost: %s %v, of %v", s.words, s.figures, b.seams))
			continue
		}
		left = slices.Delete(left, i, i+1)
	}
	if len(left) > 0 {
		out = append(out, fmt.Sprintf("new seams: %v", left))
	}
	return out
}
