package report

import (
	"slices"
	"strings"
)

// setupTable is the sheet of set-up figures.
type setupTable struct {
	*table
	b *book
}

// setupSheet lists the machines' figures: of the whole job, then of each piece,
// one row for each cut, each polishing pass and each step in it.
func setupSheet(b *book) error {
	t := &setupTable{b: b, table: b.newTable(b.setup, "Set-up", "Minutes: set-ups of the machines included; those of the polisher with its run-in and run-out. Saw and router: outline and cutouts; round holes are drilled and count for neither. Steps: from the leading end, offset against the leading stretch, positive outward. Rates are the shop's settings.",
		[]column{{"Piece", 110, wrapColumn}, {"Machine", 150, textColumn}, {"Edges or cutout", 110, wrapColumn}, {"Remark", 230, wrapColumn}},
		b.lengthColumns("Length"), []column{{"Time\nmin", 60, degreeColumn}}, b.lengthColumns("Step at"), b.lengthColumns("Step offset"))}
	t.jobRows(b)
	for i := range b.in.Result.Pieces {
		t.pieceRows(&b.in.Result.Pieces[i])
	}
	return t.close()
}

// row writes a row; length and minutes are float64 or nil, step may be nil.
func (t *setupTable) row(piece, machine string, edges, remark, length, minutes any, step *Step) {
	row := append([]any{piece, machine, edges, remark}, t.b.both(length)...)
	row = append(row, minutes)
	if step == nil {
		row = append(append(row, t.b.both(nil)...), t.b.both(nil)...)
	} else {
		row = append(append(row, t.b.both(step.At)...), t.b.both(step.Offset)...)
	}
	t.add(row...)
}

func (t *setupTable) pieceRows(p *Piece) {
	t.row(p.ID, "saw", nil, nil, p.Setup.Saw, p.Setup.SawMinutes, nil)
	t.row(p.ID, "router", nil, holesToo(p.Setup.Holes), p.Setup.Router, p.Setup.RouterMinutes, nil)
	if parts := p.Setup.routerParts(); len(parts) > 1 {
		for _, part := range parts {
			t.row(p.ID, "router, of it", nil, part.name, part.mm, nil, nil)
		}
	}
	t.row(p.ID, "all machines", nil, nil, nil, p.Setup.RunMinutes, nil)
	for _, c := range p.Setup.Cuts {
		what := joinInts(c.Edges)
		if c.Cutout != "" {
			what = c.Cutout
		}
		t.row(p.ID, "saw cut", what, t.b.short(c), c.Length, nil, nil)
	}
	for _, h := range p.Setup.HandFinished {
		t.row(p.ID, "by hand", itoa(h.Edge), h.Why, h.Length, nil, nil)
	}
	for _, n := range p.Setup.Notes {
		t.row(p.ID, "note", nil, n, nil, nil, nil)
	}
	for _, pass := range p.Setup.Polish {
		edges := joinInts(pass.Edges)
		if pass.HandWork != "" {
			t.row(p.ID, "by hand", edges, pass.HandWork, pass.Length, nil, nil)
			continue
		}
		t.row(p.ID, "edge polisher", edges, nil, pass.Length, pass.FeedMinutes, nil)
		for _, lead := range pass.leads() {
			for _, s := range lead.steps {
				t.row(p.ID, "edge polisher, step", edges, lead.name, nil, nil, &s)
			}
		}
	}
}

// short says where a cut stops short of its corners.
func (b *book) short(c SawCut) any {
	var parts []string
	if c.StartShort > 0 {
		parts = append(parts, "stops "+b.in.Settings.text(c.StartShort)+" short at its start")
	}
	if c.EndShort > 0 {
		parts = append(parts, "stops "+b.in.Settings.text(c.EndShort)+" short at its end")
	}
	if c.Bevel {
		parts = append(parts, "blade tilted")
	}
	if len(parts) == 0 {
		return nil
	}
	return strings.Join(parts, ", ")
}

// holesToo says what else the router's minutes are for.
func holesToo(holes int) any {
	if holes == 0 {
		return nil
	}
	return "and drilling " + plural(holes, "hole", "holes")
}

// routerPart is one kind of stretch that the saw leaves.
type routerPart struct {
	name string
	mm   float64
}

// routerParts returns what the router's length is made of, without what there is
// none of.
func (s Setup) routerParts() []routerPart {
	parts := []routerPart{{"inside corners", s.RouterCorners}, {"arcs", s.RouterArcs}, {"straights too short to saw", s.RouterStraights}}
	if s.Saw == 0 && s.RouterStraights > 0 {
		parts[2].name = "straights not sawn"
	}
	return slices.DeleteFunc(parts, func(p routerPart) bool { return p.mm <= 0 })
}

// tilted returns the edges that are sawn with a tilted blade.
func (s Setup) tilted() []int {
	var out []int
	for _, c := range s.Cuts {
		if c.Bevel {
			out = append(out, c.Edges...)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// lead is one feed direction of a polishing pass.
type lead struct {
	name  string
	steps []Step
}

func (p Polish) leads() []lead {
	return []lead{{"start leads", p.StepsLeadStart}, {"end leads", p.StepsLeadEnd}}
}

func joinInts(ns []int) string {
	out := make([]string, len(ns))
	for i, n := range ns {
		out[i] = itoa(n)
	}
	return strings.Join(out, ", ")
}
