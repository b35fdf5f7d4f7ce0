package trace

import (
	"context"
	"fmt"

	"trueup/dxfio/geom"
)

// Guard bounds the work on one drawing: it ends it when its context ends, or when
// so many curves lie near each other that comparing them would take their number
// squared. It is for one goroutine. A nil Guard bounds nothing.
type Guard struct {
	ctx     context.Context
	allowed int // steps, 0 for any number
	steps   int
	looked  int // steps when the context was looked at last
}

// A step is about what comparing two lines takes, 20 ns.
const (
	stepsBetweenLooks = 1 << 14 // a third of a millisecond
	stepsPerCurve     = 1000    // granted for every curve; ordinary drawings take under a hundred
	meetingSteps      = 30      // two curves are intersected
	arrangeSteps      = 500     // a small set of loops is arranged
	meetingsPerCurve  = 10      // granted for every curve; ordinary drawings have under one
)

// NewGuard returns a Guard for one drawing that ends with ctx and grants as many
// comparisons as the settings say beside those that every curve is granted.
func NewGuard(ctx context.Context, s Settings) *Guard {
	return &Guard{ctx: ctx, allowed: s.Comparisons}
}

// grant allows for the work on so many curves.
func (g *Guard) grant(curves int) {
	if g != nil && g.allowed > 0 {
		g.allowed += stepsPerCurve * curves
	}
}

// Spend counts steps of work. The error is the cause of the context's end, or a
// *CrowdError without place and curve.
func (g *Guard) Spend(steps int) error {
	if g == nil {
		return nil
	}
	g.steps += steps
	if g.steps-g.looked < stepsBetweenLooks {
		return nil
	}
	g.looked = g.steps
	if err := context.Cause(g.ctx); err != nil {
		return err
	}
	if g.allowed > 0 && g.steps > g.allowed {
		return &CrowdError{Limit: KeyComparisons, Most: g.allowed, ID: -1}
	}
	return nil
}

// Keys of the limits as they stand in a settings file.
const (
	KeyMeetings    = "closing.meetings"
	KeyComparisons = "closing.comparisons"
)

// CrowdError says that curves lie so near each other that closing them was given
// up: which limit of the settings was passed, and where.
type CrowdError struct {
	Limit  string // key of the setting
	Most   int    // how many it comes to for this drawing
	Curves int    // that were being closed
	At     geom.Point
	ID     int32 // a curve of the input in the crowd, -1 when not known
}

func (e *CrowdError) Error() string {
	what := "they would have to be compared more than %d times"
	if e.Limit == KeyMeetings {
		what = "they cross or run along each other in more than %d places"
	}
	return fmt.Sprintf("%d curves, of which many lie in each other's way near (%.1f, %.1f): "+what, e.Curves, e.At.X, e.At.Y, e.Most)
}

// halt is what work panics with to end from within; stopped makes it an error.
type halt struct{ err error }

func stopped(err *error) {
	switch r := recover().(type) {
	case nil:
	case halt:
		*err = r.err
	default:
		panic(r)
	}
}

// spend counts steps of work at a curve, or -1 for the one before.
func (w *work) spend(steps int, at int32) {
	if w.guard == nil {
		return
	}
	if at >= 0 {
		w.place = at
	}
	if w.guard.steps += steps; w.guard.steps-w.guard.looked >= stepsBetweenLooks {
		w.look()
	}
}

func (w *work) look() {
	err := w.guard.Spend(0)
	if crowd, ok := err.(*CrowdError); ok && len(w.segs) > 0 {
		g := &w.segs[w.place]
		crowd.Curves, crowd.At, crowd.ID = w.drawn, g.Middle(), g.ID
	}
	if err != nil {
		panic(halt{err})
	}
}

// met ends the work when curves meet too often.
func (s *splitter) met(at geom.Point, i int32) {
	w := s.w
	if w.guard == nil || w.s.Meetings <= 0 {
		return
	}
	if most := w.s.Meetings + meetingsPerCurve*w.drawn; len(s.contacts)+len(s.same) > most {
		panic(halt{&CrowdError{Limit: KeyMeetings, Most: most, Curves: w.drawn, At: at, ID: w.segs[i].ID}})
	}
}
