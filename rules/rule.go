// Package rules checks a template against what a shop can cut, carry and
// support.
//
// In goes a piece.Template with the shop's settings; out come flags (what is
// wrong, where, how much, what to do) and a list of what could not be checked.
// One rule stands in one file: what it measures, why, its default limit and the
// published source of that limit. A rule knows pieces and never DXF; it only
// measures and reports, and severities, keys and order are settled by Run.
package rules

import (
	"context"
	"fmt"
	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/rules/shop"
)

// Severity says how much a flag matters.
type Severity string

// The severities. A stop keeps a template from release until it is decided.
const (
	Stop Severity = "stop"
	Warn Severity = "warn"
	Note Severity = "note"
)

// Flag is one flaw found. Coordinates are local millimetres.
type Flag struct {
	Rule     string
	Severity Severity
	Piece    string // id; empty when the flaw is not on one piece
	Other    string // second piece, cutout or seam concerned
	At       geom.Point
	Further  []geom.Point  // more places of the same flaw, which one decision settles
	Witness  *geom.Witness // the line that shows the measurement, nil when there is none
	Stretch  float64       // length along the boundary under the limit, 0 without meaning
	Measured float64
	Limit    float64
	NoLimit  bool   // it is a plain figure: Limit is 0 and stands for nothing
	Unit     string // "mm", "mm2", "deg", "kg", "MPa", "share", "" for a count
	Message  string // one sentence a shop would say
	Remedy   string // one sentence with the numbers that would clear it
	Key      string // set by Run: stable across revisions of a template
	// Anchor is the place the key is made of instead of At, for a measure whose
	// place is one of many equal ones: it must not move against the stone when
	// the drawing is turned or drawn again.
	Anchor *geom.Point
}

// Unchecked is a rule, or a part of one, that could not look.
type Unchecked struct {
	Rule string
	Why  string
}

// Input is what a rule may look at.
type Input struct {
	Template *piece.Template
	Settings *Settings
	Shop     *shop.Settings
	Setups   map[string]*shop.Setup // by piece id
	// Role tells what the curves of a layer stand for; nil when nobody knows.
	Role func(layer string) piece.Role
	// Released is the revision of this template that was already released, ""
	// when none was.
	Released string
	// Context ends the checks early: what was not looked at then is unchecked. nil
	// for as long as they take.
	Context context.Context

	carry supportCache // the support searches, made once a piece for all rules
}

// ended reports whether the time for the checks is up.
func (in *Input) ended() bool { return in.Context != nil && in.Context.Err() != nil }

// Findings collects what a rule reports.
type Findings struct {
	rule      *Rule
	flags     []Flag
	unchecked []Unchecked
}

// Flag reports a flaw. Rule is filled in; Severity is the rule's first default
// when empty; At is the witness's middle when it is the zero point and a
// witness is given.
func (f *Findings) Flag(flag Flag) {
	flag.Rule = f.rule.ID
	if flag.Severity == "" {
		flag.Severity = f.rule.Severities[0]
	}
	if flag.Witness != nil && flag.At == (geom.Point{}) {
		flag.At = flag.Witness.Middle()
	}
	f.flags = append(f.flags, flag)
}

// Unchecked reports that the rule could not look, and why.
func (f *Findings) Unchecked(why string) {
	f.unchecked = append(f.unchecked, Unchecked{f.rule.ID, why})
}

// Blind reports that the rule broke off where it should have looked: unlike what it had no
// reason to look at, nobody knows whether the stone is right. It counts as the gravest that
// the rule finds, so that somebody looks instead.
func (f *Findings) Blind(pieceID, why string) {
	f.Unchecked(why)
	of := ""
	if pieceID != "" {
		of = " of piece " + pieceID
	}
	f.Flag(Flag{
		Piece: pieceID, Other: "not looked at", NoLimit: true,
		Message: fmt.Sprintf("The check %s%s could not look to its end: %s.", f.rule.ID, of, why),
		Remedy:  "Check this by hand and accept it with your findings, or draw it simpler and drop the drawing again.",
	})
}

// Rule is one check.
type Rule struct {
	ID         string     // stands in settings, workbooks and decisions: never renamed
	Severities []Severity // the defaults it can raise, gravest first
	What       string     // what it finds, one sentence
	Why        string     // what goes wrong in the shop without it
	How        string     // how it is measured, with what does not count
	// Limits are the keys of the settings (such as "rules.narrow_stop") it
	// compares with; their defaults, units and sources come from the settings.
	Limits []string
	// Whole is true when its flags are about a piece as a whole: the key then
	// leaves their place out, which is only where the picture shows them.
	Whole bool
	// ReturnOnly is true when nobody can accept its flags, because other rules did not look
	// on account of them: there is nothing whole yet that could be accepted.
	ReturnOnly bool
	Check      func(in *Input, out *Findings)
}
