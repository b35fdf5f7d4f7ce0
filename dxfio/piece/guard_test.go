package piece

import (
	"context"
	"errors"
	"strings"
	"testing"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// nested is n squares inside each other, which is stone in openings in stone.
func nested(n int) *dxfio.Drawing {
	d := &dxfio.Drawing{}
	source := dxfio.Source{Type: dxfio.EntityLine, Layer: layerIndex(d, "COUNTER")}
	for i := range n {
		a, b := -10-3*float64(i), 10+3*float64(i)
		source.Entity, source.Line = int32(i), int32(i+1)
		add(d, source, geom.Polygon(geom.Point{X: a, Y: a}, geom.Point{X: b, Y: a}, geom.Point{X: b, Y: b}, geom.Point{X: a, Y: b}))
	}
	return d
}

// TestCrowdedPieces: where not the curves but the pieces are too many on each
// other, the error has a layer and a place too.
func TestCrowdedPieces(t *testing.T) {
	d := nested(500)
	s := trace.Default()
	s.Comparisons = 1000
	_, err := Build(t.Context(), d, Default(), s)
	var crowded *CrowdedError
	if !errors.As(err, &crowded) {
		t.Fatalf("error %v", err)
	}
	if crowded.Layer != "COUNTER" || crowded.Limit != trace.KeyComparisons || crowded.Value != 1000 || crowded.Curves != len(d.Curves) {
		t.Errorf("%+v", crowded)
	}
	for _, want := range []string{"2000 curves", "on layer COUNTER", "raise closing.comparisons (now 1000)"} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("%q lacks %q", err, want)
		}
	}
}

// TestCrowdedWhileCutting: where the work ends on a few curves that are cut with
// each other, the error tells of the drawing none the less.
func TestCrowdedWhileCutting(t *testing.T) {
	d := &dxfio.Drawing{}
	layerIndex(d, "NOTES")
	source := dxfio.Source{Type: dxfio.EntityLine, Layer: layerIndex(d, "COUNTER")}
	for i := range 60 { // squares, each over all others
		at := 10 * float64(i)
		source.Entity, source.Line = int32(i), int32(i+1)
		add(d, source, geom.Polygon(geom.Point{X: at, Y: at}, geom.Point{X: at + 1000, Y: at}, geom.Point{X: at + 1000, Y: at + 1000}, geom.Point{X: at, Y: at + 1000}))
	}
	for limit := 1000; limit < 10_000_000; limit += limit / 4 { // it ends in one step after the other
		s := trace.Default()
		s.Comparisons = limit
		_, err := Build(t.Context(), d, Default(), s)
		var crowded *CrowdedError
		if err == nil {
			break
		}
		if !errors.As(err, &crowded) || crowded.Curves != len(d.Curves) || crowded.Layer != "COUNTER" {
			t.Fatalf("limit %d: error %v", limit, err)
		}
	}
}

func TestBuildEndsWithContext(t *testing.T) {
	cause := errors.New("the time is up")
	ctx, cancel := context.WithCancelCause(t.Context())
	cancel(cause)
	if _, err := Build(ctx, nested(500), Default(), trace.Default()); !errors.Is(err, cause) {
		t.Errorf("error %v", err)
	}
}
