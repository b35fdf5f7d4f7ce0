package dxfio

import (
	"math"
	"strings"
)

// lengthFactor is the group of a dimension style that holds DIMLFAC, the factor
// from the measured length to the one that is shown (DXF Reference, DIMSTYLE). A
// negative one holds in paper space only.
const lengthFactor = 144

// readDimensionStyle takes the factor of one entry of the dimension style table.
func (r *reader) readDimensionStyle() {
	name, factor := "", 0.0
	for r.next() && r.code != 0 {
		switch r.code {
		case 2:
			name = r.factorKey()
		case lengthFactor:
			factor, _ = r.note()
		}
	}
	if name == "" || r.err != nil || !usableFactor(factor) || len(r.factors) >= r.limits.Layers {
		return
	}
	if r.factors == nil {
		r.factors = map[string]float64{}
	}
	r.factors[name] = factor
}

// factorKey is the current value as the name of a dimension style: names are
// compared without case.
func (r *reader) factorKey() string { return strings.ToLower(decodeName(r.text.text(r.val))) }

func usableFactor(f float64) bool { return f > 0 && f != 1 && !math.IsInf(f, 0) }

// styleNotes follows the extended data of a dimension to what it has otherwise than
// its style: 1000 "DSTYLE", then pairs of a group of the style (1070) and its value
// (1040 for a number; DXF Reference, DIMENSION).
type styleNotes struct {
	inside bool
	group  int
	factor float64 // 0 when nothing gave one
}

func (n *styleNotes) take(r *reader) {
	switch r.code {
	case 1001:
		n.inside = false
	case 1000:
		n.inside = n.inside || equalWord(r.val, "DSTYLE") && len(trimBlanks(r.val)) > 0
	case 1070:
		if v, ok := r.note(); ok && n.inside {
			n.group = int(v)
		}
	case 1040:
		if v, ok := r.note(); ok && n.inside && n.group == lengthFactor && v > 0 && !math.IsInf(v, 0) {
			n.factor = v
		}
		n.group = 0
	}
}
