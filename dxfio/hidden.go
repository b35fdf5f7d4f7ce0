package dxfio

// hide counts an entity as not used and keeps what it would draw aside. A fault in it
// costs nothing but itself: it is not part of what the drawing shows.
func (r *reader) hide(s shape, at *placement, why string) {
	r.aside(func() { s.place(r, at) }, why)
}

// filledArea is a shape that encloses an area.
type filledArea interface {
	boundary(r *reader, at *placement)
}

// setAside keeps the boundary of an area on a layer that does not cut: it is drawn for
// the eye as a rule, but nobody knows where the layer has no role.
func (r *reader) setAside(s filledArea, at *placement) {
	if !r.hiding { // otherwise what holds it is hidden
		r.aside(func() { s.boundary(r, at) }, WhyArea)
	}
}

// aside counts the entity being shown as not used and keeps what draw draws aside.
func (r *reader) aside(draw func(), why string) {
	r.notUsed(why)
	if len(r.d.Hidden.Curves)+len(r.d.Hidden.Marks) >= r.limits.Curves || r.err != nil {
		return
	}
	d := r.d
	curves, texts, marks, dimensions, changes := len(d.Curves), len(d.Texts), len(d.Marks), len(d.Dimensions), len(d.Changes)
	expanded, waiting, unplaced := r.expanded, len(r.waiting), len(d.Unplaced)
	name, layer := r.name, r.source.Layer
	r.hiding = true
	draw()
	r.hiding = false
	if r.err == nil {
		r.keepHidden(d.Curves[curves:], d.Marks[marks:], why)
	}
	kept := d.Unplaced[:unplaced]
	for _, u := range d.Unplaced[unplaced:] {
		if u.Why != WhyPicture && u.Why != WhyCover { // nobody sees those
			kept = append(kept, Unplaced{Type: name, Layer: layer, Why: why, Box: u.Box}) // counted under the name of what hides it
		}
	}
	d.Unplaced = kept
	r.err, r.expanded, r.waiting = nil, expanded, r.waiting[:waiting]
	d.Curves, d.Texts, d.Marks, d.Dimensions, d.Changes = d.Curves[:curves], d.Texts[:texts], d.Marks[:marks], d.Dimensions[:dimensions], d.Changes[:changes]
}

// keepHidden puts curves and points among the hidden ones.
func (r *reader) keepHidden(curves []Curve, marks []Mark, why string) {
	for _, c := range curves {
		r.d.Hidden.Curves = append(r.d.Hidden.Curves, HiddenCurve{c, why})
	}
	for _, m := range marks {
		r.d.Hidden.Marks = append(r.d.Hidden.Marks, HiddenMark{m, why})
	}
}
