package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"encoding/json"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/rules"
	"trueup/rules/shop"
)

// Input is everything that was found in one template. Coordinates are local
// millimetres; the result's are the drawing's own frame.
type Input struct {
	Source   Source
	Job      string
	Revision int // 0 outside a shop's folders
	// Template may be nil or without a piece: the verdict is then Failed.
	Template *piece.Template
	Findings rules.Report
	Setups   map[string]*shop.Setup // by piece id; a missing one is listed as unchecked
	// Shop holds the shop's machines and slabs, for the figures of the whole job;
	// nil leaves these out.
	Shop *shop.Settings
	// Decisions holds what the office decided, by flag key.
	Decisions map[string]Decision
	// SeamSupported tells whether a support carries the seam with this id, and
	// whether anybody could look; nil when nobody looked.
	SeamSupported func(seamID string) (supported, looked bool)
}

// Build makes the result document. Lists without members are empty, never nil,
// so that they are written as []; numbers are rounded to 1e-6 of their unit. A
// number that is not finite is written as 0 and named among the unchecked.
func Build(in Input) *Result {
	b := builder{in: in, result: blank(in.Source, in.Job, in.Revision)}
	if in.Template != nil {
		b.shift = in.Template.Shift
		b.template(in.Template)
	}
	b.result.JobSetup = b.jobSetup(in.Template)
	b.flags()
	for _, u := range in.Findings.Unchecked {
		b.result.Unchecked = append(b.result.Unchecked, Unchecked{u.Rule, u.Why})
	}
	if len(b.unusable) > 0 {
		b.result.Unchecked = append(b.result.Unchecked, Unchecked{"report",
			"not a finite number, shown as 0: " + strings.Join(b.unusable, ", ")})
	}
	b.result.Verdict = verdict(b.result)
	if b.result.Verdict == Failed {
		b.result.Error = noPiece(b.result)
	}
	return b.result
}

// FailedResult makes the result document of a file that could not be read; err
// says where, what was found and what to do.
func FailedResult(source Source, job string, revision int, err error) *Result {
	r := blank(source, job, revision)
	r.Verdict, r.Error = Failed, "the file could not be read"
	if err != nil {
		r.Error = err.Error()
	}
	return r
}

// WriteJSON writes the document followed by a line feed: on one line, or
// indented for people.
func (r *Result) WriteJSON(w io.Writer, indent bool) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	if indent {
		e.SetIndent("", "  ")
	}
	return e.Encode(r)
}

// jobName is the job, or the file where there is none.
func (r *Result) jobName() string {
	if r.Job != "" {
		return r.Job
	}
	return strings.TrimSuffix(strings.TrimSuffix(r.Source.File, ".dxf"), ".DXF")
}

func blank(source Source, job string, revision int) *Result {
	return &Result{
		Schema: Schema, Source: source, Job: job, Revision: revision,
		Pieces: []Piece{}, Seams: []Seam{}, Flags: []Flag{}, Repairs: []Repair{},
		Unchecked: []Unchecked{}, Unread: []Unread{},
	}
}

// verdict follows the pieces and the stop flags. A flag sent back is decided,
// but nothing that is sent back is ready.
func verdict(r *Result) Verdict {
	if r.Error != "" || len(r.Pieces) == 0 {
		return Failed
	}
	if t := Counts(r); t.Undecided > 0 || t.Returned > 0 {
		return Review
	}
	return Ready
}

func noPiece(r *Result) string {
	s := r.Source.File + ": no piece could be made"
	for _, f := range r.Flags {
		if f.Severity == string(rules.Stop) {
			return s + ": " + strings.TrimRight(f.Message, ".") + "; " + f.Remedy
		}
	}
	return s + ": no closed outline on a layer with the role outline; check the layer names against the roles in the settings"
}

// Tally counts the flags of a result.
type Tally struct {
	Stop, Warn, Note int // all, decided or not
	Undecided        int // stop flags without a decision
	Accepted         int // flags of any severity
	Returned         int // flags of any severity
}

// Counts counts the flags of a result by severity and decision.
func Counts(r *Result) Tally {
	var t Tally
	for _, f := range r.Flags {
		switch rules.Severity(f.Severity) {
		case rules.Stop:
			t.Stop++
			if f.Decision == nil {
				t.Undecided++
			}
		case rules.Warn:
			t.Warn++
		default:
			t.Note++
		}
		if f.Decision == nil {
			continue
		}
		if f.Decision.Choice == Return {
			t.Returned++
		} else {
			t.Accepted++
		}
	}
	return t
}

// builder maps what was found to the result document.
type builder struct {
	in       Input
	result   *Result
	shift    geom.Point
	unusable []string // names of numbers that were not finite
}

// decimals is the rounding of every number in the document: a millionth of a
// millimetre hides the noise of floating point and nothing a shop measures.
const decimals = 1e6

// largestRounded is where rounding to decimals would overrun 53 bits.
const largestRounded = 1 << 53 / decimals

func (b *builder) number(name string, v float64) float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		b.unusable = append(b.unusable, name)
		return 0
	}
	if math.Abs(v) >= largestRounded {
		return v
	}
	return math.Round(v*decimals)/decimals + 0 // + 0 turns -0 into 0
}

func (b *builder) place(name string, p geom.Point) XY {
	return XY{b.number(name+" x", p.X+b.shift.X), b.number(name+" y", p.Y+b.shift.Y)}
}

func (b *builder) flags() {
	for i, f := range b.in.Findings.Flags {
		id := fmt.Sprintf("F%d", i+1)
		out := Flag{
			ID: id, Key: f.Key, Rule: f.Rule, Severity: string(f.Severity), Piece: f.Piece, Other: b.otherPiece(&f),
			At: b.place(id, f.At), Witness: []XY{},
			Stretch:  b.number(id+" stretch", f.Stretch),
			Measured: b.number(id+" measured", f.Measured),
			Limit:    b.number(id+" limit", f.Limit), NoLimit: f.NoLimit,
			Unit: f.Unit, Message: f.Message, Remedy: f.Remedy,
		}
		for _, p := range f.Further {
			out.Further = append(out.Further, b.place(id, p))
		}
		if f.Witness != nil {
			out.Witness = []XY{b.place(id, f.Witness.From), b.place(id, f.Witness.To)}
		}
		if d, ok := b.in.Decisions[f.Key]; ok && f.Key != "" {
			out.Decision = &d
		}
		b.result.Flags = append(b.result.Flags, out)
	}
}

// otherPiece returns the second piece that a flag is about: the one it names, or
// the other one of the seam it names; "" when there is none.
func (b *builder) otherPiece(f *rules.Flag) string {
	if b.in.Template == nil || f.Piece == "" || f.Other == "" {
		return ""
	}
	for i := range b.in.Template.Seams {
		if s := &b.in.Template.Seams[i]; s.ID == f.Other {
			if s.Pieces[0] == f.Piece {
				return s.Pieces[1]
			}
			return s.Pieces[0]
		}
	}
	for i := range b.in.Template.Pieces {
		if id := b.in.Template.Pieces[i].ID; id == f.Other && id != f.Piece {
			return id
		}
	}
	return ""
}
