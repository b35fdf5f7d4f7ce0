// Package piece makes the pieces of a template from traced loops and roles.
//
// In goes a dxfio.Drawing in local millimetres and the shop's layer roles; out
// comes a Template: pieces with numbered edges and cutouts, seams with their
// mates, supports and openings, repairs, and the problems found on the way
// (outlines that stay open, overlaps, strays, layers without a role). The
// package judges nothing: rules turn problems into flags.
package piece

import (
	"trueup/dxfio"
	"trueup/dxfio/audit"
	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// Template is everything a drawing says about the tops to cut. All coordinates
// are local millimetres; add Shift for the drawing's own frame in mm.
type Template struct {
	Pieces   []Piece
	Seams    []Seam
	Supports []Support
	Openings []Opening
	Walls    []geom.Curve // cleaned curves of the wall role
	Repairs  []Repair
	Problems []Problem
	Shift    geom.Point
	Units    Units
	Unread   []dxfio.Unread
	// UnreadIn are those unread entities that may hold curves and lie in a piece, its
	// cutouts included.
	UnreadIn []UnreadIn
	// Dimensions are those that tell a length, in the order of the drawing.
	Dimensions []Dimension
	// HasSupport reports whether any curve has the support role; without one
	// support rules did not look.
	HasSupport bool
	account    account     // where every curve went
	swallowed  []geom.Loop // bodies of which cutouts leave nothing
	// Drawn is what the drawing asks for on the layers that cut, nil when the
	// template was not made from a drawing.
	Drawn *audit.Drawn
}

// UnreadIn is an entity that could not be read and lies in a piece.
type UnreadIn struct {
	Type, Layer, Why string
	Piece            string
	At               geom.Point
}

// Units says what the drawing's unit is and where that came from.
type Units struct {
	Drawing dxfio.Unit
	From    string        // "header", "settings" or "assumed"
	Lengths dxfio.Lengths // how sentences write lengths
}

// Coordinate writes a coordinate given in mm for a sentence, in the drawing's own
// unit. Beside lengths in inches a bare number would be taken for one, so that
// millimetres are named there.
func (u Units) Coordinate(mm float64) string {
	s := u.Drawing.Coordinate(mm)
	if scale := u.Drawing.Millimetres(); u.Lengths.Inches && (scale == 0 || scale == 1) {
		s += " mm"
	}
	return s
}

// Place writes a point given in mm as Coordinate does: (1270, 102), or (50 in, 4 in).
func (u Units) Place(p geom.Point) string {
	return "(" + u.Coordinate(p.X) + ", " + u.Coordinate(p.Y) + ")"
}

// Kind of piece.
type Kind string

// The kinds of piece.
const (
	Counter Kind = "counter"
	Splash  Kind = "splash"
)

// Piece is one piece of stone.
type Piece struct {
	ID       string // unique in the template: its text, or A, B, C ...
	Kind     Kind
	Outline  geom.Loop // counter-clockwise
	Edges    []Edge    // numbered counter-clockwise from the lowest, then leftmost corner
	Cutouts  []Cutout  // left to right, top to bottom
	Layer    string    // that most of its outline was drawn on
	Material string    // name of the material; empty: the shop's default
	// Thickness of the stone in mm, from the settings.
	Thickness float64
}

// EdgeKind says what an edge is.
type EdgeKind string

// The kinds of edge.
const (
	LineEdge  EdgeKind = "line"
	ArcEdge   EdgeKind = "arc"
	CurveEdge EdgeKind = "curve" // several tangent arcs drawn as one ellipse or spline
)

// Finish says what becomes of an edge.
type Finish string

// The finishes of an edge.
const (
	Finished Finish = "finished"
	Wall     Finish = "wall"
	SeamEdge Finish = "seam"
	Unmarked Finish = "unmarked"
)

// Edge is a stretch of outline between two corners, or a whole circle.
// Neighbouring collinear lines or co-circular arcs of the same finish are one.
type Edge struct {
	N         int // 1-based
	Kind      EdgeKind
	Curves    []geom.Curve // one for a line or arc (two for a full circle), counter-clockwise
	CornerDeg float64      // the stone's inside angle at the start, degrees
	Finish    Finish
	Profile   string // from the finished layer or a text beside it; empty: the shop's one
}

// From returns the start of the edge.
func (e Edge) From() geom.Point { return e.Curves[0].A }

// To returns the end of the edge.
func (e Edge) To() geom.Point { return e.Curves[len(e.Curves)-1].B }

// Length returns the length along the edge in mm.
func (e Edge) Length() float64 {
	var sum float64
	for _, c := range e.Curves {
		sum += c.Length()
	}
	return sum
}

// CutoutKind says what a cutout is for.
type CutoutKind string

// The kinds of cutout.
const (
	Sink    CutoutKind = "sink"
	Cooktop CutoutKind = "cooktop"
	Hole    CutoutKind = "hole" // round, at most the set diameter
	Other   CutoutKind = "cutout"
)

// Cutout is an opening through a piece.
type Cutout struct {
	ID       string // piece ID, dash, number: A-1
	Kind     CutoutKind
	Loop     geom.Loop // clockwise; for a cutout over the edge: the part that was drawn
	Diameter float64   // of a round one, mm; 0 otherwise
	// OverEdge is true when the cutout runs over the outline (an apron sink):
	// the outline already has the notch and areas do not count it again.
	OverEdge bool
	// Corners are the inside corners that a cutout over the edge has in the stone
	// of its piece; nil for a cutout inside it, whose corners all are.
	Corners []InsideCorner
}

// SeamKind says how two pieces meet.
type SeamKind string

// The kinds of seam.
const (
	StraightSeam SeamKind = "straight"
	MitreSeam    SeamKind = "mitre"
	SteppedSeam  SeamKind = "stepped"
)

// Seam is where two pieces meet.
type Seam struct {
	ID     string // S1, S2 ... left to right, top to bottom
	Kind   SeamKind
	Pieces [2]string
	// Chains are the mating edge chains, one a piece, each in its own piece's
	// direction of travel (so the second runs against the first), where drawn.
	Chains [2][]geom.Curve
	// Apart is true when the pieces are drawn apart; Moved is then the second
	// chain brought to the first by a rigid motion, otherwise Chains[1].
	Apart  bool
	Moved  []geom.Curve
	Length float64 // along the first chain, mm
	// MaxGap and MinGap are the largest and smallest distance between the mates
	// where they face each other, mm; negative where they are drawn into each
	// other; 0 and 0 when one line divides a piece.
	MaxGap, MinGap float64
	MaxAt, MinAt   geom.Witness
	Steps          []SeamStep
}

// SeamStep is an offset in a stepped seam as one of the mates has it.
type SeamStep struct {
	Piece string
	At    float64 // from the start of the piece's own chain along its leading stretch to the riser, mm
	Depth float64 // of the step, positive outward from the leading stretch, mm
	Place geom.Point
}

// Support carries the top: a closed area, or a line with a bearing width.
type Support struct {
	Area  geom.Loop    // counter-clockwise; empty for a line
	Holes []geom.Loop  // clockwise: places inside Area that do not carry
	Line  []geom.Curve // for a line support
	Layer string
	// Assumed areas were not drawn: behind its front line a cabinet was taken to be there.
	Assumed bool
}

// Opening is an area without support inside a support.
type Opening struct {
	Area  geom.Loop // counter-clockwise
	Layer string
}

// Repair is a change made on the way from drawing to pieces.
type Repair struct {
	Kind  trace.RepairKind
	At    geom.Point
	Size  float64 // mm
	Layer string
	// Radius of the arc that stands for facets, mm; else 0.
	Radius float64
}

// ProblemKind names what building the template found. It equals the id of the
// rule that reports it; stray-finish reports finish-on-seam too.
type ProblemKind string

// The kinds of problem.
const (
	OpenOutline       ProblemKind = "open-outline"
	SelfCrossing      ProblemKind = "self-crossing"
	OverlappingPieces ProblemKind = "overlapping-pieces"
	StrayCurve        ProblemKind = "stray-curve"
	StraySeam         ProblemKind = "stray-seam"
	StrayFinish       ProblemKind = "stray-finish"
	FinishOnSeam      ProblemKind = "finish-on-seam"
	CutoutAmbiguous   ProblemKind = "cutout-ambiguous"
	CutoutOutside     ProblemKind = "cutout-outside"
	UnmappedLayer     ProblemKind = "unmapped-layer"
	LayerDoubtful     ProblemKind = "layer-doubtful"
	RolesGuessed      ProblemKind = "roles-guessed"
	UnreadEntity      ProblemKind = "unread-entity"
	UnitsUnknown      ProblemKind = "units-unknown"
	UnitsImplausible  ProblemKind = "units-implausible"
	OffPlane          ProblemKind = "off-plane"
	SeamAmbiguous     ProblemKind = "seam-ambiguous"
	MirroredText      ProblemKind = "mirrored-text"
	EdgeContradiction ProblemKind = "edge-contradiction"
	CoarseCurve       ProblemKind = "coarse-curve"
	EdgeFromMark      ProblemKind = "edge-from-mark"
	WideLine          ProblemKind = "wide-line"
	DashedLine        ProblemKind = "dashed-line"
)

// Problem is one thing found; fields without meaning for its kind are zero.
type Problem struct {
	Kind     ProblemKind
	Piece    string // id of the piece it lies on, if any
	Other    string // second piece, cutout or layer concerned
	Layer    string
	Role     Role   // of the layer
	Roles    []Role // of a doubtful layer: those in question
	Entity   string // "LINE", "HATCH" ...
	Line     int64  // line of the file
	At       geom.Point
	Witness  geom.Witness // both ends of a gap or a stray, the overlap's extent ...
	Lies     geom.Witness // of a stray wall: its longest stretch in stone
	Loops    []geom.Loop  // of an ambiguous cutout or outline: the outer line, then the inner one; of a closed line drawn twice: the one taken, then the other; of cutouts over each other both; the line of a cutout outside
	Measured float64      // gap in mm, overlap in mm2, count, height in mm
	Limit    float64      // what Measured is past, in its unit; the bridging distance of a gap; of a stray the distance in mm within which it would have counted
	Count    int
	From, To geom.Point // ends of an open line drawn a second time; Length is its length
	Radius   float64    // of the arc that coarse sides would make, mm
	Bulge    float64    // of such an arc from its sides, mm; Measured is the length of one
	Lost     float64    // of a curve off the plane that cuts: by how much it is shorter or narrower from above than drawn, mm; 0 up to the joining distance
	Part     bool       // a stretch of a line that bounds something elsewhere: it counts as a use there; of mirrored texts: blocks alone were turned over
	Closed   int        // of a layer nobody looks at: groups of lines that close in or across the stone of a piece
	Large    int        // and those as large as a piece outside all stone; Length and Width are of the largest
	Points   int        // and points in stone
	Open     int        // and lines in stone that close nowhere; Length is how far the longest lies in it where nothing closes
	Rival    string     // of a stray line of an outline: the layer of a mark beside it that an edge was taken from instead
	Unit     dxfio.Unit // of an implausible or unknown one: that in which everything fits
	NextUnit dxfio.Unit // one in which the sizes are about as usual, if any
	Length   float64    // of the smallest rectangle around what a doubtful layer holds, mm; 0 where only its name is in doubt; of a stray wall what of it lies in stone; of the largest common area of two pieces or cutouts
	Width    float64
	Why      string
}
