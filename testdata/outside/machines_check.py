#!/usr/bin/env python3
"""What the machines' operators work from.

usage: machines_check.py PROGRAM FOLDER   (FOLDER is filled with drawings and reports)

- Random kitchens, drawn with ezdxf: clean.dxf and marked.dxf, checked again, give
  the flags, the pieces and the set-up figures of the template.
- Slab fits: of rectangles from Carver's condition (W. B. Carver, "Solution to problem
  E 1225", American Mathematical Monthly 64, 1957), of L shapes by looking at 18,000
  directions with numpy.
- Corners written with few decimals: the radius before rounding.
"""
import json
import math
import pathlib
import random
import subprocess
import sys

import numpy

from contract_kit import Cases, circle, flags, line, new, poly, rect, rounded, rules

SEED = 20261126
KITCHENS = 40
SLAB = (3048 - 25.4, 1372 - 25.4)  # usable: 120 x 54 in less 1/2 in along every side
cases = Cases(sys.argv[1], pathlib.Path(sys.argv[2]) / "cases")
near, equal = cases.near, cases.equal


def kitchen(rnd, units, move):
    """A run, an island or an L with a seam; sinks, holes, cabinets and marks as they come."""
    drawing = new(units)
    scale = 1 / 25.4 if units == 1 else 1

    def put(points, layer, close=True):
        poly(drawing, [tuple(v * scale for v in move(*p[:2])) + tuple(p[2:]) for p in points], layer, close)
    w, t, lip = rnd.randint(1500, 2900), rnd.randint(560, 680), rnd.randint(10, 60)
    kind = rnd.choice("RIL")
    if kind == "L":
        h = rnd.randint(1200, 2300)
        put([(0, 0), (w, 0), (w, t), (t + 12, t, -math.tan(math.pi / 8)), (t, t + 12), (t, h), (0, h)], "COUNTER")
        put([(0, 0), (w, 0), (w, t - lip), (t - lip, t - lip), (t - lip, h), (0, h)], "CABINET")
        put([(w, t), (t + 12, t)], "FINISHED-MITRE" if rnd.random() < 0.3 else "FINISHED", False)
        put([(t, t + 12), (t, h)], "FINISHED", False)
        put([(0, h), (0, 0), (w, 0)], "WALL", False)
        if rnd.random() < 0.7:
            put([(t + 60, 0), (t + 60, t)], "SEAM", False)
        left = t + 200
    else:
        depth = t if kind == "R" else rnd.randint(700, 1100)
        a, step = rnd.randint(300, w - 700), rnd.randint(15, 60)
        front = [(0, 0), (a, 0), (a, -step), (a + 300, -step), (a + 300, 0), (w, 0)] if rnd.random() < 0.4 else [(0, 0), (w, 0)]
        put(front + [(w, depth), (0, depth)], "COUNTER")
        put(rect(0, lip if kind == "R" else rnd.randint(150, 400), w, depth), "CABINET")
        put(front + [(w, depth)], "FINISHED", False)
        put([(w, depth), (0, depth)], "WALL", False)
        left, t = 120, depth
    if rnd.random() < 0.8 and w - left > 700:
        x, y = rnd.randint(left, w - 600), rnd.randint(45, 110)
        put(rounded(x, y, x + rnd.randint(380, 500), t - rnd.randint(50, 100), rnd.choice([6, 9.6, 12, 20])), "SINK")
    if rnd.random() < 0.5:
        at = move(rnd.randint(40, w - 40), t - rnd.randint(20, 45))
        circle(drawing, tuple(v * scale for v in at), 17.5 * scale, "HOLE")
    return drawing


def what_counts(document):
    pieces = []
    for p in document["pieces"]:
        s = p["setup"]
        pieces.append((
            p["id"], round(p["area_mm2"]), round(p["length_mm"], 1), [(e["finish"], round(e["length_mm"], 1)) for e in p["edges"]],
            [(c["kind"], round(c["area_mm2"])) for c in p["cutouts"]], round(s["saw_mm"], 1), round(s["router_mm"], 1), round(s["run_minutes"], 2),
            [(round(q["length_mm"], 1), len(q["steps_lead_start"])) for q in s["polish"]]))
    # The search for the worst overhang is exact to a millimetre.
    found = sorted((f["rule"], f["severity"], round(f["measured"], 0 if f["unit"] == "mm" else 1) if f["rule"] not in ("overhang", "bending-stress", "overhang-share") else 0)
                   for f in document["flags"])
    return {"verdict": document["verdict"], "pieces": pieces, "flags": found,
            "seams": [(s["kind"], round(s["length_mm"], 1), s["supported"]) for s in document["seams"]]}


def checked_again():
    rnd = random.Random(SEED)
    folder = pathlib.Path(sys.argv[2]) / "kitchens"
    folder.mkdir(parents=True, exist_ok=True)
    for i in range(KITCHENS):
        angle, away = math.radians(rnd.choice([0, 0, 90, 33.3])), rnd.choice([(0, 0), (1e6, -5e5)])
        c, s = math.cos(angle), math.sin(angle)
        kitchen(rnd, rnd.choice([1, 4]), lambda x, y: (c * x - s * y + away[0], s * x + c * y + away[1])).saveas(folder / f"k{i:02}.dxf")
    out = folder / "out"
    subprocess.run([sys.argv[1], "check", "--out", str(out), str(folder)], capture_output=True)
    marks = 0
    for i in range(KITCHENS):
        report = out / f"k{i:02}"
        first = what_counts(json.loads((report / "result.json").read_text()))
        marks += sum(e[0] != "unmarked" for p in first["pieces"] for e in p[3])
        for name in "clean.dxf", "marked.dxf":
            cases.name = f"kitchen {i} of seed {SEED}, {name}"
            done = subprocess.run([sys.argv[1], "check", "--json", str(report / name)], capture_output=True, text=True)
            again = what_counts(json.loads(done.stdout))
            for key, want in first.items():
                equal(again[key], want, key)
    cases.name = "kitchens"
    equal(marks > KITCHENS, True, "edges with a mark")


def slabs():
    p, q = SLAB

    def too_big(name, points, want):
        drawing = new()
        angle = random.Random(name).uniform(0, math.pi)
        c, s = math.cos(angle), math.sin(angle)
        poly(drawing, [(c * x - s * y, s * x + c * y) for x, y in points])
        cases.add(name, drawing, lambda d: equal(bool(flags(d, "too-big-for-slab")), want, "too big"))
    for length in 3100, 3150, 3200, 3250:
        low, high = 0.0, 400.0
        for _ in range(60):  # the widest that fits: Carver's least slab width for length x width is the slab's
            width = (low + high) / 2
            need = (2 * length * width * p + (length**2 - width**2) * math.sqrt(length**2 + width**2 - p**2)) / (length**2 + width**2)
            low, high = (width, high) if need <= q else (low, width)
        for over in -0.5, 0.5:
            too_big(f"slab-{length}-{over}", rect(0, 0, length, low + over), over > 0)
    rnd = random.Random(SEED + 1)
    directions = numpy.linspace(0, math.pi, 18000, endpoint=False)
    u = numpy.stack([numpy.cos(directions), numpy.sin(directions)])
    v = numpy.stack([-numpy.sin(directions), numpy.cos(directions)])
    for i in range(30):
        w, h, t = rnd.uniform(1800, 3000), rnd.uniform(900, 1800), rnd.uniform(400, 650)
        shape = [(0, 0), (w, 0), (w, t), (t, t), (t, h), (0, h)]
        a = numpy.array(shape)
        over = numpy.maximum(numpy.ptp(a @ u, axis=0) - p, numpy.ptp(a @ v, axis=0) - q).min()
        if abs(over) > 0.5:  # nearer than the directions tell
            too_big(f"slab-l-{i}", shape, bool(over > 0))


def written_corners():
    for unit, decimals, r, n in (4, 2, 10, 60), (4, 2, 15, 60), (4, 2, 25, 5), (1, 3, 10, 24), (1, 3, 10, 60), (1, 3, 15, 60), (1, 3, 25, 6), (4, 1, 100, 12):
        size = 25.4 if unit == 1 else 1

        def written(points):
            return [(round(x / size, decimals), round(y / size, decimals)) for x, y in points]
        corners = []
        for k, (x, y) in enumerate(((1400 - r, 500 - r), (800 + r, 500 - r), (800 + r, 120 + r), (1400 - r, 120 + r))):
            corners += [(x + r * math.cos(math.pi / 2 * (k + i / n)), y + r * math.sin(math.pi / 2 * (k + i / n))) for i in range(n + 1)]
        drawing = new(unit)
        poly(drawing, written(rect(0, 0, 2400, 640)))
        poly(drawing, written(corners), "SINK")

        def check(d, r=r):
            near(d["pieces"][0]["cutouts"][0]["min_radius_mm"], r, 0.02 * r, "least radius")
            equal(rules(d), [], "the flags")
        cases.add(f"corner-{unit}-{decimals}-{r}-{n}", drawing, check)


def joints():
    for joint, back in (1.5, 1.5), (3, 3), (1.5, 4):  # how far the mate's riser lies back: the joint, or more
        drawing = new()
        poly(drawing, [(0, 0), (1000, 0), (1000, 300), (1040, 300), (1040, 650), (0, 650)])
        poly(drawing, [(1000 + joint, 0), (2400, 0), (2400, 650), (1040 + joint, 650), (1040 + joint, 300 - back), (1000 + joint, 300 - back)])
        want = [] if joint == back else [("stop", "seam-mismatch"), ("stop", "seam-step-mismatch")]
        cases.add(f"joint-{joint}-{back}", drawing, lambda d, want=want: equal([x for x in rules(d) if "seam" in x[1]], want, "flags of the seam"))
    for past, want in (2.9, []), (40, [("warn", "stray-curve")]), (400, [("stop", "stray-curve")]):
        drawing = new()
        line(drawing, (0, 0), (2400 + past, 0))
        for a, b in ((2400, 0), (2400, 640)), ((2400, 640), (0, 640)), ((0, 640), (0, 0)):
            line(drawing, a, b)
        cases.add(f"runs-on-{past}", drawing, lambda d, want=want: equal(rules(d), want, "the flags"))


for part in slabs, written_corners, joints:
    part()
cases.run()
checked_again()
if cases.passed == 0:
    print("nothing was compared")
    cases.failed += 1
print(f"machines: {cases.passed} passed, {cases.failed} failed")
sys.exit(1 if cases.failed else 0)
