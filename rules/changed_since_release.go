package rules

import "fmt"

// changedSinceRelease reports a new revision of a template that was already
// released. There is no place and no measure: Measured and Limit are 0.
func changedSinceRelease() Rule {
	return Rule{
		ID:         "changed-since-release",
		Severities: []Severity{Stop},
		What:       "A new revision of a template that was already released.",
		Why:        "The slab may already be cut: somebody has to compare the two before anything else is.",
		How:        "The job has a revision that went to the machines, and this is another drawing.",
		Check: func(in *Input, out *Findings) {
			if in.Released == "" {
				return
			}
			out.Flag(Flag{
				// Accepting the change from one release says nothing about the next.
				Other:   in.Released,
				Message: fmt.Sprintf("This template was already released (%s) and has changed since.", in.Released),
				Remedy:  "Compare the sheet Changes with what has been cut, and accept or return this revision.",
			})
		},
	}
}
