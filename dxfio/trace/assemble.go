package trace

import (
	"cmp"
	"slices"

	"trueup/dxfio/geom"
)

// assemble puts the faces of all layers together from whole curves, nests those
// of different layers in each other, and orders them by place.
func (w *work) assemble(layers []*layer) []Face {
	var faces []Face
	for _, l := range layers {
		base := int32(len(faces))
		number := make([]int32, len(l.cells))
		for i := range number {
			number[i] = -1
		}
		for i := range l.cells { // those kept, first
			if !l.outsider(int32(i)) {
				number[i] = base
				base++
			}
		}
		for i, c := range l.cells {
			if number[i] < 0 {
				continue
			}
			f := Face{Outer: w.whole(l, c.outer), Depth: c.depth, Parent: -1}
			for _, hs := range c.holes {
				f.Holes = append(f.Holes, w.whole(l, hs))
			}
			for _, k := range c.inside {
				for _, hs := range l.contours[k].cycles {
					f.Holes = append(f.Holes, w.whole(l, hs))
				}
			}
			if c.parent >= 0 {
				f.Parent = int(number[c.parent])
			}
			faces = append(faces, f)
		}
	}
	if len(layers) > 1 {
		w.nestLayers(faces, layers)
	}
	return sortFaces(faces)
}

// nestLayers finds parents across layers: loops of different layers may cross,
// so a face lies in another only when all its corners do.
func (w *work) nestLayers(faces []Face, layers []*layer) {
	layerOf := make([]int, 0, len(faces))
	loops := make([]geom.Loop, len(faces))
	boxes := make([]geom.Box, len(faces))
	for i := range faces {
		loops[i] = faces[i].Outer.Geom()
		boxes[i] = loops[i].Box()
	}
	for k, l := range layers {
		for i := range l.cells {
			if !l.outsider(int32(i)) {
				layerOf = append(layerOf, k)
			}
		}
	}
	x := geom.NewBoxIndex(boxes)
	for i := range faces {
		if faces[i].Parent >= 0 {
			continue
		}
		best := -1
		x.Search(boxes[i], func(j int) bool {
			w.spend(1, -1)
			if layerOf[i] != layerOf[j] && w.contains(loops[j], boxes[j], loops[i], boxes[i]) &&
				(best < 0 || loops[j].Area() < loops[best].Area()) {
				best = j
			}
			return true
		})
		if best >= 0 {
			faces[i].Parent = best
			faces[best].Holes = append(faces[best].Holes, reversed(faces[i].Outer))
		}
	}
	for i := range faces {
		faces[i].Depth = 0
		for j := faces[i].Parent; j >= 0; j = faces[j].Parent {
			faces[i].Depth++
		}
	}
}

// contains reports whether the loop in lies inside the loop out.
func (w *work) contains(out geom.Loop, outBox geom.Box, in geom.Loop, inBox geom.Box) bool {
	if !outBox.Contains(inBox.Min) || !outBox.Contains(inBox.Max) || out.Area() <= in.Area() {
		return false
	}
	for _, c := range in {
		w.spend(2*len(out), -1)
		if out.Locate(c.A) != geom.Inside || out.Locate(c.Middle()) != geom.Inside {
			return false
		}
	}
	return true
}

func reversed(l Loop) Loop {
	out := make(Loop, len(l))
	for i, c := range l {
		c.Curve = c.Curve.Reverse()
		out[len(l)-1-i] = c
	}
	return out
}

// sortFaces orders faces by depth, then by the box of their outer loop, then by
// area, and carries the parents along.
func sortFaces(faces []Face) []Face {
	for i := range faces {
		if f := &faces[i]; len(f.Holes) > 1 {
			slices.SortStableFunc(f.Holes, func(a, b Loop) int { return compareBoxes(a.box(), b.box()) })
		}
	}
	if len(faces) < 2 {
		return faces
	}
	type key struct {
		depth int
		box   [4]float64
		area  float64
		at    int
	}
	keys := make([]key, len(faces))
	for i := range faces {
		f := &faces[i]
		keys[i] = key{f.Depth, roundedBox(f.Outer.box()), f.Outer.area(), i}
	}
	slices.SortFunc(keys, func(a, b key) int {
		if c := cmp.Compare(a.depth, b.depth); c != 0 {
			return c
		}
		if c := slices.Compare(a.box[:], b.box[:]); c != 0 {
			return c
		}
		return cmp.Or(cmp.Compare(a.area, b.area), cmp.Compare(a.at, b.at))
	})
	place := make([]int, len(faces))
	for to, k := range keys {
		place[k.at] = to
	}
	out := make([]Face, len(faces))
	for from, f := range faces {
		if f.Parent >= 0 {
			f.Parent = place[f.Parent]
		}
		out[place[from]] = f
	}
	return out
}

func (l Loop) box() geom.Box {
	b := geom.EmptyBox()
	for i := range l {
		b = b.Union(l[i].Box())
	}
	return b
}

func (l Loop) area() float64 {
	sum := 0.0
	for i := range l {
		sum += l[i].AreaAbout(l[0].A)
	}
	return sum
}
