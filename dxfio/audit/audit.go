package audit

import (
	"slices"

	"trueup/dxfio/geom"
)

// Fit is the distance in mm that lines may differ by without a repair: twice what
// makes two ends one point as drawn, and the error allowed where ellipses and
// splines become arcs.
const Fit = 0.01

// Role says what a drawn curve is for.
type Role uint8

// The roles that matter here.
const (
	Outline Role = iota // of a top or a splash
	Cutout
	Seam
	Mark // finished and wall lines: an outline may borrow an edge from them
)

// Curve is a curve as drawn.
type Curve struct {
	geom.Curve
	Role   Role
	Layer  int32 // the caller's numbers
	Entity int32 // curves of one entity follow one another
	Told   bool  // a flag says that it is not used
}

// Point is a hole marked by a POINT.
type Point struct {
	At       geom.Point
	Diameter float64 // mm
	Layer    int32
}

// Drawn is what a drawing asks for on the layers that cut.
type Drawn struct {
	Curves []Curve
	Points []Point
	Named  []geom.Curve // lines that flags or whole repairs name, cleaned: within Limits.Join of what was drawn
	// Overlapping is true when a flag says that pieces lie over each other.
	Overlapping bool
	Limits      Limits
	Layers      []string // their names, by number
}

// Limits are the tolerances of closing and marking, in mm.
type Limits struct {
	Join  float64 // ends this near are one point
	Facet float64 // most that an arc leaves the chords that it stands for
	Mark  float64 // a seam this near to an edge marks it
}

// Released is what would be cut.
type Released struct {
	Pieces  []Piece
	Seams   []geom.Curve
	Repairs []Repair
}

// Piece is a piece of stone.
type Piece struct {
	Outline geom.Loop
	Cutouts []Opening
}

// Opening is a cutout of a piece.
type Opening struct {
	Loop     geom.Loop
	OverEdge bool // the outline has its notch already
}

// Repair is a listed change.
type Repair struct {
	At    geom.Point
	Size  float64 // mm
	Facet bool    // chords that became an arc
}

// Kind says how drawing and release differ.
type Kind uint8

// The kinds of difference.
const (
	Missing   Kind = iota // drawn, and no released line is near
	Added                 // released, and no drawn line is near
	Uncut                 // stone inside a drawn cutout, or where a POINT marks a hole
	NoStone               // none inside a drawn outline
	Swallowed             // none inside a drawn outline, all of it taken by cutouts
	Twice                 // the same stone is in two pieces
	Area                  // what lies around a place has another area of stone than was drawn
)

// Difference is a place where drawing and release differ.
type Difference struct {
	Kind     Kind
	Witness  geom.Witness // from the one that is left to the nearest of the other
	Distance float64      // length of the witness, mm; 0 where nothing is near, or where it is about stone
	Limit    float64      // what Distance is past, mm
	Length   float64      // of the stretches that differ, mm
	Layer    int32        // of the drawn curve; -1 for a released one
	Piece    int          // the released one; -1 for a drawn one
	Cutout   int          // of the piece; -1 for its outline
	Role     Role         // of the drawn curve
	Count    int          // curves of the entity or the loop that differ
	Area     float64      // released less drawn, mm2, of kind Area; its limit is in mm2
}

// At is the place of the difference.
func (d Difference) At() geom.Point { return d.Witness.From }

// Compare returns the differences, of one entity or released loop the gravest.
// spend is told the steps of work as they are done and ends the comparison with
// its error.
func Compare(d *Drawn, r *Released, spend func(steps int) error) ([]Difference, error) {
	a := newAudit(d, r, spend)
	var found []Difference
	for _, step := range []func() []Difference{a.missing, a.added, a.points, a.sides, a.twice} {
		found = append(found, step()...)
		if a.err != nil {
			return nil, a.err
		}
	}
	if len(found) == 0 { // else somebody is asked already
		found = a.areas()
	}
	return found, a.err
}

// audit is a comparison at work.
type audit struct {
	d         *Drawn
	r         *Released
	drawn     set // curves as drawn, marks and the circles of points with them
	released  set // outlines, cutouts inside them, seams
	named     set
	repairs   repairs
	stone     stone
	lines     []closed    // drawn, outlines and cutouts
	lineIndex *geom.Index // of their boxes
	loose     []int       // curves of outlines and cutouts that do not end on each other two by two
	spent     func(int) error
	err       error
}

func newAudit(d *Drawn, r *Released, spend func(int) error) *audit {
	a := &audit{d: d, r: r, spent: spend}
	curves := make([]geom.Curve, 0, len(d.Curves)+2*len(d.Points))
	for i := range d.Curves {
		curves = append(curves, d.Curves[i].Curve)
	}
	for _, p := range d.Points {
		curves = append(curves, geom.Circle(p.At, p.Diameter/2)...)
	}
	a.drawn = newTwinSet(curves)
	var out []geom.Curve
	for i := range r.Pieces {
		p := &r.Pieces[i]
		out = append(out, p.Outline...)
		for k := range p.Cutouts {
			if c := &p.Cutouts[k]; !c.OverEdge { // the outline has its notch
				out = append(out, c.Loop...)
			}
		}
	}
	a.released = newTwinSet(append(out, r.Seams...))
	named := slices.Clone(d.Named)
	for i := range d.Curves {
		if d.Curves[i].Told { // what is drawn on it a second time is told with it
			named = append(named, d.Curves[i].Curve)
		}
	}
	a.named = newSet(named)
	a.repairs = newRepairs(r.Repairs, d.Limits.Facet)
	a.stone = newStone(r.Pieces)
	return a
}

// spend counts steps; after the end of the work it reports false.
func (a *audit) spend(steps int) bool {
	if a.err == nil && a.spent != nil {
		a.err = a.spent(steps)
	}
	return a.err == nil
}
