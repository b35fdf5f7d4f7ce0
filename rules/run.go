package rules

import (
	"cmp"
	"fmt"
	"log/slog"
	"math"
	"runtime/debug"
	"slices"

	"trueup/dxfio/geom"
)

// Report is what all rules together found in one template.
type Report struct {
	Flags     []Flag      // gravest first, then by rule, piece and place
	Unchecked []Unchecked // in the order of the catalogue
}

// Run checks a template with every rule of the catalogue. The steps and why they
// stand in this order: each rule measures by itself, so that the fault of one
// costs no other; what is no number is taken out before anything compares it;
// a flag hidden by a graver one goes before severities are changed by the
// settings, which must not bring it back; keys need the final set of flags,
// and the order needs the keys. The same template gives the same report.
func Run(in *Input) Report {
	var report Report
	if in == nil || in.Template == nil || in.Settings == nil {
		return Report{Unchecked: []Unchecked{{"", "there is no template to check"}}}
	}
	catalogue := Catalogue()
	for i := range catalogue {
		r := &catalogue[i]
		found := runRule(r, in)
		report.Unchecked = append(report.Unchecked, found.unchecked...)
		report.Flags = append(report.Flags, override(withoutHidden(found.flags), r, in, &report)...)
	}
	sortFlags(catalogue, report.Flags)
	if in.ended() {
		return report
	}
	giveKeys(catalogue, in.Template, report.Flags)
	return report
}

// runRule runs one rule. A rule that is off did not look and says so. A panic
// is this rule's loss alone: what it found until then stands, and it counts as
// not having looked.
func runRule(r *Rule, in *Input) (found Findings) {
	found.rule = r
	if slices.Contains(in.Settings.Off, r.ID) {
		found.Unchecked("switched off in the settings (rules.off)")
		return found
	}
	defer func() {
		if fault := recover(); fault != nil {
			slog.Error("a rule stopped", "rule", r.ID, "fault", fault, "stack", string(debug.Stack()))
			found.Blind("", fmt.Sprintf("a fault in the rule stopped it (%v); keep the drawing and report it", fault))
		}
		found.dropUnreal()
	}()
	if r.waitsForUnit(in) {
		found.Unchecked("waits for the unit of the drawing, which is in doubt")
		return found
	}
	if !in.ended() {
		r.Check(in, &found)
	}
	if in.ended() {
		found.Unchecked("the time for this drawing was up")
	}
	return found
}

// dropUnreal takes flags with a figure that is not finite for a rule that could not look:
// such a figure compares with nothing.
func (f *Findings) dropUnreal() {
	var lost []string // by piece
	f.flags = slices.DeleteFunc(f.flags, func(g Flag) bool {
		real := !math.IsNaN(g.Measured) && !math.IsInf(g.Measured, 0) &&
			!math.IsNaN(g.Limit) && !math.IsInf(g.Limit, 0) && g.At.Finite()
		if !real {
			lost = append(lost, g.Piece)
		}
		return !real
	})
	for _, p := range lost {
		f.Blind(p, "a measure came out as no number; keep the drawing and report it")
	}
}

// samePlace is the distance in mm within which two flags of one rule show the
// same flaw: far below anything that has two flaws, far above rounding.
const samePlace = 1

// withoutHidden leaves out a flag of a rule where a graver one of the same
// piece and partner stands at the same place, and a second one as grave. Two that
// show different lines are two flaws, though both have their middle there: the
// two strokes of a cross.
func withoutHidden(flags []Flag) []Flag {
	if len(flags) < 2 {
		return flags
	}
	kept := make([]Flag, 0, len(flags))
	slices.SortStableFunc(flags, func(a, b Flag) int { return cmp.Compare(rank(a.Severity), rank(b.Severity)) })
	for _, f := range flags {
		hidden := slices.ContainsFunc(kept, func(g Flag) bool {
			return g.Piece == f.Piece && g.Other == f.Other && g.Unit == f.Unit && f.hasPlace() &&
				g.At.Distance(f.At) <= samePlace && sameLine(g.Witness, f.Witness) && (rank(g.Severity) < rank(f.Severity) || g.Measured == f.Measured)
		})
		if !hidden {
			kept = append(kept, f)
		}
	}
	return kept
}

// sameLine reports whether two flags show one line, or at least one of them none.
func sameLine(v, w *geom.Witness) bool {
	if v == nil || w == nil {
		return true
	}
	along := v.From.Distance(w.From) <= samePlace && v.To.Distance(w.To) <= samePlace
	return along || v.From.Distance(w.To) <= samePlace && v.To.Distance(w.From) <= samePlace
}

// hasPlace reports whether the flag stands somewhere: a flag about a whole
// layer or file has no place that could be another's.
func (f Flag) hasPlace() bool { return f.Piece != "" || f.Witness != nil }

// override gives the flags of a rule the severity that the settings want.
func override(flags []Flag, r *Rule, in *Input, report *Report) []Flag {
	word, ok := in.Settings.Severity[r.ID]
	if !ok {
		return flags
	}
	if rank(Severity(word)) == notASeverity {
		report.Unchecked = append(report.Unchecked, Unchecked{r.ID, fmt.Sprintf(
			"the settings give it the severity %q, which is none of stop, warn, note: its own was kept", word)})
		return flags
	}
	for i := range flags {
		flags[i].Severity = Severity(word)
	}
	return flags
}

// rank orders severities, gravest first; a word that is none of them comes last.
func rank(s Severity) int {
	switch s {
	case Stop:
		return 0
	case Warn:
		return 1
	case Note:
		return 2
	}
	return notASeverity
}

const notASeverity = 3

// sortFlags orders by severity, rule as in the catalogue, piece and place.
func sortFlags(catalogue []Rule, flags []Flag) {
	order := make(map[string]int, len(catalogue))
	for i := range catalogue {
		order[catalogue[i].ID] = i
	}
	slices.SortStableFunc(flags, func(a, b Flag) int {
		return cmp.Or(
			cmp.Compare(rank(a.Severity), rank(b.Severity)),
			cmp.Compare(order[a.Rule], order[b.Rule]),
			cmp.Compare(a.Piece, b.Piece),
			cmp.Compare(a.At.X, b.At.X), cmp.Compare(a.At.Y, b.At.Y),
			cmp.Compare(a.Other, b.Other),
			cmp.Compare(a.Measured, b.Measured), cmp.Compare(a.Message, b.Message),
		)
	})
}
