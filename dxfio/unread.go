package dxfio

import (
	"cmp"
	"slices"
)

// Reasons of Unread: why an entity was not used. They are read by people; compare
// with the constants.
const (
	WhyNotGeometry   = "not geometry"
	WhyDimension     = "not geometry: its text is compared with what it spans"
	WhyUnknown       = "unknown type"
	WhyPaper         = "paper space"
	WhyFrozen        = "layer frozen"
	WhyOff           = "layer switched off"
	WhyInvisible     = "invisible"
	WhyZeroLength    = "zero length"
	WhyZeroRadius    = "radius is 0"
	WhyNegative      = "radius is negative"
	WhyNoBlock       = "block not defined"
	WhyEmptyBlock    = "block holds nothing"
	WhyExternal      = "external reference: its drawing is another file"
	WhyZeroScale     = "scale is 0"
	WhyArea          = "filled area on a layer without a cutting role"
	WhyBesideLines   = "filled area beside drawn outlines"
	WhyPattern       = "lines that fill a hatch"
	WhyEmptyText     = "empty text"
	WhyAttdef        = "attribute definition"
	WhyMesh          = "mesh"
	WhySolid         = "solid model"
	WhyClosedLeader  = "leader whose line closes"
	WhyPicture       = "picture: nothing of it is cut"
	WhyCover         = "covers what lies under it on the screen, and takes nothing away"
	WhyEndless       = "endless construction line"
	WhyProxy         = "object of another application"
	WhyExplode       = "of a kind that this program does not know as lines"
	WhyNoVertices    = "no vertices"
	WhyEmptyHatch    = "no boundary"
	WhySplineData    = "spline without usable control or fit points"
	WhySplineKnots   = "spline knots do not match its control points"
	WhySplineWeights = "spline weight is not positive"
	WhySplineEnds    = "read, but its ends may run otherwise in CAD: spline through points without end tangents"
	WhySplineDegree  = "spline degree is not supported"
	WhyEllipse       = "ellipse without size"
)

// unreadType returns the DXF name as a constant and the reason why entities of
// a known type that gives neither curve, text nor mark are not used.
func unreadType(name string) (string, string) {
	switch name {
	case "ARC_DIMENSION", "LARGE_RADIAL_DIMENSION", "LEADER", "MULTILEADER", "MLEADER",
		"TOLERANCE", "VIEWPORT", "SHAPE", "RTEXT", "ARCALIGNEDTEXT", "LIGHT", "SUN", "CAMERA",
		"SECTION", "GEOPOSITIONMARKER", "ACAD_TABLE", "FIELD", "POINTCLOUD", "ACDBPOINTCLOUDEX":
		return name, WhyNotGeometry
	case "IMAGE", "OLEFRAME", "OLE2FRAME", "PDFUNDERLAY", "DWFUNDERLAY", "DGNUNDERLAY":
		return name, WhyPicture
	case "WIPEOUT":
		return name, WhyCover
	case "XLINE", "RAY":
		return name, WhyEndless
	case "3DSOLID", "BODY", "SURFACE", "EXTRUDEDSURFACE", "LOFTEDSURFACE", "REVOLVEDSURFACE",
		"SWEPTSURFACE", "PLANESURFACE", "NURBSURFACE":
		return name, WhySolid
	case "MESH", "PMESH":
		return name, WhyMesh
	case "REGION", "MLINE", "HELIX", "MPOLYGON":
		return name, WhyExplode
	case "ACAD_PROXY_ENTITY":
		return name, WhyProxy
	case "ATTDEF":
		return name, WhyAttdef
	}
	return name, WhyUnknown
}

// countUnread counts an entity of a layer that was not used.
func (r *reader) countUnread(typ string, layer int32, why string) {
	if r.hiding {
		return
	}
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
