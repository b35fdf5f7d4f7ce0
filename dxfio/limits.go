package dxfio

import "fmt"

// Limits bounds what one file may cost. Every field that is 0 takes the value
// of DefaultLimits; each limit that is passed is an *Error that names its key.
type Limits struct {
	FileBytes    int64   `toml:"file_bytes" unit:"bytes" min:"1024" max:"8589934592" doc:"largest drawing file that is read" source:"common practice, no source"`
	Curves       int     `toml:"curves" min:"100" max:"50000000" doc:"most curves, texts and points of a drawing, block references expanded" source:"common practice, no source"`
	Expanded     int     `toml:"expanded" min:"100" max:"50000000" doc:"most curves, texts and points that block references show" source:"common practice, no source; far more than a kitchen with all its cabinets"`
	Layers       int     `toml:"layers" min:"10" max:"1000000" doc:"most layers of a drawing" source:"common practice, no source"`
	NestingDepth int     `toml:"nesting_depth" min:"1" max:"100" doc:"how deep block references may lie inside block references" source:"common practice, no source"`
	LineBytes    int     `toml:"line_bytes" unit:"bytes" min:"256" max:"67108864" doc:"longest line of an ASCII drawing, longest text value of a binary one" source:"common practice, no source; CAD programs write at most 2049 characters a line"`
	TextBytes    int     `toml:"text_bytes" unit:"bytes" min:"256" max:"67108864" doc:"longest text of a drawing, its parts joined" source:"common practice, no source"`
	Coordinate   float64 `toml:"coordinate" min:"1000000" max:"1000000000000000" doc:"largest coordinate or length, in drawing units" source:"common practice, no source; at the default a float64 still tells points 0.001 units apart"`
}

// DefaultLimits returns limits that a template of a stone top never comes near.
func DefaultLimits() Limits {
	return Limits{
		FileBytes:    512 << 20,
		Curves:       3_000_000,
		Expanded:     250_000,
		Layers:       10_000,
		NestingDepth: 32,
		LineBytes:    1 << 20,
		TextBytes:    256 << 10,
		Coordinate:   1e12,
	}
}

// orDefault fills the fields that were left 0.
func (l Limits) orDefault() Limits {
	d := DefaultLimits()
	if l.FileBytes <= 0 {
		l.FileBytes = d.FileBytes
	}
	if l.Curves <= 0 {
		l.Curves = d.Curves
	}
	if l.Expanded <= 0 {
		l.Expanded = d.Expanded
	}
	if l.Layers <= 0 {
		l.Layers = d.Layers
	}
	if l.NestingDepth <= 0 {
		l.NestingDepth = d.NestingDepth
	}
	if l.LineBytes <= 0 {
		l.LineBytes = d.LineBytes
	}
	if l.TextBytes <= 0 {
		l.TextBytes = d.TextBytes
	}
	if !(l.Coordinate > 0) {
		l.Coordinate = d.Coordinate
	}
	return l
}

// Keys of the limits as they stand in a settings file.
const (
	keyFileBytes    = "reading.file_bytes"
	keyCurves       = "reading.curves"
	keyExpanded     = "reading.expanded"
	keyLayers       = "reading.layers"
	keyNestingDepth = "reading.nesting_depth"
	keyLineBytes    = "reading.line_bytes"
	keyTextBytes    = "reading.text_bytes"
	keyCoordinate   = "reading.coordinate"
)

// raise says what to do about a limit.
func raise(key string, limit any) string {
	return fmt.Sprintf("make the drawing smaller, or raise %s (now %v) in the settings", key, limit)
}
