package report

import (
	"fmt"

	"trueup/dxfio"
)

// Settings say how reports look.
type Settings struct {
	Units string `toml:"units" doc:"lengths in workbooks and drawings: mm, in or both (millimetres with inches to the sixteenth); sentences take decimal inches for in, and for both where the drawing is in inches or feet"`
	Paper string `toml:"paper" doc:"paper the sheets are printed on: a4 or letter"`
	// PieceSheets bounds the workbook of a drawing with very many pieces.
	PieceSheets int64  `toml:"piece_sheets" unit:"" min:"0" max:"400" doc:"most pieces that get a sheet of their own in a workbook; the summary says when there are more" source:"common practice, no source"`
	Shop        string `toml:"shop" doc:"name of the shop in the page headers; empty: none"`
}

// The values of Settings.Units and Settings.Paper.
const (
	UnitsMM     = "mm"
	UnitsInch   = "in"
	UnitsBoth   = "both"
	PaperA4     = "a4"
	PaperLetter = "letter"
)

// Default returns the looks a shop starts with.
func Default() Settings {
	return Settings{Units: UnitsBoth, Paper: PaperA4, PieceSheets: 60}
}

// WrongSetting is a word of the settings that is none of those allowed.
type WrongSetting struct {
	Key   string // below report
	Found string // the word, and what to write
}

func (w *WrongSetting) Error() string { return "report." + w.Key + " is " + w.Found }

// Validate returns what is wrong with the words of the settings, as a
// *WrongSetting.
func (s Settings) Validate() error {
	switch s.Units {
	case UnitsMM, UnitsInch, UnitsBoth:
	default:
		return &WrongSetting{"units", fmt.Sprintf("%q; write mm, in or both", s.Units)}
	}
	switch s.Paper {
	case PaperA4, PaperLetter:
	default:
		return &WrongSetting{"paper", fmt.Sprintf("%q; write a4 or letter", s.Paper)}
	}
	return nil
}

// Lengths tells how sentences write lengths: in the unit of the reports, and
// where that is both, as the drawing has them.
func (s Settings) Lengths(drawing dxfio.Unit) dxfio.Lengths {
	return dxfio.Lengths{Inches: s.Units == UnitsInch || s.Units == UnitsBoth && drawing.Imperial()}
}

func (s Settings) metric() bool { return s.Units != UnitsInch }
func (s Settings) inches() bool { return s.Units != UnitsMM }
