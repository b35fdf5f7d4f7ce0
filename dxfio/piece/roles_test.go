package piece

import "testing"

// The layer names are those templaters commonly use (common practice, no source).
func TestDefaultRoles(t *testing.T) {
	roles := Default().Roles
	for layer, want := range map[string]Role{
		"COUNTER": OutlineRole, "Countertop": OutlineRole, "OUTLINE": OutlineRole, "TOP": OutlineRole, "TOP-1": OutlineRole, "bar top": OutlineRole, "ISLAND": OutlineRole,
		"KITCHEN ISLAND": OutlineRole, "VANITY": OutlineRole, "PIECE-NAME": OutlineRole, "STONE OUTLINE": OutlineRole,
		"SINK": CutoutRole, "SINK_CUTOUT": CutoutRole, "SINK OUTLINE": CutoutRole, "COUNTER SINK": CutoutRole, "COOKTOP": CutoutRole, "TAP HOLES": CutoutRole, "TAP_HOLE": CutoutRole,
		"FAUCET": CutoutRole, "BASIN": CutoutRole, "CUT-OUT": CutoutRole, "CUTOUT-SINK": CutoutRole, "HOB": CutoutRole, "HOB CUTOUT": CutoutRole, "SINK OPENING": CutoutRole,
		"POP-UP OUTLET": CutoutRole, "POPUP_OUTLET": CutoutRole, "ISLAND POP UP": CutoutRole, "DOWNDRAFT": CutoutRole, "DOWN-DRAFT VENT": CutoutRole, "GROMMETS": CutoutRole,
		"DESK GROMMET": CutoutRole, "TRASH CHUTE": CutoutRole, "TRASH-CHUTE": CutoutRole, "SOAP": CutoutRole, "SOAP DISPENSER": CutoutRole, "COUNTER SOAP": CutoutRole, "AIR SWITCH": CutoutRole,
		"AIRSWITCH": CutoutRole, "AIR_GAP": CutoutRole, "SOAPSTONE TOP": OutlineRole, "COUNTER SOAPSTONE": OutlineRole, "TRASH CABINET": SupportRole,
		"SPLASH CUTOUT": CutoutRole, "SINK-POLISHED": CutoutRole, "RANGE CUTOUT": CutoutRole, "SPLASH OUTLET": CutoutRole,
		"SEAM": SeamRole, "SEAMS": SeamRole, "COUNTER SEAM": SeamRole, "JOINT": SeamRole,
		"SUPPORT": SupportRole, "Cleats": SupportRole, "WALL CLEAT": SupportRole, "CABINET": SupportRole, "CABINETS": SupportRole, "SINK CABINET": SupportRole, "SINK BASE": SupportRole, "BASE CABINETS": SupportRole, "WALL LEDGE": SupportRole,
		"COOKTOP CABINET": SupportRole, "LEDGER": SupportRole, "KNEE WALL": SupportRole, "PONY_WALL": SupportRole, "LEGS": SupportRole,
		"DISHWASHER": OpeningRole, "DW": OpeningRole, "OPENING": OpeningRole, "KNEE-SPACE": OpeningRole, "CABINET OPENING": OpeningRole, "RANGE": OpeningRole, "DISHWASHER CUTOUT": OpeningRole,
		"FINISHED": FinishedRole, "FINISHED EDGE": FinishedRole, "POLISH": FinishedRole, "POLISH-EASED": FinishedRole, "COUNTER FINISHED EDGE": FinishedRole, "SPLASH FINISHED": FinishedRole,
		"FRONT EDGE": FinishedRole,
		"WALL":       WallRole, "WALLS": WallRole, "COUNTER WALL EDGE": WallRole, "WALL OPENING": WallRole,
		"SPLASH": SplashRole, "BACKSPLASH": SplashRole, "SPLASH OUTLINE": SplashRole, "WALL SPLASH": SplashRole, "UPSTAND": SplashRole,
		"NOTES": IgnoreRole, "COUNTER NOTES": IgnoreRole, "DIMENSIONS": IgnoreRole, "DIM": IgnoreRole, "DEFPOINTS": IgnoreRole, "WALL CABINETS": IgnoreRole, "UNFINISHED EDGE": IgnoreRole,
		"RANGE HOOD": IgnoreRole, "TEXT": IgnoreRole,
		"0": NoRole, "LASER 3": NoRole, "TAPE": NoRole, "BASEBOARD": NoRole, "": NoRole,
	} {
		if got, pattern := roles.Of(layer); got != want {
			t.Errorf("layer %q: role %q by %q, want %q", layer, got, pattern, want)
		}
	}
}

func TestFullNameWins(t *testing.T) {
	roles := Roles{Ignore: []string{"*SINK*"}, Cutout: []string{"kitchen sink"}}
	if got, _ := roles.Of("Kitchen_Sink"); got != CutoutRole {
		t.Errorf("a full name gives %q, want cutout", got)
	}
	if got, _ := roles.Of("Kitchen sink 2"); got != IgnoreRole {
		t.Errorf("another name gives %q, want ignore", got)
	}
}

func TestMatches(t *testing.T) {
	for _, tc := range []struct {
		pattern, name string
		want          bool
	}{
		{"sink*", "SINK", true}, {"sink*", "MY SINK", false}, {"*sink*", "my sink 2", true}, {"t?p", "TOP", true}, {"t?p", "TP", false},
		{"", "", true}, {"*", "", true}, {"a*b*c", "axxbyyc", true}, {"a*b*c", "axxbyy", false}, {"ä*", "Äpfel", true}, {"top *", "TOP_3", true},
	} {
		if got := plainName(tc.name).matches(tc.pattern); got != tc.want {
			t.Errorf("matches(%q, %q) = %v", tc.pattern, tc.name, got)
		}
	}
}

// A pattern meets a layer's name in either case, and whether an accent is one
// sign or two (Unicode Standard Annex 15); another letter it does not meet.
func TestRolesWithAccents(t *testing.T) {
	const e, capitalE, twoSigns = "\u00e9", "\u00c9", "E\u0301"
	for _, pattern := range []string{e + "vier*", capitalE + "VIER*", twoSigns + "VIER*"} {
		roles := Roles{Cutout: []string{pattern}}
		for layer, want := range map[string]Role{
			capitalE + "VIER 1": CutoutRole, e + "vier": CutoutRole, twoSigns + "VIER 1": CutoutRole, "EVIER 1": NoRole,
		} {
			if got, _ := roles.Of(layer); got != want {
				t.Errorf("pattern %+q, layer %+q: %q, want %q", pattern, layer, got, want)
			}
			if got := Matches([]string{pattern}, layer); got != (want == CutoutRole) {
				t.Errorf("pattern %+q, layer %+q: matches %v", pattern, layer, got)
			}
		}
	}
}
