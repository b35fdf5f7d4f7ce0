package piece

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"trueup/dxfio"
	"trueup/dxfio/geom"
)

// overlooked is what lies on a layer that nobody looks at, and why nobody does.
type overlooked struct {
	layer   int32
	why     string
	reading Reading
	curves  []geom.Curve
	marks   []geom.Point
	count   int   // entities
	entity  int32 // counted last
}

// sight judges what nobody looks at against the pieces.
type sight struct {
	b       *builder
	stone   *stoneIndex
	outer   *stoneIndex // the outlines without their cutouts
	edges   *geom.Index // of outlines and cutouts
	curves  []geom.Curve
	cutouts []geom.Loop
}

// overlookedLayers looks at what no step of Build looks at: layers without a role,
// layers that a built-in word ignores, and what is frozen, switched off or invisible.
// What lies there in the stone of a piece, or is as large as a piece, may be a sink, a
// cabinet or a top; the problem says how many there are and where the longest is.
func (b *builder) overlookedLayers() {
	s := b.newSight()
	for _, o := range b.allOverlooked() {
		p := Problem{
			Kind: UnmappedLayer, Layer: b.d.Layers[o.layer].Name, Role: o.reading.Role, Count: o.count, Measured: float64(o.count), Why: o.why,
		}
		at := b.unmappedProblem(o)
		if at != nil {
			p = *at
		}
		s.judge(o, &p)
		switch {
		case at != nil:
			*at = p
		case p.Closed+p.Large+p.Points+p.Open > 0:
			b.problems.add(p)
		}
	}
}

// unmappedProblem is the problem that a layer without a role has already.
func (b *builder) unmappedProblem(o *overlooked) *Problem {
	if o.why != whyNoRole {
		return nil
	}
	for i := range b.problems.list {
		if p := &b.problems.list[i]; p.Kind == UnmappedLayer && p.Layer == b.d.Layers[o.layer].Name {
			return p
		}
	}
	return nil
}

const whyNoRole = "no role has a pattern for this layer"

// allOverlooked gathers what nobody looks at by layer and reason, in the order of layers.
func (b *builder) allOverlooked() []*overlooked {
	type place struct {
		layer int32
		why   string
	}
	var all []*overlooked
	by := map[place]*overlooked{}
	of := func(layer int32, why string) *overlooked {
		r := b.readings[layer]
		if r.Role == IgnoreRole && (r.Own || r.quiet == quietMeant) {
			return nil
		}
		o := by[place{layer, why}]
		if o == nil {
			o = &overlooked{layer: layer, why: why, reading: r, entity: -1}
			by[place{layer, why}] = o
			all = append(all, o)
		}
		return o
	}
	add := func(c *dxfio.Curve, why string) {
		if c.Type.Filled() && (why != dxfio.WhyArea || b.readings[c.Layer].Role != NoRole) {
			return // drawn for the eye, or beside what cuts
		}
		if o := of(c.Layer, why); o != nil && c.A.Distance(c.B) > geom.Tolerance {
			o.curves = append(o.curves, c.Curve)
			if c.Entity != o.entity {
				o.count++
				o.entity = c.Entity
			}
		}
	}
	mark := func(m *dxfio.Mark, why string) {
		if o := of(m.Layer, why); o != nil {
			o.marks = append(o.marks, m.At)
			o.count++
		}
	}
	visible := func(layer int32) (string, bool) {
		switch r := b.readings[layer]; r.Role {
		case NoRole:
			return whyNoRole, true
		case IgnoreRole:
			return fmt.Sprintf("ignored by its name (%s)", r.By), true
		}
		return "", false
	}
	for i := range b.d.Curves {
		if why, ok := visible(b.d.Curves[i].Layer); ok {
			add(&b.d.Curves[i], why)
		}
	}
	for i := range b.d.Marks {
		if why, ok := visible(b.d.Marks[i].Layer); ok {
			mark(&b.d.Marks[i], why)
		}
	}
	for i := range b.d.Hidden.Curves {
		add(&b.d.Hidden.Curves[i].Curve, b.d.Hidden.Curves[i].Why)
	}
	for i := range b.d.Hidden.Marks {
		mark(&b.d.Hidden.Marks[i].Mark, b.d.Hidden.Marks[i].Why)
	}
	return all
}

func (b *builder) newSight() *sight {
	s := &sight{b: b, stone: b.stoneOf(b.t.Pieces)}
	bare := make([]Piece, len(b.t.Pieces))
	for i := range b.t.Pieces {
		bare[i].Outline = b.t.Pieces[i].Outline
		s.curves = append(s.curves, bare[i].Outline...)
		for _, c := range b.t.Pieces[i].Cutouts {
			s.curves = append(s.curves, c.Loop...)
			s.cutouts = append(s.cutouts, c.Loop)
		}
	}
	s.outer, s.edges = b.stoneOf(bare), geom.NewIndex(s.curves)
	return s
}

// Distances in mm within which what somebody drew freehand or in haste still counts as
// one shape, from which a shape of notes may be an opening, and by which a point lies in
// stone rather than along an edge that somebody measured (common practice, no source).
// On a layer without a role the ends of a shape may lie farther apart than on one whose
// name says that it is a note: nobody said that it shows nothing.
const (
	looseReach  = 25
	openReach   = 100
	leastLoose  = 50
	leastNoted  = 60
	pointInside = 10
)

// judge fills in what of an overlooked layer lies in stone or is as large as a piece.
func (s *sight) judge(o *overlooked, p *Problem) {
	groups, rest := closedGroups(o.curves, s.b.ts.Join)
	notes := o.reading.Role == IgnoreRole && o.reading.quiet != quietRoom && (o.reading.label || o.reading.drafting)
	if !notes || o.reading.label { // exploded dimensions hang together loosely
		reach := float64(looseReach)
		if o.why == whyNoRole {
			reach = openReach
		}
		var loose []closedGroup
		loose, rest = closedGroups(rest, reach)
		for _, g := range loose {
			if g.rectangle().Width >= leastLoose {
				groups = append(groups, g)
			} else {
				rest = append(rest, g.curves...)
			}
		}
	}
	var longest closedGroup
	for _, g := range groups {
		r := g.rectangle()
		if r.Width < leastOpening {
			continue
		}
		piece, in := s.pieceOf(g)
		switch {
		case in && s.tells(o, g, r, notes):
			p.Closed++
			// The place is that of the longest, however the drawing lists its curves.
			if d := g.length - longest.length; p.Closed == 1 || d > geom.Tolerance || d > -geom.Tolerance && g.before(&longest) {
				longest, p.At, p.Piece = g, g.middle, s.b.t.Pieces[piece].ID
			}
		case !in && large(r) && o.why != dxfio.WhyArea && s.lost(o, g, r, notes):
			p.Large++
			if p.Closed == 0 && (p.Large == 1 || r.Area() > p.Length*p.Width) {
				p.At, p.Length, p.Width = r.Center, r.Length, r.Width
			}
		}
	}
	if notes {
		return
	}
	if o.reading.Role != IgnoreRole {
		s.judgeOpen(rest, p)
	}
	for _, at := range o.marks {
		if piece, in := s.deepIn(at); in {
			p.Points++
			if p.Closed+p.Large+p.Open == 0 && (p.Points == 1 || at.X < p.At.X || at.X == p.At.X && at.Y < p.At.Y) {
				p.At, p.Piece = at, s.b.t.Pieces[piece].ID
			}
		}
	}
}

// Of lines that close nowhere, the longest mostOpen are looked at, each at places at most
// openStride apart, mm, and at most mostPlaces of them.
const (
	mostOpen   = 1000
	openStride = 25
	mostPlaces = 64
)

// judgeOpen fills in how many lines that close nowhere lie in stone, if there is more than
// a tick of them: one may be a seam, the end of a top or a clipped corner.
func (s *sight) judgeOpen(curves []geom.Curve, p *Problem) {
	slices.SortFunc(curves, func(a, b geom.Curve) int {
		m, n := a.Middle(), b.Middle()
		return cmp.Or(cmp.Compare(b.Length(), a.Length()), cmp.Compare(m.X, n.X), cmp.Compare(m.Y, n.Y))
	})
	within, longest, open := 0.0, 0.0, 0
	var at geom.Point
	var in int
	for _, c := range curves[:min(len(curves), mostOpen)] {
		inside, middle, piece := s.withinStone(c)
		if inside == 0 {
			continue
		}
		open++
		within += inside
		if inside > longest {
			longest, at, in = inside, middle, piece
		}
	}
	if within < leastLoose {
		return
	}
	p.Open = open
	if p.Closed+p.Large == 0 {
		p.At, p.Length, p.Piece = at, longest, s.b.t.Pieces[in].ID
	}
}

// withinStone returns what length of a line lies deep in stone, to openStride, a place
// in the middle of that, and a piece there.
func (s *sight) withinStone(c geom.Curve) (length float64, at geom.Point, piece int) {
	n := int(min(max(math.Ceil(c.Length()/openStride), 1), mostPlaces))
	var places []geom.Point
	for k := range n {
		q := c.At((float64(k) + 0.5) / float64(n))
		if i, ok := s.deepIn(q); ok {
			piece = i
			places = append(places, q)
		}
	}
	if len(places) == 0 {
		return 0, at, 0
	}
	return c.Length() * float64(len(places)) / float64(n), places[len(places)/2], piece
}

// pieceOf returns the number of a piece in whose stone a curve of the group lies.
func (s *sight) pieceOf(g closedGroup) (piece int, ok bool) {
	for _, c := range g.curves {
		s.stone.at(c.Middle(), func(i int) bool {
			piece, ok = i, true
			return false
		})
		if ok {
			break
		}
	}
	return piece, ok
}

// deepIn returns the piece in whose stone a point lies, away from every edge.
func (s *sight) deepIn(p geom.Point) (piece int, ok bool) {
	s.stone.at(p, func(i int) bool {
		piece, ok = i, true
		return false
	})
	if !ok {
		return 0, false
	}
	_, q, found := s.edges.Nearest(p)
	return piece, found && q.Distance(p) > pointInside
}

// tells reports whether a closed line in stone means anything there. What hangs over
// the top and reaches past its edge, or stands round a cutout as a hood does, is seen in
// plan; a balloon of a note stands closely round its text.
func (s *sight) tells(o *overlooked, g closedGroup, r geom.Rectangle, notes bool) bool {
	switch {
	case o.why == dxfio.WhyArea:
		return !s.along(g) // what fills a piece or a cutout shows what it is
	case o.reading.quiet == quietRoom:
		for _, c := range g.curves {
			if _, ok := s.deepIn(c.A); !ok {
				return false
			}
		}
		for _, l := range s.cutouts {
			s.b.spend(len(g.curves), l[0].A)
			if g.holds(l[0].A) {
				return false
			}
		}
	case notes:
		_, framed := s.texts(r)
		return (g.round || r.Width >= leastNoted) && !framed
	}
	return true
}

// along reports whether a closed line follows edges of stone all round.
func (s *sight) along(g closedGroup) bool {
	for _, c := range g.curves {
		for _, p := range [...]geom.Point{c.A, c.Middle()} {
			if _, q, ok := s.edges.Nearest(p); !ok || q.Distance(p) > s.b.s.MarkDistance {
				return false
			}
		}
	}
	return true
}

// mostLabels is the number of texts up to which they may name a piece and say what it
// is made of; a shape with more of them is a table or a title block (common practice, no source).
const mostLabels = 2

// frameHeights is the number of text heights a line up to which a shape is drawn round a
// text (common practice, no source).
const frameHeights = 8

// lost reports whether a large closed line outside the stone may be a piece: not a frame
// round pieces, nor what lies in a cutout, along an outline, or is a table of texts.
func (s *sight) lost(o *overlooked, g closedGroup, r geom.Rectangle, notes bool) bool {
	if o.reading.quiet == quietRoom || o.reading.quiet == quietSheet || len(s.b.t.Pieces) == 0 {
		return false
	}
	for i := range s.b.t.Pieces {
		s.b.spend(len(g.curves), r.Center)
		if g.holds(s.b.t.Pieces[i].Outline[0].Middle()) {
			return false
		}
	}
	along := true
	for _, c := range g.curves {
		if s.outer.in(c.Middle()) {
			return false
		}
		_, q, ok := s.edges.Nearest(c.Middle())
		along = along && ok && q.Distance(c.Middle()) <= s.b.s.MarkDistance
	}
	texts, framed := s.texts(r)
	return !along && texts <= mostLabels && !(notes && framed)
}

// texts counts the texts within a rectangle, and tells whether it is drawn closely round
// one, as a balloon or a box is.
func (s *sight) texts(r geom.Rectangle) (n int, framed bool) {
	sin, cos := math.Sincos(r.AngleDeg * math.Pi / 180)
	for _, t := range s.b.d.Texts {
		d := t.At.Sub(r.Center)
		if math.Abs(d.X*cos+d.Y*sin) > r.Length/2 || math.Abs(d.Y*cos-d.X*sin) > r.Width/2 {
			continue
		}
		n++
		lines := float64(1 + strings.Count(t.Value, "\n"))
		framed = framed || r.Width <= frameHeights*lines*t.Height
	}
	return n, framed
}
