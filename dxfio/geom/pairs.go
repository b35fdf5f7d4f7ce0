package geom

// Pairs calls visit once for every two boxes that share a point, in an order
// that depends only on the boxes.
func (x *Index) Pairs(visit func(i, j int)) {
	if len(x.levels) == 0 || len(x.order) < 2 {
		return
	}
	top := len(x.levels) - 1
	type frame struct{ level, node int32 }
	stack := make([]frame, 0, 64)
	for at := range x.order {
		box := x.boxes[at]
		i := int(x.order[at])
		stack = append(stack[:0], frame{int32(top), int32(x.levels[top])})
		for len(stack) > 0 {
			f := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			level := int(f.level)
			first := x.levels[level-1] + (int(f.node)-x.levels[level])*fanout
			last := min(first+fanout, x.levels[level])
			// Partners before this place were met from their side.
			span := 1
			for range level - 1 {
				span *= fanout
			}
			for k := first; k < last; k++ {
				if (k-x.levels[level-1]+1)*span <= at+1 || !x.boxes[k].Overlaps(box) {
					continue
				}
				if level == 1 {
					visit(i, int(x.order[k]))
				} else {
					stack = append(stack, frame{int32(level - 1), int32(k)})
				}
			}
		}
	}
}
