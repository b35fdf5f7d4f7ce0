package report

import (
	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/rules/shop"
)

func blankSetup() Setup {
	return Setup{Polish: []Polish{}, Cuts: []SawCut{}, Profiles: []Profile{}, HandFinished: []HandEdge{}, Strongbacks: []string{}, Notes: []string{}}
}

// setup fills in a piece's mass and machine figures.
func (b *builder) setup(p *piece.Piece, out *Piece) {
	s := b.in.Setups[p.ID]
	if s == nil {
		b.result.Unchecked = append(b.result.Unchecked, Unchecked{"set-up", "piece " + p.ID + ": mass and machine figures were not worked out"})
		return
	}
	number := func(name string, v float64) float64 { return b.number(p.ID+" "+name, v) }
	out.Mass = number("mass", s.Mass)
	t := &out.Setup
	t.Saw, t.Router, t.RunMinutes = number("saw", s.SawLength), number("router", s.RouterLeft), number("run minutes", s.RunMinutes)
	t.RouterCorners, t.RouterArcs, t.RouterStraights = number("router", s.RouterCorners), number("router", s.RouterArcs), number("router", s.RouterStraights)
	t.SawMinutes, t.RouterMinutes, t.PolishMinutes = number("saw minutes", s.SawMinutes), number("router minutes", s.RouterMinutes), number("polish minutes", s.PolishMinutes)
	for _, pass := range s.Polish {
		t.Polish = append(t.Polish, b.polish(p.ID, pass))
	}
	for _, c := range s.Cuts {
		t.Cuts = append(t.Cuts, b.sawCut(p.ID, c))
	}
	for _, f := range s.Finished {
		t.Profiles = append(t.Profiles, Profile{f.Profile, number("profile", f.Length)})
	}
	for _, c := range s.Curves {
		t.HandFinished = append(t.HandFinished, HandEdge{c.Edge, number("hand edge", c.Length), number("hand edge radius", c.Radius), c.Why})
	}
	t.Holes, t.Persons, t.PersonLoad = s.Holes, s.Handling.Persons, number("person load", s.Handling.PersonLoad)
	for _, r := range s.Handling.Rails {
		t.Strongbacks = append(t.Strongbacks, r.Cutout)
	}
	if s.Slab.OK {
		t.Slab = s.Slab.Slab
	}
	t.Notes = append(t.Notes, s.Notes...)
	if s.PolishNote != "" {
		t.Notes = append(t.Notes, s.PolishNote)
	}
}

func (b *builder) polish(id string, pass shop.PolishPass) Polish {
	steps := func(in []shop.Step) []Step {
		out := []Step{}
		for _, s := range in {
			out = append(out, Step{b.number(id+" step", s.At), b.number(id+" step", s.Offset)})
		}
		return out
	}
	return Polish{
		Edges: append([]int{}, pass.Edges...), Length: b.number(id+" polish", pass.Length), Minutes: b.number(id+" polish minutes", pass.Minutes), FeedMinutes: b.number(id+" polish minutes", pass.FeedMinutes),
		StepsLeadStart: steps(pass.StepsLeadStart), StepsLeadEnd: steps(pass.StepsLeadEnd), Profile: pass.Profile,
		AheadStart: b.number(id+" ahead", pass.AheadStart), AheadEnd: b.number(id+" ahead", pass.AheadEnd), HandWork: pass.HandWork,
	}
}

func (b *builder) sawCut(id string, c shop.SawCut) SawCut {
	place := func(p geom.Point) XY { return b.place(id+" cut", p) }
	return SawCut{
		Edges: append([]int{}, c.Edges...), Cutout: c.Cutout, From: place(c.From), To: place(c.To), Length: b.number(id+" cut", c.Length),
		AngleDeg: b.halfTurn(id+" cut", c.AngleDeg), StartShort: b.number(id+" cut", c.Start.Short), EndShort: b.number(id+" cut", c.End.Short), Bevel: c.Bevel,
	}
}
