package piece

import (
	"cmp"
	"strings"

	"trueup/dxfio"
)

// mirrored reports the texts that read backwards, as one problem at the topmost of
// them.
func (b *builder) mirrored() {
	var first *dxfio.Text
	backwards, own := 0, false
	for i := range b.d.Texts {
		t := &b.d.Texts[i]
		if !t.Backwards {
			continue
		}
		backwards++
		own = own || !t.Mirrored
		if first == nil || cmp.Or(cmp.Compare(first.At.Y, t.At.Y), cmp.Compare(t.At.X, first.At.X), strings.Compare(t.Value, first.Value)) < 0 {
			first = t
		}
	}
	if first == nil {
		return
	}
	for i := range b.d.Curves {
		c := &b.d.Curves[i]
		role := b.role(c.Layer)
		own = own || c.Mirrored && (role == OutlineRole || role == SplashRole)
	}
	line, _, _ := strings.Cut(strings.TrimSpace(first.Value), "\n")
	b.problems.add(Problem{
		Kind: MirroredText, Layer: b.d.Layers[first.Layer].Name, Entity: first.Type.String(), Line: int64(first.Line), At: first.At,
		Measured: float64(backwards), Count: backwards, Why: line, Part: !own && backwards < len(b.d.Texts),
	})
}
