// Package report turns what was found in a template into what people and
// machines read: the result document, the workbook, the drawings.
//
// In go a piece.Template, its flags and set-up figures; out come result.json,
// report.xlsx, pictures and the marked drawing as bytes. The package judges
// nothing and moves no files; all it measures is what places and figures need.
package report

// Schema is the version of the result document. Fields may be added to it,
// never renamed or dropped.
const Schema = 1

// Verdict is what becomes of a template.
type Verdict string

// The verdicts.
const (
	Ready  Verdict = "ready"  // no undecided stop flag
	Review Verdict = "review" // a stop flag waits for the office
	Failed Verdict = "failed" // no piece could be made
)

// XY is a place: x and y in mm in the drawing's own frame.
type XY [2]float64

// Result is the result document of one template. Lengths are mm, areas mm2,
// masses kg, angles degrees; coordinates are the drawing's own frame in mm.
type Result struct {
	Schema    int         `json:"schema"`
	Source    Source      `json:"source"`
	Job       string      `json:"job,omitempty"`
	Revision  int         `json:"revision,omitempty"`
	Verdict   Verdict     `json:"verdict"`
	Error     string      `json:"error,omitempty"`
	Units     Units       `json:"units"`
	Pieces    []Piece     `json:"pieces"`
	Seams     []Seam      `json:"seams"`
	Flags     []Flag      `json:"flags"`
	Repairs   []Repair    `json:"repairs"`
	Unchecked []Unchecked `json:"unchecked"`
	Unread    []Unread    `json:"unread"`
	LeftOut   []LeftOut   `json:"left_out,omitempty"`  // files of the report that would have grown past all measure
	JobSetup  *JobSetup   `json:"job_setup,omitempty"` // of all pieces together
}

// Source says which file was read.
type Source struct {
	File   string `json:"file"`
	SHA256 string `json:"sha256"`
	Bytes  int64  `json:"bytes"`
}

// Units says what the drawing's unit is and where that came from.
type Units struct {
	Drawing string `json:"drawing"`
	From    string `json:"from"`
}

// Piece is one piece of stone.
type Piece struct {
	ID          string     `json:"id"`
	Kind        string     `json:"kind"`
	Length      float64    `json:"length_mm"`
	Width       float64    `json:"width_mm"`
	AngleDeg    float64    `json:"angle_deg"`
	Area        float64    `json:"area_mm2"`
	GrossArea   float64    `json:"gross_area_mm2"`
	Perimeter   float64    `json:"perimeter_mm"`
	Thickness   float64    `json:"thickness_mm"`
	Material    string     `json:"material"`
	Mass        float64    `json:"mass_kg"`
	Centroid    XY         `json:"centroid_mm"`
	BoundingBox [4]float64 `json:"bbox_mm"`
	Edges       []Edge     `json:"edges"`
	Cutouts     []Cutout   `json:"cutouts"`
	Setup       Setup      `json:"setup"`
}

// Edge is one edge of a piece; RadiusMM is 0 for a line.
type Edge struct {
	N         int     `json:"n"`
	Kind      string  `json:"kind"`
	From      XY      `json:"from_mm"`
	To        XY      `json:"to_mm"`
	Length    float64 `json:"length_mm"`
	Radius    float64 `json:"radius_mm"`
	CornerDeg float64 `json:"corner_deg"`
	Finish    string  `json:"finish"`
}

// Cutout is one opening through a piece.
type Cutout struct {
	ID        string  `json:"id"`
	Kind      string  `json:"kind"`
	Area      float64 `json:"area_mm2"`
	Perimeter float64 `json:"perimeter_mm"`
	Length    float64 `json:"length_mm"`
	Width     float64 `json:"width_mm"`
	MinRadius float64 `json:"min_radius_mm"`
	Diameter  float64 `json:"diameter_mm"`
	Centroid  XY      `json:"centroid_mm"`
	// DividedBy names the seams that divide the cutout. All figures but the least
	// radius and the diameter are then those of the part that is cut from this
	// piece, the perimeter without the line where the other part begins; the whole
	// cutout's size is WholeLength by WholeWidth.
	DividedBy   []string `json:"divided_by,omitempty"`
	WholeLength float64  `json:"whole_length_mm,omitempty"`
	WholeWidth  float64  `json:"whole_width_mm,omitempty"`
}

// what is the cutout's kind, and whether it is a part of one.
func (c Cutout) what() string {
	if len(c.DividedBy) > 0 {
		return c.Kind + ", part: divided by " + dividedBy(c.DividedBy)
	}
	return c.Kind
}

// Setup is the machines' set-up figures of a piece.
type Setup struct {
	Saw        float64  `json:"saw_mm"`
	Router     float64  `json:"router_mm"`
	RunMinutes float64  `json:"run_minutes"`
	Polish     []Polish `json:"polish"`

	// What Router is made of: stretches at inside corners (those that saw-short
	// tells), arcs, and straights that the saw leaves for no corner's sake.
	RouterCorners   float64 `json:"router_corners_mm"`
	RouterArcs      float64 `json:"router_arcs_mm"`
	RouterStraights float64 `json:"router_straights_mm"`

	SawMinutes    float64    `json:"saw_minutes"` // of RunMinutes, likewise the next two
	RouterMinutes float64    `json:"router_minutes"`
	PolishMinutes float64    `json:"polish_minutes"`
	Cuts          []SawCut   `json:"cuts"`
	Holes         int        `json:"holes"` // drilled
	Profiles      []Profile  `json:"profiles"`
	HandFinished  []HandEdge `json:"hand_finished"`
	Persons       int        `json:"persons"` // who lift it by hand; 0: not known
	PersonLoad    float64    `json:"person_load_kg"`
	Strongbacks   []string   `json:"strongbacks"` // cutouts that leave thin rails
	Slab          string     `json:"slab"`        // that it fits, empty: none or not known
	Notes         []string   `json:"notes"`       // what could not be told, and why
}

// SawCut is one straight cut; From and To are what is cut through to the bottom.
type SawCut struct {
	Edges      []int   `json:"edges"` // of the outline; none on a cutout
	Cutout     string  `json:"cutout"`
	From       XY      `json:"from_mm"`
	To         XY      `json:"to_mm"`
	Length     float64 `json:"length_mm"`
	AngleDeg   float64 `json:"angle_deg"`
	StartShort float64 `json:"start_short_mm"` // by which it stops before the straight's start
	EndShort   float64 `json:"end_short_mm"`
	Bevel      bool    `json:"bevel"`
}

// Profile is the finished length of one edge profile.
type Profile struct {
	Name   string  `json:"name"` // empty: the shop's usual one
	Length float64 `json:"length_mm"`
}

// HandEdge is a finished edge that no edge polisher reaches.
type HandEdge struct {
	Edge   int     `json:"edge"`
	Length float64 `json:"length_mm"`
	Radius float64 `json:"radius_mm"`
	Why    string  `json:"why"`
}

// Polish is the finished edges of one side: a pass through the edge polisher, or
// work by hand where HandWork says why; the polisher then takes no minutes.
type Polish struct {
	Edges          []int   `json:"edges"`
	Length         float64 `json:"length_mm"`
	Minutes        float64 `json:"minutes"`
	FeedMinutes    float64 `json:"feed_minutes"` // with run-in, run-out and set-up: adds up to the piece's polish_minutes
	StepsLeadStart []Step  `json:"steps_lead_start"`
	StepsLeadEnd   []Step  `json:"steps_lead_end"`
	Profile        string  `json:"profile"`
	// AheadStart and AheadEnd are how far the piece reaches beyond the side's ends:
	// added to the steps where the operator sets from the piece's end.
	AheadStart float64 `json:"ahead_start_mm"`
	AheadEnd   float64 `json:"ahead_end_mm"`
	HandWork   string  `json:"hand_work"` // why the edge polisher cannot, else empty
}

// Step is a step of an edge, from the leading end.
type Step struct {
	At     float64 `json:"at_mm"`
	Offset float64 `json:"offset_mm"`
}

// Seam is where two pieces meet.
type Seam struct {
	ID        string     `json:"id"`
	Pieces    []string   `json:"pieces"`
	Kind      string     `json:"kind"`
	Length    float64    `json:"length_mm"`
	MaxGap    float64    `json:"max_gap_mm"`
	Supported *bool      `json:"supported"` // null when no support is drawn
	Steps     []SeamStep `json:"steps"`
}

// SeamStep is a step of a seam as one of its pieces has it.
type SeamStep struct {
	Piece string  `json:"piece"`
	At    float64 `json:"at_mm"`
	Depth float64 `json:"depth_mm"`
}

// Flag is one flaw.
type Flag struct {
	ID       string    `json:"id"`
	Key      string    `json:"key"`
	Rule     string    `json:"rule"`
	Severity string    `json:"severity"`
	Piece    string    `json:"piece"`
	Other    string    `json:"other_piece,omitempty"` // the second piece it is about
	At       XY        `json:"at_mm"`
	Further  []XY      `json:"further_mm,omitempty"` // more places of the same flaw
	Witness  []XY      `json:"witness_mm"`           // two ends, or empty
	Stretch  float64   `json:"stretch_mm"`
	Measured float64   `json:"measured"`
	Limit    float64   `json:"limit"`
	NoLimit  bool      `json:"no_limit,omitempty"` // a plain figure: Limit is 0 and stands for nothing
	Unit     string    `json:"unit"`
	Message  string    `json:"message"`
	Remedy   string    `json:"remedy"`
	Decision *Decision `json:"decision"`
}

// Decision is what the office decided about a flag.
type Decision struct {
	Choice   string `json:"choice"` // accept or return
	By       string `json:"by"`
	Why      string `json:"why"`
	Revision int    `json:"revision"` // in which it was decided
	// Key and Measured are the flag's when somebody looked at it: what is carried
	// over is held against these, not against the revision between.
	Key      string  `json:"key,omitempty"`
	Measured float64 `json:"measured"`
}

// Repair is a change made to the drawing.
type Repair struct {
	Kind  string  `json:"kind"`
	At    XY      `json:"at_mm"`
	Size  float64 `json:"size_mm"`
	Layer string  `json:"layer"`
	// Radius of the arc that stands for chords; other repairs have none.
	Radius float64 `json:"radius_mm,omitempty"`
}

// Unchecked is a rule that could not look.
type Unchecked struct {
	Rule string `json:"rule"`
	Why  string `json:"why"`
}

// LeftOut is a file that the report lacks.
type LeftOut struct {
	File string `json:"file"`
	Why  string `json:"why"`
}

// Unread counts entities that were not used.
type Unread struct {
	Type  string `json:"type"`
	Layer string `json:"layer"`
	Why   string `json:"why,omitempty"`
	Count int    `json:"count"`
}
