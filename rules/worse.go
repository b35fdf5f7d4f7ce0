package rules

import "math"

// How far two measures of one flaw may differ without the flaw having changed:
// coordinates are rounded on export, and nobody measures a site twice alike.
// Common practice, no source.
const (
	noiseLength = 0.5  // mm: what a tape and a digital device tell apart at best
	noiseShare  = 0.01 // of the accepted measure, where it is no length
)

// Worse reports whether a flaw has become worse than it was when somebody
// accepted it at the measure accepted, in the flag's unit. Under a least limit
// less is worse, over a most limit more is. Where the measure is on neither side,
// or no limit holds, any difference beyond the noise counts: nobody has said that the
// new one is as good.
func Worse(accepted, now, limit float64, noLimit bool, unit string) bool {
	noise := noiseShare * math.Abs(accepted)
	if unit == "mm" {
		noise = noiseLength
	}
	switch {
	case !noLimit && now < limit && accepted <= limit:
		return now < accepted-noise
	case !noLimit && now > limit && accepted >= limit:
		return now > accepted+noise
	}
	return math.Abs(now-accepted) > noise
}
