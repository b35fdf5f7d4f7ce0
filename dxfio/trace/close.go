package trace

import (
	"slices"
)

// Close makes faces of curves as drawn. It works in steps:
//
//  1. Curves without length are dropped, exact copies set aside, ends that are
//     the same as drawn made one node.
//  2. Free ends within Join are brought together, nearest first; ends already
//     joined are never touched again.
//  3. Runs of chords become arcs.
//  4. Free ends up to Bridge apart are extended or trimmed to their corner, or
//     bridged; free ends short of or past another curve are fitted to it. A
//     divider drawn to the sharp corner of two lines that an arc rounds is carried
//     on to the arc.
//  5. All curves are cut where they meet, and what still dangles is taken out
//     curve by curve: it becomes an open chain or a stray.
//  6. The faces of what is left are walked, noise is dissolved, and each face
//     is put together again from whole curves.
//
// A closed outline that crosses itself is reported as a Crossing with Self and
// gives no face. Two closed outlines that overlap are reported as a Crossing
// with the area they share, and both are given as faces of their own, each with
// its full shape. Of two outlines where one lies in the other and shares a part
// of its boundary, the outer one is given without the inner one. Dividers bound
// faces only inside or together with boundaries: a region that has nothing but
// dividers around it, outside everything, is no face.
//
// Work grows as n log n in the number of curves and crossings; where these would
// be n squared, it ends. The error is the cause of the end of the guard's context,
// or a *CrowdError.
func Close(g *Guard, curves []Curve, s Settings) (res Result, err error) {
	defer stopped(&err)
	g.grant(len(curves))
	w := newWork(g, curves, s)
	w.prepare()
	return w.result(w.alive()), nil
}

// prepare runs the steps that change curves.
func (w *work) prepare() {
	w.dropCopies(w.incidence())
	w.thinEarly()
	clean := w.revision
	if free := w.freeEnds(w.incidence()); len(free) > 0 && w.s.Join > 0 {
		x := w.index()
		free = w.withoutResting(x, free)
		w.joinEnds(free, w.s.Join)
	}
	w.facets()
	w.attach()
	if w.revision != clean {
		w.dropCopies(w.incidence())
	}
}

// result arranges the curves and reads the result off the arrangement.
func (w *work) result(live []int32) Result {
	var out Result
	first := w.arrange(live)
	live = first.split.segs
	layers := []*layer{first}
	if first.tangled() {
		ch := w.newChains(live)
		found := ch.conflicts(first.nest)
		if len(found.self)+len(found.overlap) > 0 {
			out.Crossings = w.crossings(ch, found, first)
			layers = nil
			for _, segs := range ch.layers(live, found) {
				layers = append(layers, w.arrange(segs))
			}
		}
		first.chains = ch
	}
	for _, l := range layers {
		l.seats()
		before := l.nest
		if l.nest = before.slivers(); l.nest != before {
			l.seats()
		}
		l.findOutsiders()
	}
	out.Faces = w.assemble(layers)
	w.leftovers(&out, first, layers)
	w.copyRepairs(first)
	out.Repairs, out.Chords, out.Coarse = w.repairs, w.chords, w.coarseRuns
	sortResult(&out)
	return out
}

// layer is the arrangement of a set of curves that do not overlap.
type layer struct {
	*nest
	split  *splitter
	loose  []int32 // edges that bound nothing
	chains *chains
	// Before noise was dissolved: edges that only repeat another, and half-edges
	// on an outer cycle.
	copied, onOuter []bool
	outsiders       []bool // by cell, see findOutsiders; nil without dividers
	// Scratch of whole.
	rows  []row
	owner []int32
	own   []source
}

func (w *work) arrange(segs []int32) *layer {
	w.spend(2*len(w.nodes.pos), -1) // lists by node are made anew for every layer
	s := w.split(segs)
	if s.crowded() {
		w.thinned = true
		s = w.split(w.thin(segs))
	}
	p := s.cut()
	l := &layer{split: s, copied: slices.Clone(p.dead), onOuter: make([]bool, 2*len(p.edges))}
	l.loose = p.dangling()
	f, cut := p.faces()
	l.loose = append(l.loose, cut...)
	l.nest = f.nest()
	for i := range l.cells {
		for _, h := range l.cells[i].outer {
			l.onOuter[h] = true
		}
	}
	return l
}

// tangled reports whether curves do more than follow each other in circles.
func (l *layer) tangled() bool {
	if len(l.split.contacts) > 0 || len(l.w.copies) > 0 {
		return true
	}
	if l.rings {
		return false
	}
	degree := make([]uint8, len(l.inner))
	for i := range l.edges {
		if l.dead[i] {
			continue
		}
		for _, n := range l.edges[i].node {
			if degree[n]++; degree[n] > 2 {
				return true
			}
		}
	}
	return false
}
