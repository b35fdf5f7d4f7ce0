package rules

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// cabinetProud finds cabinets that stand out past the stone they carry: the top was
// measured or drawn too small, or the cabinets were set after the template was made.
//
// From each place of an edge it is measured square out of the stone how far the area
// under the edge reaches on. What starts beyond the edge, such as a tall unit beside the
// top, does not count; neither does what reaches cabinet_carries_on or farther, or to
// stone of this or another piece, since another top lies there; nor what an opening
// covers, such as a dishwasher at the end, or lies in a notch of the piece. Edges against a wall or at a seam are not
// looked at, nor those along a cutout over the edge, nor, in a drawing without walls on a
// piece with finished edges, those of which nothing is said: there the wall is. Measured is the farthest in
// mm, the witness leads there; one flag an edge. Equal passes. Limit: 3/16 in (4.8 mm),
// ANSI/AWI 1236-2022 3.3.2: front edge and cabinets parallel within it.
func cabinetProud() Rule {
	return Rule{
		ID:         "cabinet-proud",
		Severities: []Severity{Warn},
		What:       "Cabinets that stand out past the edge of the stone on them.",
		Why:        "Doors and drawers have no stone above them, and water from the top runs down their fronts.",
		How: "From an edge square out of the stone to where the support under it ends. Supports that begin beyond the edge do not count, nor does what reaches cabinet_carries_on or to other stone, or lies in an opening. " +
			"Edges at walls, seams and cutouts over the edge are not looked at, nor, in a drawing without walls, those without a mark on a piece that has finished edges.",
		Limits: []string{"rules.cabinet_proud", "rules.cabinet_carries_on"},
		Check:  checkProud,
	}
}

func checkProud(in *Input, out *Findings) {
	yard := newYard(in.Template, in.Settings.CabinetCarriesOn)
	for i := range in.Template.Pieces {
		p := &in.Template.Pieces[i]
		// Where finishes are marked and walls are not, an edge without a mark is a wall's.
		atWalls := hasFinished(p) && len(in.Template.Walls) == 0
		if p.Kind != piece.Counter {
			continue
		}
		for k := range p.Edges {
			e := &p.Edges[k]
			if e.Finish != piece.Finished && (atWalls || e.Finish != piece.Unmarked) {
				continue
			}
			if in.ended() {
				return
			}
			if far, ok := yard.proud(p, e, in.Settings.CabinetProud); ok {
				out.Flag(in.proudFlag(p, e, far))
			}
			if yard.steps > mostYardSteps {
				out.Unchecked("the supports have too many corners to be measured from every edge: draw them with fewer")
				return
			}
		}
	}
}

func (in *Input) proudFlag(p *piece.Piece, e *piece.Edge, far proudStretch) Flag {
	l, w := in.lengths(), far.witness
	middle := alongEdge(e, e.Length()/2)
	return Flag{
		Piece: p.ID, Witness: &w, Anchor: &middle, Measured: w.Length(), Limit: in.Settings.CabinetProud, Unit: "mm", Stretch: far.stretch,
		Message: fmt.Sprintf("The cabinet under edge %d of piece %s stands out %s past the stone at %s, over %s.",
			e.N, p.ID, l.Of(w.Length()), in.place(w.From), l.Of(far.stretch)),
		Remedy: fmt.Sprintf("Measure again: let the stone reach at least %s farther there, the overhang not counted, or draw the cabinet as it stands.", l.Up(w.Length())),
	}
}

// proudStretch is where a cabinet stands out past an edge farthest, and how long the
// stretch of the edge is over which it stands out by more than the limit.
type proudStretch struct {
	witness geom.Witness
	stretch float64
}

// yard is what lies around the edges of a template.
type yard struct {
	t       *piece.Template
	reach   float64 // mm from an edge within which things are looked at
	support *geom.Index
	stone   *geom.Index
	opening *geom.Index
	walls   *geom.Index
	steps   int // comparisons of two curves made
}

const (
	// mostYardSteps bounds the comparisons in one drawing: some seconds of work.
	mostYardSteps = 20_000_000
	// underEdge is the distance in mm to either side of an edge at which one support
	// has to lie to be what the edge rests on.
	underEdge = 1
	// besideCorner is the distance in mm along an edge to either side of a support's
	// corner at which is measured, so that it is clear what side is meant.
	besideCorner = 0.01
	// arcPlaces is the number of places along an arc at which is measured beside those
	// nearest to corners: the error on a cabinet with straight sides stays under a
	// thousandth of the radius.
	arcPlaces = 32
)

func newYard(t *piece.Template, reach float64) *yard {
	y := &yard{t: t, reach: reach, walls: geom.NewIndex(t.Walls)}
	boxes := func(n int, box func(i int) geom.Box) *geom.Index {
		list := make([]geom.Box, n)
		for i := range list {
			list[i] = box(i)
		}
		return geom.NewBoxIndex(list)
	}
	y.support = supportAreas(t)
	y.stone = boxes(len(t.Pieces), func(i int) geom.Box { return t.Pieces[i].Outline.Box() })
	y.opening = boxes(len(t.Openings), func(i int) geom.Box { return t.Openings[i].Area.Box() })
	return y
}

// proudAt is how far a support stands out at a length along a curve of an edge.
type proudAt struct {
	at  float64 // mm from the start of the edge
	far float64 // mm, 0 where nothing stands out
	way geom.Witness
}

// proud returns the farthest that any one support stands out past an edge, by more
// than the limit.
func (y *yard) proud(p *piece.Piece, e *piece.Edge, limit float64) (proudStretch, bool) {
	box := geom.EmptyBox()
	for _, c := range e.Curves {
		box = box.Union(c.Box())
	}
	var list []proudAt
	y.support.Search(box.Grow(underEdge), func(i int) bool {
		start := 0.0
		for _, c := range e.Curves {
			for _, t := range y.places(c, y.t.Supports[i].Area) {
				list = append(list, y.standsOut(p, e, c, t, start, y.t.Supports[i].Area))
				if y.steps > mostYardSteps {
					return false
				}
			}
			start += c.Length()
		}
		return true
	})
	slices.SortFunc(list, func(a, b proudAt) int { return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(b.far, a.far)) })
	most := 0.0
	for _, a := range list {
		most = math.Max(most, a.far)
	}
	if most <= limit+geom.Tolerance {
		return proudStretch{}, false
	}
	return proudStretch{farthest(list, most, e.Length()), overLimit(list, limit)}, true
}

// places returns the places along a curve, as fractions, at which a support may stand
// out farthest.
func (y *yard) places(c geom.Curve, area geom.Loop) []float64 {
	length := c.Length()
	if length <= 2*underEdge {
		return nil
	}
	inset := underEdge / length
	out := []float64{inset, 1 - inset}
	if !c.IsLine() {
		for i := range arcPlaces {
			out = append(out, (float64(i)+0.5)/arcPlaces)
		}
	}
	add := func(p geom.Point) {
		y.steps++
		if q, t := geom.NearestPoint(c, p); t > 0 && t < 1 && q.Distance(p) <= y.reach {
			out = append(out, t, t-besideCorner/length, t+besideCorner/length)
		}
	}
	for _, s := range area {
		add(s.A)
		if s.IsLine() {
			continue
		}
		add(s.Middle())
		for _, side := range [2]float64{-1, 1} { // where it bows out farthest
			if q := s.Center().Add(c.Tangent(0).Left().Mul(side * s.Radius())); s.Distance(q) <= geom.Tolerance {
				add(q)
			}
		}
	}
	return slices.DeleteFunc(out, func(t float64) bool { return t < inset || t > 1-inset })
}

// standsOut measures at a place of an edge how far a support stands out.
func (y *yard) standsOut(p *piece.Piece, e *piece.Edge, c geom.Curve, t, start float64, area geom.Loop) proudAt {
	q := c.At(t)
	outward := c.Tangent(t).Left().Mul(-1)
	at := proudAt{at: start + t*c.Length()}
	y.steps += 2 * len(area)
	if area.Locate(q.Sub(outward.Mul(underEdge))) != geom.Inside || area.Locate(q.Add(outward.Mul(underEdge))) != geom.Inside {
		return at
	}
	way := geom.Line(q, q.Add(outward.Mul(y.reach)))
	end := firstMeeting(way, area, underEdge/2)
	y.steps += len(area)
	if end >= y.reach-geom.Tolerance || y.carriesOn(p, way, end, q.Add(outward.Mul(underEdge))) {
		return at
	}
	if y.inNotch(p, way, end, e.Finish != piece.Finished) {
		return at
	}
	at.far, at.way = end, geom.Witness{From: q, To: q.Add(outward.Mul(end))}
	return at
}

// firstMeeting returns the length along a line, past the least, at which it first meets
// a loop; its whole length when it does not.
func firstMeeting(way geom.Curve, l geom.Loop, least float64) float64 {
	first := way.Length()
	for _, c := range l {
		for _, h := range geom.Intersect(way, c) {
			if d := h.P.Distance(way.A); d > least && d < first {
				first = d
			}
		}
	}
	return first
}

// carriesOn reports whether something takes over from the edge before the support ends:
// stone, an opening, a wall, or the side of a cutout over the edge.
func (y *yard) carriesOn(p *piece.Piece, way geom.Curve, end float64, beside geom.Point) bool {
	short := geom.Line(way.A, way.A.Add(way.Tangent(0).Mul(end+underEdge)))
	for i := range p.Cutouts {
		if c := &p.Cutouts[i]; c.OverEdge && c.Loop.Box().Grow(underEdge).Contains(way.A) && distanceTo(c.Loop, way.A) <= underEdge {
			return true
		}
	}
	found := false
	y.walls.Search(short.Box(), func(i int) bool {
		y.steps++
		found = len(geom.Intersect(short, y.t.Walls[i])) > 0
		return !found
	})
	y.stone.Search(short.Box(), func(i int) bool {
		other := &y.t.Pieces[i]
		if other.Kind == piece.Counter && !found {
			y.steps += 2 * len(other.Outline)
			found = other.Outline.Locate(beside) != geom.Outside || firstMeeting(short, other.Outline, underEdge/2) < short.Length()
		}
		return !found
	})
	y.opening.Search(short.Box(), func(i int) bool {
		y.steps += len(y.t.Openings[i].Area)
		found = found || y.t.Openings[i].Area.Locate(beside) != geom.Outside
		return !found
	})
	return found
}

// inNotch reports whether what stands out lies in a notch of the piece, such as round a
// post: stone of the piece on both sides, or, of an edge that is not finished, near by on
// one.
func (y *yard) inNotch(p *piece.Piece, way geom.Curve, end float64, raw bool) bool {
	middle := way.At(end / 2 / way.Length())
	beside := 0
	for _, side := range [2]float64{-1, 1} {
		far := widestNotch
		if raw {
			far = y.reach
		}
		y.steps += len(p.Outline)
		if across := geom.Line(middle, middle.Add(way.Tangent(0).Left().Mul(side*far))); firstMeeting(across, p.Outline, 0) < across.Length() {
			beside++
		}
	}
	return beside == 2 || beside == 1 && raw
}

// widestNotch is how wide in mm a notch may be: a range is the widest thing set in one.
const widestNotch = 1300.0

// sameReach is the difference in mm within which a cabinet stands out equally far at two
// places: of the places of one straight front the middle is told.
const sameReach = 0.01

// farthest returns the middle of the stretch that stands out farthest, of several the one
// nearest to the middle of the edge.
func farthest(list []proudAt, most, length float64) geom.Witness {
	var best geom.Witness
	off := math.Inf(1)
	for i := 0; i < len(list); i++ {
		if list[i].far < most-sameReach {
			continue
		}
		first, last := list[i], list[i]
		for i+1 < len(list) && (list[i+1].far >= most-sameReach || list[i+1].at <= list[i].at) {
			i++
			if list[i].far >= most-sameReach {
				last = list[i]
			}
		}
		if d := math.Abs((first.at+last.at)/2 - length/2); d < off-sameReach {
			off = d
			best = geom.Witness{From: first.way.From.Lerp(last.way.From, 0.5), To: first.way.To.Lerp(last.way.To, 0.5)}
			if first.way.To.Sub(first.way.From).Unit().Dot(last.way.To.Sub(last.way.From).Unit()) < 1-geom.Tolerance {
				best = first.way // round an arc: the middle of the chord is no place of the edge
			}
		}
	}
	return best
}

// farthestAtEach leaves of several cabinets at one place the one that stands out
// farthest there.
func farthestAtEach(list []proudAt) []proudAt {
	var out []proudAt
	for _, a := range list {
		if n := len(out); n > 0 && a.at-out[n-1].at <= geom.Tolerance {
			out[n-1].far = math.Max(out[n-1].far, a.far)
			continue
		}
		out = append(out, a)
	}
	return out
}

// overLimit returns the length along the edge over which something stands out by more
// than the limit; between two places it stands out in proportion.
func overLimit(list []proudAt, limit float64) float64 {
	sum := 0.0
	list = farthestAtEach(list)
	for i := 1; i < len(list); i++ {
		a, b := list[i-1], list[i]
		switch over, other := a.far-limit, b.far-limit; {
		case over > 0 && other > 0:
			sum += b.at - a.at
		case (over > 0) != (other > 0):
			sum += (b.at - a.at) * math.Max(over, other) / (math.Abs(over) + math.Abs(other))
		}
	}
	return sum
}

// alongEdge returns the point of an edge at a length in mm from its start.
func alongEdge(e *piece.Edge, length float64) geom.Point {
	for _, c := range e.Curves {
		if l := c.Length(); length > l {
			length -= l
		} else if l > 0 {
			return c.At(length / l)
		}
	}
	return e.To()
}
