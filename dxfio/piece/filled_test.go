package piece

import (
	"context"
	"testing"

	"trueup/dxfio"
	"trueup/dxfio/trace"
)

// A hatch on the layer of outlines that are drawn shows the stone: it divides no
// top and cuts no hole. Where nothing else is drawn it is the top.
func TestFilledAreasBesideOutlines(t *testing.T) {
	const ell = "COUNTER: 0,0 2400,0 2400,600 600,600 600,2000 0,2000 close\n"
	for _, tc := range []struct {
		name, text      string
		hatched         []int // numbers of the lines that are hatches
		pieces, cutouts int
		unread          int
	}{
		{"over half of an L", ell + "COUNTER: 0,0 2400,0 2400,600 0,600 close", []int{1}, 1, 0, 1},
		{"a millimetre inside", ell + "COUNTER: 1,1 2399,1 2399,599 599,599 599,1999 1,1999 close", []int{1}, 1, 0, 1},
		{"a patch", ell + "COUNTER: 100,100 300,100 300,300 100,300 close", []int{1}, 1, 0, 1},
		{"the top itself", "COUNTER: 0,0 2400,0 2400,600 0,600 close", []int{0}, 1, 0, 0},
		{"a sink that is only hatched", ell + "SINK: 800,100 1500,100 1500,500 800,500 close", []int{1}, 1, 1, 0},
		{"a drawn cutout on the layer of the tops", ell + "COUNTER: 800,100 1500,100 1500,500 800,500 close", nil, 1, 1, 0},
	} {
		t.Run(tc.name, func(t *testing.T) {
			d := parse(t, tc.text)
			for i := range d.Curves {
				for _, n := range tc.hatched {
					if d.Curves[i].Entity == int32(n*1000) {
						d.Curves[i].Type = dxfio.EntityHatch
					}
				}
			}
			got, err := Build(context.Background(), d, Default(), trace.Default())
			if err != nil {
				t.Fatal(err)
			}
			cutouts := 0
			for _, p := range got.Pieces {
				cutouts += len(p.Cutouts)
			}
			if len(got.Pieces) != tc.pieces || cutouts != tc.cutouts {
				t.Errorf("%d pieces with %d cutouts, want %d with %d", len(got.Pieces), cutouts, tc.pieces, tc.cutouts)
			}
			if len(got.Unread) != tc.unread {
				t.Errorf("not used: %v", got.Unread)
			}
			for _, u := range got.Unread {
				if u.Type != "HATCH" || u.Layer != "COUNTER" || u.Count != 1 || u.Why != dxfio.WhyBesideLines {
					t.Errorf("not used: %+v", u)
				}
			}
			if got.account.sum() != len(d.Curves) {
				t.Errorf("the account %+v does not add up to %d curves", got.account, len(d.Curves))
			}
		})
	}
}
