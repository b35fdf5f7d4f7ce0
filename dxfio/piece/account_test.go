package piece

// sum returns the sum of all counts but Curves.
func (a account) sum() int {
	return a.Outline + a.Splash + a.Cutout + a.Seam + a.Support + a.Opening + a.Finish + a.Wall +
		a.Open + a.Stray + a.Repaired + a.Ignored + a.Unmapped
}
