package support

import (
	"math/rand/v2"
	"slices"

	"trueup/dxfio/geom"
)

// randomScene draws a top with cabinets in a run, openings, cutouts and posts.
// Coordinates lie off each other so that no two edges coincide by chance; some
// scenes have them coincide on purpose.
func randomScene(r *rand.Rand, separate bool) scene {
	w, h := 800+r.Float64()*2200, 400+r.Float64()*800
	s := scene{top: shapeOf{center: geom.Point{X: w / 2, Y: h / 2}, hx: w / 2, hy: h / 2}}
	x := -50.0
	if r.IntN(2) == 0 {
		x = 0
	}
	for x < w-150 {
		width := 150 + r.Float64()*600
		depth := 100 + r.Float64()*h*0.9
		if r.IntN(3) == 0 {
			x += 100 + r.Float64()*500
		} else if separate {
			x += 5 + r.Float64()*40
		}
		c := shapeOf{center: geom.Point{X: x + width/2, Y: depth / 2}, hx: width / 2, hy: depth / 2}
		if r.IntN(4) == 0 {
			c.center.Y += r.Float64() * 100
		}
		if !separate && r.IntN(3) == 0 {
			c.angle = r.Float64()*0.6 - 0.3
		}
		s.supports = append(s.supports, c)
		x += width
	}
	at := func() geom.Point { return geom.Point{X: r.Float64() * w, Y: r.Float64() * h} }
	if separate {
		return s
	}
	for range r.IntN(3) {
		s.openings = append(s.openings, shapeOf{center: at(), hx: 100 + r.Float64()*300, hy: 100 + r.Float64()*300, angle: r.Float64()})
	}
	for range r.IntN(3) {
		s.supports = append(s.supports, shapeOf{center: at(), radius: 30 + r.Float64()*100})
	}
	// A post inside an opening stands there to carry; the sampler knows no such
	// exception.
	s.supports = slices.DeleteFunc(s.supports, func(c shapeOf) bool {
		return slices.ContainsFunc(s.openings, func(o shapeOf) bool { return o.holds(c.center) })
	})
	for range r.IntN(3) {
		c := shapeOf{center: at(), hx: 40 + r.Float64()*250, hy: 40 + r.Float64()*150}
		if r.IntN(2) == 0 {
			c = shapeOf{center: at(), radius: 17 + r.Float64()*150}
		}
		s.cutouts = append(s.cutouts, c)
	}
	return s
}

func (s scene) points(r *rand.Rand, n int) []geom.Point {
	var out []geom.Point
	for range 40 * n {
		p := s.top.center.Add(geom.Point{X: (2*r.Float64() - 1) * s.top.hx, Y: (2*r.Float64() - 1) * s.top.hy})
		if s.free(p) {
			out = append(out, p)
		}
		if len(out) == n {
			break
		}
	}
	return out
}
