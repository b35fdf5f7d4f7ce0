package rules

// Catalogue returns every rule, in the order in which reports list them: can
// the drawing be read as pieces, can they be cut, will they break, will they be
// carried, will they meet, will they fit.
func Catalogue() []Rule {
	return []Rule{
		unitsUnknown(),
		unitsImplausible(),
		openOutline(),
		selfCrossing(),
		overlappingPieces(),
		drawingNotKept(),
		overlappingCutouts(),
		outlineAmbiguous(),
		doubledLine(),
		cutoutOutside(),
		cutoutOverEdge(),
		cutoutAmbiguous(),
		strayCurve(),
		straySeam(),
		strayFinish(),
		strayWall(),
		unfinishedCorner(),
		edgeContradiction(),
		ofWholePieces(pieceUnfinished()),
		coarseCurve(),
		edgeFromMark(),
		unmappedLayer(),
		layerDoubtful(),
		rolesGuessed(),
		unreadEntity(),
		offPlane(),
		wideLine(),
		dashedLine(),
		dimensionDiffers(),
		mirroredText(),

		insideRadius(),
		narrowSection(),
		holeSpacing(),
		sharpPoint(),

		unsupportedSpan(),
		overhang(),
		overhangShare(),
		ofWholePieces(bendingStress()),
		cabinetAssumed(),
		cabinetProud(),
		sinkOverCabinetSide(),
		cooktopNearWall(),

		seamAssumed(),
		seamAmbiguous(),
		seamUnsupported(),
		seamNearCutout(),
		seamMismatch(),
		seamStepMismatch(),
		ofWholePieces(splashDiffers()),

		ofWholePieces(tooBigForSlab()),
		ofWholePieces(tooTallForPolisher()),
		ofWholePieces(tooHeavy()),
		ofWholePieces(tooSmallToHold()),
		ofWholePieces(tooBigForAccess()),
		ofWholePieces(sawShort()),

		changedSinceRelease(),
	}
}

// ofWholePieces marks a rule whose flags are about pieces as a whole.
func ofWholePieces(r Rule) Rule {
	r.Whole = true
	return r
}

// Find returns the rule with an id.
func Find(id string) (Rule, bool) {
	for _, r := range Catalogue() {
		if r.ID == id {
			return r, true
		}
	}
	return Rule{}, false
}
