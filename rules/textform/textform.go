// Package textform reads templates written as one line of text, the way the
// tests of the rules and their outside checks tell shapes:
//
//	outline 0,0 2400,0 2400,640 0,640; hole 1200,60 d35; sink 800,100 1400,500 r10
//
// Statements are separated by semicolons:
//
//	outline POINTS [rR]    a piece; named A, B, C ... as they come
//	splash POINTS [rR]     a splash piece
//	sink|cooktop|cutout POINTS [rR]  a cutout of the last piece; two points are
//	                       opposite corners of a rectangle
//	hole X,Y dD            a round hole
//	round X,Y dD           a round cutout, not a drilled hole
//	apron POINTS [rR]      a sink over the edge: the outline must have its notch already
//	seam N                 marks edge N of the last piece (as numbered by the outline's
//	                       points, from 1) as a seam; wall N, finished N likewise
//
// A point is x,y or x,y^bulge: the bulge of the side to the next point. rR rounds
// every corner with the radius R. Millimetres. Outlines become counter-clockwise,
// cutouts clockwise.
package textform

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// Parse returns the template, or what is wrong with the text.
func Parse(text string) (*piece.Template, error) {
	t := &piece.Template{Units: piece.Units{Drawing: dxfio.UnitMillimetre, From: "header"}}
	for _, statement := range strings.Split(text, ";") {
		words := strings.Fields(statement)
		if len(words) == 0 {
			continue
		}
		if err := add(t, words[0], words[1:]); err != nil {
			return nil, fmt.Errorf("%q: %w", strings.TrimSpace(statement), err)
		}
	}
	return t, nil
}

func add(t *piece.Template, kind string, words []string) error {
	switch kind {
	case "outline", "splash":
		l, err := loop(words)
		if err != nil {
			return err
		}
		p := piece.Piece{ID: string(rune('A' + len(t.Pieces))), Kind: piece.Counter, Outline: turned(l, 1), Material: "granite", Thickness: 30}
		if kind == "splash" {
			p.Kind = piece.Splash
		}
		for i, c := range p.Outline {
			p.Edges = append(p.Edges, piece.Edge{N: i + 1, Kind: piece.LineEdge, Curves: []geom.Curve{c}, CornerDeg: p.Outline.Corner(i), Finish: piece.Unmarked})
		}
		t.Pieces = append(t.Pieces, p)
		return nil
	}
	if len(t.Pieces) == 0 {
		return fmt.Errorf("%s before any outline", kind)
	}
	p := &t.Pieces[len(t.Pieces)-1]
	switch kind {
	case "seam", "wall", "finished":
		n, err := strconv.Atoi(strings.Join(words, ""))
		if err != nil || n < 1 || n > len(p.Edges) {
			return fmt.Errorf("no edge %v", words)
		}
		p.Edges[n-1].Finish = piece.Finish(kind)
		return nil
	}
	return addCutout(p, kind, words)
}

func addCutout(p *piece.Piece, kind string, words []string) error {
	c := piece.Cutout{ID: fmt.Sprintf("%s-%d", p.ID, len(p.Cutouts)+1)}
	switch kind {
	case "sink", "apron":
		c.Kind, c.OverEdge = piece.Sink, kind == "apron"
	case "cooktop":
		c.Kind = piece.Cooktop
	case "cutout":
		c.Kind = piece.Other
	case "hole", "round":
		c.Kind = piece.Other
		if kind == "hole" {
			c.Kind = piece.Hole
		}
		if len(words) != 2 || !strings.HasPrefix(words[1], "d") {
			return fmt.Errorf("want X,Y dD")
		}
		at, _, err := point(words[0])
		if err != nil {
			return err
		}
		if c.Diameter, err = strconv.ParseFloat(words[1][1:], 64); err != nil {
			return err
		}
		c.Loop = turned(geom.Circle(at, c.Diameter/2), -1)
		p.Cutouts = append(p.Cutouts, c)
		return nil
	default:
		return fmt.Errorf("unknown statement")
	}
	l, err := loop(words)
	if err != nil {
		return err
	}
	c.Loop = turned(l, -1)
	p.Cutouts = append(p.Cutouts, c)
	return nil
}

// turned returns the loop counter-clockwise (1) or clockwise (-1).
func turned(l geom.Loop, sense float64) geom.Loop {
	if l.Area()*sense < 0 {
		return l.Reverse()
	}
	return l
}

func loop(words []string) (geom.Loop, error) {
	radius := 0.0
	if n := len(words) - 1; n >= 0 && strings.HasPrefix(words[n], "r") {
		r, err := strconv.ParseFloat(words[n][1:], 64)
		if err != nil {
			return nil, err
		}
		radius, words = r, words[:n]
	}
	var points []geom.Point
	var bulges []float64
	for _, w := range words {
		q, b, err := point(w)
		if err != nil {
			return nil, err
		}
		points, bulges = append(points, q), append(bulges, b)
	}
	if len(points) == 2 && bulges[0] == 0 {
		a, b := points[0], points[1]
		points = []geom.Point{a, {X: b.X, Y: a.Y}, b, {X: a.X, Y: b.Y}}
		bulges = make([]float64, 4)
	}
	if len(points) < 2 {
		return nil, fmt.Errorf("too few points")
	}
	var l geom.Loop
	for i, p := range points {
		l = append(l, geom.Curve{A: p, B: points[(i+1)%len(points)], Bulge: bulges[i]})
	}
	if radius > 0 {
		return Rounded(l, radius), nil
	}
	return l, nil
}

func point(w string) (geom.Point, float64, error) {
	w, b, bowed := strings.Cut(w, "^")
	xs, ys, ok := strings.Cut(w, ",")
	if !ok {
		return geom.Point{}, 0, fmt.Errorf("%q is no point", w)
	}
	x, errX := strconv.ParseFloat(xs, 64)
	y, errY := strconv.ParseFloat(ys, 64)
	bulge := 0.0
	var errB error
	if bowed {
		bulge, errB = strconv.ParseFloat(b, 64)
	}
	for _, err := range [3]error{errX, errY, errB} {
		if err != nil {
			return geom.Point{}, 0, err
		}
	}
	return geom.Point{X: x, Y: y}, bulge, nil
}

// Rounded returns the loop with every corner between two lines rounded with the
// radius; corners too short for it stay as they are.
func Rounded(l geom.Loop, radius float64) geom.Loop {
	n := len(l)
	cut := make([]float64, n) // length taken from both lines at the start of curve i
	for i := range l {
		in, out := l[(i+n-1)%n], l[i]
		u, v := in.Tangent(1), out.Tangent(0)
		turn := math.Atan2(u.Cross(v), u.Dot(v))
		c := radius * math.Abs(math.Tan(turn/2))
		if in.IsLine() && out.IsLine() && c < in.Chord()/2 && c < out.Chord()/2 {
			cut[i] = c
		}
	}
	var r geom.Loop
	for i, c := range l {
		u := c.Tangent(0)
		a, b := c.A, c.B
		if c.IsLine() {
			a, b = a.Add(u.Mul(cut[i])), b.Sub(u.Mul(cut[(i+1)%n]))
		}
		if cut[i] > 0 {
			in := l[(i+n-1)%n].Tangent(1)
			turn := math.Atan2(in.Cross(u), in.Dot(u))
			r = append(r, geom.Curve{A: c.A.Sub(in.Mul(cut[i])), B: a, Bulge: math.Tan(turn / 4)})
		}
		r = append(r, geom.Curve{A: a, B: b, Bulge: c.Bulge})
	}
	return r
}
