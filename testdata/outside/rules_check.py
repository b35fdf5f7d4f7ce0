#!/usr/bin/python3
"""Checks narrow-section and hole-spacing against GEOS on random tops.

    rules_check.py [PLATES] [FIRST_SEED]

Go writes random tops (rulesdump), arcs densified to chords that leave them by
at most half a micrometre, with the flags of both rules. GEOS, by way of
Debian's python3-shapely, measures again:

- cutout to edge and cutout to cutout: boundary distance; flagged exactly when
  it is under the limit and no third boundary lies between;
- round holes: boundary distance to the edge, cutouts and other holes;
- necks of the outline: found exactly when eroding the outline by half the limit
  leaves parts that do not hang together, as narrow as the erosion that divides
  them, within its own error; and as narrow as the boundary distance between
  the stretches around both ends of the witness;
- on tops without arcs nothing may be narrower than GEOS's minimum clearance;
- every witness: both ends on the boundary, stone between, as long as measured.

Exits 1 on any disagreement, and when little was compared.
"""
import json
import subprocess
import sys

from shapely.geometry import LinearRing, LineString, Point, Polygon
from shapely.ops import nearest_points, substring

NARROW, STOP, LEAST, HOLE = 63.5, 50.0, 25.0, 25.0
TOLERANCE = 0.004  # mm: chords on both sides, and GEOS's own rounding
# Beside roundings densified to a micrometre GEOS 3.11's buffer is wrong by up to
# six percent, and loses or adds whole areas (a point 27.4 mm from a ring counts
# as inside its buffer of 23.5). With chords that leave their arc by COARSE it
# agrees with what follows by hand.
COARSE, ERODED = 0.05, 0.15  # mm, mm: chords on both sides of a neck
NEAR = 0.5         # mm of boundary to both sides of the end of a witness

passed, failed = {}, 0


def fail(seed, what):
    global failed
    failed += 1
    if failed <= 40:
        print(f"seed {seed}: {what}")


def ok(kind):
    passed[kind] = passed.get(kind, 0) + 1


def parts(shape):
    return [g for g in getattr(shape, "geoms", [shape]) if not g.is_empty]


def least(flags, rule, other):
    widths = [f["measured"] for f in flags if f["rule"] == rule and f["other"] == other]
    return min(widths) if widths else None


def compare(plate, kind, rule, other, limit, distance, blocked):
    """One pair: GEOS's distance against the narrowest flag about it."""
    got = least(plate["flags"], rule, other)
    if got is None:
        if distance < limit - TOLERANCE and not blocked:
            fail(plate["seed"], f"{rule} {other}: no flag, GEOS gives {distance:.4f}")
        elif distance >= limit - TOLERANCE:
            ok(kind + " silent")
    elif abs(got - distance) > TOLERANCE and not blocked:
        fail(plate["seed"], f"{rule} {other}: {got:.4f}, GEOS gives {distance:.4f}")
    elif got < distance - TOLERANCE:
        fail(plate["seed"], f"{rule} {other}: {got:.4f} is less than GEOS's {distance:.4f}")
    elif not blocked:
        ok(kind)


def between(rings, i, j):
    """Distance of two rings, and whether another boundary lies on the way."""
    a, b = nearest_points(rings[i], rings[j])
    line = LineString([a, b])
    blocked = any(k not in (i, j) and r.distance(line) < 1 for k, r in enumerate(rings))
    return a.distance(b), blocked


def pairs(plate, rings):
    kinds = [r["kind"] for r in plate["rings"]]
    ids = [r["id"] for r in plate["rings"]]
    for i in range(len(rings)):
        for j in range(i + 1, len(rings)):
            distance, blocked = between(rings, i, j)
            if "hole" in (kinds[i], kinds[j]):
                hole = j if kinds[j] == "hole" and kinds[i] != "hole" else i
                other = i + j - hole
                name = ids[hole] if other == 0 else ids[hole] + " " + ids[other]
                compare(plate, "hole", "hole-spacing", name, HOLE, distance, blocked)
                continue
            # Round holes do not hide what lies behind them.
            solid = [r for k, r in enumerate(rings) if kinds[k] != "hole"]
            a, b = nearest_points(rings[i], rings[j])
            line = LineString([a, b])
            blocked = any(r is not rings[i] and r is not rings[j] and r.distance(line) < 1 for r in solid)
            name = ids[j] if i == 0 else ids[i] + " " + ids[j]
            compare(plate, "strip", "narrow-section", name, NARROW, distance, blocked)


def erode(shape, by):
    return parts(shape.buffer(-by, resolution=64))


def roomy(part, beyond):
    """Whether an eroded part is surely wide, or surely not, or hard to tell.

    The rule tries circles of the limit's diameter half a millimetre off the
    edge at places a quarter of the limit apart: a part that erodes away within
    beyond, or hardly touches its own border, is left out of the comparison."""
    return bool(erode(part, beyond)) and part.exterior.length > 4 * NARROW


def falls(outline, limit):
    return sum(roomy(p, 2) for p in erode(outline, limit / 2)) > 1


def necks(plate, outline):
    outline = outline.simplify(COARSE)
    for limit in (STOP, NARROW):
        eroded = erode(outline, limit / 2)
        wide = [p for p in eroded if roomy(p, 2)]
        found = [f for f in plate["flags"] if f["rule"] == "narrow-section" and f["other"] == "" and f["limit"] != LEAST]
        under = [f for f in found if f["measured"] < limit]
        if len(wide) != len(eroded):
            continue  # too near to call
        if len(wide) < 2:
            if len(wide) == 1 and any(f["measured"] < limit - ERODED for f in under):
                fail(plate["seed"], f"neck of {under[0]['measured']:.4f}, but the outline eroded by {limit / 2} stays whole")
            else:
                ok("neck silent")
            continue
        if not under:
            gap = LineString(nearest_points(wide[0], wide[1])).buffer(limit / 2)
            if any(Polygon(r["points"]).intersects(gap) for r in plate["rings"][1:] if r["kind"] != "hole"):
                continue  # a cutout stands in the neck: its own strips are flagged
            if not falls(outline, limit - ERODED):
                continue  # within GEOS's error of the limit
            fail(plate["seed"], f"no neck under {limit}, but the outline eroded by {limit / 2} falls into {len(wide)} parts")
            continue
        low, high = 0.0, limit / 2
        inside = [p.representative_point() for p in wide]
        while high - low > 0.002:
            middle = (low + high) / 2
            pieces = erode(outline, middle)
            if any(all(p.contains(q) for q in inside) for p in pieces):
                low = middle
            else:
                high = middle
        narrowest = min(f["measured"] for f in under)
        if abs(narrowest - (low + high)) > ERODED:
            fail(plate["seed"], f"neck of {narrowest:.4f}, erosion gives {low + high:.4f}")
        else:
            ok("neck")


def stretch(ring, point):
    """The ring within NEAR of a point of it, along it."""
    at = ring.project(point)
    if at < NEAR or at > ring.length - NEAR:
        coords = list(ring.coords)[:-1]
        half = len(coords) // 2
        ring = LinearRing(coords[half:] + coords[:half])
        at = ring.project(point)
    return substring(ring, max(0, at - NEAR), min(ring.length, at + NEAR))


def ends(plate, outline):
    """The width of a neck against the distance of the boundary at both ends."""
    ring = LinearRing(outline.exterior.coords)
    for f in plate["flags"]:
        if f["rule"] != "narrow-section" or f["other"] or f["measured"] < 2 * NEAR:
            continue
        a, b = (stretch(ring, Point(p)) for p in f["witness"])
        if abs(a.distance(b) - f["measured"]) > TOLERANCE:
            fail(plate["seed"], f"neck of {f['measured']:.4f}, its sides are {a.distance(b):.4f} apart")
        else:
            ok("neck width")


def witnesses(plate, rings, stone):
    for f in plate["flags"]:
        a, b = (Point(p) for p in f["witness"])
        if abs(a.distance(b) - f["measured"]) > 1e-9:
            fail(plate["seed"], f"witness of {a.distance(b)} for {f['measured']}")
        for p in (a, b):
            if min(r.distance(p) for r in rings) > TOLERANCE:
                fail(plate["seed"], f"{f['rule']}: witness end {p.wkt} is not on the boundary")
        if f["measured"] > 0.1:
            line = LineString([a, b])
            inner = LineString([line.interpolate(0.02), line.interpolate(f["measured"] - 0.02)])
            if not stone.covers(inner):
                fail(plate["seed"], f"{f['rule']}: {line.wkt} leaves the stone")
        ok("witness")


def check(plate):
    rings = [LinearRing(r["points"]) for r in plate["rings"]]
    outline = Polygon(plate["rings"][0]["points"])
    holes = [r["points"] for r in plate["rings"][1:] if r["kind"] != "hole"]
    stone = Polygon(plate["rings"][0]["points"], holes)
    if not stone.is_valid:
        fail(plate["seed"], "GEOS calls the top invalid")
        return
    pairs(plate, rings)
    necks(plate, outline)
    ends(plate, outline)
    witnesses(plate, rings, stone)
    if plate["straight"]:
        clearance = stone.minimum_clearance
        for f in plate["flags"]:
            if f["rule"] == "narrow-section" and f["measured"] < clearance - TOLERANCE:
                fail(plate["seed"], f"{f['measured']:.4f} is less than the minimum clearance {clearance:.4f}")
        ok("clearance")


def main():
    count = sys.argv[1] if len(sys.argv) > 1 else "3000"
    seed = sys.argv[2] if len(sys.argv) > 2 else "1"
    run = subprocess.run(["go", "run", "./testdata/outside/rulesdump", "-n", count, "-seed", seed],
                         check=True, stdout=subprocess.PIPE, text=True)
    for line in run.stdout.splitlines():
        check(json.loads(line))
    print(", ".join(f"{n} {kind}" for kind, n in sorted(passed.items())))
    enough = int(count) // 20
    missing = [kind for kind in ("strip", "hole", "neck", "neck width", "strip silent", "hole silent", "neck silent", "witness", "clearance") if passed.get(kind, 0) < enough / 5]
    if missing:
        print("too little compared: " + ", ".join(missing))
    print(f"rules: {sum(passed.values())} passed, {failed} failed")
    sys.exit(1 if failed or missing else 0)


main()
