package watch

import (
	"testing"
	"time"
)

// A drawing that was given back is not measured until the next look at drop/.
func TestUnmeasuredDrawingWaits(t *testing.T) {
	shop := newShop(t)
	put(t, shop, "drop/a.dxf", dxf("a"))
	f, err := openFolder(shop, "", nil)
	if err != nil {
		t.Fatal(err)
	}
	defer f.close()
	in := newIntake(func(string, string) {})
	in.candidates["a.dxf"] = &candidate{name: "a.dxf", size: -1}
	if got := in.ending(f, in.candidates["a.dxf"], time.Now()); got != endUnknown {
		t.Errorf("ending %v of a drawing that nobody measured", got)
	}
}
