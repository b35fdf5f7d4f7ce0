package pipeline

import (
	"context"
	"errors"
	"fmt"

	"trueup/dxfio"
	"trueup/dxfio/piece"
	"trueup/pipeline/settings"
)

// makeTemplate settles the drawing's unit and makes its pieces. The header
// decides; without one the shop's setting; without that the unit in which tops, sinks
// and holes have the most usual sizes, with a problem that the rule units-unknown reports.
func makeTemplate(ctx context.Context, raw *dxfio.Drawing, s *settings.Settings) (*piece.Template, *dxfio.Drawing, error) {
	if raw.Units.Known() {
		return build(ctx, raw, raw.Units, "header", s)
	}
	if u, ok := dxfio.ParseUnit(s.Units); ok {
		return build(ctx, raw, u, "settings", s)
	}
	t, local, err := build(ctx, raw, dxfio.UnitMillimetre, "assumed", s)
	if err != nil {
		return nil, nil, err
	}
	sizes := piece.SizesOf(t, local, &s.Pieces.Roles)
	if u, _ := sizes.FittingUnits(dxfio.UnitMillimetre, false); u != dxfio.UnitNone && u != dxfio.UnitMillimetre {
		if t, local, err = build(ctx, raw, u, "assumed", s); err != nil {
			return nil, nil, err
		}
		sizes = piece.SizesOf(t, local, &s.Pieces.Roles)
	}
	t.Problems = append(t.Problems, piece.Problem{
		Kind: piece.UnitsUnknown, Length: sizes.Top[0], Width: sizes.Top[1],
		Why: fmt.Sprintf("the header names no unit; going by the sizes it was read in %s", t.Units.Drawing.Plural()),
	})
	return t, local, nil
}

func build(ctx context.Context, raw *dxfio.Drawing, u dxfio.Unit, from string, s *settings.Settings) (*piece.Template, *dxfio.Drawing, error) {
	local, shift := raw.Millimetres(u)
	t, err := piece.Build(ctx, local, s.Pieces, s.Closing)
	var crowded *piece.CrowdedError
	if errors.As(err, &crowded) {
		crowded.At, crowded.Unit = crowded.At.Add(shift), u // where the drawing has it
	}
	if err != nil {
		return nil, nil, err
	}
	t.Shift, t.Units = shift, piece.Units{Drawing: u, From: from, Lengths: s.Report.Lengths(u)}
	sizes := piece.SizesOf(t, local, &s.Pieces.Roles)
	if !sizes.Fits(1) {
		if fits, next := sizes.FittingUnits(u, true); fits != dxfio.UnitNone || sizes.Gross() {
			t.Problems = append(t.Problems, piece.Problem{
				Kind: piece.UnitsImplausible, Measured: sizes.Top[0], Length: sizes.Top[0], Width: sizes.Top[1], Unit: fits, NextUnit: next,
			})
		}
	}
	return t, local, nil
}

// Doubts returns what building the pieces of a drawing finds doubtful about the roles
// of its layers; nothing when no pieces can be made.
func Doubts(ctx context.Context, raw *dxfio.Drawing, s *settings.Settings) []piece.Problem {
	t, _, err := makeTemplate(ctx, raw, s)
	if err != nil {
		return nil
	}
	var out []piece.Problem
	for _, p := range t.Problems {
		if p.Kind == piece.LayerDoubtful {
			out = append(out, p)
		}
	}
	return out
}
