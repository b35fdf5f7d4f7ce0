package piece

import (
	"math"

	"trueup/dxfio"
	"trueup/dxfio/geom"
)

// mostFlattened is the share of its width that a closed curve may lose by being seen
// from above, before somebody has to say how it is meant: stone that slopes as much is
// none (common practice, no source).
const mostFlattened = 0.1

// losesArea reports whether a closed curve that was flattened is narrower than it was
// drawn: a sink drawn upright is a line from above. Where its height rises along its
// length it loses less than the width says.
func (b *builder) losesArea(c dxfio.Change) bool {
	if b.readings[c.Source.Layer].Role == IgnoreRole {
		return false
	}
	if b.byEntity == nil {
		b.byEntity = map[int32][]geom.Curve{}
		for i := range b.d.Curves {
			k := b.d.Curves[i].Entity
			b.byEntity[k] = append(b.byEntity[k], b.d.Curves[i].Curve)
		}
	}
	g := closedGroup{curves: b.byEntity[c.Source.Entity]}
	n := len(g.curves)
	if n < 2 || g.curves[0].A.Distance(g.curves[n-1].B) > b.ts.Join {
		return false
	}
	width := g.rectangle().Width
	return width < (1-mostFlattened)*math.Hypot(width, c.Size)
}

// cuts reports whether curves of a layer shape stone or its joints. What such a curve
// loses from above is cut short: past the distance within which ends are the same place,
// somebody has to say how it is meant.
func (b *builder) cuts(layer int32) bool {
	switch b.readings[layer].Role {
	case OutlineRole, SplashRole, CutoutRole, SeamRole:
		return true
	}
	return false
}
