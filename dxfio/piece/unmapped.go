package piece

import "trueup/dxfio/geom"

// leastOpening is the width in mm from which a closed line may be an opening in
// stone: the smallest core bits cut about as much (common practice, no source).
const leastOpening = 10

// stoneIndex tells which piece's stone a point lies in.
type stoneIndex struct {
	b       *builder
	regions []geom.Region
	index   *geom.Index
}

func (b *builder) stoneOf(pieces []Piece) *stoneIndex {
	s := &stoneIndex{b: b, regions: make([]geom.Region, len(pieces))}
	boxes := make([]geom.Box, len(pieces))
	for i, p := range pieces {
		s.regions[i], boxes[i] = p.Region(), p.Outline.Box()
	}
	s.index = geom.NewBoxIndex(boxes)
	return s
}

// at calls yield with the numbers of the pieces in whose stone the point lies,
// until that returns false.
func (s *stoneIndex) at(p geom.Point, yield func(piece int) bool) {
	s.index.Search(geom.Box{Min: p, Max: p}, func(i int) bool {
		s.b.spend(locateSteps*len(s.regions[i].Outer), p)
		return s.regions[i].Locate(p) != geom.Inside || yield(i)
	})
}
