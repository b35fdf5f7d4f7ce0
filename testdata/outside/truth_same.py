"""Truth by sameness: a template turned, mirrored, moved, in inches, shuffled or reversed has the same flags and figures."""
import math
import random

from truth_base import counter, island, marks, note, vanity
from truth_kit import Case, Scene, Truth, rect, rounded, shape


def scenes(rng):
    """Clean and flawed templates without any symmetry, so that every measurement has one place."""
    out = {}
    s, t = counter(2430, 655, sink=(733, 112, 1310, 507, 22), hob=(1650, 95, 2210, 560, 14), taps=[((1021, 571), 17.5)])
    out["kitchen"] = s
    s, t = counter(2430, 655, sink=(733, 47, 1310, 507, 22), taps=[((1021, 545), 17.5)])
    out["narrow"] = s
    s, t = counter(2430, 655, sink=(733, 112, 1310, 507, 4))
    s.line((433, 220), (611, 331), "CUTOUT")
    out["sharp-stray"] = s
    s, t = counter(3010, 655, lip=31, cabinet=False)
    s.poly(rect(0, 31, 811, 655), "CABINET").poly(rect(1905, 31, 3010, 655), "CABINET")
    out["span"] = s
    s, t = counter(2810, 655, lip=271)
    out["overhang"] = s
    s, t = counter(2810, 655, cabinet=False)
    s.poly(rect(0, 31, 2513.2, 655), "CABINET")
    out["end"] = s
    s, t = counter(3010, 655, cabinet=False)
    s.poly(rect(0, 21, 1411, 655), "CABINET").poly(rect(1541, 21, 3010, 655), "CABINET").line((1463, 0), (1489, 655), "SEAM")
    out["seam-gap"] = s
    s, t = counter(3610, 655, sink=(433, 112, 1010, 507, 22))
    s.line((1213, -1.2), (1213, 656.1), "SEAM")
    out["seam"] = s
    s = note(Scene(), at=(900, -600))
    a = 655
    pts = [(0, 0, 0), (2411, 0, 0), (2411, a, 0), (a + 17, a, -math.tan(math.pi / 8)), (a, a + 17, 0), (a, 2123, 0), (0, 2123, 0)]
    s.poly(pts).poly(rect(a, 0, 2411, a - 31), "CABINET").poly(rect(0, a, a - 31, 2123), "CABINET").poly(rect(0, 0, a, a), "CABINET")
    s.line((2411, a), (a + 17, a), "FINISHED").line((a, a + 17), (a, 2123), "FINISHED").line((0, 0), (2411, 0), "WALL").line((0, 0), (0, 2123), "WALL")
    s.poly(rounded(1133, 171, 1633, 561, 25), "SINK")
    out["corner"] = s
    t = s.items[:]
    s2 = Scene()
    s2.items = [i for i in t]
    s2.line((0, 0), (a, a), "SEAM")
    out["mitre"] = s2
    s = note(Scene(), at=(0, -900))
    s.poly(rect(0, 0, 1013, 811))
    for x in (0, 953):
        for y in (0, 751):
            s.poly(rect(x, y, x + 60, y + 60), "LEG")
    out["legs"] = s
    s, t = counter(2430, 655)
    s.items = s.items[1:]
    s.line((0, 0), (2430, 0)).line((2430, 1.7), (2430, 655)).line((2431.9, 655), (0, 655)).line((0, 655), (0, 0.3))
    out["gaps"] = s
    s, t = counter(2430, 655)
    r, n = 211, 9
    pts = [(0, 0)] + [(2430 - r + r * math.sin(math.pi / 2 * i / n), r - r * math.cos(math.pi / 2 * i / n)) for i in range(n + 1)] + [(2430, 655), (0, 655)]
    s.items = s.items[1:]
    s.lines(pts, close=True)
    s.items = [i for i in s.items if i[1] != "FINISHED"]
    s.line((0, 0), (2430 - r, 0), "FINISHED")
    out["facets"] = s
    s, t = counter(2610, 655)
    s.items = [i for i in s.items if i[1] != "FINISHED"]
    s.poly(rounded(811, -51, 1563, 471, 16), "SINK")
    marks(s, front=[((0, 0), (811, 0)), ((1563, 0), (2610, 0))])
    out["apron"] = s
    s, t = counter(2430, 655, sink=(733, 112, 1310, 507, 22))
    s.poly(rounded(1250, 131, 1720, 480, 15), "COOKTOP")
    out["overlap"] = s
    s = note(Scene(), at=(900, -600))
    s.poly([(0, 0, 0.08), (2000, 100, 0), (2100, 700, 0), (300, 900, -0.1)]).ellipse((1000, 430), (260, 30), 0.6, "SINK")
    s.poly([(200, 120, 0), (1900, 180, 0), (1950, 640, 0), (400, 750, 0)], "CABINET")
    out["free"] = s
    s, t = counter(2430, 655, cabinet=False)
    s.line((0, 90), (2430, 90), "CLEAT").line((0, 600), (2430, 600), "CLEAT").poly([(0, 0, 0), (2430, 0, 0), (2430, 655, 0), (0, 655, 0)], "NOTES")
    out["cleats"] = s
    s, t = counter(2430, 655)
    s.poly(rect(900, 200, 1411, 480), "XYZ").poly(rect(0, 1500, 911, 1900), "WINDOW LEDGE")
    out["layers"] = s
    return out


VIEWS = [("turn7", dict(angle=7.3)), ("turn30", dict(angle=30)), ("turn90", dict(angle=90)), ("turn201", dict(angle=201.7)), ("mirror", dict(mirror=True)),
         ("mirror45", dict(mirror=True, angle=45)), ("far", dict(at=(812345.25, -4123456.5))), ("mirrorfar", dict(mirror=True, angle=133.3, at=(-50210.7, 91234.1)))]


def same(seed):
    rng = random.Random(f"i{seed}")
    out = []
    for name, scene in scenes(rng).items():
        def add(view, s, move=None):
            c = Case(f"{name}-{view}", s, "honest", None)
            c.family, c.move = name, move
            out.append(c)
        add("base", scene)
        for view, how in VIEWS:
            s, move = scene.moved(**how)
            add(view, s, move)
        s, move = scene.moved(angle=rng.uniform(0, 360), mirror=rng.random() < 0.5)
        add("random", s, move)
        add("inches", scene.in_unit("in"))
        add("metres", scene.in_unit("m"))
        add("shuffled", scene.shuffled(seed))
        add("shuffled2", scene.shuffled(seed + 1))
        add("reversed", scene.reversed())
    return out, compare


def compare(cases, outcomes):
    out = []
    bases = {c.family: c for c in cases if c.name.endswith("-base")}
    for c in cases:
        base = bases.get(c.family)
        if base is None or c is base:
            continue
        a, b = outcomes[base.name][0], outcomes[c.name][0]
        if a is None or b is None:
            out.append(f"crash: {c.name}")
            continue
        d = differences(signature(a), signature(b))
        if d:
            out.append(f"not the same: {c.name}: " + "; ".join(d[:3]))
    return out


def signature(r):
    s = {"verdict": r["verdict"]}
    flags = sorted((f["rule"], f["severity"], f["measured"], f["limit"]) for f in r["flags"])
    s["flags"] = [(f[0], f[1]) for f in flags]
    by = {}
    for f in flags:
        by.setdefault(f[0], []).append(f[2])
    for rule, values in by.items():
        s["measured " + rule] = sorted(values)
    pieces = sorted(r["pieces"], key=lambda p: (round(p["gross_area_mm2"], 0), round(p["perimeter_mm"], 1)))
    for k, p in enumerate(pieces):
        for key in ("length_mm", "width_mm", "area_mm2", "gross_area_mm2", "perimeter_mm", "mass_kg"):
            s[f"piece {k} {key}"] = [p[key]]
        for key in ("saw_mm", "router_mm", "polish_minutes", "router_corners_mm", "router_arcs_mm"):
            s[f"piece {k} {key}"] = [p["setup"][key]]
        s[f"piece {k} polish"] = sorted(q["length_mm"] for q in p["setup"]["polish"])
        for n, c in enumerate(sorted(p["cutouts"], key=lambda c: (c["kind"], c["area_mm2"]))):
            s[f"piece {k} cutout {n}"] = [c["area_mm2"], c["perimeter_mm"], c["length_mm"], c["width_mm"], c["min_radius_mm"], c["diameter_mm"]]
            s[f"piece {k} cutout {n} kind"] = c["kind"]
        s[f"piece {k} finishes"] = sorted((e["finish"], round(e["length_mm"], 1)) for e in p["edges"])
    for k, q in enumerate(sorted(r["seams"], key=lambda q: q["length_mm"])):
        s[f"seam {k}"] = [q["length_mm"], q["max_gap_mm"]]
        s[f"seam {k} kind"] = (q["kind"], q["supported"])
    s["repairs"] = sorted(x["kind"] for x in r["repairs"])
    s["repair sizes"] = sorted(x["size_mm"] for x in r["repairs"])
    s["unchecked"] = sorted({u["rule"] for u in r["unchecked"]})
    return s


def differences(a, b):
    out = []
    for key in sorted(set(a) | set(b)):
        x, y = a.get(key), b.get(key)
        if isinstance(x, list) and isinstance(y, list) and x and not isinstance(x[0], (str, tuple)):
            if len(x) != len(y) or any(abs(p - q) > tolerance(key, p) for p, q in zip(x, y)):
                out.append(f"{key} {[round(v, 4) for v in x]} against {[round(v, 4) for v in y]}")
        elif x != y:
            out.append(f"{key} {x} against {y}")
    return out


def tolerance(key, value):
    """1 mm on supports (a search), 0.01 mm on lengths, the same share on areas and figures worked out of them."""
    if "span" in key or "overhang" in key or "bending" in key:
        return 1.0 if "share" not in key and "bending" not in key else 0.005 * max(1, abs(value))
    return 0.01 + 2e-6 * abs(value)


CATEGORIES = {"same": same}
