package piece

import (
	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// faceParts returns the parts into which the other loops cut the first one and
// for which keep holds of an inner point.
func faceParts(loops []geom.Loop, keep func(p geom.Point) bool) []geom.Region {
	var in []trace.Curve
	for i, l := range loops {
		kind := trace.Divider
		if i == 0 {
			kind = trace.Boundary
		}
		in = append(in, boundary(l, kind)...)
	}
	exact := trace.Settings{Join: geom.Tolerance, Bridge: geom.Tolerance}
	var out []geom.Region
	for _, f := range trace.Close(in, exact).Faces {
		r := geom.Region{Outer: f.Outer.Geom()}
		for _, h := range f.Holes {
			r.Holes = append(r.Holes, h.Geom())
		}
		if p, ok := insideOf(r); ok && keep(p) {
			out = append(out, r)
		}
	}
	return out
}

// common returns the area that two loops have in common.
func common(a, c geom.Loop) []geom.Region {
	return faceParts([]geom.Loop{a, c}, func(p geom.Point) bool {
		return a.Locate(p) == geom.Inside && c.Locate(p) == geom.Inside
	})
}

// less returns the outline less the cuts.
func less(outline geom.Loop, cuts []geom.Loop) []geom.Region {
	return faceParts(append([]geom.Loop{outline}, cuts...), func(p geom.Point) bool {
		for _, c := range cuts {
			if c.Locate(p) != geom.Outside {
				return false
			}
		}
		return outline.Locate(p) == geom.Inside
	})
}
