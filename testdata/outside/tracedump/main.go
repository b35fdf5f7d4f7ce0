// Command tracedump closes the drawings it reads from standard input, one JSON
// object a line, and prints what came out, one JSON object a line. It lets
// another geometry library look at the same input: see trace_check.py and
// trace_bench.py beside it.
package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"os"
	"runtime"
	"syscall"
	"time"

	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// drawing is one line of input: curves as x0, y0, x1, y1, bulge, kind (0 for a
// boundary, 1 for a divider), entity; points to locate in the first face; and
// how often to repeat the closing for a timing. Bare switches repairs off.
type drawing struct {
	Curves [][7]float64 `json:"curves"`
	Points [][2]float64 `json:"points"`
	Repeat int          `json:"repeat"`
	Bare   bool         `json:"bare"`
	// Other is a second outline, for the common area and the distance.
	Other [][5]float64 `json:"other"`
}

type face struct {
	Area     float64    `json:"area"`
	Length   float64    `json:"length"`
	Centroid [2]float64 `json:"centroid"`
	Depth    int        `json:"depth"`
	Holes    int        `json:"holes"`
}

type answer struct {
	Faces     []face    `json:"faces"`
	Located   []int     `json:"located"`
	Distances []float64 `json:"distances"` // of the points from the first face's outline
	Crossings int       `json:"crossings"`
	Open      int       `json:"open"`
	Common    float64   `json:"common"`
	Gap       float64   `json:"gap"`
	Seconds   float64   `json:"seconds"`
}

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, "tracedump:", err)
		os.Exit(1)
	}
}

func run() error {
	in := json.NewDecoder(bufio.NewReaderSize(os.Stdin, 1<<20))
	out := bufio.NewWriter(os.Stdout)
	enc := json.NewEncoder(out)
	for in.More() {
		var d drawing
		if err := in.Decode(&d); err != nil {
			return fmt.Errorf("drawing: %w", err)
		}
		if err := enc.Encode(closeDrawing(d)); err != nil {
			return err
		}
	}
	return out.Flush()
}

func closeDrawing(d drawing) answer {
	curves := make([]trace.Curve, len(d.Curves))
	for i, c := range d.Curves {
		curves[i] = trace.Curve{
			Curve: geom.Curve{A: geom.Point{X: c[0], Y: c[1]}, B: geom.Point{X: c[2], Y: c[3]}, Bulge: c[4]},
			ID:    int32(i), Kind: trace.Kind(c[5]), Entity: int32(c[6]),
		}
	}
	s := trace.Default()
	if d.Bare {
		s = trace.Settings{}
	}
	var r trace.Result
	var a answer
	for i := range max(1, d.Repeat) {
		runtime.GC() // leftovers of the last round are not this round's work
		start := processorTime()
		var err error
		if r, err = trace.Close(nil, curves, s); err != nil {
			panic(err) // without a guard there is none
		}
		if t := (processorTime() - start).Seconds(); i == 0 || t < a.Seconds {
			a.Seconds = t
		}
	}
	a.Crossings, a.Open = len(r.Crossings), len(r.Open)
	for _, f := range r.Faces {
		g := geom.Region{Outer: f.Outer.Geom()}
		length := g.Outer.Length()
		for _, h := range f.Holes {
			g.Holes = append(g.Holes, h.Geom())
			length += h.Geom().Length()
		}
		c := g.Centroid()
		a.Faces = append(a.Faces, face{g.Area(), length, [2]float64{c.X, c.Y}, f.Depth, len(f.Holes)})
	}
	if len(r.Faces) > 0 {
		a.measure(r.Faces[0].Outer.Geom(), d)
	}
	return a
}

// processorTime returns the time this process has spent on all processors, so
// that a busy machine does not spoil the comparison.
func processorTime() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// measure locates the points against the outline and sets it against the other.
func (a *answer) measure(outline geom.Loop, d drawing) {
	x := geom.NewIndex(outline)
	for _, p := range d.Points {
		at := geom.Point{X: p[0], Y: p[1]}
		a.Located = append(a.Located, int(outline.Locate(at)))
		_, q, _ := x.Nearest(at)
		a.Distances = append(a.Distances, at.Distance(q))
	}
	var other geom.Loop
	for _, c := range d.Other {
		other = append(other, geom.Curve{A: geom.Point{X: c[0], Y: c[1]}, B: geom.Point{X: c[2], Y: c[3]}, Bulge: c[4]})
	}
	if len(other) == 0 {
		return
	}
	common, err := trace.Intersection(nil, outline, other)
	if err != nil {
		panic(err)
	}
	for _, r := range common {
		a.Common += r.Area()
	}
	best := geom.Nearest(outline[0], other[0])
	for _, c := range outline {
		for _, e := range other {
			if w := geom.Nearest(c, e); w.Length() < best.Length() {
				best = w
			}
		}
	}
	a.Gap = best.Length()
	if a.Common > 0 {
		a.Gap = 0
	}
}
