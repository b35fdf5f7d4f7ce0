package clearance

import (
	"encoding/binary"
	"math"
	"testing"

	"trueup/dxfio/geom"
)

// FuzzPlate measures loops made of any bytes: crossing, touching, empty, tiny and
// huge. Nothing may stop it, every width is a finite number under the limit, and
// is as long as its line.
func FuzzPlate(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte("0123456789abcdefghijklmnopqrstuvwxyz0123456789abcdefghijklmnopqrstuvwxyz"))
	f.Add(make([]byte, 400))
	square := []int16{0, 0, 0, 1000, 0, 0, 1000, 640, 0, 0, 640, 0, 32767, 200, 45, 0, 200, 500, 0, 700, 500, 16000, 700, 45, 0}
	var b []byte
	for _, v := range square {
		b = binary.LittleEndian.AppendUint16(b, uint16(v))
	}
	f.Add(b)
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 1200 {
			return // 200 corners show all there is
		}
		loops := loopsOf(data)
		p := New(loops)
		byLoops := map[[2]int32][]Minimum{}
		for _, m := range p.Minima(limit) {
			if !(m.Width >= 0 && m.Width < limit) || math.Abs(m.Witness().Length()-m.Width) > 1e-6 {
				t.Errorf("width %v of %v", m.Width, m.Witness())
			}
			k := [2]int32{m.From.Loop, m.To.Loop}
			byLoops[k] = append(byLoops[k], m)
		}
		for k, list := range byLoops {
			for _, s := range p.Strips(list, limit) {
				if !(s.Stretch >= 0 && s.Stretch <= p.round[k[0]]+p.round[k[1]]) || !s.Middle.Finite() {
					t.Errorf("stretch %v about %v", s.Stretch, s.Middle)
				}
			}
		}
	})
}

// loopsOf reads corners of three 16-bit numbers: x, y and the bulge; a y of
// 32767 ends a loop.
func loopsOf(data []byte) []Loop {
	var loops []Loop
	var points []geom.Point
	var bulges []float64
	end := func() {
		var l geom.Loop
		for i, q := range points {
			l = append(l, geom.Curve{A: q, B: points[(i+1)%len(points)], Bulge: bulges[i]})
		}
		if len(l) > 0 {
			loops = append(loops, Loop{Curves: l})
		}
		points, bulges = nil, nil
	}
	for len(data) >= 6 {
		x, y, b := int16(binary.LittleEndian.Uint16(data)), int16(binary.LittleEndian.Uint16(data[2:])), int16(binary.LittleEndian.Uint16(data[4:]))
		data = data[6:]
		if y == math.MaxInt16 {
			end()
			continue
		}
		points, bulges = append(points, geom.Point{X: float64(x) / 8, Y: float64(y) / 8}), append(bulges, float64(b)/math.MaxInt16)
	}
	end()
	return loops
}
