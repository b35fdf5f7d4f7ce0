package trace

import (
	"math"

	"trueup/dxfio/geom"
)

// The boxes of long slanting lines, a hatch say, overlap though the lines are far
// apart, and an index of them finds everything everywhere. Seen along the lines
// the boxes are thin. A drawing whose boxes lie deepBoxes deep on the average is
// therefore indexed in the direction that most of its length runs in, where that
// makes them shallower by a factor of worthTurning.
const (
	deepBoxes    = 16
	worthTurning = 4
)

// frame is a direction along which curves are indexed: cosine and sine. The zero
// frame is the drawing's own.
type frame geom.Point

func (f frame) own() bool { return f == frame{} }

// to returns the point as seen from the frame.
func (f frame) to(p geom.Point) geom.Point {
	if f.own() {
		return p
	}
	return geom.Point{X: p.X*f.X + p.Y*f.Y, Y: p.Y*f.X - p.X*f.Y}
}

// box returns the box of a curve as seen from the frame, wide enough for the
// rounding of the turn.
func (f frame) box(c geom.Curve) geom.Box {
	if f.own() {
		return c.Box()
	}
	c.A, c.B = f.to(c.A), f.to(c.B)
	return c.Box().Grow(geom.Tolerance)
}

// depth returns how many boxes lie over each other on the average.
func depth(boxes []geom.Box) float64 {
	all, sum := geom.EmptyBox(), 0.0
	for _, b := range boxes {
		all = all.Union(b)
		sum += (b.Max.X - b.Min.X) * (b.Max.Y - b.Min.Y)
	}
	return sum / math.Max(all.Width()*all.Height(), geom.Tolerance)
}

// boxesOf returns the boxes of curves and the frame that they are seen from.
func (w *work) boxesOf(segs []int32) ([]geom.Box, frame) {
	boxes := make([]geom.Box, len(segs), geom.RoomForIndex(len(segs)))
	for k, i := range segs {
		boxes[k] = w.segs[i].Box()
	}
	if len(segs) < deepBoxes {
		return boxes, frame{}
	}
	deep := depth(boxes)
	if deep <= deepBoxes {
		return boxes, frame{}
	}
	f := w.mainDirection(segs)
	turned := make([]geom.Box, len(segs), geom.RoomForIndex(len(segs)))
	for k, i := range segs {
		turned[k] = f.box(w.segs[i].Curve.Curve)
	}
	if worthTurning*depth(turned) > deep {
		return boxes, frame{}
	}
	return turned, f
}

// mainDirection returns the direction, up to quarter turns, in which most of the
// curves' chords run: the mean of four times their angles, by the squares of
// their lengths.
func (w *work) mainDirection(segs []int32) frame {
	var sum geom.Point
	for _, i := range segs {
		d := w.segs[i].B.Sub(w.segs[i].A)
		x, y := d.X*d.X-d.Y*d.Y, 2*d.X*d.Y // twice the angle
		if n := x*x + y*y; n > 0 {
			sum = sum.Add(geom.Point{X: x*x - y*y, Y: 2 * x * y}.Mul(1 / math.Sqrt(n)))
		}
	}
	sin, cos := math.Sincos(math.Atan2(sum.Y, sum.X) / 4)
	return frame{X: cos, Y: sin}
}
