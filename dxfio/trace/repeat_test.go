package trace

import (
	"reflect"
	"testing"

	"trueup/dxfio/geom"
)

// TestRepeated closes outlines of which two pairs cross first at the same place,
// 100,50: the result must be the same to the last bit each time.
func TestRepeated(t *testing.T) {
	var curves []Curve
	for k, l := range []geom.Loop{
		geom.Polygon(geom.Point{}, geom.Point{X: 100}, geom.Point{X: 100, Y: 100}, geom.Point{Y: 100}),
		geom.Polygon(geom.Point{X: 50, Y: 50}, geom.Point{X: 200, Y: 50}, geom.Point{X: 200, Y: 200}, geom.Point{X: 50, Y: 200}),
		geom.Polygon(geom.Point{X: 80, Y: 70}, geom.Point{X: 120, Y: 30}, geom.Point{X: 120, Y: 110}),
	} {
		for _, c := range l {
			curves = append(curves, Curve{Curve: c, ID: int32(len(curves)), Entity: int32(k)})
		}
	}
	first := closed(curves, Default())
	if len(first.Crossings) != 3 {
		t.Fatalf("%d crossings, want one for each pair", len(first.Crossings))
	}
	for range 30 {
		if again := closed(curves, Default()); !reflect.DeepEqual(first, again) {
			t.Fatalf("closed again:\n%+v\nfirst:\n%+v", again.Crossings, first.Crossings)
		}
	}
}
