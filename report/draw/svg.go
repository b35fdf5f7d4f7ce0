package draw

import (
	"bufio"
	"encoding/xml"
	"fmt"
	"image/color"
	"io"
	"math"
	"strconv"
	"strings"

	"trueup/dxfio/geom"
)

// SVG writes the drawing with exact arcs. The title and the description are
// what a screen reader says. All text is escaped.
func (c *Canvas) SVG(w io.Writer, title, description string) error {
	b := bufio.NewWriter(w)
	fmt.Fprintf(b, `<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %s %s" role="img" aria-labelledby="t d" font-family="'Go', Arial, 'Liberation Sans', Helvetica, sans-serif">`+"\n",
		short(c.Width), short(c.Height), short(c.Width), short(c.Height))
	fmt.Fprintf(b, "<title id=\"t\">%s</title>\n<desc id=\"d\">%s</desc>\n", escape(title), escape(description))
	c.patterns(b)
	fmt.Fprintf(b, "<rect width=\"%s\" height=\"%s\" fill=\"#fff\"/>\n", short(c.Width), short(c.Height))
	var data []byte // of the path under work, kept for its memory
	for i := range c.items {
		switch it := &c.items[i]; it.kind {
		case curvesItem:
			data = path(data[:0], it.curves, false)
			fmt.Fprintf(b, `<path d="%s" fill="none" stroke="%s" stroke-width="%s"`, data, hex(it.pen.Color), short(it.pen.Width))
			if len(it.pen.Dash) > 0 {
				b.WriteString(` stroke-dasharray="`)
				for _, d := range it.pen.Dash {
					b.WriteString(short(d) + " ")
				}
				b.WriteString("\"/>\n")
			} else {
				b.WriteString(" stroke-linecap=\"square\"/>\n")
			}
		case areaItem:
			data = data[:0]
			for _, l := range it.loops {
				data = path(data, l, true)
			}
			paint := hex(it.fill.Color)
			if it.fill.Spacing > 0 {
				paint = "url(#" + patternID(it.fill) + ")"
			}
			fmt.Fprintf(b, "<path d=\"%s\" fill=\"%s\" fill-rule=\"evenodd\"/>\n", data, paint)
		case textItem:
			writeText(b, it.text)
		}
	}
	b.WriteString("</svg>\n")
	return b.Flush()
}

// patterns defines each hatch once.
func (c *Canvas) patterns(b *bufio.Writer) {
	done := map[string]bool{}
	for i := range c.items {
		f := c.items[i].fill
		id := patternID(f)
		if c.items[i].kind != areaItem || f.Spacing <= 0 || done[id] {
			continue
		}
		done[id] = true
		s := short(f.Spacing)
		line := "M0 0L" + s + " " + s
		if f.Rising {
			line = "M0 " + s + "L" + s + " 0"
		}
		fmt.Fprintf(b, "<defs><pattern id=\"%s\" width=\"%s\" height=\"%s\" patternUnits=\"userSpaceOnUse\"><path d=\"%s\" stroke=\"%s\" stroke-width=\".15\"/></pattern></defs>\n",
			id, s, s, line, hex(f.Color))
	}
}

func patternID(f Fill) string {
	id := "h" + strings.TrimPrefix(hex(f.Color), "#") + strconv.Itoa(int(f.Spacing*100))
	if f.Rising {
		id += "r"
	}
	return id
}

func writeText(b *bufio.Writer, t Text) {
	anchor := [...]string{"middle", "start", "end"}[t.Anchor]
	weight := ""
	if t.Bold {
		weight = ` font-weight="bold"`
	}
	fmt.Fprintf(b, "<text x=\"%s\" y=\"%s\" font-size=\"%s\" text-anchor=\"%s\"%s fill=\"%s\">%s</text>\n",
		short(t.At.X), short(t.At.Y+CapHeight/2*t.Size), short(t.Size), anchor, weight, hex(t.Color), escape(t.Value))
}

// path appends curves as path data; an arc of at most a half turn is never SVG's
// large one.
func path(d []byte, curves []geom.Curve, closed bool) []byte {
	point := func(p geom.Point) { d = appendShort(append(appendShort(d, p.X), ' '), p.Y) }
	var at geom.Point
	for i, c := range curves {
		if i == 0 || c.A != at {
			d = append(d, 'M')
			point(c.A)
		}
		if c.Bulge == 0 {
			d = append(d, 'L')
		} else {
			r := c.Radius()
			d = appendShort(append(appendShort(append(d, 'A'), r), ' '), r)
			if c.Bulge > 0 {
				d = append(d, " 0 0 1 "...)
			} else {
				d = append(d, " 0 0 0 "...)
			}
		}
		point(c.B)
		at = c.B
	}
	if closed {
		d = append(d, 'Z')
	}
	return d
}

// short writes paper millimetres to a thousandth.
func short(v float64) string { return string(appendShort(nil, v)) }

func appendShort(b []byte, v float64) []byte {
	n := int64(math.Round(v * 1000))
	if n < 0 {
		b, n = append(b, '-'), -n
	}
	b = strconv.AppendInt(b, n/1000, 10)
	if n %= 1000; n == 0 {
		return b
	}
	b = append(b, '.', byte('0'+n/100))
	if n %= 100; n > 0 {
		b = append(b, byte('0'+n/10))
	}
	if n %= 10; n > 0 {
		b = append(b, byte('0'+n))
	}
	return b
}

func hex(c color.RGBA) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

// escape makes text safe inside an element: EscapeText also replaces what XML
// forbids.
func escape(s string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(s)) // a strings.Builder does not fail
	return b.String()
}
