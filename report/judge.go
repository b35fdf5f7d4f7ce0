package report

import (
	"fmt"

	"trueup/rules"
)

// State is what the decisions of a workbook amount to.
type State string

// The states of a set of decisions.
const (
	Undecided     State = "undecided"     // nothing decided yet, though something waits
	Incomplete    State = "incomplete"    // something decided, something missing
	Contradictory State = "contradictory" // two things that exclude each other, or not understood
	Accepted      State = "accepted"      // every stop flag is accepted with a name and a reason
	Returned      State = "returned"      // a flag is sent back with a name and a reason
)

// Judgement is what the decisions mean for a result.
type Judgement struct {
	State     State
	Missing   []string            // what is missing or wrong, one sentence each
	Decisions map[string]Decision // by flag key: the whole ones
	// Unusable is true when nothing that is written into this workbook can help.
	Unusable bool
}

// Judge holds the decisions of a workbook against the flags of its result. One
// flag sent back, with a name and a reason, sends the template back whatever
// else is decided; everything that is not understood keeps it where it is. The
// report of another job, revision or drawing decides nothing.
func (d Decisions) Judge(r *Result) Judgement {
	j := judge{result: r, rows: map[string]DecisionRow{}, out: Judgement{Decisions: map[string]Decision{}}}
	if why := foreign(d.mark, r); why != "" {
		j.out.State, j.out.Missing, j.out.Unusable = Contradictory, []string{why}, true
		return j.out
	}
	for _, p := range d.Problems {
		j.contradiction("%s", p)
	}
	j.collect(d.Rows)
	for _, f := range r.Flags {
		j.back = j.back || j.rows[f.Key].Choice == Return
	}
	decided, returned := 0, 0
	for _, f := range r.Flags {
		row := j.rows[f.Key]
		if row.Choice != "" {
			decided++
		}
		if j.flag(f, row) && row.Choice == Return {
			returned++
		}
	}
	switch {
	case j.contradictory:
		j.out.State = Contradictory
	case returned > 0 && !j.half:
		j.out.State = Returned
	case len(j.out.Missing) == 0:
		j.out.State = Accepted
	case decided == 0:
		j.out.State = Undecided
	default:
		j.out.State = Incomplete
	}
	return j.out
}

type judge struct {
	result        *Result
	rows          map[string]DecisionRow
	contradictory bool
	half          bool // a choice lacks its name or reason
	back          bool // something is to go back, whatever else is decided
	out           Judgement
}

func (j *judge) contradiction(format string, args ...any) {
	j.contradictory = true
	j.out.Missing = append(j.out.Missing, fmt.Sprintf(format, args...))
}

// collect sorts the rows by key and reports those that exclude each other or
// belong to no flag.
func (j *judge) collect(rows []DecisionRow) {
	known := map[string]string{}
	for _, f := range j.result.Flags {
		known[f.Key] = f.ID
	}
	for _, row := range rows {
		id, ok := known[row.Key]
		if !ok {
			if row.Choice != "" {
				j.contradiction("row %d decides %s, which is no flag of this result; the key was changed or the report is an old one", row.Row, cutUnits(row.Key, 80))
			}
			continue
		}
		// Rows that were sorted in part show one flag and carry the key of another.
		if row.Flag != "" && row.Flag != id && (row.Choice != "" || row.By != "" || row.Why != "") {
			j.contradiction("row %d shows %s, but its key is that of %s: the columns were sorted apart; sort them back, all columns together", row.Row, cutUnits(row.Flag, 40), id)
		}
		first, twice := j.rows[row.Key]
		if twice && row.Choice != "" && first.Choice != "" && row.Choice != first.Choice {
			j.contradiction("rows %d and %d decide the same flag differently (%s and %s)", first.Row, row.Row, first.Choice, row.Choice)
		}
		if !twice || first.Choice == "" {
			j.rows[row.Key] = row
		}
	}
}

// flag judges one flag's row and reports whether it is decided in full.
func (j *judge) flag(f Flag, row DecisionRow) bool {
	missing := func(what string) { j.out.Missing = append(j.out.Missing, f.ID+" ("+f.Rule+"): "+what) }
	if row.Choice == "" {
		switch {
		case row.Unclear: // said already
		case row.By != "" || row.Why != "":
			missing("a name or a reason is given but no decision")
		case f.Severity == string(rules.Stop) && !j.back: // one flag sent back is enough
			missing("no decision")
		}
		return false
	}
	if row.Choice == Accept && returnOnly(&f) {
		j.contradiction("%s (%s) cannot be accepted: because of it other checks did not look; send it back, or drop the drawing again once it is mended", f.ID, f.Rule)
		return false
	}
	if row.By == "" {
		missing("By is empty")
	}
	if row.Why == "" {
		missing("Why is empty")
	}
	if row.By == "" || row.Why == "" {
		j.half = true
		return false
	}
	d := Decision{Choice: row.Choice, By: row.By, Why: row.Why, Revision: j.result.Revision, Key: f.Key, Measured: f.Measured}
	if was := f.Decision; was != nil && was.Choice == d.Choice && was.By == d.By && was.Why == d.Why {
		d = *was // carried over: it stays the older revision's
	}
	j.out.Decisions[f.Key] = d
	return true
}
