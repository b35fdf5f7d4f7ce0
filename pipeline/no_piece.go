package pipeline

import (
	"fmt"
	"strings"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/pipeline/settings"
)

// mostNamed bounds the layers a message lists.
const mostNamed = 8

// whyNoPiece says in one sentence why a drawing gave no piece and what to do.
func whyNoPiece(raw *dxfio.Drawing, t *piece.Template, roles *piece.Roles) string {
	if len(raw.Curves) == 0 {
		if n := countUnread(raw); n > 0 {
			return fmt.Sprintf("no piece could be made: none of its %d entities is a curve that can be used (%s); export outlines as lines, arcs and polylines in model space",
				n, mostUnread(raw))
		}
		return "no piece could be made: the drawing is empty; export the template again"
	}
	if why := tooSmall(raw, t, roles); why != "" {
		return why
	}
	place := func(p geom.Point) string { return t.Units.Place(p.Add(t.Shift)) }
	for _, p := range t.Problems {
		switch p.Kind {
		case piece.OpenOutline:
			return fmt.Sprintf("no piece could be made: the outline on layer %s stays open by %s, from %s to %s; close it in the drawing",
				p.Layer, t.Units.Lengths.Of(p.Measured), place(p.Witness.From), place(p.Witness.To))
		case piece.SelfCrossing:
			return fmt.Sprintf("no piece could be made: the outline on layer %s crosses itself at %s; mend it in the drawing", p.Layer, place(p.At))
		}
	}
	var names []string
	for _, l := range raw.Layers {
		if l.Length == 0 {
			continue
		}
		if role, _ := roles.Of(l.Name); role == piece.OutlineRole {
			return fmt.Sprintf("no piece could be made: the curves on layer %s close to no outline; draw closed outlines", l.Name)
		}
		names = append(names, l.Name)
	}
	listed := names
	if len(listed) > mostNamed {
		listed = listed[:mostNamed]
	}
	more := ""
	if n := len(names) - len(listed); n > 0 {
		more = fmt.Sprintf(" and %d more", n)
	}
	return fmt.Sprintf("no piece could be made: no layer has the role outline (layers with curves: %s%s); name yours under pieces.roles.outline in the settings, `trueup layers` shows what is there",
		strings.Join(listed, ", "), more)
}

// withoutSpecks takes the pieces out of a template in which all are specks, no
// larger than drawing noise: what is drawn closed is a piece whatever its size, but
// none of these is a top, and the drawing fails with a sentence that says why.
func withoutSpecks(raw *dxfio.Drawing, t *piece.Template, s *settings.Settings) {
	for i := range t.Pieces {
		if t.Pieces[i].Outline.Area() >= s.Closing.SliverArea {
			return
		}
	}
	if tooSmall(raw, t, &s.Pieces.Roles) != "" {
		t.Pieces, t.Seams = nil, nil
	}
}

// tooSmall says that the outlines are so small that their unit must be wrong: a
// kitchen drawn in metres under a header that says millimetres is 2.4 mm long,
// and nothing in it is large enough to close. Empty: they are not, or there are none.
func tooSmall(raw *dxfio.Drawing, t *piece.Template, roles *piece.Roles) string {
	outline := make([]bool, len(raw.Layers))
	for i, l := range raw.Layers {
		role, _ := roles.Of(l.Name)
		outline[i] = role == piece.OutlineRole
	}
	var points []geom.Point
	for _, c := range raw.Curves {
		if outline[c.Layer] {
			points = append(points, c.A, c.Middle(), c.B)
		}
	}
	if len(points) == 0 {
		return ""
	}
	size := geom.SmallestRectangle(geom.Polygon(points...))
	mm := t.Units.Drawing.Millimetres()
	length := size.Length * mm
	if length >= piece.DepthLimit(0) {
		return ""
	}
	sizes := piece.Sizes{Top: [2]float64{length, size.Width * mm}}
	fits := ""
	if u, next := sizes.FittingUnits(t.Units.Drawing, true); u != dxfio.UnitNone {
		would := func(u dxfio.Unit) string {
			return fmt.Sprintf("in %s it would be %s", u.Plural(), t.Units.Lengths.Size(size.Length*u.Millimetres(), size.Width*u.Millimetres()))
		}
		fits = fmt.Sprintf(" (%s)", would(u))
		if next != dxfio.UnitNone {
			fits = fmt.Sprintf(" (%s, %s)", would(u), would(next))
		}
	}
	from, remedy := "the unit in its header", "set the unit it was drawn in there ($INSUNITS) and export it again"
	if t.Units.From != "header" {
		from, remedy = t.Units.From+" because its header names no unit", "name the unit it was drawn in there ($INSUNITS), or under units in the settings"
	}
	return fmt.Sprintf("no piece could be made: read in %s, %s, all outlines together are %s long, which no top is%s; %s",
		t.Units.Drawing.Plural(), from, t.Units.Lengths.Fine(length), fits, remedy)
}

func countUnread(d *dxfio.Drawing) int {
	n := 0
	for _, u := range d.Unread {
		n += u.Count
	}
	return n
}

func mostUnread(d *dxfio.Drawing) string {
	best := d.Unread[0]
	for _, u := range d.Unread {
		if u.Count > best.Count {
			best = u
		}
	}
	return fmt.Sprintf("%d %s on layer %s: %s", best.Count, best.Type, best.Layer, best.Why)
}
