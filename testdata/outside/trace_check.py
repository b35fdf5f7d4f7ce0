#!/usr/bin/python3
"""Second opinion on tracing: GEOS (Debian python3-shapely) on densified shapes.

Random outlines of lines and arcs are closed by tracedump from loose, shuffled
curves; GEOS gets the same outlines with every arc as many chords and answers
for area, length, centroid, validity, containment, distances, common areas and
the faces of crossing lines (polygonize of the noded lines). Chords lose area
against an arc; the tolerance is that of the chords' sagitta times the length.

Usage: trace_check.py [SHAPES [SEED]]    (from the repository's top folder)
"""
import json
import math
import random
import subprocess
import sys

from shapely.geometry import LineString, Point, Polygon
from shapely.geos import geos_version
from shapely.ops import polygonize, unary_union

STEP = 0.01  # radians an arc's chord may turn


def densify(c):
    x0, y0, x1, y1, b = c[:5]
    if b == 0:
        return [(x0, y0)]
    k = (1 - b * b) / (4 * b)
    cx, cy = (x0 + x1) / 2 - (y1 - y0) * k, (y0 + y1) / 2 + (x1 - x0) * k
    sweep = 4 * math.atan(b)
    a = math.atan2(y0 - cy, x0 - cx)
    r = math.hypot(x0 - cx, y0 - cy)
    n = max(2, math.ceil(abs(sweep) / STEP))
    return [(x0, y0)] + [(cx + r * math.cos(a + sweep * i / n), cy + r * math.sin(a + sweep * i / n)) for i in range(1, n)]


def sag(c):
    """Greatest distance between the arc and its chords."""
    b = abs(c[4])
    if b == 0:
        return 0.0
    r = math.hypot(c[2] - c[0], c[3] - c[1]) * (1 + b * b) / (4 * b)
    return r * (1 - math.cos(STEP / 2))


def star(rng, n, cx=0.0, cy=0.0, size=1000.0):
    p = []
    for i in range(n):
        a = 2 * math.pi * (i + 0.8 * rng.random()) / n
        r = size * (0.3 + 0.7 * rng.random())
        p.append((cx + r * math.cos(a), cy + r * math.sin(a)))
    out = []
    for i in range(n):
        q = p[(i + 1) % n]
        b = rng.uniform(-0.4, 0.4) if rng.random() < 0.5 else 0.0
        out.append([p[i][0], p[i][1], q[0], q[1], b])
    return out


def polygon(curves):
    return Polygon([p for c in curves for p in densify(c)])


def simple_star(rng):
    """A star whose densified ring GEOS calls valid: arcs may make it cross."""
    while True:
        c = star(rng, rng.randint(3, 24))
        if polygon(c).is_valid:
            return c


def loose(rng, curves):
    out = [c + [0, -1] if rng.random() < 0.5 else [c[2], c[3], c[0], c[1], -c[4], 0, -1] for c in curves]
    rng.shuffle(out)
    return out


class Check:
    def __init__(self):
        self.passed, self.failed = 0, 0

    def near(self, what, got, want, tol):
        self.true(f"{what}: {got!r}, GEOS {want!r}, tolerance {tol:g}", abs(got - want) <= tol)

    def true(self, what, ok):
        if ok:
            self.passed += 1
        else:
            self.failed += 1
            if self.failed <= 20:
                print("FAIL", what)


def ask(cases):
    text = "\n".join(json.dumps(c) for c in cases)
    run = subprocess.run(["go", "run", "./testdata/outside/tracedump"], input=text, capture_output=True, text=True)
    if run.returncode != 0:
        sys.exit(f"trace_check: tracedump failed: {run.stderr}")
    return [json.loads(line) for line in run.stdout.splitlines()]


def outlines(rng, count, check):
    """Single outlines against GEOS polygons, in pairs."""
    cases, shapes = [], []
    for _ in range(count):
        a, b = simple_star(rng), simple_star(rng)
        dx, dy = rng.uniform(0, 2500), rng.uniform(-300, 300)
        b = [[c[0] + dx, c[1] + dy, c[2] + dx, c[3] + dy, c[4]] for c in b]
        points = [[rng.uniform(-1100, 1100), rng.uniform(-1100, 1100)] for _ in range(8)]
        cases.append({"curves": loose(rng, a), "points": points, "other": b, "bare": True})
        shapes.append((a, b, points))
    for k, (got, (a, b, points)) in enumerate(zip(ask(cases), shapes, strict=True)):
        g, h = polygon(a), polygon(b)
        off = max(map(sag, a)) + 1e-6
        off_b = max(map(sag, b)) + 1e-6
        name = f"outline {k}"
        # Arcs that touch within the sagitta are valid to one side only.
        if len(got["faces"] or []) != 1 or got["crossings"] != 0:
            check.true(f"{name}: {got['faces']} {got['crossings']} crossings", g.buffer(-2 * off).geom_type != "Polygon" or g.minimum_clearance < 4 * off)
            continue
        f = got["faces"][0]
        check.near(f"{name} area", f["area"], g.area, off * g.length)
        check.near(f"{name} length", f["length"], g.length, 1e-4 * g.length)
        tol = 3 * off * g.length / g.area * 1000 + 1e-6
        check.near(f"{name} centroid x", f["centroid"][0], g.centroid.x, tol)
        check.near(f"{name} centroid y", f["centroid"][1], g.centroid.y, tol)
        for p, at, d in zip(points, got["located"], got["distances"], strict=True):
            want = g.exterior.distance(Point(p))
            check.near(f"{name} distance of {p}", d, want, off)
            if want > off:
                check.true(f"{name} location of {p}: {at}", (at == 1) == g.contains(Point(p)))
        check.near(f"{name} common area", got["common"], g.intersection(h).area, off * g.length + off_b * h.length)
        check.near(f"{name} gap", got["gap"], g.distance(h), off + off_b)


def rests(lines):
    """Whether an end lies on a line as drawn (0.004 mm) but not to the last digit."""
    shapes = [LineString([c[:2], c[2:4]]) for c in lines]
    for i, c in enumerate(lines):
        for p in (Point(c[:2]), Point(c[2:4])):
            if any(j != i and 1e-9 < s.distance(p) <= 0.005 for j, s in enumerate(shapes)):
                return True
    return False


def arrangements(rng, count, check):
    """Lines across an outline: faces against GEOS polygonize of the noded lines."""
    cases, want = [], []
    for _ in range(count):
        frame = [[0, 0, 1000, 0, 0], [1000, 0, 1000, 600, 0], [1000, 600, 0, 600, 0], [0, 600, 0, 0, 0]]
        lines = []
        for _ in range(rng.randint(1, 12)):
            x0, y0, x1, y1 = (rng.uniform(-200, 1200) for _ in range(4))
            if rng.random() < 0.3:
                y1 = y0
            lines.append([x0, y0 * 0.6, x1, y1 * 0.6, 0])
        if rests(frame + lines):
            continue  # we take that end for a tee, GEOS for a miss
        noded = unary_union([LineString([c[:2], c[2:4]]) for c in frame + lines])
        outline = Polygon([c[:2] for c in frame])
        faces = [f for f in polygonize(noded) if outline.contains(f.representative_point())]
        curves = [c + [0, 0] for c in frame] + [c + [1, -1] for c in lines]
        rng.shuffle(curves)
        cases.append({"curves": curves, "bare": True})
        want.append(sorted(f.area for f in faces))
    for k, (got, areas) in enumerate(zip(ask(cases), want, strict=True)):
        ours = sorted(f["area"] for f in got["faces"])
        ok = len(ours) == len(areas) and all(abs(x - a) < 1e-3 for x, a in zip(ours, areas))
        check.true(f"arrangement {k}: faces {ours}, GEOS {areas}", ok)
        check.near(f"arrangement {k}: area", sum(areas), 600000, 1e-3)


def main():
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 10000
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 20261125
    print(f"trace_check: {count} shapes, seed {seed}, GEOS {geos_version}")
    rng, check = random.Random(seed), Check()
    outlines(rng, count - count // 5, check)
    arrangements(rng, count // 5, check)
    print(f"trace: {check.passed} passed, {check.failed} failed")
    if check.failed or check.passed < 2 * count:
        sys.exit(1)


if __name__ == "__main__":
    main()
