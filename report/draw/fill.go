package draw

import (
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// flatness is the largest distance in pixels between an arc and the chords it
// is filled or drawn with.
const flatness = 0.1

// chords appends the curve's points in pixels, its start left out.
func (r *raster) chords(points []geom.Point, c geom.Curve) []geom.Point {
	n := 1
	if c.Bulge != 0 {
		n = steps(c.Radius()*r.scale, math.Abs(c.Sweep()))
	}
	for i := 1; i <= n; i++ {
		points = append(points, c.At(float64(i)/float64(n)).Mul(r.scale))
	}
	return points
}

// steps returns into how many chords an arc of the radius (pixels) and angle is
// divided: the sagitta of each is R (1 - cos(angle/2)).
func steps(radius, angle float64) int {
	if radius <= flatness {
		return 1
	}
	n := math.Ceil(angle / (2 * math.Acos(1-flatness/radius)))
	return int(min(max(n, 2), 512))
}

// fill paints the rows between the crossings of the loops, even-odd, a pixel's
// middle deciding: every area has an outline drawn over its edge, which hides
// the stairs.
func (r *raster) fill(loops []geom.Loop, fill Fill) {
	width, height := r.image.Rect.Dx(), r.image.Rect.Dy()
	for len(r.crossings) < height {
		r.crossings = append(r.crossings, nil)
	}
	top, bottom := height, 0 // rows crossed
	for _, l := range loops {
		for _, c := range l {
			r.points = r.chords(append(r.points[:0], c.A.Mul(r.scale)), c)
			for i := 1; i < len(r.points); i++ {
				from, to := crossRows(r.crossings[:height], r.points[i-1], r.points[i])
				top, bottom = min(top, from), max(bottom, to)
			}
		}
	}
	ink, spacing := r.ink(fill.Color), int(math.Round(fill.Spacing*r.scale))
	for y := top; y < bottom; y++ {
		xs := r.crossings[y]
		slices.Sort(xs)
		row := r.image.Pix[y*r.image.Stride : y*r.image.Stride+width]
		for i := 0; i+1 < len(xs); i += 2 {
			from, to := pixelAfter(xs[i], width), pixelAfter(xs[i+1], width)
			if spacing <= 1 {
				paint(row[from:to], ink)
				continue
			}
			first := (from/spacing)*spacing + y%spacing
			if fill.Rising {
				first = (from/spacing)*spacing + spacing - 1 - y%spacing
			}
			for x := first; x < to; x += spacing {
				if x >= from {
					row[x] = ink
				}
			}
		}
		r.crossings[y] = xs[:0]
	}
}

// paint fills pixels with an ink, doubling what is done: copying is what a
// processor does fastest.
func paint(pixels []uint8, ink uint8) {
	if len(pixels) == 0 {
		return
	}
	pixels[0] = ink
	for done := 1; done < len(pixels); done *= 2 {
		copy(pixels[done:], pixels[:done])
	}
}

// crossRows adds where the line crosses the middles of the rows, and returns
// from which row up to which it does.
func crossRows(rows [][]float64, a, b geom.Point) (from, to int) {
	if a.Y > b.Y {
		a, b = b, a
	}
	from = max(0, int(math.Ceil(a.Y-0.5)))
	for to = from; to < len(rows) && float64(to)+0.5 < b.Y; to++ {
		t := (float64(to) + 0.5 - a.Y) / (b.Y - a.Y)
		rows[to] = append(rows[to], a.X+t*(b.X-a.X))
	}
	if to == from {
		return len(rows), 0
	}
	return from, to
}

// pixelAfter returns the first pixel whose middle lies at or after x.
func pixelAfter(x float64, width int) int {
	return int(min(max(math.Ceil(x-0.5), 0), float64(width)))
}
