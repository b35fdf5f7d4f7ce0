// Command rulesdump writes random tops with what the rules say of them, one JSON
// document a line, for rules_check.py to measure again with another library.
//
// With -densify it writes instead one plate whose boundary has about n corners,
// and the time that preparing and measuring it takes, for clearance_bench.py.
package main

import (
	"bufio"
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"

	"trueup/dxfio/geom"
	"trueup/rules"
	"trueup/rules/shop"
	"trueup/rules/textform"
)

// sagitta is the greatest distance in mm of a chord written from its arc.
const sagitta = 0.0005

type ring struct {
	ID     string       `json:"id"` // empty for the outline
	Kind   string       `json:"kind"`
	Points [][2]float64 `json:"points"`
}

type flagged struct {
	Rule     string        `json:"rule"`
	Severity string        `json:"severity"`
	Other    string        `json:"other"`
	Measured float64       `json:"measured"`
	Limit    float64       `json:"limit"`
	Witness  [2][2]float64 `json:"witness"`
}

type plate struct {
	Seed     uint64    `json:"seed"`
	Straight bool      `json:"straight"` // no arcs: the points are the corners themselves
	Sagitta  float64   `json:"sagitta"`
	Rings    []ring    `json:"rings"`
	Flags    []flagged `json:"flags"`
}

func main() {
	n := flag.Int("n", 1000, "number of plates")
	seed := flag.Uint64("seed", 1, "first seed")
	dense := flag.Int("densify", 0, "write one plate of about this many corners, and timings, instead")
	noise := flag.Float64("noise", 0, "with -densify: noise of the corners as a share of their distance")
	flag.Parse()
	out := bufio.NewWriter(os.Stdout)
	defer out.Flush()
	write := func(v any) {
		b, err := json.Marshal(v)
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		out.Write(append(b, '\n'))
	}
	if *dense > 0 {
		write(bench(*dense, *noise))
		return
	}
	for k := range uint64(*n) {
		if p, ok := checked(*seed + k); ok {
			write(p)
		}
	}
}

// checked makes the plate of a seed and runs the rules on it; ok is false when
// the random outline crosses itself.
func checked(seed uint64) (plate, bool) {
	t := textform.Random(rand.New(rand.NewPCG(seed, 99)))
	p := &t.Pieces[0]
	if !textform.Simple(p.Outline) {
		return plate{}, false
	}
	out := plate{Seed: seed, Straight: true, Sagitta: sagitta, Flags: []flagged{}}
	add := func(id, kind string, l geom.Loop) {
		out.Rings = append(out.Rings, ring{id, kind, points(l)})
		for _, c := range l {
			out.Straight = out.Straight && c.IsLine()
		}
	}
	add("", "outline", p.Outline)
	for _, c := range p.Cutouts {
		add(c.ID, string(c.Kind), c.Loop)
	}
	s, m := rules.Default(), shop.Default()
	for _, f := range rules.Run(&rules.Input{Template: t, Settings: &s, Shop: &m, Setups: map[string]*shop.Setup{}}).Flags {
		if f.Rule != "narrow-section" && f.Rule != "hole-spacing" {
			continue
		}
		w := f.Witness
		out.Flags = append(out.Flags, flagged{f.Rule, string(f.Severity), f.Other, f.Measured, f.Limit,
			[2][2]float64{{w.From.X, w.From.Y}, {w.To.X, w.To.Y}}})
	}
	return out, true
}

// points returns the corners of a loop, arcs as chords.
func points(l geom.Loop) [][2]float64 {
	var out [][2]float64
	for _, c := range l {
		n := 1
		if !c.IsLine() {
			n = max(1, int(math.Ceil(math.Abs(c.Sweep())/(2*math.Acos(1-math.Min(1, sagitta/c.Radius()))))))
		}
		for i := range n {
			q := c.At(float64(i) / float64(n))
			out = append(out, [2]float64{q.X, q.Y})
		}
	}
	return out
}
