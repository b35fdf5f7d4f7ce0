package dxfio

import (
	"math"

	"trueup/dxfio/geom"
)

// unbalanced is the share of the chord below which an arc of a biarc says that
// the curve turns back: there it is divided, so that no sample misses the tip.
const unbalanced = 0.02

// steepestArc is the largest bulge of a fitted arc: a half turn.
const steepestArc = 1

// biarcBetween returns the two arcs from a to b that leave along ta, arrive
// along tb (unit vectors) and meet with a common tangent at equal tangent
// lengths d: the joint j = (a + b + d (ta - tb)) / 2, where
//
//	2 d^2 (1 - ta.tb) + 2 d v.(ta + tb) - v.v = 0,  v = b - a.
//
// One arc comes back where both would lie on one circle, none where the two
// would turn more than a half turn each.
func biarcBetween(a, b, ta, tb geom.Point) (arcs [2]fittedArc, n int, ok bool) {
	v := b.Sub(a)
	vv := v.Dot(v)
	if !(vv > 0) {
		return arcs, 0, false
	}
	p, q := v.Dot(ta.Add(tb)), 1-ta.Dot(tb)
	root := math.Sqrt(math.Max(0, p*p+2*q*vv))
	if p+root <= 0 {
		return arcs, 0, false
	}
	d := vv / (p + root) // the positive root, written without cancellation
	j := a.Add(b).Add(ta.Sub(tb).Mul(d)).Mul(0.5)
	first, ok1 := arcFrom(a, j, ta)
	second, ok2 := arcFrom(b, j, tb.Mul(-1))
	second = second.Reverse()
	if least := unbalanced * math.Sqrt(vv); !ok1 || !ok2 || first.Chord() < least || second.Chord() < least {
		return arcs, 0, false
	}
	if whole, ok := arcFrom(a, b, ta); ok && sameArc(whole, first, second) {
		arcs[0] = whole
		return arcs, 1, true
	}
	arcs[0], arcs[1] = first, second
	return arcs, 2, true
}

// arcFrom returns the arc from a to b that leaves along the unit tangent t: the
// angle between tangent and chord is half the arc's turn.
func arcFrom(a, b, t geom.Point) (fittedArc, bool) {
	v := b.Sub(a)
	half := math.Atan2(t.Cross(v), t.Dot(v))
	bulge := math.Tan(half / 2)
	return geom.Curve{A: a, B: b, Bulge: bulge}, math.Abs(bulge) <= steepestArc && v != geom.Point{}
}

// sameArc reports whether the two arcs are, to rounding, the one.
func sameArc(whole, first, second fittedArc) bool {
	if math.Abs(whole.Bulge) > 0.5 { // keep single arcs below about a third of a turn
		return false
	}
	size := whole.Chord()
	return math.Abs(whole.Sweep()-first.Sweep()-second.Sweep()) < sameRatio &&
		whole.Distance(first.B) < sameRatio*size &&
		whole.Distance(first.Middle()) < sameRatio*size &&
		whole.Distance(second.Middle()) < sameRatio*size
}
