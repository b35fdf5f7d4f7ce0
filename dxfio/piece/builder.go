package piece

import (
	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// builder carries a drawing through the steps of Build.
type builder struct {
	guard
	d           *dxfio.Drawing
	s           *Settings
	ts          trace.Settings
	readings    []Reading // what the layers' names say
	byRole      map[Role][]int32
	uses        []use
	t           *Template
	problems    problemList
	nested      []opening // loops inside outlines on the outlines' own layers
	marks       *marks
	lent        []trace.Curve          // edges of outlines taken from marks
	twins       map[int32][]int32      // of each curve kept, those drawn on it
	borders     []parting              // lines drawn once between two faces of outlines
	hanging     []trace.Curve          // stretches of seams that divide nothing where they lie
	named       []geom.Curve           // lines that problems, or repairs as a whole, name though they are in use
	entityStart map[int32]int          // first curve of each entity, made when needed
	byEntity    map[int32][]geom.Curve // made when needed
}

func (b *builder) role(layer int32) Role { return b.readings[layer].Role }

// layerOf returns the name of the layer of a curve of the drawing, "" for one
// that a repair made.
func (b *builder) layerOf(id int32) string {
	if id < 0 || int(id) >= len(b.d.Curves) {
		return ""
	}
	return b.d.Layers[b.d.Curves[id].Layer].Name
}

// set notes what a curve is used for; the first use stands.
func (b *builder) set(id int32, u use) {
	if id >= 0 && b.uses[id] == unused {
		b.uses[id] = u
	}
}

// sortCurves deals the curves to their roles, settles those that no later step looks
// at, and reports layers without a role.
func (b *builder) sortCurves() {
	type first struct {
		count  int   // entities: a polyline is one however many curves it has
		curve  int32 // the first one
		entity int32 // of the curve counted last; those of one entity follow one another
	}
	unmapped := map[int32]*first{}
	filled := b.decoration()
	for i := range b.d.Curves {
		c, id := &b.d.Curves[i], int32(i)
		switch role := b.role(c.Layer); {
		case c.Type.Filled() && filled[c.Layer]:
			b.uses[i] = useIgnored
		case role == IgnoreRole:
			b.uses[i] = useIgnored
		case role == NoRole:
			b.uses[i] = useUnmapped
			if unmapped[c.Layer] == nil {
				unmapped[c.Layer] = &first{curve: id, count: 1, entity: c.Entity}
			}
			if u := unmapped[c.Layer]; u.entity != c.Entity {
				u.count++
				u.entity = c.Entity
			}
		case role == SupportRole:
			b.t.HasSupport = true
			fallthrough
		default:
			if c.A.Distance(c.B) <= geom.Tolerance {
				b.uses[i] = useRepaired
				continue
			}
			b.byRole[role] = append(b.byRole[role], id)
		}
	}
	for layer := range b.d.Layers {
		if u := unmapped[int32(layer)]; u != nil {
			c := b.d.Curves[u.curve]
			b.problems.add(Problem{
				Kind: UnmappedLayer, Layer: b.d.Layers[layer].Name, Entity: c.Type.String(), Line: int64(c.Line),
				At: c.Middle(), Count: u.count, Measured: float64(u.count), Why: whyNoRole,
			})
		}
	}
}

// decoration finds the layers of outlines that hold drawn curves and filled areas
// beside them. There the areas show the stone or a surface; only where nothing
// else is drawn they are what is to be cut. They are listed as not used.
func (b *builder) decoration() map[int32]bool {
	drawn, filled := map[int32]bool{}, map[int32]bool{}
	for i := range b.d.Curves {
		c := &b.d.Curves[i]
		if role := b.role(c.Layer); role != OutlineRole && role != SplashRole {
			continue
		}
		if c.Type.Filled() {
			filled[c.Layer] = true
		} else {
			drawn[c.Layer] = true
		}
	}
	type kind struct {
		layer int32
		what  dxfio.EntityType
	}
	entities := map[kind]map[int32]bool{}
	for i := range b.d.Curves {
		c := &b.d.Curves[i]
		if k := (kind{c.Layer, c.Type}); c.Type.Filled() && filled[c.Layer] && drawn[c.Layer] {
			if entities[k] == nil {
				entities[k] = map[int32]bool{}
			}
			entities[k][c.Entity] = true
		}
	}
	for layer := range b.d.Layers {
		if !filled[int32(layer)] || !drawn[int32(layer)] {
			delete(filled, int32(layer))
			continue
		}
		for _, what := range [...]dxfio.EntityType{dxfio.EntitySolid, dxfio.EntityHatch, dxfio.EntityTrace, dxfio.EntityFace} {
			if n := len(entities[kind{int32(layer), what}]); n > 0 {
				b.t.Unread = append(b.t.Unread, dxfio.Unread{Type: what.String(), Layer: b.d.Layers[layer].Name, Why: dxfio.WhyBesideLines, Count: n})
			}
		}
	}
	return filled
}
