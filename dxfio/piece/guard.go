package piece

import (
	"errors"
	"fmt"
	"math"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// A CrowdedError says that making pieces was given up because too many curves or
// pieces lie on or beside each other.
type CrowdedError struct {
	Layer  string     // "" when not known
	At     geom.Point // mm
	Unit   dxfio.Unit // that the message gives At in
	Curves int        // of the drawing, or those of the layer's role
	Limit  string     // key of the setting that was passed
	Value  int        // what it is set to
	Most   int        // what that comes to for the drawing
}

func (e *CrowdedError) Error() string {
	where := "near " + e.Unit.Place(e.At)
	if e.Layer != "" {
		where += " on layer " + e.Layer
	}
	what := fmt.Sprintf("to tell what they bound takes more than %d comparisons", e.Most)
	if e.Limit == trace.KeyMeetings {
		what = fmt.Sprintf("they cross, touch or run along each other in more than %d places", e.Most)
	}
	return fmt.Sprintf("%d curves, too many of them on and beside each other %s: %s; take hatches and repeated lines away, or raise %s (now %d) in the settings",
		e.Curves, where, what, e.Limit, e.Value)
}

// guard bounds the work of Build: what ends it leaves Build as its error.
type guard struct {
	*trace.Guard
	curves int
}

// halt is what ends Build from within; stopped makes it an error.
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

// Steps of the guard, in comparisons of two lines, that some looks take.
const (
	alongLineSteps = 20   // whether one line runs along another
	alongArcSteps  = 3000 // or an arc, which is looked at in many places
	crossSteps     = 30   // where two curves cross
	locateSteps    = 2    // for each curve of the loop that a point may lie in
)

// spendAlong counts the steps of finding where two curves run along each other.
func (g guard) spendAlong(c, m geom.Curve) {
	steps := alongLineSteps
	if !c.IsLine() || !m.IsLine() {
		steps = alongArcSteps
	}
	g.spend(steps, c.A)
}

// spend counts steps of work at a place.
func (g guard) spend(steps int, at geom.Point) {
	err := g.Spend(steps)
	var crowd *trace.CrowdError
	if errors.As(err, &crowd) {
		crowd.At, crowd.Curves = at, g.curves
	}
	stopOn(err)
}

func stopOn(err error) {
	if err != nil {
		panic(halt{err})
	}
}

func (b *builder) close(in []trace.Curve) trace.Result {
	res, err := trace.Close(b.guard.Guard, in, b.ts)
	stopOn(err)
	return res
}

func (g guard) subtract(outline geom.Loop, cutouts []geom.Loop) []geom.Region {
	return g.combined(trace.Subtract(g.Guard, outline, cutouts))
}

func (g guard) intersection(a, b geom.Loop) []geom.Region {
	return g.combined(trace.Intersection(g.Guard, a, b))
}

func (g guard) union(loops []geom.Loop) []geom.Region {
	return g.combined(trace.Union(g.Guard, loops...))
}

// combined passes the result of an operation on loops on. Its error counts and
// numbers the curves of the loops, which are not those of the drawing.
func (g guard) combined(parts []geom.Region, err error) []geom.Region {
	var crowd *trace.CrowdError
	if errors.As(err, &crowd) {
		crowd.ID, crowd.Curves = -1, g.curves
	}
	stopOn(err)
	return parts
}

// crowded names the layer of a crowd and what to do about it.
func (b *builder) crowded(err error) error {
	var crowd *trace.CrowdError
	if !errors.As(err, &crowd) {
		return err
	}
	if crowd.ID < 0 { // its place tells the layer
		least := math.Inf(1)
		for i := range b.d.Curves {
			if d := b.d.Curves[i].Distance(crowd.At); d < least && b.uses[i] != useIgnored && b.uses[i] != useUnmapped {
				least, crowd.ID = d, int32(i)
			}
		}
	}
	e := &CrowdedError{Layer: b.layerOf(crowd.ID), At: crowd.At, Curves: crowd.Curves, Limit: crowd.Limit, Value: b.ts.Comparisons, Most: crowd.Most}
	if e.Limit == trace.KeyMeetings {
		e.Value = b.ts.Meetings
	}
	return e
}
