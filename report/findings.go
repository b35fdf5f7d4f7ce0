package report

import "trueup/rules"

// Findings is what the rules found in a template, in order, and what they could
// not look at.
type Findings struct {
	Flags     []rules.Flag
	Unchecked []rules.Unchecked
}
