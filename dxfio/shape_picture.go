package dxfio

import "math"

// readPicture reads where a picture, an underlay or a wipeout lies: nothing of it can be
// cut, but somebody may have looked at it instead of at lines. Groups of the DXF
// Reference: IMAGE and WIPEOUT stand at 10 with a pixel's sides in 11 and 12 and their
// number in 13 and 23; underlays at 10, scaled by 41 and 42, turned by 50 degrees, with
// the corners of what shows in 11; an OLE2FRAME has two corners in 10 and 11. Without
// corners the place alone is known.
func (r *reader) readPicture(name, why string) {
	s := &r.shapes.other
	*s = otherShape{origin: r.begin(EntityOther, name), why: why}
	var at, u, v, scale vec3
	var corners []vec3
	pixels, turn := vec3{1, 1, 0}, 0.0
	scale = vec3{1, 1, 1}
	for r.group() {
		switch r.code {
		case 10:
			at.x, s.placed = r.looseFloat(), true
		case 20:
			at.y = r.looseFloat()
		case 30:
			at.z = r.looseFloat()
		case 11:
			if u.x = r.looseFloat(); len(corners) < mostPictureCorners {
				corners = append(corners, u)
			}
		case 21:
			if u.y = r.looseFloat(); len(corners) > 0 {
				corners[len(corners)-1].y = u.y
			}
		case 31:
			u.z = r.looseFloat()
		case 12:
			v.x = r.looseFloat()
		case 22:
			v.y = r.looseFloat()
		case 32:
			v.z = r.looseFloat()
		case 13:
			pixels.x = r.looseFloat()
		case 23:
			pixels.y = r.looseFloat()
		case 41:
			scale.x = r.looseFloat()
		case 42:
			scale.y = r.looseFloat()
		case 50:
			turn = r.looseFloat() * math.Pi / 180
		default:
			r.common(&s.origin)
		}
	}
	points := []vec3{at}
	switch name {
	case "IMAGE", "WIPEOUT":
		u, v = u.mul(pixels.x), v.mul(pixels.y)
		points = append(points, at.add(u), at.add(v), at.add(u).add(v))
	case "OLE2FRAME", "OLEFRAME":
		points = append(points, u)
	default:
		sin, cos := math.Sincos(turn)
		for _, c := range corners {
			x, y := c.x*scale.x, c.y*scale.y
			points = append(points, at.add(vec3{x*cos - y*sin, x*sin + y*cos, 0}))
		}
	}
	placed := s.placed
	for _, p := range points {
		s.points++
		s.take(p)
	}
	s.placed = placed
	r.put(s)
}

// mostPictureCorners bounds the corners kept of the part of an underlay that shows.
const mostPictureCorners = 1000
