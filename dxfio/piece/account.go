package piece

// account says where every curve of the drawing went: the counts add up to
// Curves.
type account struct {
	Curves   int // read
	Outline  int // bound a piece, or an opening drawn on its layer
	Splash   int
	Cutout   int
	Seam     int // divide a piece, or mark edges that meet
	Support  int
	Opening  int
	Finish   int // mark edges to polish
	Wall     int
	Open     int // of chains that do not close, or cross themselves
	Stray    int // bound and mark nothing
	Repaired int // duplicates, covered stretches and specks taken away
	Ignored  int // on ignored layers
	Unmapped int // on layers without a role
}

// use says what one curve was used for.
type use uint8

const (
	unused use = iota
	useOutline
	useSplash
	useCutout
	useSeam
	useSupport
	useOpening
	useFinish
	useWall
	useOpen
	useStray
	useRepaired
	useIgnored
	useUnmapped
)

// useOf is what a closed curve of a role is used for.
func useOf(r Role) use {
	switch r {
	case OutlineRole:
		return useOutline
	case SplashRole:
		return useSplash
	case CutoutRole:
		return useCutout
	case SeamRole:
		return useSeam
	case SupportRole:
		return useSupport
	case OpeningRole:
		return useOpening
	case FinishedRole:
		return useFinish
	case WallRole:
		return useWall
	}
	return useStray
}

// accountOf counts the uses.
func accountOf(uses []use) account {
	a := account{Curves: len(uses)}
	for _, u := range uses {
		switch u {
		case useOutline:
			a.Outline++
		case useSplash:
			a.Splash++
		case useCutout:
			a.Cutout++
		case useSeam:
			a.Seam++
		case useSupport:
			a.Support++
		case useOpening:
			a.Opening++
		case useFinish:
			a.Finish++
		case useWall:
			a.Wall++
		case useOpen:
			a.Open++
		case useStray:
			a.Stray++
		case useRepaired:
			a.Repaired++
		case useIgnored:
			a.Ignored++
		case useUnmapped:
			a.Unmapped++
		}
	}
	return a
}
