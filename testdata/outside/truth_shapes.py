"""Truth for what is drawn: polygonal sides, small closed features, curves, figures."""
import math
import random

import ezdxf
from ezdxf.math import BSpline
from shapely.geometry import Point, Polygon

from truth_base import counter, island, marks, note, vanity
from truth_kit import (QUARTER, Case, Scene, Truth, bulge_arc, dense, disc, exact, rect, ring, rounded, shape, layer)


# ------------------------------------------------------- a. polygonal sides

def bay_points(sides, side, turn, length, depth):
    """A counter whose front is a convex run of equal sides, each turned by turn degrees."""
    heading = -turn * (sides - 1) / 2
    pts, x, y = [], 0.0, 0.0
    pts.append((x, y))
    for _ in range(sides):
        x += side * math.cos(math.radians(heading))
        y += side * math.sin(math.radians(heading))
        pts.append((x, y))
        heading += turn
    width = pts[-1][0]
    side_room = max(0.0, (length - width) / 2)
    front = [(p[0] + side_room, p[1]) for p in pts]
    out = [(0.0, 0.0)] if side_room > 1 else []
    out += front
    if side_room > 1:
        out.append((2 * side_room + width, 0.0))
    right = 2 * side_room + width
    return out + [(right, depth), (0.0, depth)], front


def ngon(n, radius, center=(0.0, 0.0), start=0.0):
    return [(center[0] + radius * math.cos(start + 2 * math.pi * k / n),
             center[1] + radius * math.sin(start + 2 * math.pi * k / n)) for k in range(n)]


def sagitta(side, turn):
    return side / 2 * math.tan(math.radians(turn) / 4)


def repairs_true(limit):
    """Every arc that came of chords is a repair, none larger than limit says it may be."""
    def check(result):
        sizes = [r["size_mm"] for r in result["repairs"] if r["kind"] == "facets-to-arc"]
        return [f"facets-to-arc of {s:.3f} mm, more than {limit:.3f}" for s in sizes if s > limit + 0.01]
    return check


def polygons(seed):
    rng = random.Random(f"a{seed}")
    out = []
    for k in range(14):
        n, turn = rng.randint(4, 8), rng.choice([8, 10, 12, 15, 18, 20, 22.5, 24])
        side = rng.uniform(220, 620)
        while sagitta(side, turn) < 2.6:
            side *= 1.3
        pts, front = bay_points(n, side, turn, n * side + rng.choice([0, 400]), 640)
        s = note(Scene(), at=(500, -2500)).poly(pts)
        if k % 3 == 1:
            marks(s, front=list(zip(front, front[1:])))
        if k % 3 == 2:
            marks(s, wall=list(zip(front, front[1:])))
        blunt = turn * (n - 1) / 2 <= 45  # the bend where the bay leaves the straight front
        out.append(Case(f"bay-{k}", s, "honest", Truth([shape(pts)]), silent=["inside-radius"] if blunt else [],
                        why=f"{n} sides of {side:.0f} mm at {turn} deg, sagitta {sagitta(side, turn):.1f}"))
    for k, n in enumerate([6, 8, 10, 12, 15, 16, 18, 20, 24, 30]):
        r = rng.uniform(400, 650)
        pts = ngon(n, r, start=rng.uniform(0, 1))
        s = note(Scene(), at=(0, -2000))
        s.poly(pts) if k % 2 else s.lines(pts, close=True)
        if k % 4 < 2:
            for a, b in zip(pts, pts[1:] + pts[:1]):
                s.line(a, b, "FINISHED")
        out.append(Case(f"table-{n}", s, "ready", Truth([shape(pts)]), why=f"table of {n} sides, R {r:.0f}, sagitta {r * (1 - math.cos(math.pi / n)):.1f}"))
    for k in range(8):  # an exporter's fine chords
        r = rng.uniform(40, 300)
        n = max(4, math.ceil(math.pi / 4 / math.acos(1 - rng.uniform(0.02, 0.3) / r)))
        chords = [(2400 - r + r * math.sin(math.pi / 2 * i / n), r - r * math.cos(math.pi / 2 * i / n)) for i in range(n + 1)]
        s = note(Scene())
        pts = [(0, 0)] + chords + [(2400, 640), (0, 640)]
        s.poly(pts) if k % 2 else s.lines(pts, close=True)
        h = r * (1 - math.cos(math.pi / 4 / n))
        arc = [(0, 0, 0), (2400 - r, 0, QUARTER), (2400, r, 0), (2400, 640, 0), (0, 640, 0)]
        out.append(Case(f"fine-{k}", s, "ready", Truth([shape(arc)], tolerance=0.11), figures=arc_of(r, h),
                        why=f"corner R {r:.1f} as {n} chords, sagitta {h:.2f}"))
    for k in range(8):  # chords that may be an arc or sides: told, and left straight
        r = rng.uniform(300, 900)
        h = rng.uniform(2.3, 8)
        n = max(4, round(math.pi / 4 / math.acos(1 - h / r)))
        h = r * (1 - math.cos(math.pi / 4 / n))
        if h < 2.1 or 90 / n > 25:
            r, n = 600.0, 5
            h = r * (1 - math.cos(math.pi / 4 / n))
        pts = [(0, 0)] + [(2400 - r + r * math.sin(math.pi / 2 * i / n), r - r * math.cos(math.pi / 2 * i / n)) for i in range(n + 1)] + [(2400, 1000), (0, 1000)]
        s = note(Scene()).poly(pts)
        out.append(Case(f"coarse-{k}", s, "warn", Truth([shape(pts)]), rules=["coarse-curve"], silent=["inside-radius"],
                        why=f"R {r:.0f} as {n} chords, sagitta {h:.2f}"))
    for k in range(6):  # close to 2 mm: an arc or straight, the repair's size is real
        r = rng.uniform(300, 900)
        n = max(4, math.ceil(math.pi / 4 / math.acos(1 - rng.uniform(0.8, 1.9) / r)))
        h = r * (1 - math.cos(math.pi / 4 / n))
        pts = [(0, 0)] + [(2400 - r + r * math.sin(math.pi / 2 * i / n), r - r * math.cos(math.pi / 2 * i / n)) for i in range(n + 1)] + [(2400, 1000), (0, 1000)]
        s = note(Scene()).poly(pts)
        out.append(Case(f"mid-{k}", s, "ready", Truth([shape(pts)], tolerance=h + 0.05), figures=sizes_real(h),
                        why=f"R {r:.0f} as {n} chords, sagitta {h:.2f}"))
    for k in range(6):  # a concave bay, bends of 8 to 24 degrees, no sharp inside corners
        n, turn, side = rng.randint(4, 6), rng.choice([10, 15, 20]), rng.uniform(250, 400)
        pts, front = bay_points(n, side, turn, n * side, 100)
        deep = min(p[1] for p in front)
        pts = [(0, 0)] + [(x, 640 + y) for x, y in front][1:-1]
        w = front[-1][0]
        pts = [(0, -100 + deep), (w, -100 + deep), (w, 640)] + [(x, 640 + y) for x, y in front][::-1][1:]
        s = note(Scene(), at=(500, deep - 900)).poly(pts)
        out.append(Case(f"concave-{k}", s, "honest", Truth([shape(pts)]), silent=["inside-radius"],
                        why=f"wall bay of {n} sides of {side:.0f} mm at {turn} deg"))
    for k in range(6):  # exporter's arcs with corners off the circle: released corners within facet tolerance of the drawn
        r = rng.uniform(150, 400)
        n = max(6, math.ceil(math.pi / 4 / math.acos(1 - 0.15 / r)))
        e = [0.05, 0.09, 0.12, 0.14, 0.2, 0.3][k]
        chords = []
        for i in range(n + 1):
            rr = r + (rng.choice([-e, e]) if 0 < i < n else 0)
            chords.append((2400 - r + rr * math.sin(math.pi / 2 * i / n), r - rr * math.cos(math.pi / 2 * i / n)))
        pts = [(0, 0)] + chords + [(2400, 640), (0, 640)]
        s = note(Scene()).poly(pts)
        c = Case(f"noise-{k}", s, "honest", Truth([shape(pts)], tolerance=0.15 + e + 0.12), why=f"corners off the circle by {e} mm")
        c.corners = (chords, 0.106)  # facet tolerance and the chords of this harness
        out.append(c)
    for k in range(6):  # a sink of equal sides, sharp: it may stop, never be moved
        n, r = rng.choice([16, 20, 24]), rng.uniform(180, 230)
        pts = ngon(n, r, (1200, 330))
        s, t = counter(2400, 640)
        s.poly(pts, "SINK")
        out.append(Case(f"sink-{k}", s, "honest", Truth(t.outlines, [shape(pts)], tolerance=2.1 if r * (1 - math.cos(math.pi / n)) < 2 else 0.12),
                        why=f"sink of {n} sides, R {r:.0f}, sagitta {r * (1 - math.cos(math.pi / n)):.2f}"))
    return out, overall_corners


def overall_corners(cases, outcomes):
    """Drawn corners of noisy facets keep their place within the facet tolerance."""
    out = []
    for c in cases:
        if getattr(c, "corners", None) and outcomes[c.name][1]:
            pts, tol = c.corners
            for o in outcomes[c.name][1]["outlines"]:
                d = max(ring(o).distance(Point(p)) for p in pts)
                if d > tol:
                    out.append(f"READY-but-wrong: {c.name}: a drawn corner was left by {d:.3f} mm")
    return out


def arc_of(r, h):
    def check(result):
        got = [e["radius_mm"] for p in result["pieces"] for e in p["edges"] if e["kind"] == "arc"]
        if not any(abs(g - r) < max(0.02 * r, 0.6) for g in got):
            return [f"no arc of R {r:.1f} was recognised, radii {got}"]
        return sizes_real(h)(result)
    return check


def sizes_real(h):
    """facets-to-arc says the real largest deviation, which for chords on a circle is their sagitta."""
    def check(result):
        sizes = [x["size_mm"] for x in result["repairs"] if x["kind"] == "facets-to-arc"]
        return [f"facets-to-arc says {s:.3f} mm, the chords lie {h:.3f} mm off" for s in sizes if abs(s - h) > 0.05 + 0.02 * h]
    return check


# --------------------------------------------- b. small closed features

def small(seed):
    rng = random.Random(f"b{seed}")
    out = []
    names = ["CUTOUT", "HOLE", "OUTLINE", "TAP", "SINK"]
    for k in range(20):
        d, lay = rng.uniform(2, 12), names[k % 5]
        p = (rng.uniform(300, 2000), rng.uniform(150, 450))
        s, t = counter(2400, 640)
        how = k % 4
        if how == 0:
            s.circle(p, d / 2, lay)
        elif how == 1:
            s.poly([(p[0] - d / 2, p[1], 1), (p[0] + d / 2, p[1], 1)], lay)
        elif how == 2:
            s.arc(p, d / 2, 0, 180, lay).arc(p, d / 2, 180, 360, lay)
        else:
            s.ellipse(p, (d / 2, 0), 1.0, lay)
        out.append(Case(f"hole-{k}", s, "ready", Truth(t.outlines, [disc(p, d / 2)]), why=f"hole d {d:.1f} mm on {lay} as {('circle', 'two bulges', 'two arcs', 'ellipse')[how]}"))
    for k in range(8):  # a hole as chords
        d, lay, n = rng.uniform(4, 12), names[k % 5], rng.choice([8, 12, 16, 24, 32])
        p = (rng.uniform(300, 2000), rng.uniform(150, 450))
        pts = ngon(n, d / 2, p)
        s, t = counter(2400, 640)
        s.poly(pts, lay) if k % 2 else s.lines(pts, lay, close=True)
        out.append(Case(f"chords-{k}", s, "honest", Truth(t.outlines, [shape(pts)], tolerance=0.35),
                        why=f"hole d {d:.1f} mm on {lay} as {n} chords, {'closed' if k % 2 else 'exploded'}"))
    for k in range(8):  # slots for clips
        w, l = rng.uniform(2, 6), rng.uniform(8, 20)
        p = (rng.uniform(300, 2000), rng.uniform(150, 450))
        pts = [(p[0], p[1], 0), (p[0] + l, p[1], 1), (p[0] + l, p[1] + w, 0), (p[0], p[1] + w, 1)]
        if k % 2:
            pts = rect(p[0], p[1], p[0] + l, p[1] + w)
        s, t = counter(2400, 640)
        s.poly(pts, names[k % 3])
        out.append(Case(f"clip-{k}", s, "honest", Truth(t.outlines, [shape(pts)]), why=f"slot {l:.1f} x {w:.1f} mm on {names[k % 3]}"))
    for k in range(8):  # notches in an edge
        w, d, x = rng.uniform(3, 12), rng.uniform(2, 12), rng.uniform(300, 2000)
        s, t = counter(2400, 640)
        s.items[0] = ["poly", "OUTLINE", [(p[0], p[1], 0) for p in [(0, 0), (2400, 0), (2400, 640), (x + w, 640), (x + w, 640 - d), (x, 640 - d), (x, 640), (0, 640)]], True, {}]
        if k % 2:  # drawn as a small cutout across the edge
            s, t = counter(2400, 640)
            s.poly(rect(x, 640 - d, x + w, 645), "CUTOUT")
        truth = Polygon([(0, 0), (2400, 0), (2400, 640), (x + w, 640), (x + w, 640 - d), (x, 640 - d), (x, 640), (0, 640)])
        out.append(Case(f"notch-{k}", s, "honest", Truth([truth]), why=f"notch {w:.1f} x {d:.1f} mm {'as a cutout over the edge' if k % 2 else 'in the outline'}"))
    for k in range(6):  # tabs and lugs that stand out of the outline
        w, d, x = rng.uniform(4, 14), rng.uniform(3, 10), rng.uniform(300, 2000)
        pts = [(0, 0), (2400, 0), (2400, 640), (x + w, 640), (x + w, 640 + d), (x, 640 + d), (x, 640), (0, 640)]
        s = note(Scene())
        s.poly(pts) if k % 2 else s.lines(pts, close=True)
        out.append(Case(f"tab-{k}", s, "honest", Truth([Polygon(pts)]), why=f"tab {w:.1f} x {d:.1f} mm"))
    return out, None


# ------------------------------------------------------------- k. curves

def curve_cases(seed):
    rng = random.Random(f"k{seed}")
    out = []
    for k in range(8):  # a front that is a spline between two lines
        ctrl = [(0, 0)] + [(x, rng.uniform(-90, 90)) for x in (400, 900, 1500, 2000)] + [(2400, 0)]
        b = BSpline([(x, y, 0) for x, y in ctrl], order=4)
        front = [(p.x, p.y) for p in b.flattening(0.002)]
        s = note(Scene(), at=(600, -700)).spline(ctrl)
        s.line((2400, 0), (2400, 640)).line((2400, 640), (0, 640)).line((0, 640), (0, 0))
        if k % 2:
            s.spline(ctrl, "FINISHED")
        out.append(Case(f"spline-{k}", s, "ready" if k % 2 else "ready", Truth([Polygon(front + [(2400, 640), (0, 640)])], tolerance=0.02 + 0.11),
                        silent=["inside-radius"], why="spline front"))
    for k in range(5):  # closed splines as islands
        ctrl = [((rng.uniform(500, 800)) * math.cos(t), rng.uniform(420, 560) * math.sin(t)) for t in [2 * math.pi * i / 8 for i in range(8)]]
        s = note(Scene(), at=(0, -1500)).spline(ctrl, closed=True)
        e = ezdxf.new().modelspace().add_spline()
        e.set_closed([(x, y, 0) for x, y in ctrl])
        pts = [(p.x, p.y) for p in e.construction_tool().flattening(0.002)]
        out.append(Case(f"closed-spline-{k}", s, "honest", Truth([Polygon(pts)], tolerance=0.14), why="closed spline island"))
    for k in range(6):
        a, q, t = rng.uniform(500, 900), rng.uniform(0.45, 0.7), rng.uniform(0, math.pi)
        s = note(Scene(), at=(0, -1800)).ellipse((0, 0), (a * math.cos(t), a * math.sin(t)), q)
        pts = []
        for i in range(2000):
            u = 2 * math.pi * i / 2000
            x, y = a * math.cos(u), a * q * math.sin(u)
            pts.append((x * math.cos(t) - y * math.sin(t), x * math.sin(t) + y * math.cos(t)))
        out.append(Case(f"ellipse-{k}", s, "ready", Truth([Polygon(pts)], tolerance=0.03), figures=near_area(math.pi * a * a * q, 3 + 40 * 0.02 * 6),
                        why="elliptic table"))
    for k in range(6):  # oval sink
        a, q = rng.uniform(200, 260), rng.uniform(0.6, 0.9)
        s, t = counter(2400, 640)
        s.ellipse((1200, 320), (a, 0), q, "SINK")
        pts = [(1200 + a * math.cos(2 * math.pi * i / 1500), 320 + a * q * math.sin(2 * math.pi * i / 1500)) for i in range(1500)]
        out.append(Case(f"oval-sink-{k}", s, "ready", Truth(t.outlines, [Polygon(pts)], tolerance=0.03), why="oval sink"))
    for k in range(6):  # round bar end of more than a half circle
        r, sweep = rng.uniform(350, 600), rng.uniform(200, 300)
        half = math.radians(sweep / 2)
        # the arc opens to the left, its ends are joined by a straight run of 1500 mm
        a, b = (r * math.cos(half), r * math.sin(half)), (r * math.cos(half), -r * math.sin(half))
        body = [(a[0] - 1500, a[1]), (b[0] - 1500, b[1])]
        bulge = math.tan(math.radians(sweep) / 4)
        pts = [(b[0], b[1], bulge), (a[0], a[1], 0), (body[0][0], body[0][1], 0), (body[1][0], body[1][1], 0)]
        s = note(Scene(), at=(0, -1500))
        if k % 2:
            s.poly(pts)
        else:
            s.arc((0, 0), r, -sweep / 2, sweep / 2).line(a, body[0]).line(body[0], body[1]).line(body[1], b)
        c = Case(f"bar-{k}", s, "honest", Truth([shape(pts)]), figures=near_area(exact(pts)[0], 2), why=f"arc of {sweep:.0f} deg")
        out.append(c)
    for k in range(4):  # two semicircles, old polyline, bulges of 1
        l, r = rng.uniform(800, 1600), rng.uniform(300, 450)
        pts = [(0, -r, 0), (l, -r, 1), (l, r, 0), (0, r, 1)]
        s = note(Scene(), at=(0, -1500)).poly(pts, old=bool(k % 2))
        out.append(Case(f"stadium-{k}", s, "ready", Truth([shape(pts)]), figures=near_area(exact(pts)[0], 1), why="semicircular ends"))
    for k in range(4):  # mirrored extrusion: x turns round
        pts = rect(0, 0, 2000 + 10 * k, 600)
        s = note(Scene())
        def fn(doc, space, pts=pts, k=k):
            layer(doc, "OUTLINE")
            l = space.add_lwpolyline([(-p[0], p[1], 0) for p in pts], format="xyb", close=True, dxfattribs={"layer": "OUTLINE"})
            l.dxf.extrusion = (0, 0, -1)
            layer(doc, "CUTOUT")
            c = space.add_circle((-500, 300), 100, dxfattribs={"layer": "CUTOUT"})
            c.dxf.extrusion = (0, 0, -1)
            a = space.add_arc((-1200, 300), 150, 0, 180, dxfattribs={"layer": "CUTOUT"})
            a.dxf.extrusion = (0, 0, -1)
            space.add_line((1050, 300), (1350, 300), dxfattribs={"layer": "CUTOUT"})
        s.raw.append(fn)
        half = Polygon([(1200 + 150 * math.cos(math.pi * i / 600), 300 + 150 * math.sin(math.pi * i / 600)) for i in range(601)])
        out.append(Case(f"extruded-{k}", s, "honest", Truth([shape(pts)], [disc((500, 300), 100), half]), why="entities seen from behind (extrusion 0,0,-1)"))
    for k in range(6):  # out of plane: a tilted outline is foreshortened
        tilt = [2, 5, 10, 20, 45, 80][k]
        w = 600 * math.cos(math.radians(tilt))
        h = 600 * math.sin(math.radians(tilt))
        s = note(Scene())
        def fn(doc, space, w=w, h=h, k=k):
            layer(doc, "OUTLINE")
            p = [(0, 0, 0), (2400, 0, 0), (2400, w, h), (0, w, h)]
            if k % 2:
                space.add_polyline3d(p, close=True, dxfattribs={"layer": "OUTLINE"})
            else:
                for a, b in zip(p, p[1:] + p[:1]):
                    space.add_line(a, b, dxfattribs={"layer": "OUTLINE"})
        s.raw.append(fn)
        out.append(Case(f"tilted-{k}", s, "warn" if tilt <= 5 else "stop", None, rules=["off-plane"] if tilt <= 5 else [],
                        why=f"outline drawn tilted by {tilt} deg: {600 - w:.1f} of 600 mm would be lost"))
    for k in range(4):  # a sink stood on edge loses its area
        s, t = counter(2400, 640)
        def fn(doc, space, k=k):
            layer(doc, "SINK")
            if k % 2:
                c = space.add_circle((0, 0), 180, dxfattribs={"layer": "SINK"})
                c.dxf.extrusion = (0, 1, 0)
                c.dxf.center = (-1200, 10, -300)
            else:
                space.add_polyline3d([(900, 300, 0), (1500, 300, 0), (1500, 300, -200), (900, 300, -200)], close=True, dxfattribs={"layer": "SINK"})
        s.raw.append(fn)
        out.append(Case(f"on-edge-{k}", s, "stop", None, why="a sink drawn upright has no area from above; a closed curve that loses its area stops"))
    for k in range(6):  # all at a height: nothing is lost
        s = note(Scene())
        z = rng.choice([900.0, -30.0, 1e4])
        s.poly(rect(0, 0, 2400, 600), elevation=z)
        out.append(Case(f"height-{k}", s, "ready", Truth([shape(rect(0, 0, 2400, 600))]), silent=["off-plane"], why=f"everything {z} mm up"))
    out += block_cases(rng)
    return out, None


def near_area(area, tolerance):
    def check(result):
        got = sum(p["gross_area_mm2"] for p in result["pieces"])
        return [] if abs(got - area) <= tolerance else [f"gross area {got:.2f}, by closed form {area:.2f}"]
    return check


def block_cases(rng):
    out = []
    for k in range(10):
        s, t = counter(3000, 640)
        sx, sy, turn = [(1, 1, 0), (-1, 1, 0), (1, -1, 0), (-1, -1, 30), (1, 1, 90), (0.5, 0.5, 0), (-1.2, 1.2, 45), (25.4, 25.4, 0), (1, 0.8, 0), (-1, 0.7, 20)][k]
        u = 1 / 25.4 if abs(sx) == 25.4 else 1.0
        # an unsymmetric sink: one large corner
        loop = [(-200 * u, -150 * u, 0), (200 * u, -150 * u, 0), (200 * u, 100 * u, 0), (150 * u, 150 * u, 0), (-200 * u, 150 * u, 0)]
        loop = [(-170 * u, -150 * u, 0), (140 * u, -150 * u, QUARTER), (200 * u, -90 * u, 0), (200 * u, 120 * u, QUARTER),
                (170 * u, 150 * u, 0), (-180 * u, 150 * u, QUARTER), (-200 * u, 130 * u, 0), (-200 * u, -120 * u, QUARTER)]
        at = (1500, 330)
        def fn(doc, space, loop=loop, sx=sx, sy=sy, turn=turn, at=at, k=k, u=u):
            b = doc.blocks.new("BOWL", base_point=(10 * u, 20 * u))
            layer(doc, "SINK")
            b.add_lwpolyline(loop, format="xyb", close=True, dxfattribs={"layer": "SINK" if k % 2 else "0"})
            space.add_blockref("BOWL", at, dxfattribs={"layer": "SINK", "xscale": sx, "yscale": sy, "rotation": turn})
        s.raw.append(fn)
        r = math.radians(turn)
        pts = []
        for x, y in dense(loop):
            x, y = (x - 10 * u) * sx, (y - 20 * u) * sy
            pts.append((at[0] + x * math.cos(r) - y * math.sin(r), at[1] + x * math.sin(r) + y * math.cos(r)))
        out.append(Case(f"block-{k}", s, "honest", Truth(t.outlines, [Polygon(pts)], tolerance=0.14), why=f"sink as a block, scale {sx},{sy}, turned {turn}, base point off the origin"))
    for k in range(4):  # an array of holes
        s, t = counter(2400, 640)
        cols, rows, turn = [(4, 1, 0), (3, 2, 0), (3, 2, 15), (2, 3, -20)][k]
        def fn(doc, space, cols=cols, rows=rows, turn=turn, k=k):
            b = doc.blocks.new("TAPHOLE")
            layer(doc, "CUTOUT")
            b.add_circle((0, 0), 10, dxfattribs={"layer": "0"})
            space.add_blockref("TAPHOLE", (900, 250), dxfattribs={"layer": "CUTOUT", "column_count": cols, "row_count": rows, "column_spacing": 120,
                                                              "row_spacing": 110, "rotation": turn, "xscale": 1.5 if k > 1 else 1, "yscale": 1.5 if k > 1 else 1})
        s.raw.append(fn)
        r, sc = math.radians(turn), 1.5 if k > 1 else 1
        holes = []
        for i in range(cols):
            for j in range(rows):
                x, y = i * 120, j * 110
                holes.append(disc((900 + x * math.cos(r) - y * math.sin(r), 250 + x * math.sin(r) + y * math.cos(r)), 10 * sc))
        out.append(Case(f"array-{k}", s, "honest", Truth(t.outlines, holes), why=f"{cols} x {rows} array of tap holes turned by {turn}"))
    for k in range(3):  # a whole top in nested blocks
        s = note(Scene())
        def fn(doc, space, k=k):
            inner, outer = doc.blocks.new("IN"), doc.blocks.new("OUT")
            layer(doc, "OUTLINE")
            inner.add_lwpolyline(rect(0, 0, 1000, 300), format="xyb", close=True, dxfattribs={"layer": "OUTLINE"})
            outer.add_blockref("IN", (0, 0), dxfattribs={"xscale": 2, "yscale": 2, "rotation": 30})
            space.add_blockref("OUT", (100, 50), dxfattribs={"xscale": -1 if k == 1 else 1, "rotation": 60 if k == 2 else 0})
        s.raw.append(fn)
        pts = []
        for x, y, _ in rect(0, 0, 2000, 600):
            c, q = math.cos(math.radians(30)), math.sin(math.radians(30))
            x, y = x * c - y * q, x * q + y * c
            if k == 1:
                x = -x
            if k == 2:
                c, q = math.cos(math.radians(60)), math.sin(math.radians(60))
                x, y = x * c - y * q, x * q + y * c
            pts.append((100 + x, 50 + y))
        out.append(Case(f"nested-{k}", s, "ready", Truth([Polygon(pts)]), why="a top in nested blocks"))
    return out


# ------------------------------------------------------------- m. figures

def numbers(seed):
    rng = random.Random(f"m{seed}")
    out = []
    for k in range(30):
        kind = k % 5
        r = rng.uniform(10, 120)
        if kind == 0:
            pts = rounded(0, 0, rng.uniform(900, 2900), rng.uniform(400, 900), r)
        elif kind == 1:  # an L with a rounded inside corner
            a, b, d = rng.uniform(1800, 2900), rng.uniform(1700, 2600), rng.uniform(560, 700)
            pts = [(0, 0, 0), (a, 0, 0), (a, d, 0), (d + r, d, -QUARTER), (d, d + r, 0), (d, b, 0), (0, b, 0)]
        elif kind == 2:  # a free quadrilateral
            pts = [(0, 0, 0), (rng.uniform(1500, 2500), rng.uniform(-200, 200), 0), (rng.uniform(1500, 2500), rng.uniform(600, 1000), 0), (rng.uniform(-100, 100), rng.uniform(500, 800), 0)]
        elif kind == 3:  # a bowed front
            l, d = rng.uniform(1500, 2900), rng.uniform(500, 700)
            pts = [(0, 0, rng.uniform(0.02, 0.2)), (l, 0, 0), (l, d, 0), (0, d, 0)]
        else:  # D shape
            rr, l = rng.uniform(300, 600), rng.uniform(400, 1600)
            pts = [(0, 0, 0), (l, 0, 1), (l, 2 * rr, 0), (0, 2 * rr, 0)]
        s = Scene().poly(pts)
        angle = rng.uniform(0, 360)
        s, move = s.moved(angle=angle, at=(rng.uniform(-5e4, 5e4), rng.uniform(-5e4, 5e4)))
        note(s, at=move((200, -2500)))
        if k % 4 == 3:
            s.unit = rng.choice(["in", "cm", "m"])
        area, length = exact(pts)
        hull = shape(pts)
        out.append(Case(f"outline-{k}", s, "honest", Truth([hull]).moved(move), figures=outline_figures(area, length, hull, move), why=f"kind {kind}, unit {s.unit}"))
    for k in range(16):
        s, t = counter(2800, 700, cabinet=False)
        x, y = rng.uniform(200, 1000), rng.uniform(90, 200)
        w, d, r = rng.uniform(400, 900), rng.uniform(250, 400), rng.uniform(10, 90)
        turn = 0 if k % 2 else rng.uniform(-8, 8)
        loop = rounded(-w / 2, -d / 2, w / 2, d / 2, r)
        c = (x + w / 2 + 200, 350)
        q = math.radians(turn)
        loop = [(c[0] + p[0] * math.cos(q) - p[1] * math.sin(q), c[1] + p[0] * math.sin(q) + p[1] * math.cos(q), p[2]) for p in loop]
        s.poly(loop, "SINK")
        hole = (c[0] + rng.uniform(-100, 100), rng.uniform(655, 680))
        s.circle(hole, 17.5, "TAP")
        cut = shape(loop)
        s2, move = s.moved(angle=rng.uniform(0, 360), mirror=bool(k % 3))
        gap = ring(cut).distance(ring(t.outlines[0]))
        rim = min(ring(t.outlines[0]).distance(Point(hole)), ring(cut).distance(Point(hole))) - 17.5
        out.append(Case(f"cutout-{k}", s2, "honest", Truth(t.outlines, [cut, disc(hole, 17.5)]).moved(move), figures=cutout_figures(exact(loop), w, d, r, gap, rim), why=f"sink {turn:.1f} deg"))
    return out, None


def outline_figures(area, length, hull, move):
    box = hull.minimum_rotated_rectangle
    xs = list(box.exterior.coords)
    sides = sorted([math.dist(xs[0], xs[1]), math.dist(xs[1], xs[2])])

    def check(result):
        if len(result["pieces"]) != 1:
            return [f"{len(result['pieces'])} pieces"]
        p = result["pieces"][0]
        out = []
        near(out, "gross_area_mm2", p["gross_area_mm2"], area, 0.5 + area * 1e-8)
        near(out, "perimeter_mm", p["perimeter_mm"], length, 0.01)
        near(out, "mass_kg", p["mass_kg"], area * 30 * 2700e-9, 0.01)
        near(out, "box area", p["length_mm"] * p["width_mm"], sides[0] * sides[1], 60 + sides[1] * 0.02)
        c = move((hull.centroid.x, hull.centroid.y))
        near(out, "centroid", math.dist(p["centroid_mm"], c), 0, 0.05)
        near(out, "sum of edges", sum(e["length_mm"] for e in p["edges"]), length, 0.02)
        return out
    return check


def cutout_figures(loop, w, d, r, gap, rim):
    def check(result):
        out = []
        cuts = {c["kind"]: c for p in result["pieces"] for c in p["cutouts"]}
        if set(cuts) != {"sink", "hole"}:
            return [f"cutouts {sorted(cuts)}"]
        c = cuts["sink"]
        near(out, "cutout area", c["area_mm2"], loop[0], 0.1)
        near(out, "cutout perimeter", c["perimeter_mm"], loop[1], 0.01)
        near(out, "cutout length", c["length_mm"], max(w, d), 0.01)
        near(out, "cutout width", c["width_mm"], min(w, d), 0.01)
        near(out, "min_radius", c["min_radius_mm"], r, 0.01)
        near(out, "diameter", cuts["hole"]["diameter_mm"], 35, 0.01)
        for f in result["flags"]:
            if f["rule"] == "narrow-section":
                near(out, "narrow-section", f["measured"], gap, 0.02)
            if f["rule"] == "hole-spacing":
                near(out, "hole-spacing", f["measured"], rim, 0.02)
            if f.get("witness_mm") and f["rule"] in ("narrow-section", "hole-spacing"):
                near(out, f["rule"] + " witness", math.dist(*f["witness_mm"]), f["measured"], 0.01)
        if gap < 63 and not any(f["rule"] == "narrow-section" for f in result["flags"]):
            out.append(f"strip of {gap:.1f} mm not told")
        if rim < 24.9 and not any(f["rule"] == "hole-spacing" for f in result["flags"]):
            out.append(f"{rim:.1f} mm at the hole not told")
        return out
    return check


def near(out, what, got, want, tolerance):
    if abs(got - want) > tolerance:
        out.append(f"{what} {got:.4f}, wanted {want:.4f} within {tolerance:g}")


CATEGORIES = {"polygons": polygons, "small": small, "curves": curve_cases, "figures": numbers}
