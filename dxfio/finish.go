package dxfio

// finish completes the drawing: layer counts and lengths, what was not read.
func (r *reader) finish() *Drawing {
	r.dropHidden()
	d := r.d
	for i := range d.Curves {
		c := &d.Curves[i]
		d.Layers[c.Layer].Length += c.Length()
	}
	for i := range d.Layers {
		l, s := &d.Layers[i], &r.layers.state[i]
		l.Entities = map[string]int{}
		for t, n := range s.counts {
			if n > 0 {
				l.Entities[EntityType(t).String()] = n
			}
		}
		for name, n := range s.others {
			l.Entities[name] += n
		}
	}
	d.Unread = r.sortedUnread()
	return d
}

// dropHidden takes out what was read of layers that a TABLES section behind
// their entities turned out to hide.
func (r *reader) dropHidden() {
	d := r.d
	hide := false
	for i := range d.Curves {
		hide = hide || d.Layers[d.Curves[i].Layer].Hidden
	}
	for i := range d.Texts {
		hide = hide || d.Layers[d.Texts[i].Layer].Hidden
	}
	for i := range d.Marks {
		hide = hide || d.Layers[d.Marks[i].Layer].Hidden
	}
	for i := range d.Dimensions {
		hide = hide || d.Layers[d.Dimensions[i].Layer].Hidden
	}
	if !hide {
		return
	}
	last := int32(-1)
	hidden := func(s Source) bool {
		if !d.Layers[s.Layer].Hidden {
			return false
		}
		if s.Entity != last { // the curves of one entity count once
			r.countUnread(s.Type.String(), s.Layer, r.hiddenBy(s.Layer))
		}
		last = s.Entity
		return true
	}
	d.Curves = keep(d.Curves, func(c *Curve) bool {
		hide := hidden(c.Source)
		if hide {
			r.keepHidden([]Curve{*c}, nil, r.hiddenBy(c.Layer))
		}
		return !hide
	})
	d.Texts = keep(d.Texts, func(t *Text) bool { return !hidden(t.Source) })
	d.Marks = keep(d.Marks, func(m *Mark) bool {
		hide := hidden(m.Source)
		if hide {
			r.keepHidden(nil, []Mark{*m}, r.hiddenBy(m.Layer))
		}
		return !hide
	})
	// Dimensions are among the unread whether their layer is seen or not.
	d.Dimensions = keep(d.Dimensions, func(m *Dimension) bool { return !d.Layers[m.Layer].Hidden })
	d.Changes = keep(d.Changes, func(c *Change) bool { return !d.Layers[c.Source.Layer].Hidden })
}

// hiddenBy is what hides a layer.
func (r *reader) hiddenBy(layer int32) string {
	if r.layers.state[layer].frozen {
		return WhyFrozen
	}
	return WhyOff
}

// keep filters a slice in place.
func keep[T any](all []T, wanted func(*T) bool) []T {
	out := all[:0]
	for i := range all {
		if wanted(&all[i]) {
			out = append(out, all[i])
		}
	}
	return out
}
