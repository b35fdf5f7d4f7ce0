package rules

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// standing are words in a piece's name of which it needs no cabinet: it stands on its
// edge, or lies on a wall, a stair or the floor (common practice, no source).
var standing = []string{"waterfall", "panel", "leg", "splash", "backsplash", "upstand", "sill", "shelf", "ledge", "cap", "hearth", "surround", "threshold", "tread", "riser", "curb", "end", "side"}

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
		if r := geom.SmallestRectangle(p.Outline); c.bare && !stands(p.ID) && r.Length > c.limits.Span+in.Settings.Support.Grace && r.Width > c.limits.Cantilever+in.Settings.Support.Grace {
			bare = append(bare, c)
		}
	}
	if carried {
		for _, c := range bare {
			look(c)
		}
	}
}

// stands reports whether a piece's name says that it needs no cabinet.
func stands(name string) bool {
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) })
	return slices.ContainsFunc(words, func(w string) bool { return slices.Contains(standing, strings.TrimSuffix(w, "s")) })
}

func (in *Input) bareFlag(c *carriedPiece) Flag {
	r, l := geom.SmallestRectangle(c.Outline), in.lengths()
	return Flag{
		Piece: c.ID, At: r.Center, Measured: r.Length, NoLimit: true, Unit: "mm",
		Message: fmt.Sprintf("No support is drawn under piece %s, %s, while other tops of the drawing have some.", c.ID, l.Size(r.Length, r.Width)),
		Remedy:  "Draw what carries it on the support layer; accept it if it stands on edge or is carried by what is not drawn.",
	}
}
