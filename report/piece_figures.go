package report

import (
	"fmt"
	"strings"
)

// figure is one line of the column of figures beside a piece's drawing.
type figure struct {
	name  string
	value float64
	kind  figureKind
	unit  string // of a quantity
}

type figureKind uint8

const (
	headFigure figureKind = iota
	lengthFigure
	quantityFigure // of the unit that stands with it, across both columns of lengths
	noteFigure
)

// figures collects the set-up figures of a piece in the order the shop needs
// them: saw and router, polisher, cutouts, seams.
type figures struct {
	book  *book
	lines []figure
}

func (f *figures) head(name string) {
	f.lines = append(f.lines, figure{name: name, kind: headFigure})
}
func (f *figures) length(name string, mm float64) {
	f.lines = append(f.lines, figure{name: name, value: mm, kind: lengthFigure})
}
func (f *figures) count(name string, n int) {
	unit := "holes"
	if n == 1 {
		unit = "hole"
	}
	f.lines = append(f.lines, figure{name, float64(n), quantityFigure, unit})
}
func (f *figures) minutes(name string, v float64) {
	f.lines = append(f.lines, figure{name, v, quantityFigure, "min"})
}

// nameEms is the width of the column of names in ems at the larger size.
const nameEms = 14.4

// noteEms is the width of a line of a note in ems.
const noteEms = 24

func (f *figures) note(text string) {
	rest := strings.Fields(lineText(text))
	for len(rest) > 0 { // a line a row, so that the rows keep one height
		n := 1
		for n < len(rest) && f.book.fonts.Width(strings.Join(rest[:n+1], " "), false) < noteEms {
			n++
		}
		f.lines = append(f.lines, figure{name: strings.Join(rest[:n], " "), kind: noteFigure})
		rest = rest[n:]
	}
}

func (f *figures) all(i int, r *Piece) {
	f.head("Saw and router")
	f.length("saw cuts", r.Setup.Saw)
	if tilted := r.Setup.tilted(); len(tilted) > 0 {
		edges := "edge "
		if len(tilted) > 1 {
			edges = "edges "
		}
		f.note("blade tilted at " + edges + joinInts(tilted))
	}
	f.length("left for the router", r.Setup.Router)
	if parts := r.Setup.routerParts(); len(parts) > 1 {
		for _, p := range parts {
			f.length("    "+p.name, p.mm)
		}
	} else if len(parts) == 1 && r.Setup.RouterCorners == 0 {
		f.note("all of it " + parts[0].name)
	}
	if r.Setup.Holes > 0 {
		f.count("to drill", r.Setup.Holes)
	}
	f.minutes("all machines", r.Setup.RunMinutes)
	for _, c := range r.Setup.Strongbacks {
		f.note("Strongback at cutout " + c + ": its rails are thin")
	}
	for _, pass := range r.Setup.Polish {
		edges := "Polisher, edge"
		if pass.HandWork != "" {
			edges = "By hand, edge"
		}
		if len(pass.Edges) != 1 {
			edges += "s"
		}
		edges += " "
		if pass.Profile != "" {
			f.head(edges + joinInts(pass.Edges) + ", " + lineText(pass.Profile))
		} else {
			f.head(edges + joinInts(pass.Edges))
		}
		if pass.HandWork != "" {
			f.length("length", pass.Length)
			f.note(pass.HandWork)
			continue
		}
		f.length("length of the pass", pass.Length)
		f.minutes("time with set-up", pass.FeedMinutes)
		if pass.AheadStart > 0 {
			f.length("piece ahead of its start", pass.AheadStart)
		}
		if pass.AheadEnd > 0 {
			f.length("piece ahead of its end", pass.AheadEnd)
		}
		for _, l := range pass.leads() {
			for n, s := range l.steps {
				f.length(fmt.Sprintf("%s: step %d at", l.name, n+1), s.At)
				f.length("    offset, + outward", s.Offset)
			}
		}
	}
	for _, h := range r.Setup.HandFinished {
		f.head(fmt.Sprintf("By hand, edge %d", h.Edge))
		f.length("length", h.Length)
	}
	for j, c := range r.Cutouts {
		f.cutout(c, f.book.offsets(i, j))
	}
	f.seams(r.ID)
}

func (f *figures) cutout(c Cutout, out []offset) {
	kind := ", " + c.Kind
	f.head("Cutout " + cutID(f.book.fonts, lineText(c.ID), true, nameEms-f.book.fonts.Width("Cutout "+kind, true)) + kind)
	what := "side"
	part := len(c.DividedBy) > 0
	if part {
		f.note("Part of a cutout " + f.book.in.Settings.text(c.WholeLength) + " × " + f.book.in.Settings.text(c.WholeWidth) + " divided by " + dividedBy(c.DividedBy) + "; this piece's part:")
	}
	if c.Diameter > 0 && !part {
		what = "centre"
		f.length("diameter", c.Diameter)
	} else {
		f.length("length", c.Length)
		f.length("width", c.Width)
		f.length("least inside radius", c.MinRadius)
	}
	for _, o := range out {
		f.length(fmt.Sprintf("edge %d to its %s", o.edge, what), o.distance)
	}
}

func (f *figures) seams(id string) {
	for _, s := range f.book.in.Result.Seams {
		var other []string
		mine := false
		for _, p := range s.Pieces {
			if p == id {
				mine = true
			} else {
				other = append(other, p)
			}
		}
		if !mine {
			continue
		}
		f.head("Seam " + lineText(s.ID) + ", " + s.Kind)
		f.note("with " + strings.Join(other, ", "))
		f.length("length", s.Length)
		n := 0
		for _, step := range s.Steps {
			if step.Piece == id {
				n++
				f.length(fmt.Sprintf("step %d at", n), step.At)
				f.length("    depth, + outward", step.Depth)
			}
		}
	}
}

// Heights of the figures' rows in points: as high as the number of lines allows
// beside the drawing.
const (
	highestFigure = 16.0
	lowestFigure  = 11.8
)

// writeFigures writes the lines beside the drawing and returns the row below
// both. Lines that do not fit are named by the sheets they stand on.
func (s *worksheet) writeFigures(lines []figure) int {
	const room = drawingHigh*mmPoints + 3
	high := min(max(room/float64(max(len(lines), 1)), lowestFigure), highestFigure)
	rows := int(room / high)
	size := 9.0
	if high < 13.2 {
		size = 8
	}
	for i := range rows {
		s.height(firstFigure+i, room/float64(rows))
	}
	if len(lines) > rows {
		lines = lines[:wholeGroups(lines, rows-1)]
		s.span(firstFigure+len(lines), 3, pieceColumns, "more on "+s.book.furtherFigures(), look{size: size, italic: true, fill: fillInput})
	}
	for i, l := range lines {
		s.figure(firstFigure+i, l, size)
	}
	return firstFigure + rows
}

// wholeGroups returns how many of the first lines fit so that no group of figures is
// told in part: a hole with its diameter and no distance would be drilled by guess.
// Of a first group longer than that as much as fits is told.
func wholeGroups(lines []figure, most int) int {
	for n := most; n > 0; n-- {
		if lines[n].kind == headFigure {
			return n
		}
	}
	return most
}

func (s *worksheet) figure(row int, f figure, size float64) {
	name := look{size: size, under: lineSoft}
	metric, imperial := look{size: size + 1, bold: true, under: lineSoft, format: formatMM, align: "right"}, look{size: size + 1, bold: true, under: lineSoft, align: "right"}
	var mm, in any = f.value, f.value / inch
	imperial.format = inchFormat(f.value / inch)
	switch f.kind {
	case headFigure:
		name = look{size: size, bold: true, fill: fillHead}
		metric, imperial = name, name
		metric.align, imperial.align = "right", "right"
		mm, in = "mm", "in"
	case noteFigure:
		s.span(row, 3, pieceColumns, s.book.fonts.Cut(f.name, false, noteEms+4), look{size: size, italic: true, fill: fillInput})
		return
	case quantityFigure:
		metric.format = formatDeg + `" min"`
		if f.unit != "min" {
			metric.format = formatCount + `" ` + f.unit + `"`
		}
		metric.align = "center"
		s.set(row, 3, f.name, name)
		s.span(row, 4, 5, f.value, metric)
		return
	}
	s.set(row, 3, s.book.fonts.Cut(f.name, name.bold, nameEms*9/size), name)
	settings := s.book.in.Settings
	switch {
	case settings.Units == UnitsBoth:
		s.set(row, 4, mm, metric)
		s.set(row, 5, in, imperial)
	case settings.metric():
		s.span(row, 4, 5, mm, metric)
	default:
		s.span(row, 4, 5, in, imperial)
	}
}
