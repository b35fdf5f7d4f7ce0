package report

import (
	"archive/zip"
	"encoding/xml"
	"errors"
	"io"
	"path"
	"strings"
)

// Reading the parts of a workbook that its decisions are checked against. The
// cells' values are read by the library; it hides formulas unless it loads whole
// sheets, and a few bytes of a hostile sheet make it fill millions of cells.

// smallPart bounds the parts that say where the sheets are, bytes.
const smallPart = 4 << 20

// relationship is one of a part's links.
type relationship struct {
	ID     string `xml:"Id,attr"`
	Target string `xml:"Target,attr"`
	Type   string `xml:"Type,attr"`
}

// sheetPart returns the part of the sheet with a name.
func sheetPart(z *zip.Reader, name string) (*zip.File, error) {
	missing := &WorkbookError{Found: "has no sheet " + name, Do: restore}
	var book struct {
		Sheets []struct {
			Name string `xml:"name,attr"`
			ID   string `xml:"http://schemas.openxmlformats.org/officeDocument/2006/relationships id,attr"`
		} `xml:"sheets>sheet"`
	}
	var links struct {
		Relationships []relationship `xml:"Relationship"`
	}
	if err := readPart(z, "xl/workbook.xml", &book); err != nil {
		return nil, err
	}
	if err := readPart(z, "xl/_rels/workbook.xml.rels", &links); err != nil {
		return nil, err
	}
	for _, s := range book.Sheets {
		if s.Name != name {
			continue
		}
		for _, l := range links.Relationships {
			if l.ID != s.ID {
				continue
			}
			target := strings.TrimPrefix(l.Target, "/")
			if target == l.Target {
				target = path.Join("xl", target)
			}
			for _, f := range z.File {
				if f.Name == target {
					return f, nil
				}
			}
		}
	}
	return nil, missing
}

func readPart(z *zip.Reader, name string, into any) error {
	f, err := z.Open(name)
	if err != nil {
		return &WorkbookError{Found: "has no part " + name, Do: restore, Err: err}
	}
	defer f.Close() // read only
	if err := xml.NewDecoder(io.LimitReader(f, smallPart)).Decode(into); err != nil {
		return &WorkbookError{Found: "part " + name + " cannot be read", Do: restore, Err: err}
	}
	return nil
}

// mostFormulas bounds the formulas remembered of a sheet. A sheet with more is
// not one of ours.
const mostFormulas = 10_000

// formulaCells returns the cells of a sheet that hold a formula.
func formulaCells(part *zip.File) (map[string]bool, error) {
	f, err := part.Open()
	if err != nil {
		return nil, &WorkbookError{Found: "sheet " + flagsSheetName + " cannot be read", Do: restore, Err: err}
	}
	defer f.Close() // read only
	found := map[string]bool{}
	cell := ""
	for decoder := xml.NewDecoder(io.LimitReader(f, mostUnpacked)); ; {
		token, err := decoder.RawToken()
		if errors.Is(err, io.EOF) {
			return found, nil
		}
		if err != nil {
			return nil, &WorkbookError{Found: "sheet " + flagsSheetName + " cannot be read", Do: restore, Err: err}
		}
		start, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		switch start.Name.Local {
		case "c":
			cell = ""
			for _, a := range start.Attr {
				if a.Name.Local == "r" {
					cell = a.Value
				}
			}
		case "f":
			if found[cell] = true; len(found) > mostFormulas {
				return nil, &WorkbookError{Found: "sheet " + flagsSheetName + " is full of formulas", Do: restore}
			}
		}
	}
}
