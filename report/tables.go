package report

import (
	"strings"

	"trueup/dxfio/geom"
)

// piecesSheet lists the pieces with their sizes.
func piecesSheet(b *book) error {
	t := b.newScreenTable(b.pieces, "Pieces", "Length and width are the sides of the smallest rectangle around the piece. Net area has the cutouts taken out. Places are in the drawing's own frame.",
		[][]column{{{"Piece", 110, wrapColumn}, {"Kind", 70, textColumn}, {"Material", 90, wrapColumn}},
			b.lengthColumns("Thickness"), b.lengthColumns("Length"), b.lengthColumns("Width"), b.areaColumns("Net area"), b.massColumns(),
			{{"Edges", 62, countColumn}, {"Cutouts", 74, countColumn}}},
		[][]column{b.areaColumns("Whole area"), b.lengthColumns("Perimeter"),
			{{"Long side\ndeg", 76, degreeColumn}}, b.placeColumns(84, "Centre of gravity x", "Centre of gravity y")})
	for i, p := range b.in.Result.Pieces {
		row := []any{p.ID, p.Kind, p.Material}
		for _, v := range [...]float64{p.Thickness, p.Length, p.Width, p.Area, p.Mass} {
			row = append(row, b.both(v)...)
		}
		row = append(row, float64(len(p.Edges)), float64(len(p.Cutouts)))
		row = append(append(row, b.both(p.GrossArea)...), b.both(p.Perimeter)...)
		row = append(row, p.AngleDeg, p.Centroid[0], p.Centroid[1])
		if s := b.piece[i]; s != nil {
			t.link(t.next, 1, s, "A1", "Drawing and set-up of this piece")
		}
		t.add(row...)
	}
	return t.close()
}

// edgesSheet lists every edge.
func edgesSheet(b *book) error {
	t := b.newTable(b.edges, "Edges", "Edges are numbered counter-clockwise from the lowest corner, of several the leftmost. The corner is the stone's inside angle at the edge's start.",
		[]column{{"Piece", 110, wrapColumn}, {"Edge", 56, countColumn}, {"Kind", 70, textColumn}, {"Finish", 80, textColumn}},
		b.lengthColumns("Length"), b.lengthColumns("Radius"), []column{{"Corner\ndeg", 74, degreeColumn}},
		b.placeColumns(80, "From x", "From y", "To x", "To y"))
	for _, p := range b.in.Result.Pieces {
		for _, e := range p.Edges {
			row := append([]any{p.ID, float64(e.N), e.Kind, e.Finish}, b.both(e.Length)...)
			if e.Radius > 0 {
				row = append(row, b.both(e.Radius)...)
			} else {
				row = append(row, b.both(nil)...)
			}
			t.add(append(row, e.CornerDeg, e.From[0], e.From[1], e.To[0], e.To[1])...)
		}
	}
	return t.close()
}

// cutoutsSheet lists the cutouts with the distances they are set out by.
func cutoutsSheet(b *book) error {
	t := b.newScreenTable(b.cutouts, "Cutouts", "Least radius is the tightest inside corner; 0 is a sharp one. A cutout is set out from the nearest straight edge and the nearest one across it: to its side, or to the centre of a round hole.",
		[][]column{{{"Piece", 110, wrapColumn}, {"Cutout", 110, wrapColumn}, {"Kind", 110, wrapColumn}},
			b.lengthColumns("Length"), b.lengthColumns("Width"), b.lengthColumns("Diameter"), b.lengthColumns("Least radius"),
			{{"From edge", 60, countColumn}}, b.lengthColumns("Distance"), {{"And from edge", 60, countColumn}}, b.lengthColumns("Distance")},
		[][]column{b.areaColumns("Area"), b.lengthColumns("Perimeter")})
	for i, p := range b.in.Result.Pieces {
		for j, c := range p.Cutouts {
			row := []any{p.ID, c.ID, c.what()}
			row = append(append(row, b.both(c.Length)...), b.both(c.Width)...)
			if c.Diameter > 0 {
				row = append(row, b.both(c.Diameter)...)
			} else {
				row = append(row, b.both(nil)...)
			}
			row = append(row, b.both(c.MinRadius)...)
			out := b.offsets(i, j)
			for k := range 2 {
				if k < len(out) {
					row = append(append(row, float64(out[k].edge)), b.both(out[k].distance)...)
				} else {
					row = append(append(row, nil), b.both(nil)...)
				}
			}
			row = append(append(row, b.both(c.Area)...), b.both(c.Perimeter)...)
			t.add(row...)
		}
	}
	return t.close()
}

// offsets returns the setting out of a cutout by its place in the result.
func (b *book) offsets(piece, cutout int) []offset {
	if b.in.Template == nil || piece >= len(b.in.Template.Pieces) {
		return nil
	}
	p := &b.in.Template.Pieces[piece]
	if cutout >= len(p.Cutouts) {
		return nil
	}
	return offsets(b.in.Template, p, &p.Cutouts[cutout])
}

// seamsSheet lists the seams and their steps.
func seamsSheet(b *book) error {
	t := b.newTable(b.seams, "Seams", "Largest gap is between the mating edges as drawn. A step is given from the leading end of the piece's seam side, positive outward.",
		[]column{{"Seam", 60, textColumn}, {"Pieces", 150, wrapColumn}, {"Kind", 70, textColumn}},
		b.lengthColumns("Length"), b.fineColumns("Largest gap"), []column{{"Supported", 96, textColumn}, {"Step of piece", 110, wrapColumn}},
		b.lengthColumns("Step at"), b.lengthColumns("Step depth"))
	for _, s := range b.in.Result.Seams {
		supported := "not known"
		if s.Supported != nil {
			supported = map[bool]string{true: "yes", false: "no"}[*s.Supported]
		}
		row := []any{s.ID, strings.Join(s.Pieces, " and "), s.Kind}
		row = append(append(append(row, b.both(s.Length)...), b.both(s.MaxGap)...), supported)
		if len(s.Steps) == 0 {
			t.add(append(append(append(row, nil), b.both(nil)...), b.both(nil)...)...)
		}
		for _, step := range s.Steps {
			full := append(append([]any{}, row...), step.Piece)
			t.add(append(append(full, b.both(step.At)...), b.both(step.Depth)...)...)
		}
	}
	return t.close()
}

// supportsSheet lists what carries the tops, and where nothing does.
func supportsSheet(b *book) error {
	t := b.newTable(b.supports, "Supports", "What carries the top as drawn: cabinets, walls, ledgers, brackets; and openings inside them that do not. Places are in the drawing's own frame, lower left and upper right.",
		[]column{{"What", 120, textColumn}, {"Layer", 150, wrapColumn}}, b.lengthColumns("Length"), b.lengthColumns("Width"), b.areaColumns("Area"),
		b.placeColumns(80, "From x", "From y", "To x", "To y"))
	add := func(what, layer string, l geom.Loop, area float64) {
		box, shift := l.Box(), b.in.Template.Shift
		var row []any
		if area > 0 {
			r := geom.SmallestRectangle(l)
			row = append(append(append([]any{what, layer}, b.both(r.Length)...), b.both(r.Width)...), b.both(area)...)
		} else {
			row = append(append(append([]any{what, layer}, b.both(l.Length())...), b.both(nil)...), b.both(nil)...)
		}
		t.add(append(row, box.Min.X+shift.X, box.Min.Y+shift.Y, box.Max.X+shift.X, box.Max.Y+shift.Y)...)
	}
	if tpl := b.in.Template; tpl != nil {
		for _, s := range tpl.Supports {
			if len(s.Area) == 0 {
				add("support, line", s.Layer, s.Line, 0)
				continue
			}
			area := s.Area.Area()
			for _, h := range s.Holes {
				area -= abs(h.Area())
			}
			what := "support"
			if s.Assumed {
				what = "support, assumed behind a line"
			}
			add(what, s.Layer, s.Area, area)
		}
		for _, o := range tpl.Openings {
			add("opening", o.Layer, o.Area, abs(o.Area.Area()))
		}
	}
	return t.close()
}

func abs(v float64) float64 {
	if v < 0 {
		return -v
	}
	return v
}

// repairsSheet lists every change made to the drawing.
func repairsSheet(b *book) error {
	t := b.newTable(b.repairs, "Repairs", "Every change made on the way from the drawing to the pieces. The size is the distance of the ends as drawn, or the largest one between an arc and the chords it stands for.",
		[]column{{"Kind", 180, textColumn}, {"Layer", 180, wrapColumn}}, b.fineColumns("Size"), b.lengthColumns("Radius"), b.placeColumns(90, "At x", "At y"))
	for _, c := range b.in.Result.Repairs {
		row := append([]any{strings.ReplaceAll(c.Kind, "-", " "), c.Layer}, b.both(c.Size)...)
		var radius any
		if c.Radius > 0 {
			radius = c.Radius
		}
		t.add(append(append(row, b.both(radius)...), c.At[0], c.At[1])...)
	}
	return t.close()
}

// limitsSheet lists every limit used, its source and whether the shop changed it.
func limitsSheet(b *book) error {
	t := b.newTable(b.limits, "Limits", "Every limit and rate that was used, from the shop's settings file or its defaults.",
		[]column{{"Setting", 250, wrapColumn}, {"Value", 90, countColumn}, {"Unit", 70, textColumn}, {"Default", 90, countColumn}, {"Changed by the shop", 96, textColumn},
			{"What it is", 460, wrapColumn}, {"Source", 400, wrapColumn}})
	for _, l := range b.in.Limits {
		t.add(l.Key, limitValue(l.Value), l.Unit, limitValue(l.Default), map[bool]string{true: "changed", false: "no"}[l.Changed], l.What, l.Source)
	}
	return t.close()
}

// limitValue keeps numbers numbers and shows the rest in words.
func limitValue(v any) any {
	switch v := v.(type) {
	case float64:
		return number(v)
	case int:
		return number(float64(v))
	case int64:
		return number(float64(v))
	case string:
		if v == "[]" || v == "{}" { // an empty list
			return "none"
		}
		return v
	case bool:
		return map[bool]string{true: "yes", false: "no"}[v]
	case nil:
		return nil
	}
	return "?"
}

// number is a number shown with as many decimals as it has, whatever its column.
type number float64

// uncheckedSheet lists what nobody looked at: rules, and entities not used.
func uncheckedSheet(b *book) error {
	t := b.newTable(b.unchecked, "Not checked", "Rules that could not look, and entities of the drawing that were not used. A rule that is not listed here looked.",
		[]column{{"What", 220, wrapColumn}, {"Why", 420, wrapColumn}, {"Layer", 200, wrapColumn}, {"Count", 70, countColumn}})
	for _, u := range b.in.Result.Unchecked {
		t.add("rule "+u.Rule, u.Why, nil, nil)
	}
	for _, u := range b.in.Result.Unread {
		t.add("entity "+u.Type, u.Why, u.Layer, float64(u.Count))
	}
	return t.close()
}
