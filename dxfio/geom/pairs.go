package geom

// Pairs calls visit once for every two boxes that share a point, in an order
// that depends only on the boxes: the tree is joined with itself from the root
// down, so that whole branches apart from each other cost one test.
func (x *Index) Pairs(visit func(i, j int)) {
	if len(x.levels) < 2 {
		return
	}
	j := selfJoin{x, visit}
	j.within(len(x.levels)-1, x.levels[len(x.levels)-1])
}

type selfJoin struct {
	*Index
	visit func(i, j int)
}

// children returns the places of a node's children, one level down.
func (x *Index) children(level, node int) (first, last int) {
	first = x.levels[level-1] + (node-x.levels[level])*fanout
	return first, min(first+fanout, x.levels[level])
}

// within joins a node with itself.
func (j *selfJoin) within(level, node int) {
	first, last := j.children(level, node)
	boxes := j.boxes[first:last]
	for a := range boxes {
		if level > 1 {
			j.within(level-1, first+a)
		}
		for b := a + 1; b < len(boxes); b++ {
			switch {
			case !boxes[a].Overlaps(boxes[b]):
			case level == 1:
				j.visit(j.number(first+a), j.number(first+b))
			default:
				j.between(level-1, first+a, first+b)
			}
		}
	}
}

// between joins two overlapping nodes of one level above the lowest.
func (j *selfJoin) between(level, a, b int) {
	var near [fanout]int
	count := 0
	first, last := j.children(level, b)
	around := j.boxes[a]
	for k, box := range j.boxes[first:last] {
		if box.Overlaps(around) {
			near[count] = first + k
			count++
		}
	}
	if count == 0 {
		return
	}
	first, last = j.children(level, a)
	around = j.boxes[b]
	for i, box := range j.boxes[first:last] {
		if !box.Overlaps(around) {
			continue
		}
		for _, k := range near[:count] {
			switch {
			case !box.Overlaps(j.boxes[k]):
			case level == 1:
				j.visit(j.number(first+i), j.number(k))
			default:
				j.between(level-1, first+i, k)
			}
		}
	}
}
