package rules

import (
	"fmt"
	"slices"

	"trueup/dxfio"
	"trueup/dxfio/piece"
)

// unreadEntity reports entities that could be edges and were not read. It must
// not cry wolf: a drawing is full of texts, dimensions and hatches that are no
// part of the stone. An entity counts when both hold:
//
//   - its layer may shape stone: it has the role outline, cutout or splash, or
//     none. Blocks that could not be opened may hold anything and count on every
//     layer that is not ignored; filled areas are decoration as a rule and count
//     on cutting layers only;
//   - its type can carry an edge: hatches and other filled areas, regions and
//     solids, meshes, multilines, proxy objects, unopened blocks, broken curves,
//     and every type that the reader has never heard of; also splines that were
//     read by points alone, where programs differ in how the ends run.
//
// Pictures count on those layers and over stone, a wipeout where it covers a line to
// be cut: somebody looked at the screen. What the drawing itself hides counts on cutting
// layers, and in stone where it could not be read either. Points in stone that mark no
// hole are told. Texts, dimensions, leaders, endless construction lines, viewports,
// attributes, entities without length and paper space never count, but for lines, arcs and
// the like on a sheet that lie on layers that cut.
// Measured is the number of entities of a type on a layer.
func unreadEntity() Rule {
	return Rule{
		ID:         "unread-entity",
		Severities: []Severity{Stop, Warn},
		What:       "Entities that could be edges and were not read.",
		Why:        "A sink drawn as a solid or inside an external reference is not in the pieces: the top would be cut without it.",
		How: "A stop on layers with the role outline, cutout or splash, and wherever the entity lies in a piece; otherwise a warning. Entities of types that can carry an edge on layers with the role outline, cutout or splash, or without a role: regions, solids, meshes, multilines, broken curves, " +
			"unknown types, splines through points whose ends programs bend differently, on cutting layers also empty blocks and leaders drawn round something; splines alone are a warning everywhere; unopened blocks on every layer that is not ignored. Pictures warn there and over stone; a wipeout is a stop where it covers a line to be cut; what is hidden is one in stone where it could not be read, and warns on cutting layers. " +
			"Points in stone that mark no hole warn. Texts, dimensions and entities without length do not count, nor does what lies on a sheet (paper space), but for lines, arcs, circles and curves of cutting layers. One flag a type and layer.",
		Check: checkUnread,
	}
}

func checkUnread(in *Input, out *Findings) {
	for i := range in.Template.Problems {
		if p := &in.Template.Problems[i]; p.Kind == piece.UnreadEntity && p.Points > 0 {
			out.Flag(in.idlePoints(p))
		} else if p.Kind == piece.UnreadEntity {
			out.Flag(unreadFlag(p.Entity, p.Layer, because(p, "not read"), p.Count))
		}
	}
	if len(in.Template.Unread) > 0 && in.Role == nil {
		out.Unchecked("the roles of the layers are not known here; the unread entities are listed in the report")
		return
	}
	type thing struct{ typ, layer, why string }
	lies := map[thing]piece.UnreadIn{}
	for _, u := range in.Template.UnreadIn {
		t := thing{u.Type, u.Layer, u.Why}
		if was, ok := lies[t]; !ok || u.At.X < was.At.X || u.At.X == was.At.X && u.At.Y < was.At.Y {
			lies[t] = u
		}
	}
	count := map[thing]int{}
	var order []thing
	for _, u := range in.Template.Unread {
		t := thing{u.Type, u.Layer, u.Why}
		_, inStone := lies[t]
		if !canCarryEdge(u) || !mayShapeStone(in.Role(u.Layer), u.Why, inStone) || in.askedAbout(u) {
			continue
		}
		if count[t] == 0 {
			order = append(order, t)
		}
		count[t] += u.Count
	}
	for _, t := range order {
		f := unreadFlag(t.typ, t.layer, t.why, count[t])
		at, inStone := lies[t]
		if cuts(in.Role(t.layer)) && mayHoldShape(t.why) || inStone && t.why != dxfio.WhyPicture {
			f.Severity = Stop
		}
		if inStone {
			f.Piece, f.At = at.Piece, at.At
			f.Message = fmt.Sprintf("In piece %s, at %s, on layer %s %s not read (%s): a sink or an edge may be missing.", at.Piece, in.place(at.At), t.layer, entities(count[t], t.typ), t.why)
		}
		if inStone && t.why == dxfio.WhyCover {
			f.Message = fmt.Sprintf("On layer %s %s of piece %s at %s on the screen: they are cut all the same.", t.layer, covers(count[t]), at.Piece, in.place(at.At))
			f.Remedy = "Delete the lines under it if they are not to be cut, or the wipeout, and export again."
		}
		if t.why == dxfio.WhyEmptyBlock {
			f.Message = fmt.Sprintf("On layer %s %s empty: its block holds nothing, and what it stands for is not cut.", t.layer, entities(count[t], t.typ))
			f.Remedy = "Draw what belongs there, or take the block reference out, and export again."
		}
		out.Flag(f)
	}
}

// askedAbout reports whether unmapped-layer stops for what hides on the same layer.
func (in *Input) askedAbout(u dxfio.Unread) bool {
	return slices.ContainsFunc(in.Template.Problems, func(p piece.Problem) bool {
		return p.Kind == piece.UnmappedLayer && p.Layer == u.Layer && p.Why == u.Why && p.Closed+p.Large+p.Points+p.Open > 0
	})
}

func unreadFlag(typ, layer, why string, n int) Flag {
	f := Flag{
		Severity: Warn,
		Other:    layer + " " + typ, Measured: float64(n),
		Message: fmt.Sprintf("On layer %[2]s %[1]s not read (%[3]s): an edge may be missing.", entities(n, typ), layer, why),
		Remedy:  "Turn it into lines, arcs or polylines in CAD (explode it) and export again, or move it to an ignored layer.",
	}
	if why == dxfio.WhySplineEnds {
		f.Message = fmt.Sprintf("On layer %s %d %s run through points without directions at their ends: beside the first and last points they may run otherwise in CAD.", layer, n, typ)
		if n == 1 {
			f.Message = fmt.Sprintf("On layer %s 1 %s runs through points without directions at its ends: beside the first and last points it may run otherwise in CAD.", layer, typ)
		}
		f.Remedy = "Turn it into arcs or a polyline in CAD (explode it), or export it with control points, and export again."
	}
	switch why {
	case dxfio.WhyPicture, dxfio.WhyCover:
		f.Remedy = "Draw what it shows as lines if it is to be cut; if not, delete it or move it to an ignored layer."
	case dxfio.WhyPaper:
		f.Message = fmt.Sprintf("On layer %[2]s %[1]s drawn on a sheet (paper space) and not in the model: a sink or an edge may be missing.", entities(n, typ), layer)
		f.Remedy = "Move it into the model in CAD and export again, or delete it on the sheet."
	case dxfio.WhyFrozen, dxfio.WhyOff:
		f.Remedy = fmt.Sprintf("If it belongs to the job, show the layer in CAD and export again; if not, delete it there, or %s in the settings.", settingFor(piece.IgnoreRole, layer))
	case dxfio.WhyExplode:
		f.Message = fmt.Sprintf("On layer %[2]s %[1]s not read: an edge may be missing.", entities(n, typ), layer)
	case dxfio.WhyNoBlock:
		f.Remedy = "Export again with the block in the file, or delete its insert if nothing is missing."
	case dxfio.WhyExternal:
		f.Remedy = "Bind the other file into the drawing in CAD, explode it and export again, or detach it if nothing of it is stone."
	}
	return f
}

// idlePoints is the flag of points in stone that nothing is made of.
func (in *Input) idlePoints(p *piece.Problem) Flag {
	f := Flag{Severity: Warn, Piece: p.Piece, Other: p.Layer + " POINT", At: p.At, Measured: float64(p.Count), NoLimit: true}
	lie, mark := "points lie", "they mark"
	if p.Count == 1 {
		lie, mark = "point lies", "it marks"
	}
	f.Message = fmt.Sprintf("On layer %s %d %s in stone, the leftmost in piece %s at %s, and nothing is made of it (%s): %s no hole that is cut.", p.Layer, p.Count, lie, p.Piece, in.place(p.At), p.Why, mark)
	f.Remedy = "Draw the hole as a circle, or as a point on a layer of cutouts with pieces.point_hole set; delete the points if no holes are meant."
	return f
}

// covers says what wipeouts do.
func covers(n int) string {
	if n == 1 {
		return "1 WIPEOUT covers lines"
	}
	return fmt.Sprintf("%d WIPEOUT cover lines", n)
}

// cuts reports whether curves of the role shape stone.
func cuts(r piece.Role) bool {
	return r == piece.OutlineRole || r == piece.CutoutRole || r == piece.SplashRole
}

// mayHoldShape reports whether what was not read for a reason may be a whole shape: the
// ends of a spline are not, pictures have none, and what is hidden is judged by where it
// lies (unmapped-layer; here what could not be read even so).
func mayHoldShape(why string) bool {
	switch why {
	case dxfio.WhySplineEnds, dxfio.WhyFrozen, dxfio.WhyOff, dxfio.WhyPicture, dxfio.WhyCover:
		return false
	}
	return true
}

// mayShapeStone reports whether an entity that was not read for a reason could be
// an edge on a layer of the role, or where it lies.
func mayShapeStone(r piece.Role, why string, inStone bool) bool {
	switch why {
	case dxfio.WhyPicture, dxfio.WhyCover:
		return cuts(r) || inStone && r != piece.IgnoreRole
	case dxfio.WhyInvisible:
		return inStone && r != piece.IgnoreRole
	case dxfio.WhyNoBlock, dxfio.WhyExternal:
		return r != piece.IgnoreRole
	case dxfio.WhyArea, dxfio.WhyBesideLines:
		return false
	case dxfio.WhyFrozen, dxfio.WhyOff:
		// What nobody sees may be meant; a sink that nobody sees is not.
		return cuts(r) || inStone && r != piece.IgnoreRole
	case dxfio.WhyEmptyBlock, dxfio.WhyClosedLeader, dxfio.WhyPaper:
		return cuts(r)
	}
	return cuts(r) || r == piece.NoRole
}

// drawnTypes are the entities that somebody draws an edge with.
var drawnTypes = []string{"LINE", "ARC", "CIRCLE", "ELLIPSE", "LWPOLYLINE", "POLYLINE", "SPLINE"}

// canCarryEdge reports whether an entity that was not used may be an edge, by
// the reason that the reader gives.
func canCarryEdge(u dxfio.Unread) bool {
	switch u.Why {
	case dxfio.WhyPaper:
		// A sheet has frames, views and title blocks on any layer; a drawn line of a layer
		// that cuts was drawn on the sheet by mistake.
		return slices.Contains(drawnTypes, u.Type)
	case dxfio.WhyNotGeometry, dxfio.WhyDimension, dxfio.WhyZeroLength, dxfio.WhyZeroRadius, dxfio.WhyEmptyText,
		dxfio.WhyAttdef, dxfio.WhyNoVertices, dxfio.WhyEllipse, dxfio.WhyZeroScale, dxfio.WhyEndless:
		return false
	}
	switch u.Type {
	case "TEXT", "MTEXT", "ATTRIB", "ATTDEF", "POINT":
		return false
	}
	// "$DWGCODEPAGE" and the like are not entities.
	return u.Type != "" && u.Type[0] != '$'
}

func entities(n int, typ string) string {
	if n == 1 {
		return "1 " + typ + " is"
	}
	return fmt.Sprintf("%d %s are", n, typ)
}
