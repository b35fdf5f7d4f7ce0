package dxfio

import (
	"fmt"
	"io"
	"sync"

	"github.com/yofu/dxf"
	blocks "github.com/yofu/dxf/block"
	"github.com/yofu/dxf/color"
	"github.com/yofu/dxf/drawing"
	"github.com/yofu/dxf/entity"
	"github.com/yofu/dxf/format"
	"github.com/yofu/dxf/handle"
	"github.com/yofu/dxf/insunit"
	"github.com/yofu/dxf/object"
	"github.com/yofu/dxf/table"

	"trueup/dxfio/geom"
)

// Sheet is a drawing to write: polylines and texts on layers, in one unit.
type Sheet struct {
	Unit      Unit
	Layers    []SheetLayer
	Polylines []Polyline
	Texts     []Label
}

// SheetLayer is a layer of a Sheet. Color is a DXF colour index, 1 to 255
// (DXF Reference, group code 62).
type SheetLayer struct {
	Name  string
	Color int
}

// Polyline is a chain of lines and arcs on a layer. Each curve starts where the
// one before ends; a closed one ends where it starts.
type Polyline struct {
	Layer  string
	Curves []geom.Curve
	Closed bool
}

// Label is a single line of text on a layer; At is its lower left end.
type Label struct {
	Layer  string
	Value  string
	At     geom.Point
	Height float64
}

// writing guards github.com/yofu/dxf: the library shares its default layer, line
// types and text style between all drawings and numbers their handles while
// writing, so two drawings written at once would race.
var writing sync.Mutex

// Write writes the sheet as an ASCII DXF of version AC1015. Texts are escaped
// for it: characters outside ASCII become \U+XXXX, control characters go. The
// curves read back are the same to 1e-9. Coordinates that are not finite and
// layers that the sheet does not list are an error, and nothing is written.
func Write(w io.Writer, s *Sheet) error {
	if err := s.check(); err != nil {
		return err
	}
	writing.Lock()
	defer writing.Unlock()
	d := dxf.NewDrawing()
	mend(d)
	h := d.Header()
	h.InsUnit = insunit.Unit(s.Unit)
	box := s.box()
	h.ExtMin = []float64{box.Min.X, box.Min.Y, 0}
	h.ExtMax = []float64{box.Max.X, box.Max.Y, 0}
	layers := map[string]*table.Layer{}
	for _, l := range s.Layers {
		name := LayerName(l.Name)
		added, err := d.AddLayer(name, color.ColorNumber(l.Color), table.LT_CONTINUOUS, false)
		if added == nil {
			return fmt.Errorf("layer %s: %w", name, err)
		}
		layers[l.Name] = added // the library's error only says that the name is taken: two names became one
	}
	for _, p := range s.Polylines {
		d.AddEntity(newBulged(p, layers[p.Layer]))
	}
	for _, t := range s.Texts {
		addText(d, t, layers[t.Layer])
	}
	_, err := d.WriteTo(w)
	return err
}

// The sections of the library's drawing that mend touches, by their place in it.
const (
	tablesSection  = 2
	blocksSection  = 3
	objectsSection = 5
)

// mend takes out what an audit of the library's drawings finds: a block of a
// second paper layout that has no layout, and dictionaries that name no owner
// (DXF Reference, DICTIONARY: group 330; the root's owner is 0).
func mend(d *drawing.Drawing) {
	records := table.NewTable("BLOCK_RECORD")
	for _, name := range []string{"*Model_Space", "*Paper_Space"} {
		records.Add(table.NewBlockRecord(name))
	}
	tables := d.Sections[tablesSection].(table.Tables)
	tables[len(tables)-1] = records
	d.Sections[blocksSection] = d.Sections[blocksSection].(blocks.Blocks)[:2]
	objects := d.Sections[objectsSection].(object.Objects)
	var root handle.Handler
	for i, o := range objects {
		if dictionary, ok := o.(*object.Dictionary); ok {
			objects[i] = &owned{dictionary, root}
			if root == nil {
				root = dictionary
			}
		}
	}
}

// owned is the library's DICTIONARY with the owner it lacks; nil owns the root.
type owned struct {
	*object.Dictionary
	owner handle.Handler
}

// Format writes the dictionary with its owner (group 330) behind its handle.
func (o *owned) Format(f format.Formatter) {
	owner := 0
	if o.owner != nil {
		owner = o.owner.Handle()
	}
	o.Dictionary.Format(&ownerFormatter{f, owner})
}

// ownerFormatter passes everything on and adds group 330 after group 5.
type ownerFormatter struct {
	format.Formatter
	owner int
}

func (f *ownerFormatter) WriteHex(code, value int) {
	f.Formatter.WriteHex(code, value)
	if code == 5 {
		f.Formatter.WriteHex(330, f.owner)
	}
}

func addText(d *drawing.Drawing, t Label, layer *table.Layer) {
	e := entity.NewText()
	e.Coord1 = []float64{t.At.X, t.At.Y, 0}
	e.Height = t.Height
	e.WidthFactor = 1
	e.Value = EscapeText(t.Value)
	e.SetLayer(layer)
	d.AddEntity(e)
}

// check refuses what would make a drawing that other programs cannot open.
func (s *Sheet) check() error {
	known := map[string]bool{}
	for _, l := range s.Layers {
		if l.Color < 1 || l.Color > 255 {
			return fmt.Errorf("layer %s: colour %d is not an index from 1 to 255", l.Name, l.Color)
		}
		known[l.Name] = true
	}
	for i, p := range s.Polylines {
		if !known[p.Layer] {
			return fmt.Errorf("polyline %d: layer %q is not in the sheet", i+1, p.Layer)
		}
		if len(p.Curves) == 0 {
			return fmt.Errorf("polyline %d on layer %s: no curves", i+1, p.Layer)
		}
		for _, c := range p.Curves {
			if !c.A.Finite() || !c.B.Finite() || !(geom.Point{X: c.Bulge}).Finite() {
				return fmt.Errorf("polyline %d on layer %s: coordinate is not finite", i+1, p.Layer)
			}
		}
	}
	for _, t := range s.Texts {
		if !known[t.Layer] {
			return fmt.Errorf("text %q: layer %q is not in the sheet", t.Value, t.Layer)
		}
		if !t.At.Finite() || !(t.Height > 0) {
			return fmt.Errorf("text %q on layer %s: place or height is not a number", t.Value, t.Layer)
		}
	}
	return nil
}

// box returns the extents of the sheet, the origin when it is empty.
func (s *Sheet) box() geom.Box {
	b := geom.EmptyBox()
	for _, p := range s.Polylines {
		for _, c := range p.Curves {
			b = b.Union(c.Box())
		}
	}
	for _, t := range s.Texts {
		b = b.Extend(t.At)
	}
	if b.Empty() {
		return geom.Box{}
	}
	return b
}

// bulged is the library's LWPOLYLINE with the bulges it lacks.
type bulged struct {
	*entity.LwPolyline
	bulges []float64
}

func newBulged(p Polyline, layer *table.Layer) *bulged {
	n := len(p.Curves)
	if !p.Closed {
		n++
	}
	e := &bulged{LwPolyline: entity.NewLwPolyline(n), bulges: make([]float64, n)}
	for i, c := range p.Curves {
		e.Vertices[i] = []float64{c.A.X, c.A.Y}
		e.bulges[i] = c.Bulge
	}
	if p.Closed {
		e.Close()
	} else {
		end := p.Curves[n-2].B
		e.Vertices[n-1] = []float64{end.X, end.Y}
	}
	e.SetLayer(layer)
	return e
}

// Format writes the polyline with a bulge (group 42) behind each vertex it
// belongs to (DXF Reference, LWPOLYLINE).
func (b *bulged) Format(f format.Formatter) {
	b.LwPolyline.Format(&bulgeFormatter{Formatter: f, bulges: b.bulges})
}

// bulgeFormatter passes everything on and adds group 42 after each group 20.
type bulgeFormatter struct {
	format.Formatter
	bulges []float64
}

func (f *bulgeFormatter) WriteFloat(code int, value float64) {
	f.Formatter.WriteFloat(code, value)
	if code == 20 {
		if f.bulges[0] != 0 {
			f.Formatter.WriteFloat(42, f.bulges[0])
		}
		f.bulges = f.bulges[1:]
	}
}
