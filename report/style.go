package report

import (
	"fmt"
	"sync"

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

// styles are the styles of one workbook, numbered in the order of their first
// use, so that the same report is the same file whatever was written before it.
type styles struct {
	file    *excelize.File
	made    *madeStyles
	ids     map[look]int
	fonts   map[int]int // numbers in made to numbers here
	fills   map[int]int
	borders map[int]int
	formats map[int]int
}

func newStyles(file *excelize.File, made *madeStyles) styles {
	zero := func() map[int]int { return map[int]int{0: 0} } // what cells without a style have
	return styles{file: file, made: made, ids: map[look]int{}, fonts: zero(), fills: zero(), borders: zero(), formats: zero()}
}

// id returns the number of a look's style in the workbook.
func (s *styles) id(l look) (int, error) {
	if id, ok := s.ids[l]; ok {
		return id, nil
	}
	s.made.mu.Lock()
	defer s.made.mu.Unlock()
	from, err := s.made.id(l)
	if err != nil {
		return 0, fmt.Errorf("style: %w", err)
	}
	// The library compares a new style with every other, part by part; here each
	// look is known to be new, so that its parts are only taken over.
	have, own := s.made.file.Styles, s.file.Styles
	style := have.CellXfs.Xf[from]
	style.FontID = renumber(s.fonts, style.FontID, func(i int) int {
		own.Fonts.Font = append(own.Fonts.Font, have.Fonts.Font[i])
		own.Fonts.Count = len(own.Fonts.Font)
		return own.Fonts.Count - 1
	})
	style.FillID = renumber(s.fills, style.FillID, func(i int) int {
		own.Fills.Fill = append(own.Fills.Fill, have.Fills.Fill[i])
		own.Fills.Count = len(own.Fills.Fill)
		return own.Fills.Count - 1
	})
	style.BorderID = renumber(s.borders, style.BorderID, func(i int) int {
		own.Borders.Border = append(own.Borders.Border, have.Borders.Border[i])
		own.Borders.Count = len(own.Borders.Border)
		return own.Borders.Count - 1
	})
	style.NumFmtID = renumber(s.formats, style.NumFmtID, func(i int) int {
		if own.NumFmts == nil {
			empty := *have.NumFmts // a copy: its type has no name outside the library
			own.NumFmts, empty.NumFmt = &empty, nil
		}
		for _, f := range have.NumFmts.NumFmt {
			if f.NumFmtID == i {
				format := *f
				format.NumFmtID = firstFormat + len(own.NumFmts.NumFmt)
				own.NumFmts.NumFmt = append(own.NumFmts.NumFmt, &format)
				own.NumFmts.Count = len(own.NumFmts.NumFmt)
				return format.NumFmtID
			}
		}
		return i // built in: the same everywhere
	})
	own.CellXfs.Xf = append(own.CellXfs.Xf, style)
	own.CellXfs.Count = len(own.CellXfs.Xf)
	s.ids[l] = own.CellXfs.Count - 1
	return s.ids[l], nil
}

// firstFormat is the first number of a format that is not built in (ECMA-376
// part 1, 18.8.30).
const firstFormat = 164

// renumber returns where a part of a style stands here, taking it over with add
// when it is new.
func renumber(known map[int]int, from *int, add func(int) int) *int {
	if from == nil {
		return nil
	}
	to, ok := known[*from]
	if !ok {
		to = add(*from)
		known[*from] = to
	}
	return &to
}

// madeStyles are the styles that the library has made for any workbook so far.
type madeStyles struct {
	mu   sync.Mutex
	file *excelize.File
	ids  map[look]int
}

func (m *madeStyles) id(l look) (int, error) {
	if id, ok := m.ids[l]; ok {
		return id, nil
	}
	if m.file == nil {
		m.file, m.ids = excelize.NewFile(), map[look]int{}
		if err := m.file.SetDefaultFont(fontFamily); err != nil {
			return 0, err
		}
	}
	id, err := m.file.NewStyle(l.style())
	if err != nil {
		return 0, err
	}
	m.ids[l] = id
	return id, nil
}

// style is the look in the library's words.
func (l look) style() *excelize.Style {
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
	return &style
}

// fontFamily is on every machine with Excel, and LibreOffice has a font with
// the same widths.
const fontFamily = "Arial"
