package report

import "strings"

// setupTable is the sheet of set-up figures.
type setupTable struct {
	*table
	b *book
}

// setupSheet lists the machines' figures: of the whole job, then of each piece,
// one row for each cut, each polishing pass and each step in it.
func setupSheet(b *book) error {
	t := &setupTable{b: b, table: b.newTable(b.setup, "Set-up", "Saw and router: outline and cutouts; round holes are drilled and count for neither. Steps: from the leading end, offset against the leading stretch, positive outward. Rates are the shop's settings.",
		[]column{{"Piece", 110, wrapColumn}, {"Machine", 150, textColumn}, {"Edges or cutout", 110, textColumn}, {"Remark", 230, wrapColumn}},
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
	t.row(p.ID, "saw", nil, nil, p.Setup.Saw, nil, nil)
	t.row(p.ID, "router", nil, nil, p.Setup.Router, nil, nil)
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
		t.row(p.ID, "edge polisher", edges, nil, pass.Length, pass.Minutes, nil)
		if pass.HandWork != "" {
			t.row(p.ID, "by hand", edges, pass.HandWork, nil, nil, nil)
		}
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
