// Package geom is the geometry kernel: exact lines and circular arcs in the
// plane, the loops they close to, and the measures a stone shop asks of them.
//
// In go curves (two ends and a bulge) and points, in millimetres; out come
// lengths, areas, centroids, boxes, crossings, nearest points and smallest
// rectangles. Nothing is ever measured on a polyline approximation of an arc.
//
// Every value is immutable: operations return new values. Angles are radians
// unless a name ends in Deg. The package knows nothing of DXF, layers or rules.
package geom
