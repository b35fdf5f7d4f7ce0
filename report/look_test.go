package report

import (
	"bytes"
	"os"
	"testing"

	"trueup/report/draw"
)

func TestLook(t *testing.T) {
	dir := os.Getenv("LOOK")
	if dir == "" {
		return
	}
	fonts, _ := draw.NewFonts()
	tpl := kitchen()
	r := Build(kitchenInput())
	for i := range tpl.Pieces {
		c, _, _ := pieceDrawing(tpl, &tpl.Pieces[i], pt(r.Pieces[i].Centroid[0], r.Pieces[i].Centroid[1]).Sub(tpl.Shift), fonts, Default(), 186, 138)
		var b bytes.Buffer
		if err := c.PNG(&b, fonts, 6); err != nil {
			t.Fatal(err)
		}
		os.WriteFile(dir+"/"+tpl.Pieces[i].ID+".png", b.Bytes(), 0o644)
		b.Reset()
		c.SVG(&b, "t", "d")
		os.WriteFile(dir+"/"+tpl.Pieces[i].ID+".svg", b.Bytes(), 0o644)
	}
	earlier := kitchenInput()
	earlier.Revision = 1
	earlier.Template.Pieces[0].Outline = earlier.Template.Pieces[0].Outline.Translate(pt(3, 0))
	earlier.Template.Pieces = earlier.Template.Pieces[:3]
	old := Build(earlier)
	old.Pieces[0].Length += 12
	old.Flags[0].Key = "gone"
	for _, units := range []string{UnitsBoth, UnitsMM, UnitsInch} {
		set := Default()
		set.Units, set.Shop = units, "Quarry Lane Stone"
		var wb bytes.Buffer
		err := Workbook(&wb, WorkbookInput{Result: r, Template: tpl, Settings: set, Earlier: old,
			Limits:  []Limit{{"rules.narrow_stop", 50.0, 50.0, "mm", "a strip of stone narrower than this breaks", "2 in, common practice, no source", false}, {"rules.inside_radius", 9.525, 9.5, "mm", "inside corners tighter than this start cracks", "3/8 in (9.5 mm), two trade pages, common practice", true}},
			Persons: func(m float64) string { return "four people or lifting gear" }})
		if err != nil {
			t.Fatal(err)
		}
		os.WriteFile(dir+"/kitchen-"+units+".xlsx", wb.Bytes(), 0o644)
	}
	c, _ := templateDrawing(tpl, r, fonts, Default(), 190, 110)
	var b bytes.Buffer
	c.PNG(&b, fonts, 6)
	os.WriteFile(dir+"/all.png", b.Bytes(), 0o644)
}
