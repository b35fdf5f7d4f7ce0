package pipeline

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"trueup/dxfio/geom"
	"trueup/pipeline/settings"
	"trueup/report"
	"trueup/rules"
)

// A scene is a template as it is drawn, in mm, to be written as DXF in many ways.
type scene struct{ entities []sceneEntity }

type sceneEntity struct {
	layer  string
	curves []geom.Curve // a polyline
	closed bool
	text   string // of a text, or over a dimension
	at     geom.Point
	// from, to and along of a dimension; along is zero for an aligned one.
	dimension       bool
	from, to, along geom.Point
	shown           float64
	groups          string // further groups: "71 2 50 10"
}

func pt(x, y float64) geom.Point { return geom.Point{X: x, Y: y} }

// area draws a closed polygon: x, y, x, y ...
func (s *scene) area(layer string, xy ...float64) *scene {
	var points []geom.Point
	for i := 0; i+1 < len(xy); i += 2 {
		points = append(points, pt(xy[i], xy[i+1]))
	}
	s.entities = append(s.entities, sceneEntity{layer: layer, curves: geom.Polygon(points...), closed: true})
	return s
}

// box draws a rectangle.
func (s *scene) box(layer string, x1, y1, x2, y2 float64) *scene {
	return s.area(layer, x1, y1, x2, y1, x2, y2, x1, y2)
}

// rounded draws a rectangle with rounded corners.
func (s *scene) rounded(layer string, x1, y1, x2, y2, r float64) *scene {
	b := math.Tan(math.Pi / 8)
	p := []geom.Point{pt(x1+r, y1), pt(x2-r, y1), pt(x2, y1+r), pt(x2, y2-r), pt(x2-r, y2), pt(x1+r, y2), pt(x1, y2-r), pt(x1, y1+r)}
	var l []geom.Curve
	for i := range p {
		c := geom.Curve{A: p[i], B: p[(i+1)%len(p)]}
		if i%2 == 1 {
			c.Bulge = b
		}
		l = append(l, c)
	}
	s.entities = append(s.entities, sceneEntity{layer: layer, curves: l, closed: true})
	return s
}

// line draws an open polyline: x, y, x, y ...
func (s *scene) line(layer string, xy ...float64) *scene {
	var l []geom.Curve
	for i := 0; i+3 < len(xy); i += 2 {
		l = append(l, geom.Line(pt(xy[i], xy[i+1]), pt(xy[i+2], xy[i+3])))
	}
	s.entities = append(s.entities, sceneEntity{layer: layer, curves: l})
	return s
}

func (s *scene) hole(layer string, x, y, d float64) *scene {
	s.entities = append(s.entities, sceneEntity{layer: layer, curves: geom.Circle(pt(x, y), d/2), closed: true})
	return s
}

func (s *scene) text(layer string, x, y float64, text string, groups ...string) *scene {
	s.entities = append(s.entities, sceneEntity{layer: layer, text: text, at: pt(x, y), groups: strings.Join(groups, " ")})
	return s
}

// dim draws an aligned dimension.
func (s *scene) dim(x1, y1, x2, y2 float64, text string) *scene {
	s.entities = append(s.entities, sceneEntity{layer: "DIM", dimension: true, from: pt(x1, y1), to: pt(x2, y2), text: text})
	return s
}

// linear draws a dimension that measures along a direction.
func (s *scene) linear(x1, y1, x2, y2, ux, uy float64, text string, shown float64) *scene {
	s.entities = append(s.entities, sceneEntity{layer: "DIM", dimension: true, from: pt(x1, y1), to: pt(x2, y2), along: pt(ux, uy), text: text, shown: shown})
	return s
}

// drawn is a way to draw a scene.
type drawn struct {
	name   string
	turn   float64 // degrees
	mirror bool
	shift  geom.Point
	inches bool
	seed   uint64 // 0 keeps the order of the entities
}

// drawnWays are the ways in which every scene has to give the same flags.
func drawnWays() []drawn {
	return []drawn{
		{name: "as it is"}, {name: "turned", turn: 23.7}, {name: "turned over", turn: 180}, {name: "quarter", turn: 90}, {name: "mirrored", mirror: true},
		{name: "moved", shift: pt(81234.5, -4321)}, {name: "in inches", inches: true}, {name: "in another order", seed: 7},
		{name: "all of it", turn: -61, mirror: true, shift: pt(-5000, 777), inches: true, seed: 11},
	}
}

func (w drawn) point(p geom.Point) geom.Point {
	p = w.vector(p).Add(w.shift)
	if w.inches {
		return p.Mul(1 / 25.4)
	}
	return p
}

func (w drawn) vector(p geom.Point) geom.Point {
	if w.mirror {
		p.X = -p.X
	}
	return p.Rotate(w.turn * math.Pi / 180)
}

// dxf writes the scene. The texts of dimensions are of the mm drawing: write their unit.
func (s *scene) dxf(w drawn) []byte {
	var b bytes.Buffer
	pair := func(code int, value any) {
		if f, ok := value.(float64); ok {
			value = strconv.FormatFloat(f, 'f', 9, 64)
		}
		fmt.Fprintf(&b, "%d\n%v\n", code, value)
	}
	xy := func(code int, p geom.Point) { pair(code, p.X); pair(code+10, p.Y) }
	unit := 4
	if w.inches {
		unit = 1
	}
	fmt.Fprintf(&b, "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n9\n$INSUNITS\n70\n%d\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n", unit)
	entities := slices.Clone(s.entities)
	if w.seed > 0 {
		rand.New(rand.NewPCG(w.seed, 1)).Shuffle(len(entities), func(i, k int) { entities[i], entities[k] = entities[k], entities[i] })
	}
	for _, e := range entities {
		switch {
		case e.dimension:
			pair(0, "DIMENSION")
			pair(8, e.layer)
			pair(1, e.text)
			if e.along == (geom.Point{}) {
				pair(70, 33)
			} else {
				u := w.vector(e.along)
				pair(70, 32)
				pair(50, math.Atan2(u.Y, u.X)*180/math.Pi)
			}
			xy(13, w.point(e.from))
			xy(14, w.point(e.to))
			if e.shown > 0 {
				pair(42, w.point(pt(e.shown, 0)).Distance(w.point(pt(0, 0))))
			}
		case e.curves == nil:
			pair(0, "TEXT")
			pair(8, e.layer)
			xy(10, w.point(e.at))
			pair(40, 30.0)
			pair(1, e.text)
			for i, f := 0, strings.Fields(e.groups); i+1 < len(f); i += 2 {
				fmt.Fprintf(&b, "%s\n%s\n", f[i], f[i+1])
			}
		default:
			pair(0, "LWPOLYLINE")
			pair(8, e.layer)
			n, closed := len(e.curves)+1, 0
			if e.closed {
				n, closed = n-1, 1
			}
			pair(90, n)
			pair(70, closed)
			for _, c := range e.curves {
				xy(10, w.point(c.A))
				bulge := c.Bulge
				if w.mirror {
					bulge = -bulge
				}
				pair(42, bulge)
			}
			if !e.closed {
				xy(10, w.point(e.curves[len(e.curves)-1].B))
			}
		}
	}
	b.WriteString("0\nENDSEC\n0\nEOF\n")
	return b.Bytes()
}

// flagsOf checks the scene as it is.
func (s *scene) flagsOf(t *testing.T, w drawn, change func(*settings.Settings)) *report.Result {
	t.Helper()
	set := settings.Default()
	if change != nil {
		change(&set)
	}
	return Process(context.Background(), Input{File: "scene.dxf", Drawing: bytes.NewReader(s.dxf(w))}, &set).Result
}

// of returns the flags of one rule.
func of(r *report.Result, rule string) []report.Flag {
	return slices.DeleteFunc(slices.Clone(r.Flags), func(f report.Flag) bool { return f.Rule != rule })
}

// sceneWant is a flag of one rule that a scene has, at most 1e-3 off.
type sceneWant struct {
	severity rules.Severity
	measured float64
	at       geom.Point
}

// sceneCase is a scene and what one rule says of it.
type sceneCase struct {
	name   string
	scene  *scene
	change func(*settings.Settings)
	want   []sceneWant
	says   []string // in message or remedy of the scene as it is
	source string   // where the expected figures come from
}

// runScenes checks what a rule says of scenes, each drawn in every way: the same
// severities, measures and places.
func runScenes(t *testing.T, rule string, cases []sceneCase, ways ...drawn) {
	t.Helper()
	if len(ways) == 0 {
		ways = drawnWays()
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if c.source == "" {
				t.Error("no source for the expected figures")
			}
			for i, w := range ways {
				r := c.scene.flagsOf(t, w, c.change)
				if len(r.Pieces) == 0 {
					t.Fatalf("%s: no piece: %s", w.name, r.Error)
				}
				got := of(r, rule)
				if len(got) != len(c.want) {
					t.Errorf("%s: %d flags, want %d: %s", w.name, len(got), len(c.want), told(got))
					continue
				}
				for _, x := range c.want {
					if !slices.ContainsFunc(got, func(f report.Flag) bool { return x.fits(f, w) }) {
						t.Errorf("%s: no %s of %v at %v: %s", w.name, x.severity, x.measured, x.at, told(got))
					}
				}
				if i > 0 {
					continue
				}
				said := told(got)
				for _, s := range c.says {
					if !strings.Contains(said, s) {
						t.Errorf("not said: %q in %s", s, said)
					}
				}
			}
		})
	}
}

func (x sceneWant) fits(f report.Flag, w drawn) bool {
	at := w.point(x.at)
	if w.inches {
		at = at.Mul(25.4)
	}
	return f.Severity == string(x.severity) && math.Abs(f.Measured-x.measured) < 1e-3 && at.Distance(pt(f.At[0], f.At[1])) < 1e-3
}

func told(flags []report.Flag) string {
	var b strings.Builder
	for _, f := range flags {
		fmt.Fprintf(&b, "\n  %s %s %s %.4f at %v: %s %s", f.Severity, f.Rule, f.Piece, f.Measured, f.At, f.Message, f.Remedy)
	}
	return b.String()
}

// bowed draws a top of 2400 x 640 mm whose front bows out by 100 mm.
func (s *scene) bowed() *scene {
	front := geom.Curve{B: pt(2400, 0), Bulge: 100.0 / 1200}
	s.entities = append(s.entities, sceneEntity{layer: "COUNTER", closed: true,
		curves: []geom.Curve{front, geom.Line(pt(2400, 0), pt(2400, 640)), geom.Line(pt(2400, 640), pt(0, 640)), geom.Line(pt(0, 640), pt(0, 0))}})
	return s
}

// bow draws an arc from 0,0 to 2400,0 through the depth in its middle.
func (s *scene) bow(layer string, depth float64) *scene {
	s.entities = append(s.entities, sceneEntity{layer: layer, curves: []geom.Curve{{B: pt(2400, 0), Bulge: -depth / 1200}}})
	return s
}
