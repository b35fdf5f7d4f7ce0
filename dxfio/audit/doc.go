// Package audit compares what was drawn with what would be released, by another
// route than the one that made it: it knows curves, never how they were joined.
//
// In go the curves of every layer that cuts as they were drawn, the pieces with
// their cutouts and seams as they would be released, the repairs that are listed,
// and the lines that flags name; out come the differences that none of these
// explains. No difference means:
//
//   - Every point of a drawn outline, splash or cutout lies within Fit of a
//     released line, or within the size of the listed repairs that touch it, or on
//     a line that a flag names, or in a place where nothing is left to cut: the
//     inside of a released cutout, for a cutout's line also the outside of stone.
//   - Every point of a drawn seam lies within Limits.Mark of a released line,
//     outside of stone, or on a line that a flag names.
//   - Every point of a released line lies within Fit of a drawn one, or within
//     the size of the listed repairs that touch it.
//   - What is drawn as a closed line has stone or none on its inner side as its
//     layer and the lines around it say, and stone only once.
//   - What a POINT marks is cut.
//   - Closed lines that lie in each other and touch nothing leave as much stone, summed
//     up by nesting, as the pieces among them have, to Fit along all of their length and
//     the listed repairs. Where lines are loose, cross or are named by a flag, areas tell
//     nothing; the looks above do.
//
// The tolerances are named where they come from. Fit: ends this near are one
// point as drawn, and ellipses and splines are read as arcs within as much. The
// size of a repair: the distance that it moved what was drawn, for chords that became
// an arc never more than Limits.Facet. Of several that touch a line the largest of
// chords and the two largest others add up: chords become an arc, its end is joined
// to another, and both are brought to their corner. Limits.Mark: a seam may be drawn
// beside the edge it marks.
//
// Terms. A line here is any drawn or released curve, straight or not. A stretch is
// a part of a curve. A repair touches a curve that passes within the repair's size
// of its place, and an arc whose circle does, where an arc stands for chords.
package audit
