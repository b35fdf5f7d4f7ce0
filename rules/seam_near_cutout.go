package rules

import (
	"fmt"
	"math"
	"slices"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// seamNearCutout finds cutouts near a seam. Measured is the least distance
// between the seam and the cutout's edge, exact on lines and arcs, 0 for a
// cutout that the seam runs into. Any cutout, tap holes included, warns below
// 150 mm (stone suppliers' pages, common practice); a sink is noted below
// 457 mm (18 in, ANSI/AWI 1236-2022 3.3 d). A distance equal to the limit passes.
func seamNearCutout() Rule {
	return Rule{
		ID:         "seam-near-cutout",
		Severities: []Severity{Warn, Note},
		What:       "Seams too near to a cutout.",
		Why:        "The strip between seam and cutout breaks when the pieces are moved and set.",
		How: "The least distance between the seam and each cutout of its two pieces, tap holes included; 0 where the cutout runs over the seam. One flag a seam and cutout: " +
			"a warning under the limit for any cutout, a note under the limit for sinks.",
		Limits: []string{"rules.seam_cutout", "rules.seam_sink"},
		Check: func(in *Input, out *Findings) {
			for i := range in.Template.Seams {
				in.checkSeamCutouts(&in.Template.Seams[i], out)
			}
		},
	}
}

func (in *Input) checkSeamCutouts(s *piece.Seam, out *Findings) {
	var crossing []geom.Loop // drawn once, they cut both pieces
	for k, id := range s.Pieces {
		p := in.pieceByID(id)
		if p == nil {
			continue
		}
		for i := range p.Cutouts {
			c := &p.Cutouts[i]
			w, ok := nearest(s.Chains[k], c.Loop)
			if !ok {
				continue
			}
			d := w.Length()
			if d < geom.Tolerance && c.OverEdge {
				if slices.ContainsFunc(crossing, func(l geom.Loop) bool { return slices.Equal(l, c.Loop) }) {
					continue
				}
				crossing = append(crossing, c.Loop)
			}
			if f, ok := in.seamCutoutFlag(s, p, c, w); ok {
				out.Flag(f)
			}
		}
	}
}

func (in *Input) pieceByID(id string) *piece.Piece {
	for i := range in.Template.Pieces {
		if in.Template.Pieces[i].ID == id {
			return &in.Template.Pieces[i]
		}
	}
	return nil
}

// nearest returns the shortest line from a chain to a loop.
func nearest(chain []geom.Curve, loop geom.Loop) (geom.Witness, bool) {
	least, middle := math.Inf(1), false
	var best geom.Witness
	for _, c := range chain {
		box := c.Box()
		for _, d := range loop {
			if gap(box, d.Box()) > least+geom.Tolerance {
				continue
			}
			w, parallel := centred(c, d, geom.Nearest(c, d))
			length := w.Length()
			tie := math.Abs(length-least) <= geom.Tolerance
			// Of equally short ones that in the middle of parallel stretches.
			if math.IsInf(least, 1) || !tie && length < least || tie && (parallel && !middle || parallel == middle && w.Shorter(best)) {
				least, best, middle = math.Min(length, least), w, parallel
			}
		}
	}
	return best, !math.IsInf(least, 1)
}

// centred moves the shortest line between two parallel straights, which stands
// as well anywhere along them, to the middle of the stretch they share: a place
// that a rotation of the drawing does not move against the stone. It reports
// whether it did.
func centred(c, d geom.Curve, w geom.Witness) (geom.Witness, bool) {
	if !c.IsLine() || !d.IsLine() || w.Length() < geom.Tolerance {
		return w, false
	}
	along := c.Tangent(0)
	if math.Abs(along.Cross(d.Tangent(0)))*math.Min(c.Chord(), d.Chord()) > geom.Tolerance {
		return w, false
	}
	from, to := d.A.Sub(c.A).Dot(along), d.B.Sub(c.A).Dot(along)
	from, to = math.Max(0, math.Min(from, to)), math.Min(c.Chord(), math.Max(from, to))
	if from >= to {
		return w, false // they lie past each other: corner to corner
	}
	move := along.Mul((from+to)/2 - w.From.Sub(c.A).Dot(along))
	return geom.Witness{From: w.From.Add(move), To: w.To.Add(move)}, true
}

// gap returns the distance between two boxes.
func gap(a, b geom.Box) float64 {
	dx := math.Max(0, math.Max(a.Min.X-b.Max.X, b.Min.X-a.Max.X))
	dy := math.Max(0, math.Max(a.Min.Y-b.Max.Y, b.Min.Y-a.Max.Y))
	return math.Hypot(dx, dy)
}

func (in *Input) seamCutoutFlag(s *piece.Seam, p *piece.Piece, c *piece.Cutout, w geom.Witness) (Flag, bool) {
	d := w.Length()
	severity, limit := Warn, in.Settings.SeamCutout
	if d >= limit-asDrawn {
		severity, limit = Note, in.Settings.SeamSink
		if c.Kind != piece.Sink || d >= limit-asDrawn {
			return Flag{}, false
		}
	}
	what := cutoutName(c.Kind)
	if d < geom.Tolerance {
		return in.seamIntoCutout(s, p, c, w), true
	}
	l := in.lengths()
	f := Flag{
		Severity: severity, Piece: p.ID, Other: c.ID, Witness: &w, At: w.Middle(),
		Measured: d, Limit: limit, Unit: "mm",
		Message: fmt.Sprintf("Seam %s runs %s from the %s %s; %s are wanted.", s.ID, l.Under(d, limit), what, c.ID, l.Up(limit)),
		Remedy:  fmt.Sprintf("Move the seam or the %s %s apart.", what, l.Up(limit-d)),
	}
	return f, true
}

// seamIntoCutout is the flag of a seam that runs into a cutout. Both its pieces
// end there, so the flag is about the seam and stands with both.
func (in *Input) seamIntoCutout(s *piece.Seam, p *piece.Piece, c *piece.Cutout, w geom.Witness) Flag {
	what, limit, rods := cutoutName(c.Kind), in.Settings.SeamCutout, ""
	if c.Kind != piece.Hole {
		rods = ", or reinforce the strips beside it with rods in both pieces"
	}
	return Flag{
		Severity: Warn, Piece: p.ID, Other: s.ID, Witness: &w, At: w.Middle(), Measured: w.Length(), Limit: limit, Unit: "mm",
		Message: fmt.Sprintf("Seam %s of pieces %s and %s runs into the %s %s; %s are wanted between them.", s.ID, s.Pieces[0], s.Pieces[1], what, c.ID, in.lengths().Up(limit)),
		Remedy:  fmt.Sprintf("Move the seam %s clear of the %s%s.", in.lengths().Up(limit), what, rods),
	}
}

// cutoutName is what the shop calls a kind of cutout.
func cutoutName(k piece.CutoutKind) string {
	if k == piece.Hole {
		return "hole"
	}
	return string(k)
}
