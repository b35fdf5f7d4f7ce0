package shop

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// bevels finds the edges that the drawing marks as bevelled, tells every cut
// along the outline which edges it makes, and cuts apart those that run along
// edges of different bevels: the blade is tilted for the marked stretch only.
func (s *Setup) bevels(p *piece.Piece, set *Settings, b blade) {
	tilts := map[int]string{} // profiles of the bevelled edges
	var lines []geom.Curve
	var numbers []int
	for _, e := range p.Edges {
		if set.Saw.bevels(e.Profile) {
			tilts[e.N] = strings.ToLower(e.Profile)
			s.Bevels = append(s.Bevels, Bevel{e.N, e.Length(), e.Profile})
		}
		if e.Kind == piece.LineEdge {
			lines, numbers = append(lines, e.Curves[0]), append(numbers, e.N)
		}
	}
	switch len(s.Bevels) {
	case 0:
	case 1:
		s.note("edge %d is marked as mitred or bevelled: sawn with a tilted blade, at the bevel's feed, its length told in the drawing's plane", s.Bevels[0].Edge)
	default:
		s.note("%d edges are marked as mitred or bevelled: sawn with a tilted blade, at the bevel's feed, their lengths told in the drawing's plane", len(s.Bevels))
	}
	index := geom.NewIndex(lines)
	var cuts []SawCut
	for _, c := range s.Cuts {
		if c.Cutout != "" {
			cuts = append(cuts, c)
			continue
		}
		cut := geom.Line(c.From, c.To)
		var along []tiltSpan
		index.Search(cut.Box().Grow(2*sameLine), func(k int) bool {
			if from, to := overlap(cut, lines[k]); to-from > 2*sameLine {
				along = append(along, tiltSpan{from, to, []int{numbers[k]}, tilts[numbers[k]], ""})
			}
			return true
		})
		cuts = append(cuts, s.tilted(c, along, b)...)
	}
	s.Cuts = cuts
}

// bevels reports whether an edge of this profile is sawn with a tilted blade.
func (s Saw) bevels(profile string) bool {
	profile = strings.ToLower(profile)
	return slices.ContainsFunc(s.BevelWords, func(w string) bool {
		return w != "" && strings.Contains(profile, strings.ToLower(w))
	})
}

// tiltSpan is a stretch of a cut, in mm from its start, that is cut with one
// tilt of the blade.
type tiltSpan struct {
	from, to float64
	edges    []int
	tilt     string // the bevel's profile; empty: the blade stands upright
	byHand   string // why the bevel of these edges cannot be sawn
}

// tilted returns what a cut along edges of different bevels is made of: a cut
// for each stretch of one bevel. Together they are as long as the cut.
func (s *Setup) tilted(c SawCut, along []tiltSpan, b blade) []SawCut {
	slices.SortFunc(along, func(x, y tiltSpan) int { return cmp.Compare(x.from, y.from) })
	spans := oneTilt(along)
	hand := false
	for i := range spans {
		if why := b.noTilt(&c, spans, i); why != "" {
			spans[i].tilt, spans[i].byHand, hand = "", why, true
		}
	}
	for _, x := range spans {
		if x.byHand != "" {
			s.note("edge %s: its bevel of %s is left for work by hand, %s; the saw cuts it upright", joinEdges(x.edges), b.lengths.Rough(x.to-x.from), x.byHand)
		}
	}
	if hand {
		spans = oneTilt(spans)
	}
	for _, x := range along {
		c.Edges = append(c.Edges, x.edges...)
	}
	slices.Sort(c.Edges)
	if len(spans) < 2 {
		c.Bevel = len(spans) == 1 && spans[0].tilt != ""
		return []SawCut{c}
	}
	line := geom.Line(c.From, c.To)
	out := make([]SawCut, len(spans))
	at := 0.0
	var changes []string
	for i, x := range spans {
		k, to := c, c.Length
		k.Start, k.End = Stop{}, Stop{}
		if i == 0 {
			k.Start = c.Start
		}
		if i == len(spans)-1 {
			k.End = c.End
		} else {
			to = x.to
			change := [2]int{x.edges[len(x.edges)-1], spans[i+1].edges[0]}
			changes = append(changes, fmt.Sprintf("%d and %d", min(change[0], change[1]), max(change[0], change[1])))
		}
		part := line.Part(at/c.Length, to/c.Length)
		k.From, k.To, k.Length = part.A, part.B, to-at
		k.Edges, k.Bevel = slices.Sorted(slices.Values(x.edges)), x.tilt != ""
		out[i], at = k, to
	}
	s.note("the blade's tilt changes on a straight, between edges %s: a cut for each; a tilted blade may not run past such a place, and from some %s before it on the bevel is finished by hand",
		strings.Join(changes, ", "), b.lengths.Rough(b.short()))
	return out
}

// oneTilt joins neighbouring stretches of the same bevel.
func oneTilt(list []tiltSpan) []tiltSpan {
	var out []tiltSpan
	for _, x := range list {
		x.edges = slices.Clone(x.edges)
		if last := len(out) - 1; last >= 0 && out[last].tilt == x.tilt {
			out[last].to = x.to
			out[last].edges = append(out[last].edges, x.edges...)
			continue
		}
		out = append(out, x)
	}
	return out
}

// noTilt tells why the bevel of stretch i of a cut cannot be sawn; empty when it
// can. A tilted blade that runs on past the end of its stretch cuts under the
// stone that goes on there: between two such ends it has to find its chord, with
// one it has to reach the bottom face at all.
func (b blade) noTilt(c *SawCut, spans []tiltSpan, i int) string {
	x := spans[i]
	if x.tilt == "" {
		return ""
	}
	length := x.to - x.from
	ends, room := 0, length
	for _, end := range [2]struct {
		inner bool
		stop  Stop
	}{{i > 0, c.Start}, {i < len(spans)-1, c.End}} {
		switch {
		case end.inner:
			ends++
		case end.stop.Short > 0:
			ends++
			room += b.short()
		}
	}
	switch inner := i > 0 || i < len(spans)-1; {
	case !inner:
		return "" // the whole cut is one bevel
	case ends == 2 && room < b.plunge:
		return fmt.Sprintf("the blade needs %s between its ends and has %s", b.lengths.Rough(b.plunge), b.lengths.Rough(room))
	case room <= b.short()*float64(ends):
		return fmt.Sprintf("the blade stops %s short of where the bevel ends", b.lengths.Rough(b.short()))
	}
	return ""
}

func joinEdges(ns []int) string {
	words := make([]string, len(ns))
	for i, n := range ns {
		words[i] = fmt.Sprint(n)
	}
	return strings.Join(words, ", ")
}

// overlap returns the stretch of line a, in mm from its start, over which line b
// lies on it; from equals to where none does.
func overlap(a, b geom.Curve) (from, to float64) {
	u := a.Tangent(0)
	if math.Abs(u.Cross(b.A.Sub(a.A))) > 2*sameLine || math.Abs(u.Cross(b.B.Sub(a.A))) > 2*sameLine {
		return 0, 0
	}
	p, q := u.Dot(b.A.Sub(a.A)), u.Dot(b.B.Sub(a.A))
	from = math.Max(0, math.Min(p, q))
	return from, math.Max(from, math.Min(a.Length(), math.Max(p, q)))
}
