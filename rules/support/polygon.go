package support

import (
	"math"

	"trueup/dxfio/geom"
)

// polygon is a convex polygon, counter-clockwise.
type polygon []geom.Point

func boxPolygon(b geom.Box) polygon {
	return polygon{b.Min, {X: b.Max.X, Y: b.Min.Y}, b.Max, {X: b.Min.X, Y: b.Max.Y}}
}

// clip returns what lies where n.p >= least.
func (g polygon) clip(n geom.Point, least float64) polygon {
	whole := true
	for _, p := range g {
		if n.Dot(p) < least {
			whole = false
			break
		}
	}
	if whole {
		return g
	}
	out := make(polygon, 0, len(g)+1)
	for i, p := range g {
		q := g[(i+1)%len(g)]
		hp, hq := n.Dot(p)-least, n.Dot(q)-least
		if hp >= 0 {
			out = append(out, p)
		}
		if hp > 0 && hq < 0 || hp < 0 && hq > 0 {
			out = append(out, p.Lerp(q, hp/(hp-hq)))
		}
	}
	return out
}

// extent returns the least and the greatest n.p of the polygon.
func (g polygon) extent(n geom.Point) (least, most float64) {
	least, most = math.Inf(1), math.Inf(-1)
	for _, p := range g {
		v := n.Dot(p)
		least, most = math.Min(least, v), math.Max(most, v)
	}
	return least, most
}

func (g polygon) area() float64 {
	var sum float64
	for i, p := range g {
		sum += p.Sub(g[0]).Cross(g[(i+1)%len(g)].Sub(g[0]))
	}
	return sum / 2
}

// center returns the mean of the corners, which lies inside.
func (g polygon) center() geom.Point {
	var sum geom.Point
	for _, p := range g {
		sum = sum.Add(p)
	}
	return sum.Mul(1 / float64(len(g)))
}

// box returns the box around the polygon.
func (g polygon) box() geom.Box {
	b := geom.EmptyBox()
	for _, p := range g {
		b = b.Union(geom.Box{Min: p, Max: p})
	}
	return b
}

// diameter returns the greatest side of the polygon's box, at least 0.7 of its
// true diameter.
func (g polygon) diameter() float64 {
	x0, x1 := g.extent(geom.Point{X: 1})
	y0, y1 := g.extent(geom.Point{Y: 1})
	return math.Max(x1-x0, y1-y0)
}

// width returns the least width of the polygon over all directions, which is
// square to one of its sides.
func (g polygon) width() float64 {
	least := math.Inf(1)
	for i, p := range g {
		side := g[(i+1)%len(g)].Sub(p)
		if length := side.Norm(); length > geom.Tolerance {
			lo, hi := g.extent(side.Left().Mul(1 / length))
			least = math.Min(least, hi-lo)
		}
	}
	return least
}

// halves cuts the polygon across its longest side through the middle.
func (g polygon) halves() (polygon, polygon) {
	var n geom.Point
	longest := 0.0
	for i, p := range g {
		if s := g[(i+1)%len(g)].Sub(p); s.Norm() > longest {
			longest, n = s.Norm(), s
		}
	}
	n = n.Unit()
	lo, hi := g.extent(n)
	mid := (lo + hi) / 2
	return g.clip(n, mid), g.clip(n.Mul(-1), -mid)
}

// touches reports whether two polygons come within reach of each other.
func (g polygon) touches(h polygon, reach float64) bool {
	return !g.apart(h, reach) && !h.apart(g, reach)
}

// apart reports whether a side of g separates the two by more than reach.
func (g polygon) apart(h polygon, reach float64) bool {
	for i, p := range g {
		side := g[(i+1)%len(g)].Sub(p)
		if side.Norm() < geom.Tolerance {
			continue
		}
		out := side.Left().Mul(-1).Unit()
		if least, _ := h.extent(out); least > out.Dot(p)+reach {
			return true
		}
	}
	return false
}
