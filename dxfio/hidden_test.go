package dxfio

import (
	"fmt"
	"strings"
	"testing"
)

// What a drawing hides is used for nothing, counted, and kept aside with the reason. A
// fault in it does not cost the drawing. Groups by the DXF Reference: layer flag 70 bit 1
// frozen, colour 62 negative off, entity 60 invisible.
func TestHidden(t *testing.T) {
	const circle, point = "0 CIRCLE 8 %s 10 5 20 5 40 3 ", "0 POINT 8 %s 10 1 20 2 "
	layers := "0 SECTION 2 TABLES 0 TABLE 2 LAYER 0 LAYER 2 COLD 70 1 62 7 0 LAYER 2 DARK 70 0 62 -7 0 ENDTAB 0 ENDSEC "
	shapes := fmt.Sprintf(circle+circle+point+circle+"60 1 0 CIRCLE 8 COLD 10 9e11 20 0 40 9e11 "+circle, "COLD", "DARK", "DARK", "SEEN", "SEEN")
	entities := "0 SECTION 2 ENTITIES " + shapes + "0 ENDSEC "
	block := "0 SECTION 2 BLOCKS 0 BLOCK 2 B 10 0 20 0 " + fmt.Sprintf(circle, "0") + "0 ENDBLK 0 ENDSEC "
	for name, text := range map[string]string{
		"layers first":   layers + entities,
		"layers last":    strings.Replace(entities, "0 CIRCLE 8 COLD 10 9e11 20 0 40 9e11 ", "", 1) + layers,
		"a frozen block": layers + block + "0 SECTION 2 ENTITIES 0 INSERT 8 COLD 2 B 10 0 20 0 " + fmt.Sprintf(circle+point+circle+"60 1 "+circle, "DARK", "DARK", "SEEN", "SEEN") + "0 ENDSEC ",
	} {
		t.Run(name, func(t *testing.T) {
			d, err := Read(strings.NewReader(strings.ReplaceAll(text+"0 EOF", " ", "\n")+"\n"), Options{File: "a.dxf"})
			if err != nil {
				t.Fatal(err)
			}
			got := map[string]int{}
			for _, c := range d.Hidden.Curves {
				got[c.Why]++
			}
			if got[WhyFrozen] != 2 || got[WhyOff] != 2 || got[WhyInvisible] != 2 || len(d.Hidden.Marks) != 1 || len(d.Curves) != 2 {
				t.Errorf("hidden curves %v, %d marks, %d seen", got, len(d.Hidden.Marks), len(d.Curves))
			}
		})
	}
}
