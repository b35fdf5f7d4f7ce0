package report

import (
	"fmt"
	"strconv"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/report/draw"
)

// legendEntry is one sample of the key below a drawing.
type legendEntry uint8

const (
	finishedEntry legendEntry = iota
	wallEntry
	seamEntry
	plainEntry
	gravityEntry
	supportEntry
	openingEntry
	stopEntry
	warnEntry
	noteEntry
)

// legend draws, along the bottom, the scale bar, the key of lines and marks, and
// what was left out.
func (p *picture) legend(ratio float64, notes []string, entries []legendEntry) {
	y := p.canvas.Height - legendHeight
	p.canvas.Line(geom.Point{X: 0, Y: y}, geom.Point{X: p.canvas.Width, Y: y}, p.thin())
	text := draw.Text{Size: 2.3, Color: p.inks.ink, Anchor: draw.Left}
	x := 2.0
	for _, e := range entries {
		name := p.sample(e, geom.Point{X: x, Y: y + 4})
		text.Value, text.At = name, geom.Point{X: x + 10, Y: y + 4}
		p.canvas.Text(text)
		x += 13 + p.fonts.Width(name, false)*text.Size
	}
	x = p.scaleBar(geom.Point{X: 3, Y: y + 11}, ratio) + 5
	unit := map[string]string{UnitsMM: "lengths in mm", UnitsInch: "lengths in inches", UnitsBoth: "lengths in mm [inches]"}[p.settings.Units]
	line := fmt.Sprintf("Scale 1 : %s at full size, %s", strconv.FormatFloat(ratio, 'f', -1, 64), unit)
	for _, n := range notes {
		line += "; " + n
	}
	text.Value, text.At = p.fonts.Cut(line, false, (p.canvas.Width-x-3)/text.Size), geom.Point{X: x, Y: y + 11}
	p.canvas.Text(text)
}

// scaleBar draws a bar of a round length about 30 mm long and returns where its
// text ends.
func (p *picture) scaleBar(at geom.Point, ratio float64) float64 {
	const wanted = 26.0
	unit, lengths, name := 1.0, []float64{10, 20, 50, 100, 200, 250, 500, 1000, 2000, 2500, 5000, 10000, 20000, 50000, 100000}, " mm"
	if !p.settings.metric() {
		unit, lengths, name = inch, []float64{1, 2, 4, 6, 12, 24, 36, 48, 60, 72, 96, 120, 240, 480, 1200, 2400}, `"`
	}
	best := lengths[0]
	for _, l := range lengths {
		if l*unit/ratio <= wanted {
			best = l
		}
	}
	long := best * unit / ratio
	for i := range 4 {
		a, b := at.X+long*float64(i)/4, at.X+long*float64(i+1)/4
		box := geom.Box{Min: geom.Point{X: a, Y: at.Y - 0.8}, Max: geom.Point{X: b, Y: at.Y + 0.8}}
		if i%2 == 0 {
			p.canvas.Area([]geom.Loop{draw.Rectangle(box)}, draw.Fill{Color: p.inks.ink})
		}
		p.canvas.Curves(draw.Rectangle(box), draw.Pen{Color: p.inks.ink, Width: 0.15})
	}
	text := draw.Text{Size: 2.3, Color: p.inks.ink, Value: "0", At: geom.Point{X: at.X, Y: at.Y - 2.6}}
	p.canvas.Text(text)
	text.Value, text.At.X = strconv.FormatFloat(best, 'f', -1, 64)+name, at.X+long
	p.canvas.Text(text)
	return at.X + long + p.fonts.Width(text.Value, false)*text.Size/2
}

// sample draws what an entry of the key stands for in 9 mm from a point and
// returns its name.
func (p *picture) sample(e legendEntry, at geom.Point) string {
	end := geom.Point{X: at.X + 9, Y: at.Y}
	mid := geom.Point{X: at.X + 6, Y: at.Y}
	box := geom.Box{Min: geom.Point{X: at.X + 1, Y: at.Y - 1.6}, Max: geom.Point{X: end.X, Y: at.Y + 1.6}}
	line := []geom.Curve{geom.Line(end, at)} // ticks stand on its upper side
	switch e {
	case finishedEntry:
		p.edgeLine(line, piece.Finished)
		return "F finished edge"
	case wallEntry:
		p.edgeLine(line, piece.Wall)
		return "W at a wall"
	case seamEntry:
		p.edgeLine(line, piece.SeamEdge)
		return "S seam"
	case plainEntry:
		p.edgeLine(line, piece.Unmarked)
		return "no mark"
	case gravityEntry:
		p.gravityMark(mid)
		return "centre of gravity"
	case supportEntry:
		p.supportArea([]geom.Loop{draw.Rectangle(box)})
		return "support"
	case openingEntry:
		p.openingArea(draw.Rectangle(box))
		return "opening, no support"
	case stopEntry:
		p.mark("stop", "", mid)
		return "stop"
	case warnEntry:
		p.mark("warn", "", mid)
		return "warning"
	default:
		p.mark("note", "", mid)
		return "note"
	}
}
