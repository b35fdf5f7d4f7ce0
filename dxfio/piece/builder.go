package piece

import (
	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// builder carries a drawing through the steps of Build.
type builder struct {
	d           *dxfio.Drawing
	s           *Settings
	ts          trace.Settings
	roles       []Role   // by layer
	patterns    []string // the pattern that gave the role, by layer
	byRole      map[Role][]int32
	uses        []use
	t           *Template
	problems    problemList
	nested      []opening // loops inside outlines on the outlines' own layers
	marks       *marks
	twins       map[int32][]int32 // of each curve kept, those drawn on it
	entityStart map[int32]int     // first curve of each entity, made when needed
}

func (b *builder) role(layer int32) Role { return b.roles[layer] }

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
		count int
		curve int32
	}
	unmapped := map[int32]*first{}
	for i := range b.d.Curves {
		c, id := &b.d.Curves[i], int32(i)
		switch role := b.role(c.Layer); {
		case role == IgnoreRole:
			b.uses[i] = useIgnored
		case role == NoRole:
			b.uses[i] = useUnmapped
			if unmapped[c.Layer] == nil {
				unmapped[c.Layer] = &first{curve: id}
			}
			unmapped[c.Layer].count++
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
				At: c.Middle(), Count: u.count, Measured: float64(u.count), Why: "no role has a pattern for this layer",
			})
		}
	}
}
