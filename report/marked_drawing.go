package report

import (
	"strings"

	"trueup/dxfio"
	"trueup/dxfio/geom"
)

// MarkedDrawing returns the template as it was drawn, on its own layers, plus
// every flag with its number: a ring at each of its places, the measuring line, the
// number, on the layers FLAG-STOP, FLAG-WARN and FLAG-NOTE. d is the drawing in
// local millimetres, shift what takes it back to its own frame.
func MarkedDrawing(d *dxfio.Drawing, shift geom.Point, r *Result, unit dxfio.Unit) *dxfio.Sheet {
	s := newSheet(shift, unit)
	for _, chain := range entityChains(d.Curves) {
		closed := len(chain) > 1 && chain[len(chain)-1].B == chain[0].A
		curves := make([]geom.Curve, len(chain))
		for i, c := range chain {
			curves[i] = c.Curve
		}
		s.out.Polylines = append(s.out.Polylines, dxfio.Polyline{
			Layer: s.layer(d.Layers[chain[0].Layer].Name, 8), Curves: s.chain(curves), Closed: closed})
	}
	for _, t := range d.Texts {
		for i, line := range strings.Split(t.Value, "\n") {
			if strings.TrimSpace(line) == "" {
				continue
			}
			height := t.Height
			if height <= 0 {
				height = textHeight
			}
			at := s.place(t.At.Sub(geom.Point{Y: float64(i) * height * 1.5}))
			s.out.Texts = append(s.out.Texts, dxfio.Label{Layer: s.layer(d.Layers[t.Layer].Name, 8), Value: line, At: at, Height: height * s.scale})
		}
	}
	for _, f := range r.Flags {
		s.flag(f)
	}
	return s.done()
}

// ringRadius is the radius of the ring around a flag's place, mm.
const ringRadius = 30

// flag draws one flag. Its coordinates are in the drawing's own frame already.
func (s *sheet) flag(f Flag) {
	color := map[string]int{"stop": 10, "warn": 30}[f.Severity]
	if color == 0 {
		color = 150
	}
	layer := s.layer("FLAG-"+strings.ToUpper(f.Severity), color)
	at := geom.Point{X: f.At[0], Y: f.At[1]}.Sub(s.shift)
	for _, p := range append([]XY{f.At}, f.Further...) {
		ring := geom.Circle(geom.Point{X: p[0], Y: p[1]}.Sub(s.shift), ringRadius)
		s.out.Polylines = append(s.out.Polylines, dxfio.Polyline{Layer: layer, Curves: s.chain(ring), Closed: true})
	}
	if len(f.Witness) == 2 && f.Witness[0] != f.Witness[1] {
		a := geom.Point{X: f.Witness[0][0], Y: f.Witness[0][1]}.Sub(s.shift)
		b := geom.Point{X: f.Witness[1][0], Y: f.Witness[1][1]}.Sub(s.shift)
		s.out.Polylines = append(s.out.Polylines, dxfio.Polyline{Layer: layer, Curves: s.chain([]geom.Curve{geom.Line(a, b)})})
	}
	number := s.place(at.Add(geom.Point{X: ringRadius * 1.2, Y: ringRadius * 0.4}))
	s.out.Texts = append(s.out.Texts, dxfio.Label{Layer: layer, Value: f.ID + " " + f.Rule, At: number, Height: textHeight * s.scale})
}

// entityChains groups curves of one entity that follow one another.
func entityChains(curves []dxfio.Curve) [][]dxfio.Curve {
	var out [][]dxfio.Curve
	for i := 0; i < len(curves); {
		j := i + 1
		for j < len(curves) && curves[j].Entity == curves[i].Entity && curves[j].Layer == curves[i].Layer && curves[j].A == curves[j-1].B {
			j++
		}
		out = append(out, curves[i:j])
		i = j
	}
	return out
}
