package rules

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// A key names a flaw so that the office's decision about it finds it again in a
// later revision of the template. It is made of
//
//	rule | piece's size | place x | place y | measure [| number of places] [# number]
//
// where the place is in the piece's own frame on a grid of 25 mm, the size is
// the piece's radius of gyration on the same grid and the measure falls in
// steps of about 5 percent: a strip of 48 mm that was accepted is another flaw
// when it has become 40 mm, and what was accepted of one corner is not accepted
// of four. The name of the piece is no part of it: names
// change when a piece is added. Of a flaw between two pieces the place is in
// the larger one's frame. Flaws that share all this, such as those of two equal
// vanities, are numbered. A flaw without a piece has its layer for a size, and
// its place is in the frame of the piece that it lies nearest to.
const (
	keyGrid    = 25.0  // mm
	keyMeasure = 0.049 // ln 1.05: a step of the measure
	// keyShift moves the bounds of the grids away from the round figures, in
	// millimetres and inches, on which shops place things.
	keyShift = 0.382
)

// giveKeys sets the key of every flag.
func giveKeys(catalogue []Rule, t *piece.Template, flags []Flag) {
	if len(flags) == 0 {
		return
	}
	k := newKeyer(t)
	for i := range catalogue {
		k.whole[catalogue[i].ID] = catalogue[i].Whole
	}
	named := map[string][]numbered{}
	for i := range flags {
		key, order := k.key(&flags[i])
		named[key] = append(named[key], numbered{i, order})
	}
	for key, list := range named {
		slices.SortFunc(list, func(a, b numbered) int {
			for i := range a.order {
				// What differs by rounding alone must not decide.
				if math.Abs(a.order[i]-b.order[i]) > geom.Tolerance {
					return cmp.Compare(a.order[i], b.order[i])
				}
			}
			return cmp.Compare(a.flag, b.flag)
		})
		for n, m := range list {
			flags[m.flag].Key = key
			if n > 0 {
				flags[m.flag].Key = fmt.Sprintf("%s#%d", key, n+1)
			}
		}
	}
}

// numbered is a flag among those of one key; order are figures that the shape
// and not the drawing settles, by which they are numbered.
type numbered struct {
	flag  int
	order [4]float64
}

// keyer makes keys and the frames they need, each once.
type keyer struct {
	t      *piece.Template
	pieces map[string]*piece.Piece // those with an outline, by id
	seams  map[string][]string     // by id: the pieces they join
	frames map[string]frame
	whole  map[string]bool // rules whose flags are about a piece as a whole
}

func newKeyer(t *piece.Template) keyer {
	k := keyer{t: t, pieces: map[string]*piece.Piece{}, seams: map[string][]string{}, frames: map[string]frame{}, whole: map[string]bool{}}
	for i := range t.Pieces {
		if p := &t.Pieces[i]; len(p.Outline) > 0 && k.pieces[p.ID] == nil {
			k.pieces[p.ID] = p
		}
	}
	for i := range t.Seams {
		s := &t.Seams[i]
		k.seams[s.ID] = append(k.seams[s.ID], s.Pieces[0], s.Pieces[1])
	}
	return k
}

// frame returns the frame of the piece with an id, and false when there is none.
func (k *keyer) frame(id string) (frame, bool) {
	if f, ok := k.frames[id]; ok {
		return f, true
	}
	if p := k.pieces[id]; p != nil {
		k.frames[id] = frameOf(p)
		return k.frames[id], true
	}
	return frame{}, false
}

// sameDistance is the difference in mm of two distances within which two pieces
// are equally near: far above the rounding of a turned drawing, far below what a
// templater places by.
const sameDistance = 0.1

// nearestTo returns the frames of the pieces that a point lies nearest to or in,
// more than one when they are equally near, and a frame that sits on the point
// itself when there are no pieces.
func (k *keyer) nearestTo(at geom.Point) []frame {
	var found []frame
	least := math.Inf(1)
	for i := range k.t.Pieces {
		p := &k.t.Pieces[i]
		f, ok := k.frame(p.ID)
		if !ok || p.Outline.Box().Distance(at) > least+sameDistance {
			continue
		}
		d := distanceTo(p.Outline, at)
		if d > least+sameDistance {
			continue
		}
		if d < least-sameDistance {
			found = nil
		}
		found, least = append(found, f), math.Min(least, d)
	}
	if found == nil {
		found = []frame{{center: complex(at.X, at.Y)}}
	}
	return found
}

// distanceTo returns the distance of a point to an outline, 0 inside.
func distanceTo(l geom.Loop, at geom.Point) float64 {
	if l.Locate(at) != geom.Outside {
		return 0
	}
	least := math.Inf(1)
	for _, c := range l {
		least = math.Min(least, c.Distance(at))
	}
	return least
}

func (k *keyer) key(f *Flag) (string, [4]float64) {
	at := f.At
	if k.whole[f.Rule] {
		if p := k.pieces[f.Piece]; p != nil {
			at = p.Outline.Centroid()
		}
	}
	if f.Anchor != nil {
		at = *f.Anchor
	}
	measure := grid(math.Log1p(math.Abs(f.Measured))/keyMeasure, 1)
	owners := k.owners(f)
	if len(owners) == 0 {
		key := fmt.Sprintf("%s|'%s", f.Rule, plainLayer(f.Other)) // the mark keeps a layer named 0 from being a cell
		if f.Witness == nil && f.Anchor == nil {
			return key, [4]float64{}
		}
		var least string
		var order [4]float64
		for i, o := range k.nearestTo(at) {
			w := o.place(at)
			s := fmt.Sprintf("%s|%d|%d|%d", key, grid(w.X, keyGrid), grid(w.Y, keyGrid), measure)
			if i == 0 || s < least {
				least, order = s, [4]float64{f.Measured, w.X, w.Y}
			}
		}
		return least, order
	}
	var key string
	var order [4]float64
	for i, id := range owners {
		o, _ := k.frame(id)
		w := o.place(at)
		s := fmt.Sprintf("%s|%d|%d|%d|%d", f.Rule, grid(o.size, keyGrid), grid(w.X, keyGrid), grid(w.Y, keyGrid), measure)
		if n := len(f.Further); n > 0 {
			s += fmt.Sprintf("|%d places", n+1)
		}
		if i == 0 || s < key { // equally large pieces: either may come first in the drawing
			key, order = s, [4]float64{o.size, f.Measured, w.X, w.Y}
		}
	}
	return key, order
}

// sameSize is the difference in mm of two radii of gyration within which two
// pieces are equally large.
const sameSize = 0.1

// owners returns the largest of the pieces that a flag is about, more than one
// when they are equally large.
func (k *keyer) owners(f *Flag) []string {
	if f.Piece == "" {
		return nil
	}
	ids := append([]string{f.Piece, f.Other}, k.seams[f.Other]...)
	var found []string
	most := 0.0
	for _, id := range ids {
		o, ok := k.frame(id)
		if !ok || slices.Contains(found, id) || o.size < most-sameSize {
			continue
		}
		if o.size > most+sameSize {
			found, most = nil, o.size
		}
		found = append(found, id)
	}
	return found
}

// grid returns the number of the cell that v lies in.
func grid(v, step float64) int { return int(math.Floor(v/step + keyShift)) }

// plainLayer brings a layer's name to the form in which layers are compared,
// free of the marks of a key.
func plainLayer(name string) string {
	return strings.Map(func(r rune) rune {
		switch r {
		case '|', '#':
			return '_'
		}
		return r
	}, strings.ToUpper(strings.TrimSpace(name)))
}
