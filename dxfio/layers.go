package dxfio

import (
	"bytes"
	"fmt"
	"strings"
)

// layerTable finds layers by name. Names are compared without case, as CAD
// programs do; the spelling met first is kept.
type layerTable struct {
	raw    map[string]int32 // by the bytes of the file
	folded map[string]int32
	state  []layerState // beside Drawing.Layers
	last   []byte       // the bytes asked for last, and their layer: entities
	lastAt int32        // of one layer mostly follow each other
	zero   int32        // layer 0; noLayer until something lies on it
}

// layerState is what reading keeps of a layer beside its public part.
type layerState struct {
	frozen, off bool
	dash        bool // its line type has gaps
	area        areaUse
	counts      [entityTypes]int
	others      map[string]int // entity types that give no curve
}

const noLayer int32 = -1

// spellings is how many spellings of a layer's name are remembered by their bytes.
const spellings = 4

type areaUse uint8

const (
	areaUnasked areaUse = iota
	areaUsed
	areaUnused
)

func (t *layerTable) init() {
	t.raw, t.folded = map[string]int32{}, map[string]int32{}
	t.zero = noLayer
}

// layer returns the index of the layer whose name is the current value.
func (r *reader) layer() int32 {
	t := &r.layers
	if len(t.last) > 0 && bytes.Equal(t.last, r.val) {
		return t.lastAt
	}
	i, ok := t.raw[string(r.val)]
	if !ok {
		i = r.layerNamed(decodeName(r.text.text(r.val)))
		if len(t.raw) < spellings*r.limits.Layers {
			t.raw[string(r.val)] = i
		}
	}
	t.last, t.lastAt = append(t.last[:0], r.val...), i
	return i
}

// layerNamed returns the index of a layer by its decoded name, new or known. An
// empty name is layer 0.
func (r *reader) layerNamed(name string) int32 {
	t := &r.layers
	if name == "" {
		name = "0"
	}
	folded := strings.ToLower(name)
	i, ok := t.folded[folded]
	if !ok {
		if len(r.d.Layers) >= r.limits.Layers {
			r.fail(fmt.Sprintf("more than %d layers", r.limits.Layers), raise(keyLayers, r.limits.Layers))
			return 0
		}
		i = int32(len(r.d.Layers))
		r.d.Layers = append(r.d.Layers, Layer{Name: name})
		t.state = append(t.state, layerState{})
		t.folded[folded] = i
		if name == "0" {
			t.zero = i
		}
	}
	return i
}

// layerZero returns the index of layer 0.
func (r *reader) layerZero() int32 {
	if r.layers.zero == noLayer {
		return r.layerNamed("0")
	}
	return r.layers.zero
}

// readTables takes the layers and the factors of dimension styles from the TABLES section.
func (r *reader) readTables() {
	for r.err == nil && !r.ended && !r.sectionEnds() {
		if r.code == 0 {
			switch r.keyword() {
			case "LAYER":
				r.readLayer()
				continue
			case "LTYPE":
				r.readLineType()
				continue
			}
		}
		if r.code == 0 && r.keyword() == "DIMSTYLE" {
			r.readDimensionStyle()
			continue
		}
		r.next()
	}
}

// readLayer reads one entry of the layer table: 2 is the name, 70 bit 1 says
// frozen, a negative colour 62 says switched off (DXF Reference, LAYER).
func (r *reader) readLayer() {
	at, frozen, off, drawn := noLayer, false, false, strokeByLayer
	for r.next() && r.code != 0 {
		switch r.code {
		case 2:
			at = r.layer()
		case 6:
			drawn = r.strokeNamed()
		case 70:
			frozen = r.int()&1 != 0
		case 62:
			off = r.int() < 0
		}
	}
	if at == noLayer || r.err != nil {
		return
	}
	s := &r.layers.state[at]
	s.frozen, s.off, s.dash = frozen, off, drawn == strokeDashed
	r.d.Layers[at].Hidden = frozen || off
}
