package report

import "strings"

// setupSheet lists the machines' figures: one row for saw and router of a piece,
// one for each polishing pass, one for each step in it.
func setupSheet(b *book) error {
	t := b.newTable(b.setup, "Set-up", "Saw and router: outline and cutouts; round holes are drilled and count for neither. Steps of a polishing pass: from the leading end, offset against the leading stretch, positive outward. Rates are the shop's settings.",
		[]column{{"Piece", 110, wrapColumn}, {"Machine", 150, textColumn}, {"Edges or cutout", 110, textColumn}, {"Remark", 230, wrapColumn}},
		b.lengthColumns("Length"), []column{{"Time\nmin", 60, degreeColumn}}, b.lengthColumns("Step at"), b.lengthColumns("Step offset"))
	none := func(n int) []any {
		var out []any
		for range n {
			out = append(out, b.both(nil)...)
		}
		return out
	}
	for _, p := range b.in.Result.Pieces {
		length := func(machine string, v float64) {
			t.add(append(append(append([]any{p.ID, machine, nil, nil}, b.both(v)...), nil), none(2)...)...)
		}
		length("saw", p.Setup.Saw)
		length("router", p.Setup.Router)
		t.add(append(append(append([]any{p.ID, "all machines", nil, nil}, none(1)...), p.Setup.RunMinutes), none(2)...)...)
		for _, c := range p.Setup.Cuts {
			what := joinInts(c.Edges)
			if c.Cutout != "" {
				what = c.Cutout
			}
			t.add(append(append(append([]any{p.ID, "saw cut", what, b.short(c)}, b.both(c.Length)...), nil), none(2)...)...)
		}
		for _, h := range p.Setup.HandFinished {
			t.add(append(append(append([]any{p.ID, "by hand", itoa(h.Edge), h.Why}, b.both(h.Length)...), nil), none(2)...)...)
		}
		for _, n := range p.Setup.Notes {
			t.add(append(append(append([]any{p.ID, "note", nil, n}, none(1)...), nil), none(2)...)...)
		}
		for _, pass := range p.Setup.Polish {
			edges := joinInts(pass.Edges)
			t.add(append(append(append([]any{p.ID, "edge polisher", edges, nil}, b.both(pass.Length)...), pass.Minutes), none(2)...)...)
			if pass.HandWork != "" {
				t.add(append(append(append([]any{p.ID, "by hand", edges, pass.HandWork}, none(1)...), nil), none(2)...)...)
			}
			for _, lead := range pass.leads() {
				for _, s := range lead.steps {
					row := append(append([]any{p.ID, "edge polisher, step", edges, lead.name}, none(1)...), nil)
					t.add(append(append(row, b.both(s.At)...), b.both(s.Offset)...)...)
				}
			}
		}
	}
	return t.close()
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
