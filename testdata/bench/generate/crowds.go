package main

import (
	"math"
	"math/rand/v2"
)

// Crowds are drawings that nobody draws on purpose: n curves of one layer so near
// each other that comparing each with all others would take their number squared.
// Work on them has to grow like n log n or end in a named limit.
var crowds = map[string]func(d *drawing, r *rand.Rand, n int){
	"collinear lines": func(d *drawing, r *rand.Rand, n int) {
		for range n {
			a, b := 2000*r.Float64(), 2000*r.Float64()
			d.line(crowded, a, 300, b, 300)
		}
	},
	"collinear from one end": func(d *drawing, _ *rand.Rand, n int) {
		for i := range n {
			d.line(crowded, 0, 300, 100+float64(i)/4, 300)
		}
	},
	"collinear stairs": func(d *drawing, _ *rand.Rand, n int) {
		for i := range n {
			d.line(crowded, float64(i)/10, 300, float64(i)/10+100, 300)
		}
	},
	"lines at tiny angles": func(d *drawing, r *rand.Rand, n int) {
		for range n {
			d.line(crowded, 2000*r.Float64(), 300+1e-5*r.Float64(), 2000*r.Float64(), 300+1e-5*r.Float64())
		}
	},
	"lines a hair apart": func(d *drawing, _ *rand.Rand, n int) {
		for i := range n {
			d.line(crowded, float64(i)/100, 300+float64(i)*1e-4, 2000-float64(i)/100, 300+float64(i)*1e-4)
		}
	},
	"lines at crossing angles": func(d *drawing, r *rand.Rand, n int) {
		for range n {
			d.line(crowded, 100*r.Float64(), 300+r.Float64(), 2000+100*r.Float64(), 300+r.Float64())
		}
	},
	"arcs of one circle": func(d *drawing, r *rand.Rand, n int) {
		for range n {
			a := 360 * r.Float64()
			d.arc(crowded, 500, 500, 300, a, a+1+170*r.Float64())
		}
	},
	"arcs from one end": func(d *drawing, _ *rand.Rand, n int) {
		for i := range n {
			d.arc(crowded, 500, 500, 300, 0, 10+160*float64(i)/float64(n))
		}
	},
	"arcs a hair apart": func(d *drawing, r *rand.Rand, n int) {
		for range n {
			a := 360 * r.Float64()
			d.arc(crowded, 500+1e-5*r.Float64(), 500+1e-5*r.Float64(), 300+1e-5*r.Float64(), a, a+1+170*r.Float64())
		}
	},
	"concentric circles a hair apart": func(d *drawing, _ *rand.Rand, n int) {
		for i := range n {
			d.circle(crowded, 500, 500, 300+float64(i)*1e-3)
		}
	},
	"concentric circles": func(d *drawing, _ *rand.Rand, n int) {
		for i := range n {
			d.circle(crowded, 0, 0, 300+2*float64(i))
		}
	},
	"circles moved by a hair": func(d *drawing, _ *rand.Rand, n int) {
		for i := range n {
			d.circle(crowded, 500+float64(i)*1e-3, 500, 300)
		}
	},
	"circles through one point": func(d *drawing, _ *rand.Rand, n int) {
		for i := range n {
			d.circle(crowded, 0, 100+float64(i)/10, 100+float64(i)/10)
		}
	},
	"lines through one point": func(d *drawing, _ *rand.Rand, n int) {
		for i := range n {
			s, c := math.Sincos(math.Pi * float64(i) / float64(n))
			d.line(crowded, -1000*c, -1000*s, 1000*c, 1000*s)
		}
	},
	"spokes": func(d *drawing, _ *rand.Rand, n int) {
		for i := range n {
			s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			d.line(crowded, 0, 0, 1000*c, 1000*s)
		}
	},
	"grid": func(d *drawing, _ *rand.Rand, n int) {
		for i := range n / 2 {
			at := 2000 * float64(i) / float64(n)
			d.line(crowded, at, -10, at, 1010)
			d.line(crowded, -10, at, 1010, at)
		}
	},
	"long random lines": func(d *drawing, r *rand.Rand, n int) {
		for range n {
			d.line(crowded, 2000*r.Float64(), 2000*r.Float64(), 2000*r.Float64(), 2000*r.Float64())
		}
	},
	"hatches in four directions": func(d *drawing, _ *rand.Rand, n int) {
		for i := range n / 4 {
			at := 4000 * float64(i) / float64(n)
			for k, a := range [4]float64{30, 60, 120, 150} {
				s, c := math.Sincos(a * math.Pi / 180)
				x, y := float64(k)*1e4, at/1000
				d.line(crowded, x-1000*c, y-1000*s, x+1000*c, y+1000*s)
			}
		}
	},
	"free ends in one spot": func(d *drawing, r *rand.Rand, n int) {
		for range n {
			s, c := math.Sincos(2 * math.Pi * r.Float64())
			x, y := r.Float64(), r.Float64()
			d.line(crowded, x, y, x+1000*c, y+1000*s)
		}
	},
	"ends within rounding": func(d *drawing, r *rand.Rand, n int) {
		for range n {
			s, c := math.Sincos(2 * math.Pi * r.Float64())
			x, y := 0.003*r.Float64(), 0.003*r.Float64()
			d.line(crowded, x, y, 1000*c, 1000*s)
		}
	},
	"specks in one spot": func(d *drawing, r *rand.Rand, n int) {
		for range n {
			d.line(crowded, r.Float64(), r.Float64(), r.Float64(), r.Float64())
		}
	},
	"squares over each other": func(d *drawing, _ *rand.Rand, n int) {
		for i := range n / 4 {
			at := float64(i) / 10
			d.box(crowded, at, at, 1000+at, 1000+at, 0)
		}
	},
	"squares in squares": func(d *drawing, _ *rand.Rand, n int) {
		for i := range n / 4 {
			at := 3 * float64(i)
			d.box(crowded, -10-at, -10-at, 10+at, 10+at, 0)
		}
	},
	"one square many times": func(d *drawing, _ *rand.Rand, n int) {
		for range n / 4 {
			d.box(crowded, 0, 0, 1000, 600, 0)
		}
	},
	"one circle many times": func(d *drawing, _ *rand.Rand, n int) {
		for range n {
			d.circle(crowded, 0, 0, 400)
		}
	},
	"comb": func(d *drawing, _ *rand.Rand, n int) { // teeth that end on one long line
		d.line(crowded, 0, 0, float64(n), 0)
		for i := range n {
			d.line(crowded, float64(i), 0, float64(i)+0.3, 500)
		}
	},
}

const crowded = "COUNTER"
