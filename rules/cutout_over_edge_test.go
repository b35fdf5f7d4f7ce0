package rules

import (
	"testing"

	"trueup/dxfio/piece"
)

// A top of 2400 x 640 with a notch of 700 in its front, 580 deep.
const notched = "outline 0,0 800,0 800,580 1500,580 1500,0 2400,0 2400,640 0,640; apron 800,-20 1500,580; "

func TestCutoutOverEdge(t *testing.T) {
	of := func(k piece.CutoutKind) func(*Input) {
		return func(in *Input) { in.Template.Pieces[0].Cutouts[0].Kind = k }
	}
	front := func(s Severity, says string) []want { return []want{{s, 700, 0, at(1150, 0), 0, says}} }
	const hand = "by hand: 1500 - 800"
	runCases(t, cutoutOverEdge(), []ruleCase{
		{"apron sink", notched, nil, front(Note, "The sink A-1 runs over the edge of piece A"), hand},
		{"apron sink in a finished front", notched + "finished 1; finished 5", nil, front(Note, ""), hand},
		{"apron sink in a front without a mark", notched + "finished 7", nil, front(Warn, "which is not marked as finished"), "the back is finished"},
		{"apron sink with one side of it marked", notched + "finished 5; finished 7", nil, front(Note, ""), hand},
		{"a notch of no kind beside a finished edge", notched + "finished 7", of(piece.Other), front(Note, "The cutout A-1"), hand},
		{"a notch of no kind", notched, of(piece.Other), front(Note, "The cutout A-1"), hand},
		{"cooktop over a free edge", notched, of(piece.Cooktop), front(Warn, "The cooktop A-1"), hand},
		{"sink over the wall", notched + "wall 1; wall 5", nil, front(Stop, "is marked as a wall"), hand},
		{"the wall on one side of it", notched + "wall 5", nil, front(Stop, ""), hand},
		{"cooktop over the wall", notched + "wall 1", of(piece.Cooktop), front(Stop, ""), hand},
		{"a pipe's notch in the wall", notched + "wall 1; wall 5", of(piece.Other), front(Note, ""), hand},
		{"tap hole over the edge", notched, of(piece.Hole), nil, "hole-spacing has it"},
		{"half a sink at a seam", notched + "seam 1; seam 5", nil, nil, "seam-near-cutout has it"},
		{"sink in the stone", top + "sink 800,100 1560,500", nil, nil, "it runs over no edge"},
		{"at the corner", "outline 0,0 1700,0 1700,580 2400,580 2400,640 0,640; apron 1700,-20 2420,580; wall 5", nil,
			[]want{{Note, 909.06545, 0, at(2050, 290), 0, ""}}, "by hand: from (1700, 0) to (2400, 580)"},
		{"around the end, to the wall", "outline 0,0 1700,0 1700,640 0,640; apron 1700,-20 2420,660; wall 3", nil,
			[]want{{Stop, 640, 0, at(1700, 320), 0, ""}}, "by hand: from (1700, 0) to (1700, 640), where the wall begins"},
	})
}
