package pipeline

import (
	"strings"
	"testing"

	"trueup/dxfio/piece"
	"trueup/pipeline/settings"
	"trueup/report"
)

// The sheet of limits says where a material's figures come from beside each of
// them, and has no row for what is no limit.
func TestLimitsOfMaterials(t *testing.T) {
	s := settings.Default()
	of := func(material string) map[string]report.Limit {
		out := map[string]report.Limit{}
		for _, l := range limits(s.Entries(), &s, &piece.Template{Pieces: []piece.Piece{{Material: material}}}) {
			out[l.Key] = l
		}
		return out
	}
	got := of("marble")
	if l := got["shop.material.marble.flexural"]; l.Value != 6.89 || !strings.Contains(l.Source, "ASTM C503") {
		t.Errorf("flexural strength of marble: %+v", l)
	}
	for _, key := range []string{"shop.material.marble.source", "shop.material.marble.name", "shop.feed.marble.material", "pieces.roles.outline", "watch.settle", "shop.material.limestone.density"} {
		if l, ok := got[key]; ok {
			t.Errorf("%s is listed: %+v", key, l)
		}
	}
	if _, ok := of("limestone")["shop.material.limestone.density"]; !ok {
		t.Error("the density of the stone used is not listed")
	}
	s.Shop.Materials[1].Source = "the quarry's certificate"
	if l := of("marble")["shop.material.marble.source"]; !l.Changed {
		t.Errorf("a changed source is not listed: %+v", l)
	}
}
