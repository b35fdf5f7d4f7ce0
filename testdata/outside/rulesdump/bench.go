package main

import (
	"math"
	"math/rand/v2"
	"time"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/rules"
	"trueup/rules/shop"
)

// timed is a dense plate with the time that the whole rule takes on it.
type timed struct {
	Rings   []ring  `json:"rings"`
	Seconds float64 `json:"seconds"` // the fastest of several runs
	Flags   int     `json:"flags"`
}

// bench makes a top of about 3000 x 650 with three rounded openings whose wavy
// boundary has n corners in all, and times narrow-section on it: preparing the
// boundary, the minima, and the strips under both limits with their lengths.
func bench(n int, noise float64) timed {
	rng := rand.New(rand.NewPCG(1, 1))
	noise *= 7000 / float64(n)
	around := func(cx, cy, a, b, power float64, count int, sense float64) geom.Loop {
		corners := make([]geom.Point, count)
		for i := range corners {
			t := 2 * math.Pi * float64(i) / float64(count)
			s, c := math.Sincos(sense * t)
			wave := 1 + 0.01*math.Sin(7*t)
			corners[i] = geom.Point{
				X: cx + a*wave*math.Copysign(math.Pow(math.Abs(c), power), c) + noise*rng.NormFloat64(),
				Y: cy + b*wave*math.Copysign(math.Pow(math.Abs(s), power), s) + noise*rng.NormFloat64(),
			}
		}
		return geom.Polygon(corners...)
	}
	p := piece.Piece{ID: "A", Kind: piece.Counter, Thickness: 30, Outline: around(0, 0, 1500, 325, 0.25, n/2, 1)}
	for i, l := range []geom.Loop{
		around(-850, 20, 380, 240, 0.3, n/6, -1), around(0, -10, 300, 250, 0.5, n/6, -1), around(850, 0, 390, 270, 0.25, n/6, -1),
	} {
		p.Cutouts = append(p.Cutouts, piece.Cutout{ID: string(rune('1' + i)), Kind: piece.Other, Loop: l})
	}
	out := timed{Seconds: math.Inf(1)}
	out.Rings = append(out.Rings, ring{"", "outline", points(p.Outline)})
	for _, c := range p.Cutouts {
		out.Rings = append(out.Rings, ring{c.ID, "cutout", points(c.Loop)})
	}
	s, m := rules.Default(), shop.Default()
	for _, r := range rules.Catalogue() {
		if r.ID != "narrow-section" {
			s.Off = append(s.Off, r.ID)
		}
	}
	t := &piece.Template{Pieces: []piece.Piece{p}}
	for range 5 {
		start := time.Now()
		report := rules.Run(&rules.Input{Template: t, Settings: &s, Shop: &m})
		out.Seconds = math.Min(out.Seconds, time.Since(start).Seconds())
		out.Flags = len(report.Flags)
	}
	return out
}
