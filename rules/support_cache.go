package rules

import (
	"fmt"
	"math"
	"slices"
	"sync"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/rules/support"
)

// supportCache holds the support searches of a template's pieces, which several
// rules ask for. The zero value is ready. Rules run one after the other, so it has
// no lock: an Input belongs to one goroutine.
type supportCache struct {
	site   *support.Site
	pieces map[*piece.Piece]*carriedPiece
}

// carriedPiece is one piece with its support limits and what was searched.
type carriedPiece struct {
	*piece.Piece
	model  *support.Model
	limits support.Limits
	bare   bool   // no support is drawn under it
	why    string // not empty: the support rules could not look

	past   func() support.Result // past span or cantilever limit
	shared func() support.Result // past the share as well
	worst  func() worstPoint
}

// worstPoint is the worst point of a piece, whether or not it is past a limit.
type worstPoint struct {
	support.Chord
	at     geom.Point
	looked bool // false when the piece has no free stone
	sure   bool // false when the shape was too intricate to be certain
}

// noSupportLayer is what support rules say of a drawing without supports.
const noSupportLayer = "the drawing has no support layer"

// carried returns the piece's search.
func (in *Input) carried(p *piece.Piece) *carriedPiece {
	site := in.site()
	if c, ok := in.carry.pieces[p]; ok {
		return c
	}
	c := newCarriedPiece(in, site, p)
	if in.carry.pieces == nil {
		in.carry.pieces = map[*piece.Piece]*carriedPiece{}
	}
	in.carry.pieces[p] = c
	return c
}

// site returns what carries the template's tops.
func (in *Input) site() *support.Site {
	if in.carry.site == nil {
		in.carry.site = support.NewSite(in.Template, in.Settings.Support.Bearing)
	}
	return in.carry.site
}

func newCarriedPiece(in *Input, site *support.Site, p *piece.Piece) *carriedPiece {
	s := &in.Settings.Support
	c := &carriedPiece{Piece: p}
	c.model = site.Piece(p)
	limit, ok := s.limit(p.Thickness)
	if !ok {
		c.why = fmt.Sprintf("piece %s is %s mm thick, and the settings have no support limits for that thickness", p.ID, number(p.Thickness))
		return c
	}
	c.limits = support.Limits{Span: limit.Span, Cantilever: limit.Cantilever}
	if !c.model.Carried() {
		c.bare, c.why = true, fmt.Sprintf("no support is drawn under piece %s", p.ID)
		return c
	}
	c.shared = sync.OnceValue(func() support.Result {
		both := c.limits
		both.Share = s.Share
		return c.model.Past(both)
	})
	c.past = sync.OnceValue(func() support.Result {
		r := c.model.PastOf(c.limits, c.shared())
		r.Places = slices.DeleteFunc(slices.Clone(r.Places), func(p support.Place) bool {
			return p.Kind != support.Unhelped && p.Length() <= c.limits.Of(p.Kind)+s.Grace
		})
		return r
	})
	c.worst = sync.OnceValue(func() worstPoint {
		if r := c.past(); len(r.Places) > 0 && r.Sure {
			p := &r.Places[0]
			return worstPoint{p.Chord, p.At, true, true}
		}
		at, chord, looked, sure := c.model.Worst(c.limits)
		return worstPoint{chord, at, looked, sure}
	})
	return c
}

// limit returns the support limits of a thickness.
func (s *Support) limit(thickness float64) (SupportLimit, bool) {
	for _, l := range s.Limits {
		if thickness >= l.From-geom.Tolerance && thickness <= l.To+geom.Tolerance && l.Span > 0 && l.Cantilever > 0 {
			return l, true
		}
	}
	return SupportLimit{}, false
}

// eachCarried calls look for every counter piece that stands on drawn supports,
// and reports the others as not checked. Splashes stand on their edge and are
// not looked at.
func (in *Input) eachCarried(out *Findings, look func(c *carriedPiece)) {
	if !in.Template.HasSupport {
		out.Unchecked(noSupportLayer)
		return
	}
	for i := range in.Template.Pieces {
		p := &in.Template.Pieces[i]
		if p.Kind == piece.Splash {
			continue
		}
		if in.ended() { // Run says so
			return
		}
		c := in.carried(p)
		if c.why != "" {
			out.Unchecked(c.why)
			continue
		}
		look(c)
	}
}

// bearable writes the longest span or overhang that passes. The published limits
// are whole inches, of which the settings have the nearest mm: with the grace they
// are the same, and in inches they stand as published.
func (in *Input) bearable(limit float64) string {
	l, inch := in.lengths(), dxfio.UnitInch.Millimetres()
	if whole := math.Round(limit/inch) * inch; l.Inches && math.Abs(whole-limit) <= in.Settings.Support.Grace {
		return l.Of(whole)
	}
	return l.Down(limit)
}

// intricate is said of a piece whose search gave up.
const intricate = "it and its supports are too intricate to search to the end, and places past the limits may be missing"

// number writes a length to a tenth of a mm, whole ones without the point.
func number(v float64) string {
	s := fmt.Sprintf("%.1f", v)
	if len(s) > 2 && s[len(s)-2:] == ".0" {
		s = s[:len(s)-2]
	}
	if s == "-0" {
		return "0"
	}
	return s
}
