package rules

import (
	"fmt"
	"slices"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// strayCurve reports curves on layers with a role that bound and mark nothing.
// Measured is their length in mm, the witness runs from end to end. Seam lines
// and finish marks have rules of their own. Severity follows what the curve may
// have been: a line of stray_length on a layer of outlines or splashes may be an edge that
// nobody will cut, the front that the outline was not drawn out to, and is a stop; so is
// one on a layer of cutouts in or at the stone of a piece. A shorter one, one at or in a
// cutout (a centre line, a drain), one of a cutout's layer beside all stone and one of
// another role is not.
func strayCurve() Rule {
	return Rule{
		ID:         "stray-curve",
		Severities: []Severity{Stop, Warn},
		What:       "Curves that belong to no piece, cutout, seam or support.",
		Why:        "A line that was meant as an edge or a cutout and went unused is missing from the stone.",
		How: "Every curve read ends in an outline, cutout, seam, support, wall or finish mark, in a repair, or here; so does the stretch of a line that runs on past the outline or cutout which the rest of it bounds, by more than bridging trims. " +
			"A stop from stray_length on where the layer is one of outlines or splashes and the curve does not begin, end or have its middle in or at a cutout, or lies in stone for that length though it crosses one; where the layer is one of cutouts and the curve begins, ends or has its middle in or at a piece, but not in or at a cutout; " +
			"and where an edge beside it was taken from a mark instead; otherwise a warning. " +
			"One flag an entity; past 50 on a layer the last one counts the rest.",
		Limits: []string{"rules.stray_length"},
		Check: fromProblems(piece.StrayCurve, func(in *Input, p *piece.Problem, f *Flag) {
			w := p.Witness
			f.Witness, f.Measured, f.Unit = &w, p.Measured, "mm"
			f.Severity = Warn
			if in.mayBeCut(p) {
				f.Severity = Stop
			}
			f.Message = fmt.Sprintf("%s of %s%s %s %s.", entity(p), in.lengths().Of(p.Measured), onLayer(p), in.fromTo(p), because(p, "bounds nothing"))
			f.Remedy = "Delete it, move it to an ignored layer, or draw what it should bound to the end."
			if p.Rival != "" {
				f.Message = fmt.Sprintf("%s of %s%s %s bounds nothing: the edge beside it was taken from the line on layer %s, and which of the two is meant is not told.",
					entity(p), in.lengths().Of(p.Measured), onLayer(p), in.fromTo(p), p.Rival)
				f.Remedy = "Draw the edge and its mark in one place, or delete the one that is wrong."
			}
		}),
	}
}

// mayBeCut reports whether a stray may be an edge of a piece or a cutout.
func (in *Input) mayBeCut(p *piece.Problem) bool {
	if p.Role != piece.OutlineRole && p.Role != piece.SplashRole && p.Role != piece.CutoutRole || p.Measured < in.Settings.StrayLength {
		return false
	}
	if p.Rival != "" {
		return true
	}
	if p.Role == piece.CutoutRole {
		return in.endsInStone(p)
	}
	return in.inStone(geom.Line(p.Witness.From, p.Witness.To)) >= in.Settings.StrayLength-geom.Tolerance || !in.touchesCutout(p)
}

// endsInStone reports whether a stray begins, ends or has its middle in or at a
// piece, and none of them in or at a cutout.
func (in *Input) endsInStone(p *piece.Problem) bool {
	return !in.touchesCutout(p) && slices.ContainsFunc(placesOf(p), func(q geom.Point) bool { return in.pieceAround(q) != nil })
}

// touchesCutout reports whether a stray begins, ends or has its middle in or at a cutout.
func (in *Input) touchesCutout(p *piece.Problem) bool {
	return slices.ContainsFunc(placesOf(p), in.atCutout)
}

func placesOf(p *piece.Problem) []geom.Point { return []geom.Point{p.At, p.Witness.From, p.Witness.To} }

// inStone returns the length in mm of a line that lies in stone, edges not counted.
func (in *Input) inStone(c geom.Curve) float64 {
	sum := 0.0
	for i := range in.Template.Pieces {
		p := &in.Template.Pieces[i]
		if !c.Box().Overlaps(p.Outline.Box()) {
			continue
		}
		at := []float64{0, 1}
		cross := func(l geom.Loop) {
			for _, e := range l {
				for _, k := range geom.Intersect(c, e) {
					at = append(at, k.T)
				}
			}
		}
		cross(p.Outline)
		for k := range p.Cutouts {
			cross(p.Cutouts[k].Loop)
		}
		slices.Sort(at)
		for k := range at[1:] {
			if part := c.Part(at[k], at[k+1]); p.Outline.Locate(part.Middle()) == geom.Inside && !in.atCutout(part.Middle()) {
				sum += part.Length()
			}
		}
	}
	return sum
}

// atCutout reports whether a point lies in a cutout or on its line.
func (in *Input) atCutout(q geom.Point) bool {
	for i := range in.Template.Pieces {
		for k := range in.Template.Pieces[i].Cutouts {
			l := in.Template.Pieces[i].Cutouts[k].Loop
			if l.Box().Distance(q) <= geom.Tolerance && l.Locate(q) != geom.Outside {
				return true
			}
		}
	}
	return false
}

// entity names what was drawn.
func entity(p *piece.Problem) string {
	name := p.Entity
	if name == "" {
		name = "curve"
	}
	if p.Count > 1 {
		return fmt.Sprintf("%s with %s", name, counted(p.Count, "curve"))
	}
	return name
}

// because returns the problem's own reason, or one that always holds.
func because(p *piece.Problem, otherwise string) string {
	if p.Why == "" {
		return otherwise
	}
	return p.Why
}
