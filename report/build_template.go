package report

import (
	"math"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// template fills in what the drawing gave: units, pieces, seams, repairs.
func (b *builder) template(t *piece.Template) {
	r := b.result
	r.Units = Units{Drawing: t.Units.Drawing.String(), From: t.Units.From}
	for i := range t.Pieces {
		r.Pieces = append(r.Pieces, b.piece(&t.Pieces[i]))
	}
	for i := range t.Seams {
		r.Seams = append(r.Seams, b.seam(&t.Seams[i]))
	}
	for _, c := range t.Repairs {
		r.Repairs = append(r.Repairs, Repair{
			Kind: string(c.Kind), At: b.place("repair", c.At), Size: b.number("repair size", c.Size), Layer: c.Layer,
			Radius: b.number("repair radius", c.Radius),
		})
	}
	for _, u := range t.Unread {
		r.Unread = append(r.Unread, Unread{Type: u.Type, Layer: u.Layer, Why: u.Why, Count: u.Count})
	}
}

func (b *builder) piece(p *piece.Piece) Piece {
	gross, first := p.Outline.Moments()
	net := gross
	for _, c := range p.Cutouts {
		if c.OverEdge {
			continue // the outline already has the notch
		}
		area, moment := c.Loop.Moments()
		if area > 0 { // a cutout given counter-clockwise still takes away
			area, moment = -area, moment.Mul(-1)
		}
		net += area
		first = first.Add(moment)
	}
	centroid := p.Outline.Box().Center()
	if net > 0 {
		centroid = first.Mul(1 / net)
	}
	box := p.Outline.Box()
	var rect geom.Rectangle
	if s := b.in.Setups[p.ID]; s != nil && s.Rectangle.Length > 0 {
		rect = s.Rectangle
	} else {
		rect = geom.SmallestRectangle(p.Outline)
	}
	low, high := b.place(p.ID, box.Min), b.place(p.ID, box.Max)
	out := Piece{
		ID: p.ID, Kind: string(p.Kind), Material: p.Material,
		Length: b.number(p.ID+" length", rect.Length), Width: b.number(p.ID+" width", rect.Width),
		AngleDeg: b.halfTurn(p.ID, rect.AngleDeg),
		Area:     b.number(p.ID+" area", net), GrossArea: b.number(p.ID+" gross area", gross),
		Perimeter: b.number(p.ID+" perimeter", p.Outline.Length()),
		Thickness: b.number(p.ID+" thickness", p.Thickness),
		Centroid:  b.place(p.ID+" centroid", centroid), BoundingBox: [4]float64{low[0], low[1], high[0], high[1]},
		Edges: []Edge{}, Cutouts: []Cutout{}, Setup: blankSetup(),
	}
	for _, e := range p.Edges {
		out.Edges = append(out.Edges, b.edge(p.ID, e))
	}
	for _, c := range p.Cutouts {
		out.Cutouts = append(out.Cutouts, b.cutout(p, &c))
	}
	b.setup(p, &out)
	return out
}

// halfTurn brings an angle into 0 <= a < 180; a rounding to 180 becomes 0.
func (b *builder) halfTurn(name string, deg float64) float64 {
	a := b.number(name+" angle", math.Mod(math.Mod(deg, 180)+180, 180))
	if a >= 180 {
		return 0
	}
	return a
}

func (b *builder) edge(id string, e piece.Edge) Edge {
	out := Edge{
		N: e.N, Kind: string(e.Kind), From: b.place(id+" edge", e.From()), To: b.place(id+" edge", e.To()),
		Length: b.number(id+" edge", e.Length()), CornerDeg: b.number(id+" corner", e.CornerDeg), Finish: string(e.Finish),
	}
	// The tightest arc stands for a curve of several.
	tightest := math.Inf(1)
	for _, c := range e.Curves {
		tightest = math.Min(tightest, c.Radius())
	}
	if !math.IsInf(tightest, 1) {
		out.Radius = b.number(id+" edge radius", tightest)
	}
	return out
}

func (b *builder) cutout(p *piece.Piece, c *piece.Cutout) Cutout {
	rect := geom.SmallestRectangle(c.Loop)
	out := Cutout{
		ID: c.ID, Kind: string(c.Kind), Area: b.number(c.ID+" area", math.Abs(c.Loop.Area())),
		Perimeter: b.number(c.ID+" perimeter", c.Loop.Length()),
		Length:    b.number(c.ID+" length", rect.Length), Width: b.number(c.ID+" width", rect.Width),
		MinRadius: b.number(c.ID+" radius", c.MinRadius()), Diameter: b.number(c.ID+" diameter", c.Diameter),
		Centroid: b.place(c.ID+" centroid", c.Loop.Centroid()),
	}
	if part := partOf(b.in.Template, p, c); part != nil {
		out.Area, out.Perimeter = b.number(c.ID+" area", math.Abs(part.loop.Area())), b.number(c.ID+" perimeter", part.cut)
		out.Length, out.Width = b.number(c.ID+" length", part.length), b.number(c.ID+" width", part.width)
		out.Centroid = b.place(c.ID+" centroid", part.loop.Centroid())
		out.DividedBy = part.seams
		out.WholeLength, out.WholeWidth = b.number(c.ID+" length", part.whole.Length), b.number(c.ID+" width", part.whole.Width)
	}
	return out
}

func (b *builder) seam(s *piece.Seam) Seam {
	out := Seam{
		ID: s.ID, Pieces: []string{s.Pieces[0], s.Pieces[1]}, Kind: string(s.Kind),
		Length: b.number(s.ID+" length", s.Length), MaxGap: b.number(s.ID+" gap", s.MaxGap), Steps: []SeamStep{},
	}
	for _, t := range s.Steps {
		out.Steps = append(out.Steps, SeamStep{t.Piece, b.number(s.ID+" step", t.At), b.number(s.ID+" step", t.Depth)})
	}
	if b.in.SeamSupported != nil {
		if supported, looked := b.in.SeamSupported(s.ID); looked {
			out.Supported = &supported
		}
	}
	return out
}
