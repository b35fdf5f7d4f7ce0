package piece

import (
	"math"
	"slices"
	"strings"
	"sync"

	"trueup/dxfio/geom"
)

// CabinetAssumed is the problem of cabinets that are drawn as their front line alone,
// and were taken to reach back from it.
const CabinetAssumed ProblemKind = "cabinet-assumed"

const (
	// frontParallel is the sine of the angle, one degree, by which a cabinet's front may
	// run off the edge behind it: walls are not straight (common practice, no source).
	frontParallel = 0.0175
	// sameFront is how far in mm the fronts of two cabinets of a run may lie apart.
	sameFront = 5
	// mostFronts is the number of lines up to which fronts are looked for: each is
	// compared with the others and with the edges of the pieces.
	mostFronts = 200
	// leastFront is the length in mm under which a line is no cabinet's front.
	leastFront = 100
)

// frontLines takes lines on a cabinet's layer for the fronts of cabinets that were drawn
// without their sides and backs: such a line runs along the front of a top, and behind it
// lies an edge against a wall, or, where the front is finished and no wall is drawn, an
// edge of which nothing is said. There the cabinet is taken to fill the strip between
// line and edge, and a problem a piece says so. A line stays a line when the edge lies
// farther behind it than FrontLine, when a drawn area carries there already, and when it
// and those that go on with it are shorter than the strip is deep: a panel. What else
// carries on a line, a rail, a bracket, is on layers with other names.
func (b *builder) frontLines() {
	var lines []frontLine
	for i := range b.t.Supports {
		s := &b.t.Supports[i]
		if len(s.Area) > 0 || !cabinetLayer(s.Layer) {
			continue
		}
		for k, c := range s.Line {
			if c.IsLine() && c.Length() >= leastFront {
				lines = append(lines, frontLine{Curve: c, support: i, place: k})
			}
		}
	}
	if b.s.FrontLine <= 0 || len(lines) == 0 || len(lines) > mostFronts {
		return
	}
	drawn := len(b.t.Supports)
	for i := range b.t.Pieces {
		if p := &b.t.Pieces[i]; p.Kind == Counter {
			b.frontsUnder(p, lines, drawn)
		}
	}
}

// frontLine is a line that may be a cabinet's front.
type frontLine struct {
	geom.Curve
	support, place int // where it stands among the supports
}

// strip is what lies between a front line and the edge behind it.
type strip struct {
	area       geom.Loop
	line, edge geom.Witness // its front and its back, facing each other
	of         frontLine
}

func (b *builder) frontsUnder(p *Piece, lines []frontLine, drawn int) {
	box := p.Outline.Box()
	var strips []strip
	for _, l := range lines {
		if !l.Box().Overlaps(box) {
			continue
		}
		run := 0.0
		for _, o := range lines {
			if o.Box().Overlaps(box) && goesOn(l.Curve, o.Curve) {
				run += o.Length()
			}
		}
		for k := range p.Edges {
			for _, e := range p.Edges[k].Curves {
				b.spend(1, e.A)
				s, deep, ok := between(l, e)
				if ok && deep <= b.s.FrontLine+geom.Tolerance && deep <= run && isBack(p, k, s, deep) && !carriedBy(b.t.Supports[:drawn], s.area) {
					strips = append(strips, s)
				}
			}
		}
	}
	if len(strips) == 0 {
		return
	}
	for i := range strips {
		b.t.Supports = append(b.t.Supports, Support{Area: strips[i].area, Layer: b.t.Supports[strips[i].of.support].Layer, Assumed: true})
		for j := range strips[:i] {
			if corner := insideCorner(&strips[i], &strips[j]); corner != nil {
				b.t.Supports = append(b.t.Supports, Support{Area: corner, Layer: b.t.Supports[strips[i].of.support].Layer, Assumed: true})
			}
		}
	}
	b.tellFronts(p, strips)
}

func (b *builder) tellFronts(p *Piece, strips []strip) {
	// The longest one shows where; of equally long ones the deepest, then the lowest, the leftmost.
	s := slices.MinFunc(strips, func(s, t strip) int {
		if d := t.line.Length() - s.line.Length(); math.Abs(d) > geom.Tolerance {
			return int(math.Copysign(1, d))
		}
		if d := t.line.Middle().Distance(t.edge.Middle()) - s.line.Middle().Distance(s.edge.Middle()); math.Abs(d) > geom.Tolerance {
			return int(math.Copysign(1, d))
		}
		a, o := s.line.Middle(), t.line.Middle()
		if math.Abs(a.Y-o.Y) > geom.Tolerance {
			return int(math.Copysign(1, a.Y-o.Y))
		}
		return int(math.Copysign(1, a.X-o.X))
	})
	length := 0.0
	for i := range strips {
		length += strips[i].line.Length()
	}
	w := geom.Witness{From: s.line.Middle(), To: s.edge.Middle()}
	b.problems.add(Problem{
		Kind: CabinetAssumed, Piece: p.ID, Layer: b.t.Supports[s.of.support].Layer, At: w.Middle(), Witness: w, Measured: w.Length(), Count: len(strips), Length: length,
	})
}

// goesOn reports whether a line lies on another one's straight.
func goesOn(c, d geom.Curve) bool {
	u := c.B.Sub(c.A).Unit()
	return math.Abs(u.Cross(d.A.Sub(c.A))) <= sameFront && math.Abs(u.Cross(d.B.Sub(c.A))) <= sameFront
}

// between returns the strip between a line and an edge beside it, and how deep it is.
func between(l frontLine, e geom.Curve) (s strip, deep float64, ok bool) {
	u := l.B.Sub(l.A).Unit()
	if !e.IsLine() || e.A == e.B || math.Abs(u.Cross(e.B.Sub(e.A).Unit())) > frontParallel {
		return strip{}, 0, false
	}
	length := l.Length()
	from, to := u.Dot(e.A.Sub(l.A)), u.Dot(e.B.Sub(l.A))
	along := func(t float64) geom.Point { // on the edge, square to the line
		return e.A.Lerp(e.B, (t-from)/(to-from))
	}
	start, end := math.Max(0, math.Min(from, to)), math.Min(length, math.Max(from, to))
	if end-start < leastFront {
		return strip{}, 0, false
	}
	s = strip{of: l, line: geom.Witness{From: l.A.Add(u.Mul(start)), To: l.A.Add(u.Mul(end))}, edge: geom.Witness{From: along(start), To: along(end)}}
	near, far := s.line.From.Distance(s.edge.From), s.line.To.Distance(s.edge.To)
	if math.Min(near, far) < leastFront {
		return strip{}, 0, false // a line along the edge itself
	}
	s.area = geom.Polygon(s.line.From, s.line.To, s.edge.To, s.edge.From)
	if s.area.Area() < 0 {
		s.area = s.area.Reverse()
	}
	return s, math.Max(near, far), true
}

// stripPlaces are the places along a strip, as shares of its length, at which is looked
// whether stone lies between line and edge. Before its ends stone may reach on: there the
// front strip turns the corner of a run.
var stripPlaces = [...]struct {
	at  float64
	end bool
}{{0.02, true}, {0.25, false}, {0.5, false}, {0.75, false}, {0.98, true}}

// isBack reports whether an edge is what a cabinet stands against: everywhere stone
// reaches from the line to it, and before the line stone ends nearer, at an edge that is
// no wall.
func isBack(p *Piece, edge int, s strip, deep float64) bool {
	back := p.Edges[edge].Finish
	if back != Wall && back != Unmarked {
		return false
	}
	for _, t := range stripPlaces {
		at, to := s.line.From.Lerp(s.line.To, t.at), s.edge.From.Lerp(s.edge.To, t.at)
		if p.Outline.Locate(at) != geom.Inside {
			return false
		}
		out := at.Sub(to).Unit()
		if _, ahead := p.firstEdge(at, at.Add(out.Mul(deep))); !t.end && (ahead < 0 || p.Edges[ahead].Finish == Wall || back == Unmarked && p.Edges[ahead].Finish != Finished) {
			return false
		}
		if behind, k := p.firstEdge(at, to.Sub(out)); k != edge || behind < at.Distance(to)-1 {
			return false
		}
	}
	return true
}

// firstEdge returns the edge that a way from inside the piece meets first, and how far
// that is in mm; -1 where it meets none.
func (p *Piece) firstEdge(from, to geom.Point) (float64, int) {
	way, least, edge := geom.Line(from, to), math.Inf(1), -1
	box := way.Box().Grow(geom.Tolerance)
	for k := range p.Edges {
		for _, c := range p.Edges[k].Curves {
			if !c.Box().Overlaps(box) {
				continue
			}
			for _, x := range geom.Intersect(way, c) {
				if d := from.Distance(x.P); d < least {
					least, edge = d, k
				}
			}
		}
	}
	return least, edge
}

// carriedBy reports whether a drawn area carries what lies under a strip.
func carriedBy(supports []Support, area geom.Loop) bool {
	at := area.Centroid()
	return slices.ContainsFunc(supports, func(s Support) bool {
		return len(s.Area) > 0 && s.Area.Box().Contains(at) && s.Area.Locate(at) == geom.Inside
	})
}

// insideCorner returns what two strips leave between them where their front lines meet at
// the inside corner of a run, nil when they do not.
func insideCorner(s, t *strip) geom.Loop {
	if s.of.support != t.of.support {
		return nil
	}
	for _, a := range [2][2]geom.Point{{s.line.From, s.edge.From}, {s.line.To, s.edge.To}} {
		for _, o := range [2][2]geom.Point{{t.line.From, t.edge.From}, {t.line.To, t.edge.To}} {
			if a[0].Distance(o[0]) > sameFront {
				continue
			}
			u, v := a[1].Sub(a[0]), o[1].Sub(o[0])
			if math.Abs(u.Unit().Cross(v.Unit())) < 0.5 { // one line in two parts
				continue
			}
			l := geom.Polygon(a[0], a[1], a[1].Add(v), o[1])
			if l.Area() < 0 {
				l = l.Reverse()
			}
			return l
		}
	}
	return nil
}

// cabinetWords are words of layers whose lines may be fronts of cabinets, and
// cabinetParts those that make another thing of them (common practice, no source).
var cabinetWords, cabinetParts = sync.OnceValue(func() map[string]bool {
	return forms(`cabinet cabinetry carcass carcase base cab unterschrank unterschränke unterbau schrank schränke korpus
		onderkast onderkasten kast kasten meuble meubles caisson mueble gabinete mobili basi armário móvel móveis`)
}), sync.OnceValue(func() map[string]bool {
	return forms(`back side end rear toe kick plinth rail top door drawer rückseite seite sockel zijde plint côté plinthe`)
})

func forms(words string) map[string]bool {
	out := map[string]bool{}
	for _, word := range strings.Fields(words) {
		for _, form := range spellings(word) {
			out[form] = true
		}
	}
	return out
}

// cabinetLayer reports whether a layer's name speaks of cabinets and of nothing else
// that carries.
func cabinetLayer(name string) bool {
	b, found := book(), false
	for _, token := range b.words(name) {
		for _, form := range append(singulars(token), token) {
			if cabinetParts()[form] {
				return false
			}
			found = found || cabinetWords()[form]
		}
		if k, ok := b.find(token); ok && (k.sense == bearerWord || k.sense == panelWord || k.sense == wallWord) {
			return false
		}
	}
	return found
}
