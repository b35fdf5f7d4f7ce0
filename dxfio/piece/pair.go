package piece

// pair settles what a phrase is whose words speak of a and, behind it, of b: SINK
// CABINET is a cabinet, a SINK COUNTER may be either. doubt is true where usage
// differs; next is then without meaning. Common practice, no source.
func pair(a, b sense) (next sense, doubt bool) {
	if a.role() == b.role() {
		return stronger(a, b), false
	}
	if next, ok := pairAnywhere(a, b); ok {
		return next, false
	}
	switch a.role() {
	case OutlineRole: // the counter's seam, splash, sink
		switch b {
		case panelWord, frontWord, openingWord, overheadWord:
			return 0, true
		}
		return b, false
	case CutoutRole:
		switch {
		case b.role() == SupportRole && b != panelWord, b == seamWord:
			return b, false // SINK CABINET
		case b == finishedWord, b == openingWord:
			return a, false // SINK POLISHED, SINK OPENING
		case b == splashWord && (a == sinkWord || a == cooktopWord):
			return b, false // the splash behind it
		case b == splashWord:
			return a, false // OUTLET SPLASH
		}
	case SupportRole:
		if b == openingWord {
			return b, false
		}
	case OpeningRole:
		return pairOpening(a, b)
	case SeamRole:
		if b.role() == SupportRole && b != panelWord || b.role() == OutlineRole || b == splashWord {
			return map[bool]sense{true: b, false: a}[b.role() == SupportRole], false
		}
	case FinishedRole:
		if b.role() == CutoutRole {
			return b, false // POLISHED SINK
		}
	case SplashRole:
		if b.role() == CutoutRole || b == seamWord || b == finishedWord || b.role() == SupportRole && b != panelWord {
			return b, false
		}
	case WallRole:
		if b.role() == CutoutRole || b.role() == SupportRole && b != panelWord || b == seamWord || b == splashWord {
			return b, false
		}
		if b == openingWord {
			return a, false
		}
	}
	return 0, true
}

// pairAnywhere settles pairs in which the order does not matter.
func pairAnywhere(a, b sense) (sense, bool) {
	for _, p := range [...][2]sense{{a, b}, {b, a}} {
		x, y := p[0], p[1]
		switch {
		case x == bareWord && y == wallWord: // not polished either way
			return y, true
		case x == bareWord && (y == supportWord || y == bearerWord):
			return y, true
		}
	}
	switch {
	case b == bareWord && (a == productWord || a == placeWord || a == splashWord || a == seamWord):
		return b, true // the counter's raw edge
	case b == overheadWord && a != productWord && a != splashWord && a.role() != CutoutRole:
		return b, true // CABINET DOOR, RANGE HOOD
	case a == windowWord && b == openingWord, a == overheadWord && b == openingWord:
		return a, true
	}
	return 0, false
}

// pairOpening settles what stands behind an opening or an appliance.
func pairOpening(a, b sense) (sense, bool) {
	switch {
	case b == bearerWord, b == splashWord:
		return b, false
	case b == cutWord && a == applianceWord:
		return a, false // DISHWASHER CUTOUT; the stone says whether it is one
	case b.role() == CutoutRole:
		return b, false
	}
	return 0, true
}

// stronger is the more telling of two senses that give the same role.
func stronger(a, b sense) sense {
	switch {
	case a == panelWord || a == openingWord || a == cutWord || a == formWord || a == placeWord || a == frontWord || a == upperWord || a == windowWord:
		return b
	}
	return a
}
