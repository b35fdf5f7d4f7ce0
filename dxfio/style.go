package dxfio

import (
	"math"
	"strings"
)

// Style is how an entity is drawn that is not a thin continuous line. Drawings by
// ISO 128-2 show hidden edges dashed (from memory); a polyline with a width is a band,
// whose middle line was read.
type Style struct {
	Entity int32
	Layer  int32
	Dashed bool    // its line type has gaps
	Width  float64 // the largest of a polyline, drawing units; 0 for a thin line
}

// stroke is the line type of an entity.
type stroke uint8

const (
	strokeByLayer stroke = iota
	strokeByBlock
	strokeContinuous
	strokeDashed
)

// strokeNamed returns what the line type named by the current value draws. One that
// no table defines is taken to have gaps: nobody names the plain line otherwise.
func (r *reader) strokeNamed() stroke {
	switch name := lineTypeKey(r.val); name {
	case "", "BYLAYER":
		return strokeByLayer
	case "BYBLOCK":
		return strokeByBlock
	case "CONTINUOUS":
		return strokeContinuous
	default:
		if gaps, ok := r.lineTypes[name]; ok && !gaps {
			return strokeContinuous
		}
		return strokeDashed
	}
}

func lineTypeKey(b []byte) string { return strings.ToUpper(string(trimBlanks(b))) }

// readLineType reads one entry of the table of line types: 2 is the name, 49 a dash, or
// a gap where it is negative (DXF Reference, LTYPE).
func (r *reader) readLineType() {
	name, gaps := "", false
	for r.next() && r.code != 0 {
		switch r.code {
		case 2:
			name = lineTypeKey(r.val)
		case 49:
			gaps = gaps || r.float() < 0
		}
	}
	if name == "" || r.err != nil || len(r.lineTypes) >= r.limits.Layers {
		return
	}
	if r.lineTypes == nil {
		r.lineTypes = map[string]bool{}
	}
	r.lineTypes[name] = gaps
}

// dashed reports whether an entity on a layer is drawn with gaps where it stands.
func (r *reader) dashed(o *origin, layer int32, at *placement) bool {
	switch o.stroke {
	case strokeByBlock:
		return at.dash
	case strokeByLayer:
		return r.layers.state[layer].dash
	}
	return o.stroke == strokeDashed
}

// keepStyle keeps how the entity being shown is drawn, if it is no plain thin line.
func (r *reader) keepStyle(o *origin, at *placement) {
	s := Style{Entity: r.source.Entity, Layer: r.source.Layer, Dashed: r.dashed(o, r.source.Layer, at)}
	if o.width > 0 {
		s.Width = o.width * math.Max(at.x.norm(), at.y.norm())
	}
	if (s.Dashed || s.Width > 0) && len(r.d.Styles) < r.limits.Curves {
		r.d.Styles = append(r.d.Styles, s)
	}
}
