package dxfio

import (
	"cmp"
	"slices"
)

// Reasons of Unread.
const (
	whyNotGeometry   = "not geometry"
	whyUnknown       = "unknown type"
	whyPaper         = "paper space"
	whyFrozen        = "layer frozen"
	whyOff           = "layer switched off"
	whyInvisible     = "invisible"
	whyZeroLength    = "zero length"
	whyZeroRadius    = "radius is 0"
	whyNegative      = "radius is negative"
	whyNoBlock       = "block not defined"
	whyExternal      = "external reference: its drawing is another file"
	whyZeroScale     = "scale is 0"
	whyArea          = "filled area on a layer without a cutting role"
	whyPattern       = "lines that fill a hatch"
	whyEmptyText     = "empty text"
	whyAttdef        = "attribute definition"
	whyMesh          = "mesh"
	whySolid         = "solid model"
	whyEndless       = "endless construction line"
	whyProxy         = "object of another application"
	whyExplode       = "not read: explode it in CAD"
	whyNoVertices    = "no vertices"
	whyEmptyHatch    = "no boundary"
	whySplineData    = "spline without usable control or fit points"
	whySplineKnots   = "spline knots do not match its control points"
	whySplineWeights = "spline weight is not positive"
	whySplineDegree  = "spline degree is not supported"
	whyEllipse       = "ellipse without size"
)

// unreadType returns the DXF name as a constant and the reason why entities of
// a known type that gives neither curve, text nor mark are not used.
func unreadType(name string) (string, string) {
	switch name {
	case "DIMENSION", "ARC_DIMENSION", "LARGE_RADIAL_DIMENSION", "LEADER", "MULTILEADER", "MLEADER",
		"TOLERANCE", "WIPEOUT", "IMAGE", "VIEWPORT", "OLEFRAME", "OLE2FRAME", "PDFUNDERLAY",
		"DWFUNDERLAY", "DGNUNDERLAY", "SHAPE", "RTEXT", "ARCALIGNEDTEXT", "LIGHT", "SUN", "CAMERA",
		"SECTION", "GEOPOSITIONMARKER", "ACAD_TABLE", "FIELD", "POINTCLOUD", "ACDBPOINTCLOUDEX":
		return name, whyNotGeometry
	case "XLINE", "RAY":
		return name, whyEndless
	case "3DSOLID", "BODY", "SURFACE", "EXTRUDEDSURFACE", "LOFTEDSURFACE", "REVOLVEDSURFACE",
		"SWEPTSURFACE", "PLANESURFACE", "NURBSURFACE":
		return name, whySolid
	case "MESH", "PMESH":
		return name, whyMesh
	case "REGION", "MLINE", "HELIX", "MPOLYGON":
		return name, whyExplode
	case "ACAD_PROXY_ENTITY":
		return name, whyProxy
	case "ATTDEF":
		return name, whyAttdef
	}
	return name, whyUnknown
}

// countUnread counts an entity of a layer that was not used.
func (r *reader) countUnread(typ string, layer int32, why string) {
	r.unread[Unread{Type: typ, Layer: r.d.Layers[layer].Name, Why: why}]++
}

// sortedUnread returns the counts by type, layer and reason.
func (r *reader) sortedUnread() []Unread {
	out := make([]Unread, 0, len(r.unread))
	for u, n := range r.unread {
		u.Count = n
		out = append(out, u)
	}
	slices.SortFunc(out, func(a, b Unread) int {
		return cmp.Or(cmp.Compare(a.Type, b.Type), cmp.Compare(a.Layer, b.Layer), cmp.Compare(a.Why, b.Why))
	})
	return out
}
