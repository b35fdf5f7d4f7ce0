package report

// screening is the caution on every page.
const screening = "Screening, not structural design"

// cautions are the usual ones of the trade. Limits named are those of 29 CFR
// 1926.1153 and Directive 2004/37/EC Annex III as amended by (EU) 2017/2398.
func cautions() []string {
	return []string{
		"Dust: cutting, grinding and polishing stone and engineered stone frees respirable crystalline silica. Work wet, with extraction and fitted respirators; keep to local limits (US 50 µg/m³, EU 0.1 mg/m³, 8 h).",
		"Lifting: slabs crush. Use clamps, carts and enough people or lifting gear; nobody in the fall shadow; carry upright, cutouts braced.",
		"Support checks are screening, not structural design. Local codes and a licensed professional decide.",
	}
}

// shopCaution is the short form on a piece's sheet.
const shopCaution = "Cut wet, with extraction and a fitted respirator: stone dust holds crystalline silica. Slabs crush: clamp, cart, enough people or lifting gear. " +
	"Measure the piece against this sheet before cutting. Support checks are screening, not structural design; local codes and a licensed professional decide."
