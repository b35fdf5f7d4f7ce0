package piece

import "trueup/dxfio/geom"

// unreadIn finds which of the entities that could not be read lie in a piece: a sink
// drawn as something that only CAD can open is one. A place in a cutout counts, for what
// lies there may be the other line of it.
func (b *builder) unreadIn() {
	if len(b.d.Unplaced) == 0 {
		return
	}
	bare := make([]Piece, len(b.t.Pieces))
	for i := range b.t.Pieces {
		bare[i].Outline = b.t.Pieces[i].Outline
	}
	stone := b.stoneOf(bare)
	for _, u := range b.d.Unplaced {
		for _, p := range [...]geom.Point{u.Box.Center(), u.Box.Min, u.Box.Max, {X: u.Box.Min.X, Y: u.Box.Max.Y}, {X: u.Box.Max.X, Y: u.Box.Min.Y}} {
			piece := -1
			stone.at(p, func(i int) bool {
				piece = i
				return false
			})
			if piece >= 0 {
				b.t.UnreadIn = append(b.t.UnreadIn, UnreadIn{Type: u.Type, Layer: b.d.Layers[u.Layer].Name, Why: u.Why, Piece: b.t.Pieces[piece].ID, At: p})
				break
			}
		}
	}
}
