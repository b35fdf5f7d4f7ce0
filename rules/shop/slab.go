package shop

import (
	"fmt"
	"math"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// Slab is a slab that the shop can get.
type Slab struct {
	Name      string  `toml:"name" doc:"name of the slab"`
	Length    float64 `toml:"length" unit:"mm" min:"1" max:"10000" doc:"length" source:"120 in, suppliers' pages, common practice"`
	Width     float64 `toml:"width" unit:"mm" min:"1" max:"10000" doc:"width" source:"54 in, suppliers' pages, common practice"`
	Margin    float64 `toml:"margin" unit:"mm" min:"0" max:"500" doc:"trimmed off along every side" source:"1/2 in, common practice, no source"`
	Material  string  `toml:"material" doc:"name of the material; empty: any"`
	Thickness float64 `toml:"thickness" unit:"mm" min:"0" max:"200" doc:"thickness; 0: any"`
	Veined    bool    `toml:"veined" doc:"the pattern has a direction: pieces are laid with their long side along or across it only"`
}

// usable returns the slab's length and width without the margins.
func (s Slab) usable() (length, breadth float64) {
	return math.Max(0, s.Length-2*s.Margin), math.Max(0, s.Width-2*s.Margin)
}

// is reports whether the slab is of the material and thickness.
func (s Slab) is(material string, thickness float64) bool {
	return (s.Material == "" || s.Material == material) && (s.Thickness == 0 || math.Abs(s.Thickness-thickness) <= slabThickness)
}

// slabThickness is how far in mm a piece's thickness may differ from a slab's:
// 3 cm is sold as 1-1/4 in (31.75 mm) too.
const slabThickness = 2

// SlabFit tells how a piece lies on a slab.
type SlabFit struct {
	Slab string // name of the slab it fits, or comes nearest to fitting; empty: none of its kind
	OK   bool
	// HasLength x HasWidth is the usable slab, mm.
	HasLength, HasWidth float64
	// More is how much larger in both ways the slab would have to be, 0 when OK.
	More float64
	Why  string // why nobody looked, empty when somebody did
}

// fitSlab lays the piece on every slab of its kind and returns the first that it
// fits, otherwise the one that is least too small.
//
// On a veined slab the long side of the piece (that of its smallest rectangle)
// lies along or across the slab, whatever way it is turned in the drawing.
//
// A piece whose smallest rectangle fits needs no search over the rotations.
func fitSlab(p *piece.Piece, box geom.Rectangle, material string, s *Settings) SlabFit {
	best, least := SlabFit{}, math.Inf(1)
	if len(p.Outline) == 0 {
		return SlabFit{Why: "the piece has no outline"}
	}
	long := box.AngleDeg * math.Pi / 180
	var w *widths // made when first needed
	for _, slab := range s.Slabs {
		if !slab.is(material, p.Thickness) {
			continue
		}
		length, breadth := slab.usable()
		if box.Length <= length && box.Width <= breadth {
			return SlabFit{Slab: slab.Name, OK: true, HasLength: length, HasWidth: breadth}
		}
		if w == nil {
			made := newWidths(p.Outline)
			w = &made
		}
		var more float64
		if slab.Veined {
			more = w.squareOn(long, length, breadth)
		} else {
			more = w.excess(length, breadth)
		}
		if more < least {
			least = more
			best = SlabFit{Slab: slab.Name, OK: more == 0, HasLength: length, HasWidth: breadth, More: more}
		}
		if best.OK {
			return best
		}
	}
	if best.Slab == "" {
		best.Why = fmt.Sprintf("the settings have no slab of %s, %.1f mm thick", material, p.Thickness)
	}
	return best
}

// squareOn is excess with the slab's length along or across the direction only.
func (w widths) squareOn(angle, length, breadth float64) float64 {
	along, across := w.at(angle), w.at(angle+math.Pi/2)
	more := math.Min(math.Max(along-length, across-breadth), math.Max(across-length, along-breadth))
	if more <= geom.Tolerance {
		return 0
	}
	return more
}
