package rules

import (
	"fmt"

	"trueup/dxfio/piece"
)

// mirroredText finds texts that read backwards. CAD turns a text over only with all
// that lies around it: whoever mirrored the drawing to use it for the other side of a
// wall, or exported it from below, left the sink on the wrong side of the top.
//
// A text reads backwards when it was generated so (group 71), when the plane it is
// written on is seen from behind (extrusion 0,0,-1), or when the block that holds it is
// scaled by a negative factor on one axis; two of these undo each other, and a text
// turned by 180 degrees is not mirrored. Measured is the number of such texts, there is
// one flag a drawing. Where they all stand in blocks that hold no outline, such as a
// dishwasher's symbol turned over, and other texts read well, it is a warning.
func mirroredText() Rule {
	return Rule{
		ID:         "mirrored-text",
		Severities: []Severity{Stop, Warn},
		What:       "Texts that read backwards.",
		Why:        "The whole drawing was probably mirrored: the sink is cut on the wrong side, and the top fits nowhere.",
		How: "The texts that are generated backwards or seen from behind, or stand in a block scaled by a negative factor on one axis. " +
			"A text turned by 180 degrees is not mirrored. A warning where other texts read well and all of these stand in blocks without an outline, such as symbols.",
		Check: fromProblems(piece.MirroredText, mirroredTextFlag),
	}
}

func mirroredTextFlag(in *Input, p *piece.Problem, f *Flag) {
	f.Measured, f.NoLimit, f.Other = p.Measured, true, ""
	texts := fmt.Sprintf("%s read backwards, the first (%q) at %s", counted(p.Count, "text"), p.Why, in.place(p.At))
	if p.Count == 1 {
		texts = fmt.Sprintf("The text %q at %s reads backwards", p.Why, in.place(p.At))
	}
	if p.Part {
		f.Severity = Warn
		f.Message = texts + ": a block was turned over, and what is in it is mirrored."
		f.Remedy = "See whether what the block shows is right that way round, such as the drain of a sink; if not, insert it as it was made."
		return
	}
	f.Message = texts + ": the drawing was probably mirrored, and left is where right should be."
	f.Remedy = "Compare with the site: if left and right are swapped, mirror the drawing back in CAD; if not, write the texts anew."
}
