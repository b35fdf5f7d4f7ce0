#!/usr/bin/python3
"""Times narrow-section beside GEOS's minimum clearance on the same plates.

    clearance_bench.py [CORNERS ...]

Each plate is a top with three openings, its boundary wavy, with and without
the noise of a measured edge. Ours: preparing the boundary, every minimum under
63.5 mm, the strips under 50 and 63.5 mm with their lengths, flags and keys.
GEOS (Debian's python3-shapely): minimum_clearance alone, of a ready polygon;
that is one number for the whole plate, without strips. Best of five, on one
machine, one after the other. Prints a table.
"""
import json
import subprocess
import sys
import time

from shapely.geometry import Polygon

sizes = [int(a) for a in sys.argv[1:]] or [1000, 10000, 100000]
print(f"{'corners':>8} {'noise':>6} {'ours ms':>9} {'GEOS ms':>9} {'ratio':>6} flags")
for noise in ("0", "0.05"):
    for n in sizes:
        run = subprocess.run(["go", "run", "./testdata/outside/rulesdump", "-densify", str(n), "-noise", noise],
                             check=True, stdout=subprocess.PIPE, text=True)
        plate = json.loads(run.stdout)
        outline, *holes = [r["points"] for r in plate["rings"]]
        best = float("inf")
        for _ in range(5):
            polygon = Polygon(outline, holes)
            start = time.perf_counter()
            polygon.minimum_clearance
            best = min(best, time.perf_counter() - start)
        ours = plate["seconds"]
        print(f"{n:8} {noise:>6} {ours * 1e3:9.2f} {best * 1e3:9.2f} {best / ours:6.2f} {plate['flags']}")
