package piece

import (
	"cmp"
	"slices"

	"trueup/dxfio/geom"
)

// sameColumn is the distance in mm by which left sides may differ and still
// stand one above the other: the accuracy of a drawing laid out by hand.
const sameColumn = 1

// readingOrder returns the order of boxes left to right by their left sides,
// those in one column top to bottom. A column is everything within sameColumn
// of its leftmost box, so that the order does not depend on that of the input.
func readingOrder(boxes []geom.Box) []int {
	order := make([]int, len(boxes))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(i, j int) int {
		return cmp.Or(cmp.Compare(boxes[i].Min.X, boxes[j].Min.X), downward(boxes[i], boxes[j]))
	})
	for i := 0; i < len(order); {
		j := i + 1
		for j < len(order) && boxes[order[j]].Min.X-boxes[order[i]].Min.X <= sameColumn {
			j++
		}
		slices.SortStableFunc(order[i:j], func(a, b int) int { return downward(boxes[a], boxes[b]) })
		i = j
	}
	return order
}

// downward orders boxes from the highest top to the lowest.
func downward(a, b geom.Box) int {
	return cmp.Or(cmp.Compare(b.Max.Y, a.Max.Y), cmp.Compare(b.Min.Y, a.Min.Y), cmp.Compare(a.Max.X, b.Max.X))
}

// arrange returns the items in the given order.
func arrange[T any](items []T, order []int) []T {
	out := make([]T, len(items))
	for i, k := range order {
		out[i] = items[k]
	}
	return out
}
