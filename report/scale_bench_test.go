package report

import (
	"bytes"
	"fmt"
	"testing"

	"trueup/rules/shop"
)

// BenchmarkWorkbookLarge is a drawing far beyond a kitchen: three thousand
// pieces, of which Settings.PieceSheets get a sheet, and five thousand flags.
func BenchmarkWorkbookLarge(b *testing.B) {
	in := kitchenInput()
	for i := range 3000 {
		p := in.Template.Pieces[i%4]
		p.ID = fmt.Sprint("P", i)
		p.Outline = p.Outline.Translate(pt(float64(i%60)*3500, float64(i/60)*3500))
		in.Template.Pieces = append(in.Template.Pieces, p)
		in.Setups[p.ID] = &shop.Setup{Mass: 80, SawLength: 5000}
	}
	for range 5000 {
		in.Findings.Flags = append(in.Findings.Flags, in.Findings.Flags[1])
	}
	r := Build(in)
	for b.Loop() {
		var out bytes.Buffer
		if err := writeWorkbook(&out, WorkbookInput{Result: r, Template: in.Template, Settings: Default()}); err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(out.Len()), "bytes")
	}
}
