package support

import (
	"math"

	"trueup/dxfio/geom"
)

// Kind says how a chord is carried.
type Kind int8

// The kinds of chord.
const (
	Unhelped   Kind = iota // no chord through the point is carried
	Span                   // carried at both ends
	Cantilever             // carried at one end
)

// Limits are the longest span and cantilever of a thickness, in mm.
type Limits struct {
	Span, Cantilever float64
	// Share is the largest cantilever as a share of the whole top along its line,
	// edge to edge; 0 does not look at it.
	Share float64
}

// Of returns the limit of a kind of chord, the cantilever's of an unhelped one.
func (l Limits) Of(k Kind) float64 {
	if k == Span {
		return l.Span
	}
	return l.Cantilever
}

// Chord is the strip of stone that carries a point.
type Chord struct {
	Kind Kind
	// Line runs from what carries to the end of the stone, of a span from one
	// support to the other; of an unhelped point from the nearest support.
	Line geom.Witness
	// Stands is the line between two supports that a cantilever stands on, nil
	// when it stands on a support.
	Stands *geom.Witness
	// Rests are the lines between supports that the ends of a span rest on, nil
	// where an end rests on a support.
	Rests [2]*geom.Witness
	// Through is the whole top along the line; set only when shares are asked.
	Through geom.Witness
	Score   float64 // over the limit of its kind; +Inf when unhelped
}

// Length returns the length of the chord in mm.
func (c Chord) Length() float64 { return c.Line.Length() }

// measure scores chords.
type measure struct {
	Limits
	// soundLines takes every line between supports as sound, so that what hangs
	// from it is measured alone.
	soundLines bool

	// Scratch space of best, so that a search allocates once.
	dirs    []float64
	options []option
	turns   []turn
	resting [2][]rest

	left, next []offsets // of refineZone
}

// span is the score of a span.
func (m *measure) span(length float64) float64 { return length / m.Span }

// cantilever is the score of a cantilever; through is the whole stone along it.
func (m *measure) cantilever(length, through float64) float64 {
	s := length / m.Cantilever
	if m.Share > 0 {
		// Parallel chords of a straight overhang all have the same share; the
		// shortest of them shows it best.
		if byShare := length / through / m.Share; byShare > s {
			s = byShare + (s-byShare)*preferShort
		}
	}
	return s
}

// preferShort is the weight of a cantilever's own length where its share rules:
// it decides between equal shares and changes none by a millionth.
const preferShort = 1e-7

// standing is the least score of a cantilever on a line between supports.
func (m *measure) standing(l *line) float64 {
	if m.soundLines {
		return 0
	}
	return l.length / m.Span
}

// lineScore is all of a measure that the score of a line between supports
// depends on.
type lineScore struct {
	span  float64
	sound bool
}

func (m *measure) lineScore() lineScore { return lineScore{m.Span, m.soundLines} }

// option is one way to carry a point along one direction: between two reaches,
// and the whole stone for the share.
type option struct {
	kind          Kind
	from, to      reach   // what carries, and the other end
	behind, ahead reach   // ends of the stone, for the share
	on            *line   // the line between supports it stands on, nil for none
	onto          *line   // the one that the other end of a span rests on, nil for none
	least         float64 // score of these lines
}

// score is the option's score at p along the unit direction d.
func (o *option) score(m *measure, p, d geom.Point) float64 {
	length := math.Abs(o.to.at(p, d) - o.from.at(p, d))
	if o.kind == Span {
		return math.Max(o.least, m.span(length))
	}
	through := 0.0
	if m.Share > 0 {
		through = o.ahead.at(p, d) - o.behind.at(p, d)
	}
	return math.Max(o.least, m.cantilever(length, through))
}

// chord is the option's chord at p along d.
func (o *option) chord(m *measure, p, d geom.Point) Chord {
	at := func(r reach) geom.Point { return p.Add(d.Mul(r.at(p, d))) }
	c := Chord{Kind: o.kind, Line: geom.Witness{From: at(o.from), To: at(o.to)}, Score: o.score(m, p, d)}
	if m.Share > 0 && o.kind == Cantilever {
		c.Through = geom.Witness{From: at(o.behind), To: at(o.ahead)}
	}
	if o.on == nil && o.onto == nil {
		return c
	}
	if o.least > 0 && c.Score <= o.least { // a line is weaker than what it carries
		weak := o.on
		if weak == nil || o.onto != nil && m.standing(o.onto) > m.standing(weak) {
			weak = o.onto
		}
		w := weak.witness()
		return Chord{Kind: Span, Line: *w, Score: o.least, Rests: [2]*geom.Witness{w, w}}
	}
	if o.kind == Span {
		c.Rests = [2]*geom.Witness{o.on.witness(), o.onto.witness()}
	} else {
		c.Stands = o.on.witness()
	}
	return c
}

// witness returns the line from end to end, nil for no line.
func (l *line) witness() *geom.Witness {
	if l == nil {
		return nil
	}
	return &geom.Witness{From: l.a, To: l.b}
}

// Best returns the best chord of a free point.
func (m *Model) Best(l Limits, p geom.Point) Chord {
	if !m.isFree(p) {
		return Chord{}
	}
	l.Share = 0
	return m.best(&measure{Limits: l}, p).Chord
}

// Through returns the whole width of the top along a chord's line: from edge to
// edge, whatever carries it and is cut out of it. It is the zero value when the
// chord lies outside the top.
func (m *Model) Through(w geom.Witness) geom.Witness {
	d := w.To.Sub(w.From).Unit()
	p := w.Middle()
	ahead, behind, to, from := meets(m.whole, p, d)
	if ahead.edge == nil || behind.edge == nil {
		return geom.Witness{}
	}
	return geom.Witness{From: p.Add(d.Mul(from)), To: p.Add(d.Mul(to))}
}
