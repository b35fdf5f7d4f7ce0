package watch

import (
	"context"

	"trueup/report"
)

// Processor does the work on one template.
//
// A drawing that cannot be worked on is an Outcome with the verdict failed and
// a nil error. An error means that the surroundings failed (disk full, share
// gone): the service keeps the original and tries again. Process must return
// soon after ctx is done, and may be called from several goroutines at once.
type Processor interface {
	Process(ctx context.Context, in Work) (Outcome, error)
}

// ProcessorFunc is a function as a Processor.
type ProcessorFunc func(ctx context.Context, in Work) (Outcome, error)

// Process calls f.
func (f ProcessorFunc) Process(ctx context.Context, in Work) (Outcome, error) { return f(ctx, in) }

// Work is one template to be worked on.
type Work struct {
	Job      string    // the path below drop/, slash separated, without .dxf
	File     string    // the name shown in messages: as it was dropped
	Revision int       // 1, 2, ...
	Original string    // absolute path of the original; read only
	SHA256   string    // of the original, lower-case hex
	Bytes    int64     // of the original
	OutDir   string    // absolute path of an empty folder for everything that is published
	Earlier  string    // result.json of the newest earlier revision; "" when there is none
	Released string    // result.json of the newest revision in ready/; "" when none was released
	Carried  []Carried // decisions accepted in earlier revisions, newest first, one a key
}

// Carried is a flag that the office accepted in an earlier revision.
type Carried struct {
	Key      string
	Decision report.Decision
	Piece    string // that the flag was about
}

// Outcome is what became of a template.
type Outcome struct {
	Verdict report.Verdict
	Error   string // why it failed: one sentence with file, place, finding and remedy
	Counts
}

// Counts are the figures of a result that the register shows.
type Counts struct {
	Pieces    int `json:"pieces"`
	Stops     int `json:"stops"` // undecided and decided
	Warnings  int `json:"warnings"`
	Notes     int `json:"notes"`
	Repairs   int `json:"repairs"`
	Unchecked int `json:"unchecked"`
}
