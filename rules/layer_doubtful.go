package rules

import (
	"fmt"
	"slices"
	"strings"

	"trueup/dxfio/piece"
)

// layerDoubtful reports layers whose role the built-in words guessed against another
// word of the name or against what is drawn. Measured is the number of entities with
// curves on the layer. A pattern of the shop's own is never doubted.
func layerDoubtful() Rule {
	return Rule{
		ID:         "layer-doubtful",
		Severities: []Severity{Stop},
		What:       "Layers whose name may mean more than one thing, or another than what is drawn there.",
		Why:        "A window ledge taken for a support is stone that nobody cuts.",
		How: "Layers that no pattern in the settings names, read by the built-in words: words of the name that give different roles; a support as large as a piece (300 x 40 mm, common practice, no source) " +
			"more than 50 mm from every top; a line of any role but outline that holds a cutout which lies in no piece; a cutout outside all stone larger than every top. One flag a layer. What the settings name is never doubted.",
		Check: fromProblems(piece.LayerDoubtful, func(in *Input, p *piece.Problem, f *Flag) {
			f.Other, f.Measured = p.Layer, float64(p.Count)
			taken := fmt.Sprintf("layer %s was taken for %s", p.Layer, roleWords(p.Role))
			if p.Why == piece.DoubtName {
				f.Message = fmt.Sprintf("By its name layer %s may hold %s; it was taken for %s.", p.Layer, orOf(p.Roles, roleWords), roleWords(p.Role))
			} else {
				f.Message = fmt.Sprintf("By its name %s, but a closed line on it around %s, %s, %s.", taken, in.place(p.At), in.lengths().Size(p.Length, p.Width), p.Why)
			}
			see := "See what it is and say so in the settings"
			if p.Why != piece.DoubtName { // CABINET made an outline would make stone of every cabinet of the shop
				see = "See what it is. If it is so in this drawing only, move the line to a layer for what it is; " +
					"if the layer always holds it, say so in the settings, which count for every drawing"
			}
			f.Remedy = fmt.Sprintf("%s: %s; then drop the drawing again. Accepting takes it for %s%s.",
				see, orOf(p.Roles, func(r piece.Role) string { return settingFor(r, p.Layer) }), roleWords(p.Role), leftOut(p))
		}),
	}
}

// leftOut says what accepting leaves out: stone or cutouts that the layer may hold and
// its role does not cut.
func leftOut(p *piece.Problem) string {
	switch {
	case cuts(p.Role):
		return ""
	case slices.Contains(p.Roles, piece.OutlineRole), slices.Contains(p.Roles, piece.SplashRole):
		return ", and no piece of stone on it is cut"
	case slices.Contains(p.Roles, piece.CutoutRole):
		return ", and no cutout on it is cut"
	}
	return ""
}

// SettingOf is the line of the settings that gives a layer a role, where the role has
// no line yet: TOML knows no key twice.
func SettingOf(r piece.Role, layer string) string {
	return fmt.Sprintf("%s = [%q]", r, strings.ToLower(layer))
}

// settingFor says what to do in the settings to give a layer a role: settings that the
// program wrote have the list of every role already.
func settingFor(r piece.Role, layer string) string {
	return fmt.Sprintf("add %q to pieces.roles.%s", strings.ToLower(layer), r)
}

// roleWords says what a layer of the role holds.
func roleWords(r piece.Role) string {
	switch r {
	case piece.OutlineRole:
		return "outlines of stone"
	case piece.SplashRole:
		return "backsplash pieces"
	case piece.CutoutRole:
		return "cutouts"
	case piece.SeamRole:
		return "seams"
	case piece.SupportRole:
		return "supports"
	case piece.OpeningRole:
		return "openings without support"
	case piece.FinishedRole:
		return "marks of finished edges"
	case piece.WallRole:
		return "walls"
	}
	return "nothing of the job"
}

// orOf joins the roles' words: "a or b", "a, b or c".
func orOf(roles []piece.Role, word func(piece.Role) string) string {
	words := make([]string, len(roles))
	for i, r := range roles {
		words[i] = word(r)
	}
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " or " + words[n-1]
	}
	return strings.Join(words, "")
}
