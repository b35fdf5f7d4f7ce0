package shop

import (
	"math"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// SeamSetup is what the machines need to know of both mates of a seam.
type SeamSetup struct {
	Seam  string // id
	Sides [2]SeamSide
	// Differences compares the steps of the mates; empty for mates without steps
	// or of one make.
	Differences []StepDifference
}

// SeamSide is one mate's side of a seam. Its start and end are those of
// counter-clockwise travel around the piece.
type SeamSide struct {
	Piece                        string
	Length                       float64 // along the mating edges, mm
	StepsLeadStart, StepsLeadEnd []Step
	RouterLeft                   float64 // of Length, mm
}

// StepDifference is a pair of steps that should meet, or one without a mate.
type StepDifference struct {
	A, B *Step // nil: this mate has no such step
	// Place is how much farther from the leading end A's step lies, Depth how much
	// further out the stone of both stands than would meet: positive they collide,
	// negative they gape. Both 0 when a mate is missing.
	Place, Depth float64
}

// SeamSetUp returns the figures of a seam. setups may lack a piece: its share of
// the router is then 0.
func SeamSetUp(seam *piece.Seam, setups map[string]*Setup) SeamSetup {
	out := SeamSetup{Seam: seam.ID}
	for i, chain := range seam.Chains {
		side := &out.Sides[i]
		side.Piece = seam.Pieces[i]
		side.StepsLeadStart, side.StepsLeadEnd = ChainSteps(chain)
		for _, c := range chain {
			side.Length += c.Length()
		}
		if set := setups[side.Piece]; set != nil {
			side.RouterLeft = side.Length - sawnAlong(chain, set.Cuts)
		}
	}
	if len(out.Sides[0].StepsLeadStart)+len(out.Sides[1].StepsLeadEnd) > 0 {
		out.Differences = CompareSteps(out.Sides[0].StepsLeadStart, out.Sides[1].StepsLeadEnd)
	}
	return out
}

// sawnAlong returns the length of the chain that cuts run along.
func sawnAlong(chain []geom.Curve, cuts []SawCut) float64 {
	sum := 0.0
	for _, c := range chain {
		if !c.IsLine() {
			continue
		}
		for i := range cuts {
			if cuts[i].Cutout == "" {
				from, to := overlap(c, geom.Line(cuts[i].From, cuts[i].To))
				sum += to - from
			}
		}
	}
	return sum
}

// The measures of a seam side's steps: edges of one side may differ in direction
// as on the polisher; what is smaller than the step is not one.
const (
	seamParallelDeg = 0.1
	seamLeastStep   = 0.5 // mm
)

// ChainSteps returns the steps of a chain of edges along its main direction, that
// of its longest line: At from the start of the first stretch in that direction
// when the start leads, from the end of the last one when the end leads; Offset
// against the leading stretch, positive outward of the stone, which lies on the
// chain's left. A chain without lines has none.
func ChainSteps(chain []geom.Curve) (leadStart, leadEnd []Step) {
	var flats []flat
	for i, c := range chain {
		if c.IsLine() {
			flats = append(flats, flat{edge: i, line: c})
		}
	}
	if len(flats) == 0 {
		return nil, nil
	}
	main := facing(flats, seamParallelDeg*math.Pi/180)[0].split(math.Inf(1))[0]
	path := func(f, g flat) []geom.Curve {
		if g.edge <= f.edge {
			return nil
		}
		return chain[f.edge+1 : g.edge]
	}
	return steps(main.seen(false, path, seamLeastStep), seamLeastStep),
		steps(main.seen(true, path, seamLeastStep), seamLeastStep)
}

// CompareSteps compares the steps of two mates told from the same end of the
// seam: of the first with its chain's start leading, of the second, which runs
// against the first, with its chain's end leading. Where both have as many
// steps they meet in order; otherwise those that lie nearest to each other are
// compared first, and the rest have no mate. Steps of one
// make give Place and Depth 0: what one side stands out the other stands back.
func CompareSteps(a, b []Step) []StepDifference {
	var out []StepDifference
	pair := func(p, q *Step) {
		out = append(out, StepDifference{A: p, B: q, Place: p.At - q.At, Depth: p.Offset + q.Offset})
	}
	if len(a) == len(b) {
		for i := range a {
			pair(&a[i], &b[i])
		}
		return out
	}
	takenA, takenB := make([]bool, len(a)), make([]bool, len(b))
	for range min(len(a), len(b)) {
		i, k := nearestPair(a, b, takenA, takenB)
		takenA[i], takenB[k] = true, true
		pair(&a[i], &b[k])
	}
	for i := range a {
		if !takenA[i] {
			out = append(out, StepDifference{A: &a[i]})
		}
	}
	for k := range b {
		if !takenB[k] {
			out = append(out, StepDifference{B: &b[k]})
		}
	}
	return out
}

// nearestPair returns the steps that lie nearest to each other of those not yet
// taken.
func nearestPair(a, b []Step, takenA, takenB []bool) (i, k int) {
	least := math.Inf(1)
	for x := range a {
		for y := range b {
			if d := math.Abs(a[x].At - b[y].At); !takenA[x] && !takenB[y] && d < least {
				least, i, k = d, x, y
			}
		}
	}
	return i, k
}
