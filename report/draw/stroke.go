package draw

import (
	"image"
	"math"

	"trueup/dxfio/geom"
)

// stroke draws the curves with the pen, dashes running on from one to the next.
func (r *raster) stroke(curves []geom.Curve, pen Pen) {
	ink := r.ink(pen.Color)
	half := max(pen.Width*r.scale, 1) / 2 // no line vanishes
	if len(pen.Dash) == 0 {
		for _, c := range curves {
			r.strokeCurve(c, half, half, ink)
		}
		return
	}
	d := dasher{lengths: pen.Dash, left: pen.Dash[0]}
	for _, c := range curves {
		d.run(c, func(part geom.Curve) { r.strokeCurve(part, half, 0, ink) })
	}
}

// shortestDash keeps a pattern of zeros from running for ever, mm.
const shortestDash = 0.05

// dasher cuts curves into the dashes of a pattern.
type dasher struct {
	lengths []float64
	at      int
	left    float64
}

func (d *dasher) run(c geom.Curve, dash func(geom.Curve)) {
	length := c.Length()
	for done := 0.0; done < length; {
		next := min(length, done+max(d.left, shortestDash))
		if d.at%2 == 0 {
			dash(c.Part(done/length, next/length))
		}
		d.left -= next - done
		if done = next; d.left <= 0 {
			d.at = (d.at + 1) % len(d.lengths)
			d.left = d.lengths[d.at]
		}
	}
}

// strokeCurve draws one curve of a width of 2*half pixels, lengthened at both
// ends by extend pixels so that corners close.
func (r *raster) strokeCurve(c geom.Curve, half, extend float64, ink uint8) {
	if c.Bulge == 0 {
		r.strokeLine(c.A.Mul(r.scale), c.B.Mul(r.scale), half, extend, ink)
		return
	}
	center, radius := c.Center().Mul(r.scale), c.Radius()*r.scale
	n := steps(radius+half, math.Abs(c.Sweep()))
	out := r.points[:0]
	for i := 0; i <= n; i++ {
		p := c.At(float64(i) / float64(n)).Mul(r.scale)
		out = append(out, p.Add(p.Sub(center).Mul(half/radius)))
	}
	for i := n; i >= 0; i-- {
		p := c.At(float64(i) / float64(n)).Mul(r.scale)
		out = append(out, p.Sub(p.Sub(center).Mul(min(half, radius)/radius)))
	}
	r.polygon(out, ink)
	r.points = out
}

func (r *raster) strokeLine(a, b geom.Point, half, extend float64, ink uint8) {
	a, b, ok := clip(a, b, geom.Box{Max: geom.Point{X: float64(r.image.Rect.Dx()), Y: float64(r.image.Rect.Dy())}}.Grow(2*half+extend))
	if !ok {
		return
	}
	along := b.Sub(a).Unit()
	if along == (geom.Point{}) {
		return
	}
	a, b = a.Sub(along.Mul(extend)), b.Add(along.Mul(extend))
	side := along.Left().Mul(half)
	if along.X == 0 || along.Y == 0 {
		box := geom.EmptyBox().Extend(a.Add(side)).Extend(a.Sub(side)).Extend(b.Add(side)).Extend(b.Sub(side))
		r.box(box, ink)
		return
	}
	r.points = append(r.points[:0], a.Add(side), b.Add(side), b.Sub(side), a.Sub(side))
	r.polygon(r.points, ink)
}

// box covers an upright rectangle: most lines of a drawing are upright, and
// their coverage needs no rasteriser.
func (r *raster) box(b geom.Box, ink uint8) {
	t := r.table(ink)
	x0, x1 := max(0, int(math.Floor(b.Min.X))), min(r.image.Rect.Dx(), int(math.Ceil(b.Max.X)))
	y0, y1 := max(0, int(math.Floor(b.Min.Y))), min(r.image.Rect.Dy(), int(math.Ceil(b.Max.Y)))
	for y := y0; y < y1; y++ {
		high := min(b.Max.Y, float64(y+1)) - max(b.Min.Y, float64(y))
		row := r.image.Pix[y*r.image.Stride:]
		if x1-x0 > 2 && int(high*levels+0.5) >= levels {
			// Only the first and the last pixel may be covered in part.
			paint(row[x0+1:x1-1], ink)
			r.boxPixel(t, ink, &row[x0], high*(float64(x0+1)-max(b.Min.X, float64(x0))))
			r.boxPixel(t, ink, &row[x1-1], high*(min(b.Max.X, float64(x1))-float64(x1-1)))
			continue
		}
		for x := x0; x < x1; x++ {
			r.boxPixel(t, ink, &row[x], high*(min(b.Max.X, float64(x+1))-max(b.Min.X, float64(x))))
		}
	}
}

// boxPixel lays an ink over a pixel by the share that is covered.
func (r *raster) boxPixel(t *mixTable, ink uint8, pixel *uint8, covered float64) {
	if level := int(covered*levels + 0.5); level >= levels {
		*pixel = ink
	} else if level > 0 {
		*pixel = r.mix(t, ink, *pixel, level)
	}
}

// polygon covers a polygon in pixels.
func (r *raster) polygon(points []geom.Point, ink uint8) {
	b := geom.EmptyBox()
	for _, p := range points {
		b = b.Extend(p)
	}
	pixels := image.Rect(int(math.Floor(b.Min.X)), int(math.Floor(b.Min.Y)), int(math.Ceil(b.Max.X)), int(math.Ceil(b.Max.Y)))
	if pixels = pixels.Intersect(r.image.Rect); pixels.Empty() {
		return
	}
	w, h := pixels.Dx(), pixels.Dy()
	r.vector.Reset(w, h)
	for i, p := range points {
		x, y := float32(p.X-float64(pixels.Min.X)), float32(p.Y-float64(pixels.Min.Y))
		if i == 0 {
			r.vector.MoveTo(x, y)
		} else {
			r.vector.LineTo(x, y)
		}
	}
	r.vector.ClosePath()
	if cap(r.mask.Pix) < w*h {
		r.mask.Pix = make([]uint8, w*h)
	}
	r.mask.Pix, r.mask.Stride, r.mask.Rect = r.mask.Pix[:w*h], w, image.Rect(0, 0, w, h)
	clear(r.mask.Pix)
	r.vector.Draw(&r.mask, r.mask.Rect, image.Opaque, image.Point{})
	r.cover(&r.mask, pixels.Min.X, pixels.Min.Y, ink)
}

// clip returns the part of a line inside the box (Liang and Barsky's method),
// and whether there is any.
func clip(a, b geom.Point, box geom.Box) (geom.Point, geom.Point, bool) {
	d := b.Sub(a)
	low, high := 0.0, 1.0
	for _, side := range [4][2]float64{
		{-d.X, a.X - box.Min.X}, {d.X, box.Max.X - a.X}, {-d.Y, a.Y - box.Min.Y}, {d.Y, box.Max.Y - a.Y},
	} {
		p, q := side[0], side[1]
		if p == 0 {
			if q < 0 {
				return a, b, false
			}
			continue
		}
		if t := q / p; p < 0 {
			low = max(low, t)
		} else {
			high = min(high, t)
		}
	}
	if low > high {
		return a, b, false
	}
	return a.Add(d.Mul(low)), a.Add(d.Mul(high)), true
}
