package piece

import "slices"

// earlierPatterns are the lists that settings files held before built-in words were
// words: letters anywhere in a name. `trueup init` wrote them, so that a list of
// them in a file is not what the shop said.
func earlierPatterns() Roles {
	return Roles{
		Ignore: []string{"ignore*", "flag-*", "*note", "*notes*", "note*", "dim", "dims", "dim *", "dimension*", "* dim*", "text*", "* text", "anno*", "title*", "border*", "defpoints",
			"construction*", "*label*", "viewport*", "top view*", "*hood*", "wall cabinet*", "wall unit*", "upper*", "*unfinished*", "*unpolished*"},
		Opening: []string{"opening*", "*dishwasher*", "dw", "dw *", "range", "ranges", "range opening*", "appliance*", "knee", "knee space*", "knee hole*", "kneespace*", "kneehole*",
			"*cabinet*opening*", "*support*opening*"},
		Support: []string{"*support*", "*cleat*", "*cabinet*", "carcass*", "*bracket*", "*ledge*", "*corbel*", "base", "bases", "base *", "* base", "* bases", "leg", "legs", "*panel*",
			"pony wall*", "half wall*", "knee wall*"},
		Seam: []string{"*seam*", "joint*", "* joint*"},
		Cutout: []string{"*cutout*", "*cut out*", "*sink*", "*basin*", "*bowl*", "*cooktop*", "*stovetop*", "hob", "hobs", "hob *", "* hob", "*hole*", "tap", "taps", "tap *",
			"*faucet*", "outlet*", "* outlet*", "socket*", "* socket*", "pop up*", "* pop up*", "popup*", "* popup*", "*downdraft*", "*down draft*", "*grommet*", "*chute*",
			"soap", "soap *", "* soap", "* soap *", "air switch*", "* air switch*", "airswitch*", "* airswitch*", "air gap*", "* air gap*"},
		Finished: []string{"finish*", "* finish*", "*finished*", "*polish*", "front", "front edge*"},
		Splash:   []string{"*splash*", "*upstand*"},
		Wall:     []string{"*wall*"},
		Outline: []string{"*outline*", "*counter*", "*worktop*", "*benchtop*", "top", "tops", "top *", "* top", "* tops", "piece*", "perimeter*", "template*", "island*", "* island",
			"*vanity*", "waterfall*"},
	}
}

// ownPatterns returns the patterns of a list that the shop wrote itself. A list that
// holds at least half of the earlier built-in ones was written by `trueup init` and
// added to; a shorter one is the shop's own whatever stands in it.
func ownPatterns(list, earlier []string) []string {
	known := 0
	for _, p := range earlier {
		if slices.Contains(list, p) {
			known++
		}
	}
	if 2*known < len(earlier) {
		return list
	}
	return slices.DeleteFunc(slices.Clone(list), func(p string) bool { return slices.Contains(earlier, p) })
}
