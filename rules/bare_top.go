package rules

import (
	"fmt"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// eachBare calls look for every counter piece over nothing in a drawing in which others
// lie on supports: whoever drew those would have drawn its own. A piece that no limit
// would hold back wherever it lies, a filler or a sill, is drawn apart as a rule.
func (in *Input) eachBare(look func(c *carriedPiece)) {
	if !in.Template.HasSupport {
		return
	}
	var bare []*carriedPiece
	carried := false
	for i := range in.Template.Pieces {
		p := &in.Template.Pieces[i]
		if p.Kind == piece.Splash || in.ended() {
			continue
		}
		c := in.carried(p)
		carried = carried || c.why == ""
		if r := geom.SmallestRectangle(p.Outline); c.bare && !piece.Standing(p.ID) && !piece.Standing(p.Layer) && r.Length > c.limits.Span+in.Settings.Support.Grace && r.Width > c.limits.Cantilever+in.Settings.Support.Grace {
			bare = append(bare, c)
		}
	}
	if carried {
		for _, c := range bare {
			look(c)
		}
	}
}

func (in *Input) bareFlag(c *carriedPiece) Flag {
	r, l := geom.SmallestRectangle(c.Outline), in.lengths()
	return Flag{
		Piece: c.ID, At: r.Center, Measured: r.Length, NoLimit: true, Unit: "mm",
		Message: fmt.Sprintf("No support is drawn under piece %s, %s, while other tops of the drawing have some.", c.ID, l.Size(r.Length, r.Width)),
		Remedy:  "Draw what carries it on the support layer; accept it if it stands on edge or is carried by what is not drawn.",
	}
}
