package watch

import (
	"fmt"
	"path"

	"trueup/report"
)

// movedByHand is the state, in register and status, of a folder that does not stand where
// the service put it.
const movedByHand = "moved by hand"

// Moved is a folder that somebody moved, renamed or made: it counts as undecided.
type Moved struct {
	Folder string `json:"folder"`
	Why    string `json:"why"`
}

// misplaced says of a folder that it bears another name than the job and revision of its
// card; "" when it does not. Such a folder is none of the job's revisions.
func misplaced(r revision, c card) string {
	if c.Revision == r.number && jobKey(c.Job) == jobKey(r.job) {
		return ""
	}
	return fmt.Sprintf("holds what the service published as %s, revision %d; move it back to %s", c.Job, c.Revision, path.Join(r.state, c.Job, fmt.Sprint(c.Revision)))
}

// moved says why a folder is not where the service put it; "" when it is, or where the
// office may have put it back to be decided again, which is review/.
func moved(r revision, c card) string {
	if why := misplaced(r, c); why != "" {
		return why
	}
	put := map[report.Verdict]string{report.Ready: readyDir, report.Review: reviewDir, report.Failed: failedDir}[c.Verdict]
	if c.Decided != nil {
		put = c.Decided.Verdict
	}
	switch {
	case put == r.state, put == "", r.state == reviewDir && put != failedDir:
		return ""
	case r.state == readyDir:
		return "was not released, neither by a decision nor by having no stop; move it back to " + path.Join(put, r.job, fmt.Sprint(r.number))
	}
	return "was put by the service into " + put + "/; move it back to " + path.Join(put, r.job, fmt.Sprint(r.number))
}

// unknownCard says of a folder whose card cannot be read that it counts as moved, where
// that hides whether it was released; in review/ the service's own record tells.
func unknownCard(r revision) string {
	if r.state != readyDir && r.state != returnedDir {
		return ""
	}
	return cardFile + " is not there or cannot be read, so nobody knows whether this was released; move it away, and drop the drawing again"
}

// foreign tells a folder that is none of the revisions of the job whose name it bears.
func (r filed) foreign() bool { return misplaced(r.revision, r.card) != "" }
