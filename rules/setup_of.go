package rules

import (
	"trueup/dxfio/piece"
	"trueup/rules/shop"
)

// setup returns the machine figures of a piece: those made for the job sheet, or
// fresh ones when the input has none.
func (in *Input) setup(p *piece.Piece) *shop.Setup {
	if s := in.Setups[p.ID]; s != nil {
		return s
	}
	s := shop.SetUp(p, in.Template, in.Shop)
	return &s
}
