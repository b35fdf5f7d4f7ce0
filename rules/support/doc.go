// Package support finds where the stone of a piece hangs too far from what
// carries it.
//
// In go a piece, the template's supports and openings, and the limits of its
// thickness; out come the worst point of the piece, the strip of stone that
// carries it, and every place that is past a limit. Lengths are millimetres.
//
// # Model
//
// Stone is the outline less its cutouts. What carries is the union of the
// support areas and of the support lines widened to their bearing, less the
// openings. The rest of the stone is free. Through a free point a straight
// chord runs in every direction, both ways until what carries or until the
// stone ends:
//
//   - carried at both ends it is a span of the chord's length,
//   - carried at one end it is a cantilever of the chord's length,
//   - carried at neither it is no help.
//
// A chord's score is its length over the limit of its kind. The score of a
// point is the least score of its chords, without end when no chord helps; the
// worst point of a piece has the greatest score.
//
// # Lines between supports
//
// Stone before an opening hangs on the stone that spans the opening. So that a
// 38 mm lip before a dishwasher is a lip of 38 mm on a span of 600 mm, the
// straight line between corners of two supports (or its tangent points at round
// ones) carries cantilevers when it runs through free stone all the way and
// passes them on one side, or passes one and ends head-on at the other. Such a
// cantilever runs from the line through the point to the end of the stone, and
// both are counted for what they are: the score is the larger of line over span
// limit and cantilever over cantilever limit, and the larger one is what is
// reported.
//
// Spans may rest on such lines at one end or both: a table on four legs is carried
// along its edges from leg to leg, and the stone between spans from edge to edge. The
// score is then the largest of the lines and the span, each over the span limit. Only
// lines that pass both their supports on the same side carry spans. No line carries
// another line.
//
// # Openings
//
// An opening takes away all support under it, but not a support that stands
// wholly inside it and fills less than half of it: a bracket or leg drawn in a
// knee space is there to carry. One drawn along the opening's edge stands outside.
//
// # Places
//
// Points past the limits that hang together are one place, reported by its worst
// point. A place has a second flaw when the stone between its supports spans too
// far and the stone beyond the line between them overhangs too far by itself.
// Places are told apart to a tenth of a metre.
//
// # Accuracy
//
// The free stone is swept in strips between critical lines, in which the ends
// of all parallel chords lie on one curve each. The greatest length in a strip
// bounds the score of every point in it, exactly for straight ends and from
// above for arcs. Strips that may still hold the worst point are cut further
// along the best chord of a point inside (all directions between critical ones
// are minimised over, arcs as arcs) until the bound is within Slack of the best
// point found. Where that chord leaves a support's corner, or a round support
// squarely, the stone is swept in a fan of rays from the corner or the centre
// instead: there the best chords of neighbouring points all pass one point, and
// the longest ray bounds them. The reported length is thus the exact chord of
// the reported point, and the worst point of the piece has none longer by more
// than Slack; of two points equally bad to half of it, on opposite sides of a
// top, the shape decides which one is reported, not the way the drawing lies;
// free stone narrower than Sliver is left out.
//
// Dozens of supports that stand apart have more lines between them than can be
// looked at. Then only those count that can carry something within the limits, so
// that what is past them is found all the same; how far it is past may be told by
// another chord. Where these are too many as well the search says that it is not sure.
package support

// Slack is how much longer than the reported length the worst chord of a piece
// can be at most, in mm.
const Slack = 0.25

// Sliver is the width in mm below which free stone is not looked at: no saw
// cuts and no templater draws that fine on purpose.
const Sliver = 0.1

// curvedSlack is the slack in mm with which arcs pass a limit: bounds on arcs
// close in on the exact length but never meet it.
const curvedSlack = 0.1
