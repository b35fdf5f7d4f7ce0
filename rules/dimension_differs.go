package rules

import (
	"fmt"
	"math"
	"strings"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// dimensionDiffers compares what a dimension says with what it spans. Somebody who
// writes a length over the measured one, or moves a line after it was dimensioned,
// leaves two lengths in the drawing, and the saw follows the one that nobody reads.
//
// What it says is the text written over it, in the unit that stands there; a number
// without a unit may be in the drawing's or in any that drawings are dimensioned in.
// Without such a text it is the length that the drawing says was measured (group 42),
// which an export may give in another unit, or times a power of ten where three of its
// dimensions or more do so, and times the factor of the dimension's style. Measured is the difference in
// mm, the witness leads along the dimension from its second point to where that would
// lie by what it says. Equal passes.
//
// A warning tells of a dimension that ends on an edge beside its corner, where nothing
// is that it could measure to: the stone was drawn otherwise when it was dimensioned.
// Limit: 1/16 in (1.6 mm), tolerance of a top's width and what a text rounded to eighths
// of an inch may be off, Architectural Woodwork Standards, 1st ed. 2009, 4.4.4.
func dimensionDiffers() Rule {
	return Rule{
		ID:         "dimension-differs",
		Severities: []Severity{Stop, Warn},
		What:       "Dimensions whose text is not the length they span.",
		Why:        "The customer signed the text; the saw follows the line.",
		How: "The length that a dimension's text tells (in its own unit; without one in the drawing's, mm, cm, m, inches or feet), or that the drawing says was measured, " +
			"against the distance of the dimension's points along it. A warning where a dimension ends within dimension_reach of a corner, on the edge that it measures along and on nothing else. " +
			"Angles and ordinates, texts without a length and exploded dimensions are not looked at.",
		Limits: []string{"rules.dimension_differs", "rules.dimension_reach"},
		Check:  checkDimensions,
	}
}

func checkDimensions(in *Input, out *Findings) {
	find, doubtful := newLengthPatterns(), unitInDoubt(in.Template)
	unclear, pointless := 0, 0
	for i := range in.Template.Dimensions {
		d := &in.Template.Dimensions[i]
		if in.ended() {
			return
		}
		span := d.Length()
		if span <= geom.Tolerance {
			pointless++
			continue
		}
		said, ok, tells := in.said(&d.Dimension, &find, doubtful)
		switch {
		case !tells:
			unclear++
		case !ok && math.Abs(said-span) > in.Settings.DimensionDiffers+geom.Tolerance:
			out.Flag(in.dimensionFlag(d, said))
			continue
		}
		in.drifted(d, out)
	}
	if pointless > 0 {
		out.Unchecked(counted(pointless, "dimension") + " without the points that it measures between: export them with their definition points")
	}
	if unclear > 0 {
		out.Unchecked(counted(unclear, "dimension") + " with a text in which no length was understood: compare it by eye")
	}
}

// unitInDoubt reports whether the drawing's unit is flagged: lengths that differ by a
// change of unit follow from that.
func unitInDoubt(t *piece.Template) bool {
	for i := range t.Problems {
		if k := t.Problems[i].Kind; k == piece.UnitsUnknown || k == piece.UnitsImplausible {
			return true
		}
	}
	return false
}

// said returns the length in mm that a dimension tells, of several the one nearest to
// what it spans; ok when that is one it spans, in one unit or another; tells is false
// when it has a text of its own with figures in which no length was understood.
func (in *Input) said(d *dxfio.Dimension, find *lengthPatterns, doubtful bool) (mm float64, ok, tells bool) {
	span := d.Length()
	best := math.NaN()
	consider := func(v float64) {
		if v > 0 && (math.IsNaN(best) || math.Abs(math.Log(v/span)) < math.Abs(math.Log(best/span))) {
			best = v
		}
	}
	drawn := in.Template.Units.Drawing.Millimetres()
	anyUnit := func(v, unit float64) bool { // v is in mm if it is in the unit
		for _, u := range dimensionUnits() {
			if w := v / unit * u.Millimetres(); unit > 0 && math.Abs(w-span) <= in.Settings.DimensionDiffers+geom.Tolerance {
				consider(w)
				return true
			}
		}
		return false
	}
	text := strings.TrimSpace(d.Text)
	measured := d.Text == "" || strings.Contains(text, "<>")
	if measured {
		for _, v := range [2]float64{d.Shown, span * d.Factor} {
			if v <= 0 || anyUnit(v, drawn) || in.sameScaled(v, span) {
				continue
			}
			return v, false, true
		}
		return span, true, true
	}
	for _, w := range find.writtenLengths(text) {
		v := w.value * w.unit.Millimetres()
		if w.unit == dxfio.UnitNone {
			v = w.value * drawn
		}
		if w.named && math.Abs(math.Log(v/span)) > math.Log(namedRatio) {
			continue
		}
		consider(v)
		if w.unit == dxfio.UnitNone && anyUnit(v, drawn) || doubtful && math.Abs(w.value*drawn-span) <= in.Settings.DimensionDiffers {
			return best, true, true
		}
	}
	if math.IsNaN(best) {
		return span, true, !strings.ContainsAny(text, "0123456789")
	}
	return best, false, true
}

// sameScaled reports whether a length is another one times or over a power of ten: some
// exports write the measured length as the style of the dimension shows it, centimetres of
// a drawing in metres. A single dimension proves no style: it may be the one that is right.
func (in *Input) sameScaled(shown, span float64) bool {
	tens, ok := in.tens(shown, span)
	if !ok || tens == 0 {
		return ok
	}
	like := 0
	for i := range in.Template.Dimensions {
		d := &in.Template.Dimensions[i]
		for _, v := range [2]float64{d.Shown, d.Length() * d.Factor} {
			if n, ok := in.tens(v, d.Length()); ok && n == tens {
				like++
				break
			}
		}
	}
	return like >= styleProof
}

// styleProof is how many dimensions have to show their length times the same power of
// ten before that is the style of the drawing (common practice, no source).
const styleProof = 3

// tens returns the power of ten that a length is of another one, and false when it is none.
func (in *Input) tens(shown, span float64) (int, bool) {
	if shown <= 0 || span <= geom.Tolerance {
		return 0, false
	}
	n := int(math.Round(math.Log10(shown / span)))
	return n, math.Abs(shown/math.Pow10(n)-span) <= in.Settings.DimensionDiffers+geom.Tolerance
}

// namedRatio is how many times a number behind a word may be larger or smaller than
// what the dimension spans and still be a length: of NOTE 3 it is not.
const namedRatio = 1.25

// dimensionUnits are the units in which drawings are dimensioned, whatever they are
// drawn in.
func dimensionUnits() [5]dxfio.Unit {
	return [5]dxfio.Unit{dxfio.UnitMillimetre, dxfio.UnitCentimetre, dxfio.UnitMetre, dxfio.UnitInch, dxfio.UnitFoot}
}

func (in *Input) dimensionFlag(d *piece.Dimension, said float64) Flag {
	l, span := in.lengths(), d.Length()
	way := d.Way()
	w := geom.Witness{From: d.To, To: d.To.Add(way.Mul(said - span))}
	middle := d.From.Lerp(d.To, 0.5)
	text := strings.Join(strings.Fields(d.Text), " ")
	saying := fmt.Sprintf("says %s (written %s)", l.Fine(said), text)
	remedy := fmt.Sprintf("Measure again: draw %s, or write %s over the dimension.", l.Fine(said), l.Fine(span))
	if text == "" || strings.Contains(text, "<>") {
		saying = "shows " + l.Fine(said)
		remedy = fmt.Sprintf("Measure again: draw %s, or let CAD update the dimension, which will then show %s.", l.Fine(said), l.Fine(span))
	}
	return Flag{
		Piece: in.dimensioned(d), Witness: &w, Anchor: &middle, Measured: math.Abs(said - span), Limit: in.Settings.DimensionDiffers, Unit: "mm",
		Message: fmt.Sprintf("The dimension from %s to %s %s, and spans %s.", in.place(d.From), in.place(d.To), saying, l.Fine(span)),
		Remedy:  remedy,
	}
}

// dimensioned returns the piece that either end of a dimension lies on, "" for none.
func (in *Input) dimensioned(d *piece.Dimension) string {
	for _, p := range [2]geom.Point{d.From, d.To} {
		if on, _, way := in.nearestEdge(p); on != nil && way.Length() <= in.Settings.DimensionDiffers {
			return on.ID
		}
	}
	return ""
}

// drifted reports the ends of a dimension that lie on the edge it measures along,
// near to a corner that it was meant for.
func (in *Input) drifted(d *piece.Dimension, out *Findings) {
	for _, end := range d.Drifts {
		w := geom.Witness{From: end.At, To: end.Corner}
		if w.Length() <= in.Settings.DimensionDiffers+geom.Tolerance || w.Length() > in.Settings.DimensionReach+geom.Tolerance {
			continue
		}
		l := in.lengths()
		out.Flag(Flag{
			Severity: Warn, Piece: in.dimensioned(d), Witness: &w, Measured: w.Length(), Limit: in.Settings.DimensionDiffers, Unit: "mm",
			Message: fmt.Sprintf("The dimension of %s from %s to %s ends %s beside the corner at %s: the stone may have been changed after it was dimensioned.",
				l.Fine(d.Length()), in.place(d.From), in.place(d.To), l.Of(w.Length()), in.place(end.Corner)),
			Remedy: fmt.Sprintf("Measure again: put the dimension's end on the corner, or the corner on the dimension, %s from where it is.", l.Of(w.Length())),
		})
	}
}
