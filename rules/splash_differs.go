package rules

import (
	"fmt"
	"math"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// splashDiffers compares the length of every splash piece with the edges of the tops that
// it may stand on. Those are the edges against walls; in a drawing that marks none, all
// that are neither finished nor at a seam. Beside walls an unmarked edge counts as one, too,
// for a splash as long as it alone. Edges in line with each other, on one piece or
// across a seam, are one wall with stretches: a splash fits when it is as long as some of
// them in a row, or makes up such a length together with one or two other splashes. Where
// a wall meets another one the splash may be shorter by the thickness of the one it butts
// against; on a wall no longer than splash_side, from the back to the front of a top, it
// may end up to splash_short behind the front.
//
// Measured is the difference in mm to the nearest length that would fit. Equal to the
// limit passes. Limit: 1/8 in (3.2 mm), length of a top, Architectural Woodwork Standards,
// 1st ed. 2009, 4.4.4.
func splashDiffers() Rule {
	return Rule{
		ID:         "splash-differs",
		Severities: []Severity{Warn},
		What:       "Splashes that are as long as no edge they could stand on.",
		Why:        "It leaves a gap at the wall, or does not go in; splashes are cut from what is left of the slab, and there is no second one.",
		How: "The length of a splash against the edges at walls (an unmarked edge by itself too; without any wall, all edges neither finished nor at a seam), against stretches of them in a row, and together with up to two other splashes; " +
			"less one thickness at each end where walls meet, and up to splash_short less at the front of sides up to splash_side long.",
		Limits: []string{"rules.splash_differs", "rules.splash_short", "rules.splash_side", "rules.splash_stands", "rules.joint"},
		Check:  checkSplashes,
	}
}

// mostSplashes is the number of splashes and of edges at walls up to which all sets of
// them are compared.
const mostSplashes = 200

func checkSplashes(in *Input, out *Findings) {
	splashes := in.splashes()
	if len(splashes) == 0 {
		return
	}
	edges, others := in.splashEdges()
	switch {
	case len(edges) == 0:
		out.Unchecked("no top of the drawing has an edge that a splash could stand on")
		return
	case len(splashes) > mostSplashes || len(edges) > mostSplashes:
		out.Unchecked(fmt.Sprintf("there are more than %d splashes or edges at walls", mostSplashes))
		return
	}
	fits, unmarked := in.splashLengths(edges), in.splashLengths(others)
	lengths := make([]float64, len(splashes))
	for i, p := range splashes {
		lengths[i] = geom.SmallestRectangle(p.Outline).Length
	}
	for i, p := range splashes {
		if in.ended() {
			return
		}
		off := in.splashOff(i, lengths, p.Thickness, fits)
		if math.Abs(off) <= in.Settings.SplashDiffers+geom.Tolerance {
			continue
		}
		if math.Abs(nearestFit(lengths[i], p.Thickness, in.Settings.SplashShort, unmarked)) <= in.Settings.SplashDiffers+geom.Tolerance {
			continue // nobody said what stands at that edge
		}
		if w := geom.SmallestRectangle(p.Outline).Width; w >= in.Settings.SplashStands &&
			math.Abs(nearestFit(w, p.Thickness, in.Settings.SplashShort, fits)) <= in.Settings.SplashDiffers+geom.Tolerance {
			continue // it stands upright
		}
		l := in.lengths()
		than := "longer"
		if off < 0 {
			than = "shorter"
		}
		out.Flag(Flag{
			Piece: p.ID, At: p.Outline.Centroid(), Measured: math.Abs(off), Limit: in.Settings.SplashDiffers, Unit: "mm",
			Message: fmt.Sprintf("Splash %s is %s long; no edge, or stretch of edges, that it could stand on fits it: it is %s %s than the nearest that does.",
				p.ID, l.Of(lengths[i]), l.Of(math.Abs(off)), than),
			Remedy: in.splashRemedy(lengths[i], off, p.Thickness),
		})
	}
}

// nearMiss is the difference in mm up to which a splash is likely meant for the edge that
// fits it best: a slip in measuring, not another place (common practice, no source).
const nearMiss = 100

// splashRemedy says what to do with a splash that is longer by off than what fits it
// best. Off by the stone's thickness, once or twice, it was likely measured to the other
// side of the splash or wall that it meets at its end.
func (in *Input) splashRemedy(length, off, thickness float64) string {
	l := in.lengths()
	for times, word := range [...]string{"the stone's thickness", "twice the stone's thickness"} {
		if math.Abs(math.Abs(off)-float64(times+1)*thickness) > in.Settings.SplashDiffers+geom.Tolerance {
			continue
		}
		if off > 0 {
			return fmt.Sprintf("That is %s: it was perhaps measured to the outside of the splash that it meets. Draw it %s long if it stands between, or accept if it runs past the edge by that on purpose.", word, l.Of(length-off))
		}
		return fmt.Sprintf("That is %s: it was perhaps measured between two others. Draw it %s long if it goes from wall to wall, or accept if it stands between splashes that are not in this drawing.", word, l.Of(length-off))
	}
	if math.Abs(off) > nearMiss {
		return "Measure again: correct the splash or the edge that it stands on, or leave the splash out."
	}
	return fmt.Sprintf("Measure again: draw it %s long if that is where it stands, or correct the edge.", l.Of(length-off))
}

func (in *Input) splashes() []*piece.Piece {
	var out []*piece.Piece
	for i := range in.Template.Pieces {
		if p := &in.Template.Pieces[i]; p.Kind == piece.Splash {
			out = append(out, p)
		}
	}
	return out
}

// splashEdges returns the edges of tops that a splash may stand on: those at walls, and
// apart from them the unmarked ones. In a drawing without walls these are the former.
func (in *Input) splashEdges() (walls, others []*piece.Edge) {
	for i := range in.Template.Pieces {
		p := &in.Template.Pieces[i]
		if p.Kind != piece.Counter {
			continue
		}
		for k := range p.Edges {
			switch e := &p.Edges[k]; e.Finish {
			case piece.Wall:
				walls = append(walls, e)
			case piece.Unmarked:
				others = append(others, e)
			}
		}
	}
	if len(walls) > 0 {
		return walls, others
	}
	return others, nil
}

// splashFit is a length that a splash may have.
type splashFit struct {
	length float64
	ends   int  // at how many of its ends walls meet
	side   bool // it runs from a wall to the front of a top
}

const (
	// wallGap is the distance in mm up to which two edges meet: a joint, or the play of
	// a site that was measured piece by piece.
	wallGap = 5
	// inLine is the sine of the angle, 0.5 degrees, up to which two edges are one wall.
	inLine = 0.0087265
)

// splashLengths returns the lengths of all stretches of walls in a row.
func (in *Input) splashLengths(edges []*piece.Edge) []splashFit {
	after := make([]int, len(edges)) // the edge in line with each that follows it
	cornerA, cornerB := make([]bool, len(edges)), make([]bool, len(edges))
	for i, e := range edges {
		after[i] = -1
		for k, d := range edges {
			if i == k || e.To().Distance(d.From()) > wallGap {
				continue
			}
			u, v := e.Curves[len(e.Curves)-1].Tangent(1), d.Curves[0].Tangent(0)
			if e.Kind == piece.LineEdge && d.Kind == piece.LineEdge && math.Abs(u.Cross(v)) <= inLine && u.Dot(v) > 0 {
				after[i] = k
			} else {
				cornerB[i], cornerA[k] = true, true
			}
		}
	}
	var out []splashFit
	for i, e := range edges {
		length := 0.0
		for k, n := i, 0; k >= 0 && n <= len(edges); k, n = after[k], n+1 {
			length += edges[k].Length()
			if k != i {
				length += edges[k].From().Distance(e.To())
			}
			e = edges[k]
			f := splashFit{length: length}
			for _, corner := range [2]bool{cornerA[i], cornerB[k]} {
				if corner {
					f.ends++
				}
			}
			f.side = length <= in.Settings.SplashSide && (f.ends == 1 || e.Finish != piece.Wall)
			out = append(out, f)
		}
	}
	return out
}

// off returns how much longer a length is than the nearest that fits, negative when it is
// shorter; t is the thickness of the splash, short what it may lack at a front.
func (f splashFit) off(length, t, short float64) float64 {
	best := length - f.length
	for k := 1; k <= f.ends; k++ {
		if d := length - (f.length - float64(k)*t); math.Abs(d) < math.Abs(best) {
			best = d
		}
	}
	if f.side && best < 0 {
		least := f.length - t - short
		best = math.Min(0, length-least)
	}
	return best
}

// nearestFit returns how much longer a length is than the nearest that fits.
func nearestFit(length, t, short float64, fits []splashFit) float64 {
	best := math.Inf(1)
	for _, f := range fits {
		if d := f.off(length, t, short); math.Abs(d) < math.Abs(best) {
			best = d
		}
	}
	return best
}

// splashOff returns how much longer splash i is than what fits it alone or together with
// one or two others, 0 when something does.
func (in *Input) splashOff(i int, lengths []float64, t float64, fits []splashFit) float64 {
	s := in.Settings
	alone := nearestFit(lengths[i], t, s.SplashShort, fits)
	if math.Abs(alone) <= s.SplashDiffers {
		return 0
	}
	joined := func(sum float64, joints int) bool {
		return math.Abs(nearestFit(sum+float64(joints)*s.Joint, t, s.SplashShort, fits)) <= s.SplashDiffers ||
			math.Abs(nearestFit(sum, t, s.SplashShort, fits)) <= s.SplashDiffers
	}
	for a := range lengths {
		if a == i {
			continue
		}
		if joined(lengths[i]+lengths[a], 1) {
			return 0
		}
		if len(lengths) > mostTriples {
			continue
		}
		for b := a + 1; b < len(lengths); b++ {
			if b != i && joined(lengths[i]+lengths[a]+lengths[b], 2) {
				return 0
			}
		}
	}
	return alone
}

// mostTriples is the number of splashes up to which three of them are put in a row: no
// kitchen has as many.
const mostTriples = 30
