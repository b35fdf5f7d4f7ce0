package piece

import (
	"math"
	"slices"
	"strings"
	"unicode"

	"trueup/dxfio"
	"trueup/dxfio/geom"
)

// edges makes the edges of every piece, with the finishes that the curves of
// the finished, wall and seam layers and the seams themselves give them.
func (b *builder) edges(seams []Seam) {
	var list []mark
	for _, e := range [3]struct {
		role   Role
		finish Finish
	}{{FinishedRole, Finished}, {WallRole, Wall}, {SeamRole, SeamEdge}} {
		for _, id := range b.byRole[e.role] {
			m := mark{curve: b.d.Curves[id].Curve, finish: e.finish, id: id}
			if e.role == FinishedRole {
				layer := b.d.Curves[id].Layer
				m.profile = layerProfile(b.d.Layers[layer].Name, b.readings[layer])
			}
			list = append(list, m)
		}
	}
	for _, s := range seams {
		for _, chain := range s.Chains {
			for _, c := range chain {
				list = append(list, mark{curve: c, finish: SeamEdge, id: -1})
			}
		}
	}
	b.marks = b.newMarks(list, b.s, b.ts.FacetTurn)
	entity := b.entityFinder()
	for i := range b.t.Pieces {
		p := &b.t.Pieces[i]
		p.Edges = edgesOf(p.Outline, entity, b.marks.finish)
		b.contradictions(p)
	}
	b.textProfiles()
}

// entityFinder returns which ellipse or spline a curve of an outline was drawn
// as, found by place: cutting outlines loses their numbers.
func (b *builder) entityFinder() entityAt {
	var curves []geom.Curve
	var entities []int32
	for i := range b.d.Curves {
		c := &b.d.Curves[i]
		if c.Type == dxfio.EntityEllipse || c.Type == dxfio.EntitySpline {
			curves, entities = append(curves, c.Curve), append(entities, c.Entity)
		}
	}
	index := geom.NewIndex(curves)
	return func(c geom.Curve) int32 {
		if len(curves) == 0 {
			return -1
		}
		m := c.Middle()
		if i, q, ok := index.Nearest(m); ok && q.Distance(m) <= sameEdge {
			return entities[i]
		}
		return -1
	}
}

// plainWords say that an edge is finished, not how.
var plainWords = []string{"EDGE", "EDGES", "SIDE", "SIDES", "END", "ENDS", "FRONT", "BACK", "LEFT", "RIGHT", "ALL", "COUNTER", "COUNTERTOP", "TOP", "SPLASH", "BACKSPLASH", "LAYER"}

// layerProfile returns what the name of a finished layer says beside being
// finished: EASED for POLISH-EASED, "" for FINISHED EDGE. The words that a pattern
// of the shop's spells out are dropped, and the built-in ones that say no more than
// where or that it is finished.
func layerProfile(layer string, by Reading) string {
	var stems []string
	if by.Own {
		stems = strings.FieldsFunc(string(plainName(by.By)), func(r rune) bool { return r == '*' || r == '?' || r == ' ' })
	}
	var kept []string
	words := strings.FieldsFunc(layer, func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune("_-.,:/", r) })
	for _, w := range words {
		upper := strings.ToUpper(w)
		stem := slices.ContainsFunc(stems, func(s string) bool { return strings.Contains(upper, s) })
		if !stem && !saysFinished(w) && !slices.Contains(plainWords, upper) && !numberOnly(w) {
			kept = append(kept, w)
		}
	}
	return strings.Join(kept, " ")
}

// saysFinished reports whether a word of a layer's name only says that an edge is
// finished, or that it is one.
func saysFinished(w string) bool {
	for _, part := range book().words(w) {
		if k, ok := book().find(part); !ok || k.sense != finishedWord && k.sense != edgeWord && k.sense != frontWord {
			return false
		}
	}
	return true
}

func numberOnly(s string) bool {
	return !strings.ContainsFunc(s, func(r rune) bool { return !unicode.IsDigit(r) })
}

// textProfiles gives the texts on finished layers to the nearest finished edge
// within the setting profile_reach. Where there is none, or the text stands on a
// seam, the seam's edges take it, those of both mates: MITRE at a fold. The texts
// name no piece.
func (b *builder) textProfiles() {
	finished, seams := b.edgesOfFinish(Finished), b.edgesOfFinish(SeamEdge)
	nearest := map[*Edge]float64{}
	for _, t := range b.d.Texts {
		name := nameFrom(t.Value)
		if name == "" || b.role(t.Layer) != FinishedRole {
			continue
		}
		e, _, d := finished.nearest(t.At)
		takers := []*Edge{e}
		if _, at, away := seams.nearest(t.At); away <= b.s.MarkDistance && away < d || d > b.s.ProfileReach {
			d, takers = away, seams.within(at, b.s.SeamReach)
		}
		if d > b.s.ProfileReach {
			continue
		}
		for _, e := range takers {
			if best, taken := nearest[e]; !taken || d < best || d == best && name < e.Profile {
				nearest[e], e.Profile = d, name
			}
		}
	}
}

// edgeFinder finds edges of one finish by place.
type edgeFinder struct {
	index *geom.Index
	edges []*Edge // of the curves of the index
	list  []geom.Curve
}

func (b *builder) edgesOfFinish(f Finish) *edgeFinder {
	out := &edgeFinder{}
	for i := range b.t.Pieces {
		for k := range b.t.Pieces[i].Edges {
			if e := &b.t.Pieces[i].Edges[k]; e.Finish == f {
				for _, c := range e.Curves {
					out.list, out.edges = append(out.list, c), append(out.edges, e)
				}
			}
		}
	}
	out.index = geom.NewIndex(out.list)
	return out
}

// nearest returns the edge nearest to a point, the place on it and the distance
// in mm; infinitely far without edges.
func (f *edgeFinder) nearest(p geom.Point) (*Edge, geom.Point, float64) {
	i, q, ok := f.index.Nearest(p)
	if !ok {
		return nil, p, math.Inf(1)
	}
	return f.edges[i], q, q.Distance(p)
}

// within returns the edges within a distance in mm of a point.
func (f *edgeFinder) within(p geom.Point, reach float64) []*Edge {
	var out []*Edge
	f.index.Search(geom.Box{Min: p, Max: p}.Grow(reach), func(i int) bool {
		if f.list[i].Distance(p) <= reach && !slices.Contains(out, f.edges[i]) {
			out = append(out, f.edges[i])
		}
		return true
	})
	return out
}

// leftovers settles the marks: those along no edge are strays. Nothing stays
// without a use.
func (b *builder) leftovers() {
	var finish, seam []int32
	for i, m := range b.marks.list {
		switch {
		case m.id < 0 || b.uses[m.id] != unused:
		case !b.marks.lies(i) && m.finish == SeamEdge:
			seam = append(seam, m.id)
		case !b.marks.lies(i):
			finish = append(finish, m.id)
		case m.finish == SeamEdge:
			b.set(m.id, useSeam)
		default:
			b.set(m.id, useFinish)
		}
	}
	b.strayIDs(finish, "marks no edge: it lies along none")
	b.drifts()
	b.strayWalls()
	b.onSeams()
	b.strayIDs(seam, "divides no piece and lies along no edge")
	b.hangingSeams()
	var rest []int32
	for id, u := range b.uses {
		if u == unused {
			rest = append(rest, int32(id))
		}
	}
	b.strayIDs(rest, "was left out when the outlines were closed")
	slices.SortStableFunc(b.t.Repairs, func(r, s Repair) int { return comparePlace(string(r.Kind), string(s.Kind), r.At, s.At) })
	slices.SortStableFunc(b.problems.list, func(p, q Problem) int { return comparePlace(string(p.Kind), string(q.Kind), p.At, q.At) })
}

// comparePlace orders by kind, then by place.
func comparePlace(kind, other string, p, q geom.Point) int {
	if c := strings.Compare(kind, other); c != 0 {
		return c
	}
	for _, d := range [2]float64{p.X - q.X, p.Y - q.Y} {
		if d != 0 {
			return int(math.Copysign(1, d))
		}
	}
	return 0
}
