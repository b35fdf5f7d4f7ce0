package report

import (
	"math"
	"slices"
	"strings"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// onCutout is the distance in mm within which the outline of a piece runs along
// a cutout: what joining ends may move them by.
const onCutout = 0.5

// cutoutPart is what is cut from one piece of a cutout that a seam divides.
type cutoutPart struct {
	// loop is the part, clockwise: the outline's curves along the cutout, closed
	// where the other pieces begin.
	loop geom.Loop
	// length and width are the part's extents along the sides of the smallest
	// rectangle around the whole cutout, the longer one first, mm.
	length, width float64
	cut           float64 // length of stone edge along the cutout, mm
	whole         geom.Rectangle
	seams         []string // that divide it
}

// partOf returns the part of a cutout that lies in piece p; nil where no seam
// divides the cutout.
func partOf(t *piece.Template, p *piece.Piece, c *piece.Cutout) *cutoutPart {
	if t == nil || !c.OverEdge || len(c.Loop) == 0 {
		return nil
	}
	index := geom.NewIndex(c.Loop)
	seams := dividing(t, p.ID, index)
	if len(seams) == 0 {
		return nil
	}
	loop, cut := closedAlong(p.Outline, index)
	if cut == 0 {
		return nil
	}
	out := &cutoutPart{loop: loop, cut: cut, whole: geom.SmallestRectangle(c.Loop), seams: seams}
	turn := out.whole.AngleDeg * math.Pi / 180
	along := geom.Point{X: math.Cos(turn), Y: math.Sin(turn)}
	low, high := loop.Extent(along)
	left, right := loop.Extent(along.Left())
	out.length, out.width = max(high-low, right-left), min(high-low, right-left)
	return out
}

// dividing returns the seams of a piece that end at a cutout and whose other
// piece has an edge along it, too.
func dividing(t *piece.Template, id string, cutout *geom.Index) []string {
	var out []string
	for i := range t.Seams {
		s := &t.Seams[i]
		side := slices.Index(s.Pieces[:], id)
		if side < 0 || len(s.Chains[side]) == 0 {
			continue
		}
		chain := s.Chains[side]
		if !lies(cutout, chain[0].A) && !lies(cutout, chain[len(chain)-1].B) {
			continue
		}
		for k := range t.Pieces {
			if q := &t.Pieces[k]; q.ID == s.Pieces[1-side] && slices.ContainsFunc(q.Outline, func(c geom.Curve) bool { return runsAlong(cutout, c) }) {
				out = append(out, s.ID)
				break
			}
		}
	}
	return out
}

func lies(index *geom.Index, p geom.Point) bool {
	_, q, ok := index.Nearest(p)
	return ok && q.Distance(p) <= onCutout
}

func runsAlong(index *geom.Index, c geom.Curve) bool {
	return lies(index, c.A) && lies(index, c.Middle()) && lies(index, c.B)
}

// closedAlong returns the curves of an outline that run along a cutout, closed
// to a clockwise loop, and their length. Where the curves leave the cutout the
// lines of their neighbours run on to where they meet (a seam and the front
// edge); those that do not meet are joined straight (the two parts of a seam).
func closedAlong(outline geom.Loop, cutout *geom.Index) (geom.Loop, float64) {
	n := len(outline)
	on := make([]bool, n)
	first := -1
	for i, c := range outline {
		on[i] = runsAlong(cutout, c)
	}
	for i := range n {
		if on[i] && !on[(i+n-1)%n] {
			first = i
			break
		}
	}
	if first < 0 {
		return nil, 0
	}
	var loop geom.Loop
	cut := 0.0
	before := outline[(first+n-1)%n] // the neighbour before the curves last begun
	entry := before
	for k := range n {
		i := (first + k) % n
		if !on[i] {
			continue
		}
		if prev := (i + n - 1) % n; !on[prev] && len(loop) > 0 {
			last := loop[len(loop)-1].B
			loop = append(loop, geom.Line(last, outline[i].A))
		} else if !on[prev] {
			entry = outline[prev]
		}
		loop = append(loop, outline[i])
		cut += outline[i].Length()
		before = outline[(i+1)%n]
	}
	from, to := loop[len(loop)-1].B, loop[0].A
	if corner, ok := meeting(entry, before); ok {
		loop = append(loop, geom.Line(from, corner), geom.Line(corner, to))
	} else if from != to {
		loop = append(loop, geom.Line(from, to))
	}
	return loop, cut
}

// meeting returns where the line before a notch, run on, meets the line after it,
// run back.
func meeting(before, after geom.Curve) (geom.Point, bool) {
	if !before.IsLine() || !after.IsLine() {
		return geom.Point{}, false
	}
	u, v := before.Tangent(1), after.Tangent(0)
	across := u.Cross(v)
	if math.Abs(across) < leastAcross {
		return geom.Point{}, false
	}
	d := after.A.Sub(before.B)
	s, back := d.Cross(v)/across, d.Cross(u)/across
	if s <= onCutout || back >= -onCutout {
		return geom.Point{}, false
	}
	return before.B.Add(u.Mul(s)), true
}

// asCutout returns the part as a cutout of its piece, to be drawn and set out
// like one.
func (c *cutoutPart) asCutout(of *piece.Cutout) *piece.Cutout {
	out := *of
	out.Loop, out.Diameter = c.loop, 0
	return &out
}

// dividedBy names the seams.
func dividedBy(seams []string) string {
	if len(seams) == 1 {
		return "seam " + seams[0]
	}
	return "seams " + strings.Join(seams[:len(seams)-1], ", ") + " and " + seams[len(seams)-1]
}
