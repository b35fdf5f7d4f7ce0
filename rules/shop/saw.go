package shop

import (
	"fmt"
	"math"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// The saw's share of a straight of length L between two corners, for a blade of
// radius R cutting e into the table below stone of thickness t:
//
// Where an inside corner ends the straight (every corner of a cutout is one, but
// for those where its waste bends round stone) the cut through the bottom face
// stops c(t+e) - c(e) short of it: see blade.short. Where the boundary goes on
// in an arc hollow towards the waste, the corner is the arc's start. Past an
// outside corner the blade runs on as far as the cut needs, unless other stone
// of the same piece stands in the kerf's way within that run: the kerf then ends
// there, and the stop is shorter by the free run. Where two corners stand nearer
// to each other than the chord 2 c(t+e) and the plunge allowance, or less than
// the shortest cut is left, the whole straight is the router's. So is every arc.
//
// Lengths are measured along the boundary: sawn and routed ones add up to the
// perimeters of the outline and of the cutouts that are not round holes. A
// cutout drawn over the edge is part of the outline already.

// smoothTurn is the turn in radians up to which a straight runs smoothly into
// its neighbour: an arc drawn tangent, or a wall line with a kink.
const smoothTurn = math.Pi / 180

// inTheWay tells why the kerf has to end where a straight ends: at a turn to the
// right, into the waste, from first to second, or where c, the neighbour of the
// straight, is an arc hollow towards the waste. Empty when it may run on. Both
// directions and c run along the loop, with the stone on the left.
func (b blade) inTheWay(first, second geom.Point, c geom.Curve) string {
	turn := math.Atan2(first.Cross(second), first.Dot(second))
	switch {
	case turn < -smoothTurn:
		return "inside corner"
	case turn <= smoothTurn && c.Bulge < 0:
		return "inside radius of " + b.lengths.Radius(c.Radius())
	}
	return ""
}

// sawnLoop is one loop divided between saw and router.
type sawnLoop struct {
	cutout string
	loop   geom.Loop
	cuts   []SawCut
	runs   []RouterRun
}

// divide walks a loop and gives each stretch to the saw or the router.
func divide(loop geom.Loop, cutout string, b blade) sawnLoop {
	d := sawnLoop{cutout: cutout, loop: loop}
	list := straights(loop)
	index := geom.NewIndex(loop)
	open := false // a router's run that goes on
	route := func(c geom.Curve, length float64, corner bool, why string) {
		if length <= 0 {
			return
		}
		if !open {
			d.runs = append(d.runs, RouterRun{Cutout: cutout})
			open = true
		}
		r := &d.runs[len(d.runs)-1]
		r.Parts = append(r.Parts, RouterPart{c, corner, why})
		r.Length += length
	}
	for i := range list {
		s := &list[i]
		if s.arc {
			for _, c := range s.curves {
				route(c, c.Length(), false, "arc")
			}
			continue
		}
		before := list[(i+len(list)-1)%len(list)]
		after := list[(i+1)%len(list)]
		cuts, why := sawn(s, before.curves[len(before.curves)-1], after.curves[0], loop, index, b)
		at, line := 0.0, geom.Line(s.from(), s.to())
		part := func(from, to float64) geom.Curve { return line.Part(from/s.length, to/s.length) }
		for _, k := range cuts {
			if k.from > at {
				route(part(at, k.from), k.from-at, true, k.start.Why)
			}
			c := part(k.from, k.to)
			d.cuts = append(d.cuts, SawCut{
				Cutout: cutout, From: c.A, To: c.B, Length: k.to - k.from, AngleDeg: angleDeg(c.Tangent(0)), Start: k.start, End: k.end,
			})
			open = false
			if at = k.to; k.end.Short > 0 {
				why = k.end.Why
			}
		}
		if at < s.length {
			route(part(at, s.length), s.length-at, why != tooShort && why != notThrough, why)
		}
	}
	d.join(list)
	return d
}

// join makes one run of the first and the last where the router goes on over
// the start of the loop.
func (d *sawnLoop) join(list []straight) {
	n := len(d.runs)
	if n < 2 || len(d.cuts) == 0 {
		return
	}
	last := d.runs[n-1].Parts
	if d.runs[0].Parts[0].Curve.A != list[0].from() || last[len(last)-1].Curve.B != list[0].from() {
		return
	}
	d.runs[0].Parts = append(last, d.runs[0].Parts...)
	d.runs[0].Length += d.runs[n-1].Length
	d.runs = d.runs[:n-1]
}

// cutSpan is a cut along a straight, in mm from its start.
type cutSpan struct {
	from, to   float64
	start, end Stop
}

// Why a straight without a corner in the way is the router's.
const (
	tooShort   = "too short to be worth a cut"
	notThrough = "the blade does not cut through the stone"
)

// sawn returns the cuts that the blade can make along a straight; when there is
// none, why.
func sawn(s *straight, before, after geom.Curve, loop geom.Loop, index *geom.Index, b blade) ([]cutSpan, string) {
	if !b.through {
		return nil, notThrough
	}
	t := newTrack(s, b)
	startWhy, endWhy := "", ""
	if t.stands(before) {
		startWhy = b.inTheWay(before.Tangent(1), t.along, before)
	}
	if t.stands(after) {
		endWhy = b.inTheWay(t.along, after.Tangent(0), after)
	}
	var out []cutSpan
	why := tooShort
	for _, f := range t.free(loop, index) {
		if startWhy != "" {
			f.from = math.Max(f.from, 0)
		}
		if endWhy != "" {
			f.to = math.Min(f.to, t.length)
		}
		if math.Min(f.to, t.length)-math.Max(f.from, 0) <= geom.Tolerance {
			continue // beyond an end: by no more than rounding it is no way at all
		}
		from, to := math.Max(0, f.from+b.short()), math.Min(s.length, f.to-b.short())
		switch {
		case f.to-f.from < b.plunge:
			why = fmt.Sprintf("the blade needs %s between the corners and has %s", b.lengths.Rough(b.plunge), b.lengths.Rough(f.to-f.from))
		case to <= from && (startWhy != "" || endWhy != ""):
			why = startWhy + endWhy
			if startWhy != "" && endWhy != "" {
				why = "inside corners"
			}
		case to-from >= b.least && to > from:
			k := cutSpan{from: from, to: to}
			k.start = b.stopOf(from, f.from, startWhy)
			k.end = b.stopOf(s.length-to, t.length-f.to, endWhy)
			out = append(out, k)
		}
	}
	return out, why
}

// stopOf tells how far a cut stops short of an end and why; before is how far
// before the end the way of the kerf ends, negative beyond it.
func (b blade) stopOf(short, before float64, why string) Stop {
	switch {
	case short <= 0:
		return Stop{}
	case why == "" && before < 0:
		why = fmt.Sprintf("stone in the way %s past the corner", b.lengths.Rough(-before))
	case why == "":
		why = fmt.Sprintf("stone in the way %s before the corner", b.lengths.Rough(before))
	}
	return Stop{short, why}
}

// angleDeg returns a direction as an angle of a line, 0 <= a < 180.
func angleDeg(u geom.Point) float64 {
	a := math.Mod(math.Atan2(u.Y, u.X)*180/math.Pi+360, 180)
	if a > 180-rightAngleRounding {
		return 0
	}
	return a
}

// rightAngleRounding in degrees keeps an angle a rounding under 180 from being
// told as 180.
const rightAngleRounding = 1e-9

// isHole reports whether a cutout is drilled.
func isHole(c *piece.Cutout) bool { return c.Kind == piece.Hole }
