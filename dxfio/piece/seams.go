package piece

import (
	"cmp"
	"fmt"
	"maps"
	"slices"

	"trueup/dxfio/geom"
)

// placed is an outline curve with its piece and where on the outline it starts.
type placed struct {
	curve geom.Curve
	piece int
	at    float64 // length along the outline from its first vertex
}

// facing is a stretch of one piece's outline that faces another piece.
type facing struct {
	from, to float64 // along the outline; to may exceed its length
	covered  float64 // length that really faces, without the corners of steps
}

// abuttingSeams finds where pieces meet as drawn: stretches of two outlines that
// face each other within the setting seam_reach. They are mates when a seam
// curve lies between them, and without one when they belong to counters, face
// each other over seam_stretch at least and are not drawn as finished there, as
// a counter and the bar raised behind it are. Pieces laid out apart for cutting
// keep a wider distance.
func (b *builder) abuttingSeams() []Seam {
	pieces := b.t.Pieces
	var all []placed
	var curves []geom.Curve
	for i, p := range pieces {
		at := 0.0
		for _, c := range p.Outline {
			all, curves = append(all, placed{c, i, at}), append(curves, c)
			at += c.Length()
		}
	}
	index := geom.NewIndex(curves)
	stretches := map[[2]int][]finishSpan{}
	for _, a := range all {
		index.Search(a.curve.Box().Grow(b.s.SeamReach), func(k int) bool {
			b.spend(1, a.curve.A)
			if o := all[k]; o.piece != a.piece && pieces[o.piece].Kind == pieces[a.piece].Kind {
				b.spendAlong(a.curve, o.curve)
				for _, s := range b.faces(a.curve, o.curve) {
					l := a.curve.Length()
					key := [2]int{a.piece, o.piece}
					stretches[key] = append(stretches[key], finishSpan{from: a.at + s.from*l, to: a.at + s.to*l})
				}
			}
			return true
		})
	}
	drawn, finished := geom.NewIndex(b.curvesOf(SeamRole)), b.newChainIndex(b.curvesOf(FinishedRole))
	var seams []Seam
	for _, pair := range slices.SortedFunc(maps.Keys(stretches), comparePairs) {
		if i, j := pair[0], pair[1]; i < j {
			seams = append(seams, b.mates(i, j, stretches[pair], stretches[[2]int{j, i}], drawn, finished)...)
		}
	}
	return seams
}

func comparePairs(a, c [2]int) int { return cmp.Or(cmp.Compare(a[0], c[0]), cmp.Compare(a[1], c[1])) }

// overlapReach is how far in mm two mates may be drawn into each other and still
// face: a drawing's own inaccuracy.
const overlapReach = 1

// faces returns the stretches of c that d faces: within reach, run the other
// way, on the outer side of c.
func (b *builder) faces(c, d geom.Curve) []span {
	return slices.DeleteFunc(along(c, d, b.s.SeamReach), func(s span) bool {
		mid := (s.from + s.to) / 2
		p, dir := c.At(mid), c.Tangent(mid)
		q, t := geom.NearestPoint(d, p)
		return dir.Dot(d.Tangent(t)) > 0 || dir.Cross(q.Sub(p)) > overlapReach
	})
}

// curvesOf returns the drawn curves of a role.
func (b *builder) curvesOf(role Role) []geom.Curve {
	var curves []geom.Curve
	for _, id := range b.byRole[role] {
		curves = append(curves, b.d.Curves[id].Curve)
	}
	return curves
}

// mates makes the seams between two pieces from the stretches of each that face
// the other.
func (b *builder) mates(i, j int, onFirst, onSecond []finishSpan, drawn *geom.Index, finished *chainIndex) []Seam {
	p, q := &b.t.Pieces[i], &b.t.Pieces[j]
	gap := 2 * b.s.SeamReach // the corners of a step face nothing
	second := chainsOf(q.Outline, joinStretches(onSecond, q.Outline.Length(), gap))
	var seams []Seam
	for _, f := range joinStretches(onFirst, p.Outline.Length(), gap) {
		chain := chainOf(p.Outline, f)
		mid := pointAlong(chain, chainLength(chain)/2)
		mate := nearestChain(second, mid)
		if mate == nil {
			continue
		}
		_, at, ok := drawn.Nearest(mid)
		marked := ok && at.Distance(mid) <= b.s.SeamReach+b.s.MarkDistance
		if !marked && (f.covered < b.s.SeamStretch || p.Kind != Counter || b.polished(chain, finished) || b.polished(mate, finished)) {
			continue
		}
		s := Seam{Pieces: [2]string{p.ID, q.ID}, Chains: [2][]geom.Curve{chain, mate}, Moved: mate, Length: chainLength(chain)}
		b.measure(&s)
		seams = append(seams, s)
	}
	return seams
}

// polished reports whether most of a chain is drawn as finished.
func (b *builder) polished(chain []geom.Curve, finished *chainIndex) bool {
	bare := 0.0
	for _, c := range chain {
		bare += finished.uncovered(c, b.s.MarkDistance)
	}
	return bare < chainLength(chain)/2
}

// joinStretches joins stretches of a closed outline that lie no further apart
// than gap, past its first vertex too.
func joinStretches(list []finishSpan, length, gap float64) []facing {
	var out []facing
	for i := range list {
		list[i].finish = SeamEdge
	}
	for _, s := range layered(list, length) {
		if s.finish == Unmarked {
			continue
		}
		if k := len(out) - 1; k >= 0 && s.from-out[k].to <= gap {
			out[k].to, out[k].covered = s.to, out[k].covered+s.to-s.from
		} else {
			out = append(out, facing{s.from, s.to, s.to - s.from})
		}
	}
	if k := len(out) - 1; k > 0 && out[0].from+length-out[k].to <= gap {
		out[k].to, out[k].covered = length+out[0].to, out[k].covered+out[0].covered
		out = out[1:]
	}
	return out
}

// chainOf returns the curves of a stretch, lines and arcs that run on as one.
func chainOf(outline geom.Loop, f facing) []geom.Curve {
	length := outline.Length()
	chain := cut(outline, f.from, min(f.to, length))
	if f.to > length {
		chain = append(chain, cut(outline, 0, f.to-length)...)
	}
	return joined(chain)
}

func chainsOf(outline geom.Loop, list []facing) [][]geom.Curve {
	var out [][]geom.Curve
	for _, f := range list {
		out = append(out, chainOf(outline, f))
	}
	return out
}

// joined brings lines and arcs that run on to one curve each.
func joined(chain []geom.Curve) []geom.Curve {
	var runs []run
	for _, c := range chain {
		if k := len(runs) - 1; k >= 0 && runs[k].takes(c, -1) {
			runs[k].add(c)
		} else {
			runs = append(runs, run{[]geom.Curve{c}, -1, c})
		}
	}
	var out []geom.Curve
	for i := range runs {
		out = append(out, runs[i].edge().Curves...)
	}
	return out
}

func nearestChain(chains [][]geom.Curve, p geom.Point) []geom.Curve {
	var best []geom.Curve
	least := 0.0
	for _, chain := range chains {
		for _, c := range chain {
			if d := c.Distance(p); best == nil || d < least {
				best, least = chain, d
			}
		}
	}
	return best
}

// numberSeams puts the seams in reading order and gives them their ids.
func numberSeams(seams []Seam) []Seam {
	boxes := make([]geom.Box, len(seams))
	for i, s := range seams {
		boxes[i] = chainBox(s.Chains[0])
	}
	seams = arrange(seams, readingOrder(boxes))
	for i := range seams {
		seams[i].ID = fmt.Sprintf("S%d", i+1)
	}
	return seams
}
