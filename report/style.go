package report

import (
	"fmt"

	"github.com/xuri/excelize/v2"
)

// look is what a cell looks like. It is comparable, so that no style is made
// twice.
type look struct {
	size           float64 // points, 0: 10
	bold, italic   bool
	color, fill    string // RRGGBB, empty: ink and none
	format         string // number format, empty: general
	align, valign  string // empty: by type, centre
	wrap           bool
	border         string // RRGGBB of thin lines all around; empty: none
	under          string // RRGGBB of a line below; empty: none
	indent         int
	unlocked, link bool
}

// Inks of the sheets. Every coloured cell says in words what its colour says.
const (
	inkText    = "1C2126"
	inkQuiet   = "55606B"
	inkLink    = "1F4C8B"
	fillHead   = "E3E7EA"
	fillBand   = "F4F2EC"
	fillInput  = "FFF8D6"
	lineSoft   = "C9CFD4"
	lineStrong = "6B7178"
	white      = "FFFFFF"
	fillStop   = "A3201D"
	fillWarn   = "F6E2B8"
	inkWarn    = "5E3D00"
	fillNote   = "DCE8F0"
	inkNote    = "1F4C6B"
	fillReady  = "1F5F3A"
	fillFailed = "2B2B2B"
)

// Number formats.
const (
	formatMM    = `0.0`
	formatFine  = `0.00`
	formatCount = `0`
	formatArea  = `0.000`
	formatMass  = `0.0`
	formatDeg   = `0.0`
	formatText  = `@`
)

// inchFormat is the number format that shows a value in inches as a reduced
// fraction to the sixteenth. The value itself stays exact, for sums.
func inchFormat(inches float64) string {
	_, _, d := fraction(inches)
	if d == 1 {
		return `0`
	}
	return `# ?/` + itoa(d)
}

// styles makes the styles of a workbook.
type styles struct {
	file *excelize.File
	ids  map[look]int
}

func (s *styles) id(l look) (int, error) {
	if id, ok := s.ids[l]; ok {
		return id, nil
	}
	style := excelize.Style{
		Font:       &excelize.Font{Family: fontFamily, Size: 10, Bold: l.bold, Italic: l.italic, Color: inkText},
		Alignment:  &excelize.Alignment{Horizontal: l.align, Vertical: "center", WrapText: l.wrap, Indent: l.indent},
		Protection: &excelize.Protection{Locked: !l.unlocked},
	}
	if l.size > 0 {
		style.Font.Size = l.size
	}
	if l.color != "" {
		style.Font.Color = l.color
	}
	if l.link {
		style.Font.Color, style.Font.Underline = inkLink, "single"
	}
	if l.valign != "" {
		style.Alignment.Vertical = l.valign
	}
	if l.fill != "" {
		style.Fill = excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{l.fill}}
	}
	if l.format != "" {
		style.CustomNumFmt = &l.format
	}
	if l.border != "" {
		for _, side := range [...]string{"left", "top", "right", "bottom"} {
			style.Border = append(style.Border, excelize.Border{Type: side, Color: l.border, Style: 1})
		}
	}
	if l.under != "" {
		style.Border = append(style.Border, excelize.Border{Type: "bottom", Color: l.under, Style: 1})
	}
	id, err := s.file.NewStyle(&style)
	if err != nil {
		return 0, fmt.Errorf("style: %w", err)
	}
	s.ids[l] = id
	return id, nil
}

// fontFamily is on every machine with Excel, and LibreOffice has a font with
// the same widths.
const fontFamily = "Arial"
