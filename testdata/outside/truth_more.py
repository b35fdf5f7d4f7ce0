"""Truth for odd files, random outlines, and sound templates changed at random."""
import math
import random

from ezdxf.math import BSpline
from shapely.affinity import rotate
from shapely.geometry import LineString, Point, Polygon, box
from shapely.ops import polygonize, unary_union

from truth_base import counter, island, marks, note, vanity
from truth_kit import QUARTER, Case, Scene, Truth, dense, disc, exact, layer, rect, ring, rounded, shape


# --------------------------------------------------------- n. odd files

def odd(seed):
    rng = random.Random(f"n{seed}")
    out = []

    def add(name, s, expect, t=None, why="", **more):
        out.append(Case(name, s, expect, t, why=why, **more))

    base = rect(0, 0, 2400, 640)
    whole = shape(base)
    # the same outline, oddly written: sound
    ways = {
        "closedrepeat": [(0, 0), (2400, 0), (2400, 640), (0, 640), (0, 0)],
        "doubledpoints": [(0, 0), (0, 0), (2400, 0), (2400, 0), (2400, 640), (2400, 640), (0, 640)],
        "collinear": [(0, 0), (300, 0), (301, 0), (1200, 0), (2400, 0), (2400, 300), (2400, 640), (1000, 640), (0, 640), (0, 10)],
        "tinysteps": [(0, 0)] + [(1000 + 0.01 * i, 0) for i in range(50)] + [(2400, 0), (2400, 640), (0, 640)],
        "clockwise": [(0, 640), (2400, 640), (2400, 0), (0, 0)],
        "hairbulge": [(0, 0, 1e-9), (2400, 0, 0), (2400, 640, -1e-8), (0, 640, 0)],
    }
    for name, pts in ways.items():
        s, t = counter(2400, 640)
        s.items[0] = ["poly", "OUTLINE", [tuple(p) + (0,) * (3 - len(p)) for p in pts], True, {}]
        add(f"way-{name}", s, "ready", t, why="the same rectangle, oddly written")
    s, t = counter(2400, 640)
    s.items[0] = ["poly", "OUTLINE", [(x, y, 0) for x, y in [(0, 0), (2400, 0), (2400, 640), (0, 640), (0, 0)]], False, {}]
    add("way-openrepeat", s, "ready", t, why="not flagged closed, ends where it began")
    s, t = counter(2400, 640)
    s.items[0][4]["const_width"] = 5
    add("way-width", s, "stop", rules=["wide-line"], why="an outline drawn as a band of 5 mm: both of its sides could be meant")
    s, t = counter(2400, 640)
    s.arc((1200, 320), 17.5, 0, 360, "CUTOUT")
    add("fullarc", s, "ready", Truth([whole], [disc((1200, 320), 17.5)]), why="a hole as an ARC from 0 to 360")
    for k, r in enumerate([1e4, 1e5, 1e6]):
        h = 640
        b = math.tan(math.asin(2400 / (2 * r)) / 2)
        s, t = counter(2400, 640, cabinet=False)
        pts = [(0, 0, b), (2400, 0, 0), (2400, 640, 0), (0, 640, 0)]
        s.items = [i for i in s.items if i[1] in ("NOTES", "WALL")]
        s.poly(pts)
        add(f"flatarc-{k}", s, "ready", Truth([shape(pts)]), why=f"front of radius {r:g}")
    for k, (version, form) in enumerate([("R12", "asc"), ("R2000", "asc"), ("R2004", "asc"), ("R2007", "asc"), ("R2013", "asc"), ("R2018", "asc"), ("R2000", "bin"), ("R2018", "bin"), ("R12", "bin")]):
        s, t = counter(2400, 640, sink=(800, 120, 1400, 500, 20), taps=[((1100, 565), 17.5)])
        s.version, s.format = version, form
        if version == "R12":
            s.arc((300, 300), 30, 0, 180, "CUTOUT").line((270, 300), (330, 300), "CUTOUT")
            t.cutouts.append(Polygon([(300 + 30 * math.cos(math.pi * i / 300), 300 + 30 * math.sin(math.pi * i / 300)) for i in range(301)]))
        add(f"version-{k}", s, "honest" if version == "R12" else "ready", t, why=f"{version}, {'text' if form == 'asc' else 'binary'}")
    # kinds of entities that may be a sink
    def entity(name, fn, why, expect="stop"):
        s, t = counter(2400, 640)
        s.raw.append(fn)
        add(f"entity-{name}", s, expect, None if expect == "stop" else Truth([whole], [box(900, 150, 1400, 450)]), why=why)

    loop = [(900, 150), (1400, 150), (1400, 450), (900, 450)]
    def hatch(doc, space):
        layer(doc, "SINK")
        h = space.add_hatch(dxfattribs={"layer": "SINK"})
        h.paths.add_polyline_path(loop, is_closed=True)
    entity("hatch", hatch, "a sink drawn as a HATCH only", "honest")
    def solid(doc, space):
        layer(doc, "SINK")
        space.add_solid([loop[0], loop[1], loop[3], loop[2]], dxfattribs={"layer": "SINK"})
    entity("solid", solid, "a sink drawn as a SOLID only", "honest")
    def face(doc, space):
        layer(doc, "SINK")
        space.add_3dface([p + (0,) for p in loop], dxfattribs={"layer": "SINK"})
    entity("3dface", face, "a sink drawn as a 3DFACE only", "honest")
    def mline(doc, space):
        layer(doc, "SINK")
        m = space.add_mline([p + (0,) for p in loop], close=True, dxfattribs={"layer": "SINK"})
    entity("mline", mline, "a sink drawn as an MLINE only", "honest")
    def mesh(doc, space):
        layer(doc, "SINK")
        with space.add_mesh(dxfattribs={"layer": "SINK"}).edit_data() as m:
            m.vertices = [p + (0,) for p in loop]
            m.faces = [[0, 1, 2, 3]]
    entity("mesh", mesh, "a sink drawn as a MESH only", "honest")
    def wipe(doc, space):
        layer(doc, "SINK")
        space.add_polyline3d([p + (0,) for p in loop], close=True, dxfattribs={"layer": "SINK"})
    entity("poly3d", wipe, "a sink drawn as a level 3D polyline", "honest")
    def leader(doc, space):
        layer(doc, "SINK")
        space.add_leader(loop + [loop[0]], dxfattribs={"layer": "SINK"})
    entity("leader", leader, "a sink drawn as a LEADER only", "honest")
    def invisible(doc, space):
        layer(doc, "SINK")
        space.add_lwpolyline(loop, close=True, dxfattribs={"layer": "SINK", "invisible": 1})
    entity("invisible", invisible, "a sink whose entity is invisible", "honest")
    def paper(doc, space):
        layer(doc, "SINK")
        doc.layout("Layout1").add_lwpolyline(loop, close=True, dxfattribs={"layer": "SINK"})
    def xref(doc, space):
        doc.add_xref_def("sink.dxf", "SINKREF")
        layer(doc, "SINK")
        space.add_blockref("SINKREF", (900, 150), dxfattribs={"layer": "SINK"})
    entity("xref", xref, "a sink that lies in another file (XREF)", "stop")
    def lost(doc, space):
        layer(doc, "SINK")
        space.add_blockref("NOWHERE", (900, 150), dxfattribs={"layer": "SINK"})
    entity("noblock", lost, "a sink whose block does not exist", "stop")
    def empty(doc, space):
        layer(doc, "SINK")
        doc.blocks.new("EMPTY")
        space.add_blockref("EMPTY", (900, 150), dxfattribs={"layer": "SINK"})
    entity("emptyblock", empty, "a sink whose block is empty", "stop")
    def offinside(doc, space):
        layer(doc, "SINK")
        layer(doc, "OLD").off()
        b = doc.blocks.new("BOWL")
        b.add_lwpolyline(loop, close=True, dxfattribs={"layer": "OLD"})
        space.add_blockref("BOWL", (0, 0), dxfattribs={"layer": "SINK"})
    entity("blockoff", offinside, "a sink in a block, its curves on a layer that is off", "honest")
    def onoff(doc, space):
        layer(doc, "SINK")
        layer(doc, "OLD").freeze()
        b = doc.blocks.new("BOWL")
        b.add_lwpolyline(loop, close=True, dxfattribs={"layer": "SINK"})
        space.add_blockref("BOWL", (0, 0), dxfattribs={"layer": "OLD"})
    entity("insertfrozen", onoff, "a sink in a block, put in on a frozen layer", "honest")
    # curves
    for k in range(3):
        s, t = counter(2400, 640, cabinet=False)
        fit = [(0, 0, 0), (500, rng.uniform(-60, 60), 0), (1200, rng.uniform(-60, 60), 0), (1800, rng.uniform(-60, 60), 0), (2400, 0, 0)]
        s.items = [i for i in s.items if i[1] == "NOTES"]
        s.lines([(2400, 0), (2400, 640), (0, 640), (0, 0)])
        def fn(doc, space, fit=fit):
            layer(doc, "OUTLINE")
            space.add_spline(fit, dxfattribs={"layer": "OUTLINE"})
        s.raw.append(fn)
        c = Case(f"fitspline-{k}", s, "honest", None, why="a spline with fit points only: passes through them, or is told")
        c.through = [p[:2] for p in fit]
        out.append(c)
    for k in range(3):
        s, t = counter(2400, 640, cabinet=False)
        s.items = [i for i in s.items if i[1] == "NOTES"]
        ctrl = [(0, 0, 0), (800, -120, 0), (1600, 140, 0), (2400, 0, 0)]
        weights = [1, rng.uniform(0.3, 4), rng.uniform(0.3, 4), 1]
        s.lines([(2400, 0), (2400, 640), (0, 640), (0, 0)])
        def fn(doc, space, ctrl=ctrl, weights=weights):
            layer(doc, "OUTLINE")
            space.add_rational_spline(ctrl, weights, degree=3, knots=[0, 0, 0, 0, 1, 1, 1, 1], dxfattribs={"layer": "OUTLINE"})
        s.raw.append(fn)
        b = BSpline(ctrl, order=4, weights=weights, knots=[0, 0, 0, 0, 1, 1, 1, 1])
        pts = [(p.x, p.y) for p in b.approximate(3000)]
        add(f"rational-{k}", s, "ready", Truth([Polygon(pts + [(2400, 640), (0, 640)])], tolerance=0.13), why="rational spline front")
    for k in range(4):  # part of an ellipse as the front
        a, q = 1200, rng.uniform(0.05, 0.3)
        s, t = counter(2400, 640, cabinet=False)
        s.items = [i for i in s.items if i[1] == "NOTES"]
        s.lines([(2400, 0), (2400, 640), (0, 640), (0, 0)])
        s.ellipse((1200, 0), (a, 0), q, "OUTLINE", math.pi, 2 * math.pi)
        pts = [(1200 + a * math.cos(math.pi + math.pi * i / 3000), a * q * math.sin(math.pi + math.pi * i / 3000)) for i in range(3001)]
        add(f"halfellipse-{k}", s, "honest", Truth([Polygon(pts + [(2400, 640), (0, 640)])], tolerance=0.03 + 0.1), why=f"half an ellipse, ratio {q:.2f}")
    for k in range(4):  # a laser's many points with noise
        n = [400, 1500, 4000, 800][k]
        e = [0.02, 0.05, 0.03, 0.08][k]
        pts = []
        per = 2 * (2400 + 640)
        ln = ring(whole)
        for i in range(n):
            p = ln.interpolate(per * i / n)
            pts.append((p.x + rng.uniform(-e, e), p.y + rng.uniform(-e, e)))
        s = note(Scene()).poly(pts)
        add(f"scan-{k}", s, "honest", Truth([Polygon(pts)], tolerance=0.15), why=f"{n} scanned points, {e} mm of noise")
    # nesting and touching
    def nest(name, fn, expect, t, why, **more):
        s, _ = counter(2400, 640, cabinet=False)
        fn(s)
        add(f"nest-{name}", s, expect, t, why=why, **more)
    sink = rounded(800, 120, 1400, 500, 20)
    nest("plug", lambda s: s.poly(sink, "OUTLINE").poly(rounded(900, 200, 1300, 420, 20), "OUTLINE"), "honest",
         Truth([whole, shape(rounded(900, 200, 1300, 420, 20))], [shape(sink)]), "a piece inside the opening of another, all on OUTLINE")
    nest("topinside", lambda s: s.poly(rect(300, 100, 1500, 500), "COUNTER"), "stop", None, "a second top drawn inside the first, on another outline layer")
    nest("same", lambda s: s.poly(base, "CUTOUT"), "stop", None, "a cutout as large as the top")
    nest("larger", lambda s: s.poly(rect(-20, -20, 2420, 660), "CUTOUT"), "stop", None, "a cutout larger than the top")
    nest("onedge", lambda s: s.poly(rounded(800, 0, 1400, 400, 0.0001) and rect(800, 0, 1400, 400), "SINK"), "honest", Truth([whole.difference(box(800, 0, 1400, 400))]), "a sink whose front lies on the front edge")
    nest("touch", lambda s: s.circle((1200, 20), 20, "CUTOUT"), "honest", Truth([whole], [disc((1200, 20), 20)]), "a hole that touches the edge")
    nest("halfhole", lambda s: s.circle((1200, 640), 17.5, "CUTOUT"), "honest", Truth([whole.difference(disc((1200, 640), 17.5))]), "a hole half over the edge")
    nest("loopedge", lambda s: s.lines([(800, 0), (800, 300), (1400, 300), (1400, 0)], "OUTLINE"), "honest", Truth([whole.difference(box(800, 0, 1400, 300))]), "a loop on OUTLINE that shares the front edge: a notch or a second piece, or asked")
    nest("eight", lambda s: s.poly([(3000, 0), (4000, 600), (4000, 0), (3000, 600)], "OUTLINE"), "stop", None, "a bow tie")
    nest("hourglass", lambda s: s.poly([(3000, 0), (4000, 0), (3500, 300), (4000, 600), (3000, 600), (3500, 300)], "OUTLINE"), "stop", None, "an outline that touches itself in a point")
    nest("spike", lambda s: s.items.__setitem__(0, ["poly", "OUTLINE", [(p[0], p[1], 0) for p in [(0, 0), (1000, 0), (1000, -400), (1000, 0), (2400, 0), (2400, 640), (0, 640)]], True, {}]), "honest", Truth([whole]), "a spike of no width in the outline")
    nest("zero", lambda s: s.poly([(900, 300), (1500, 300)], "SINK"), "stop", None, "a sink of two points, closed, without area")
    nest("sinkseam", lambda s: (s.poly(rounded(900, 100, 1500, 500, 20), "SINK"), s.line((1200, 0), (1200, 640), "SEAM")), "honest",
         Truth([box(0, 0, 1200, 640).difference(shape(rounded(900, 100, 1500, 500, 20))), box(1200, 0, 2400, 640).difference(shape(rounded(900, 100, 1500, 500, 20)))]), "a seam through a sink")
    nest("twoloops", lambda s: s.poly(rect(2400, 0, 3400, 640)).poly(rect(2400, 640, 3000, 1200)), "ready", Truth([whole, box(2400, 0, 3400, 640), box(2400, 640, 3000, 1200)]), "three tops that touch along whole edges")
    # names as a bound reference leaves them
    for k, name in enumerate(["KITCHEN|SINK", "KITCHEN$0$SINK", "JOB12$0$CUTOUTS", "REF|COUNTER", "REF$0$COUNTERTOP"]):
        s, t = counter(2400, 640)
        if k < 3:
            s.poly(sink, name)
            add(f"bound-{k}", s, "honest", Truth([whole], [shape(sink)]), why=f"layer {name}")
        else:
            s.poly(rect(0, 1500, 1600, 2100), name)
            add(f"bound-{k}", s, "honest", Truth([whole, box(0, 1500, 1600, 2100)]), why=f"layer {name}")
    # seams of two outlines apart
    for k, (g0, g1) in enumerate([(0, 0), (1.5, 1.5), (2, 2.5), (1, 3), (0, 4), (0, 1.2), (3, 3)]):
        s, t = counter(1500, 640)
        p = [(1500 + g0, 0), (2600, 0), (2600, 640), (1500 + g1, 640)]
        s.poly(p).poly(rect(1500, 30, 2600, 640), "CABINET").line((1500 + g0, 0), (2600, 0), "FINISHED")
        bad = abs(g1 - g0) > 0.81
        add(f"joint-{k}", s, "stop" if bad else "ready", None if bad else Truth([t.outlines[0], Polygon(p)]), why=f"a joint that opens from {g0} to {g1} mm", rules=["seam-mismatch"] if bad else (), figures=mismatch(abs(g1 - g0)))
    # other units of the header
    for k, (code, mm) in enumerate([(14, 100.0), (10, 914.4), (13, 0.001), (21, 1200000 / 3937), (9, 0.0254), (15, 10000.0)]):
        s, t = counter(2400, 640)
        pts = [(p[0] / mm, p[1] / mm) for p in base]
        s.items = []
        def fn(doc, space, pts=pts, code=code):
            doc.header["$INSUNITS"] = code
            layer(doc, "OUTLINE")
            space.add_lwpolyline(pts, close=True, dxfattribs={"layer": "OUTLINE"})
        s.raw.append(fn)
        add(f"unit-{code}", s, "honest", None, why=f"$INSUNITS {code}, {mm:g} mm", figures=length_or_stop(2400))
    return out, through


def mismatch(d):
    def check(result):
        got = [f["measured"] for f in result["flags"] if f["rule"] == "seam-mismatch"]
        return [] if not got or abs(got[0] - d) < 0.02 else [f"seam-mismatch {got}, drawn {d}"]
    return check


def length_or_stop(length):
    def check(result):
        got = [p["length_mm"] for p in result["pieces"]]
        return [] if result["verdict"] != "ready" or (len(got) == 1 and abs(got[0] - length) < 0.02) else [f"READY-but-wrong: lengths {got}, drawn {length}"]
    return check


def through(cases, outcomes):
    out = []
    for c in cases:
        if getattr(c, "through", None) and outcomes[c.name][1]:
            d = max(min(ring(o).distance(Point(p)) for o in outcomes[c.name][1]["outlines"]) for p in c.through)
            if d > 0.12:
                out.append(f"READY-but-wrong: {c.name}: a fit point was left by {d:.2f} mm")
    return out


# ---------------------------------------------------- o. random outlines

def random_outline(rng):
    """A simple outline of runs: sides, equal chords, arcs, corners with radii. Gives points with bulges."""
    for _ in range(200):
        n = rng.randint(4, 9)
        pts = []
        kind = rng.choice(["star", "runs", "rectrun"])
        if kind == "star":
            pts = [(rng.uniform(500, 1100) * math.cos(t), rng.uniform(350, 600) * math.sin(t), rng.choice([0, 0, 0, rng.uniform(-0.15, 0.25)]))
                   for t in sorted(rng.uniform(0, 2 * math.pi) for _ in range(n))]
        else:
            # a closed walk of runs: each run has equal sides and an equal turn; total turn 360
            runs, total = [], 0.0
            while total < 300:
                k = rng.randint(1, 8)
                turn = rng.choice([5, 8, 10, 12, 15, 18, 20, 22.5, 24, 30, 45, 90]) * (1 if rng.random() < 0.9 or total < 90 else -1)
                if total + k * turn > 355 or (turn < 0 and k * turn < -60):
                    continue
                runs.append((k, turn, rng.choice([rng.uniform(15, 60), rng.uniform(60, 250), rng.uniform(200, 600)])))
                total += k * turn
            x = y = h = 0.0
            for k, turn, side in runs:
                for _ in range(k):
                    pts.append((x, y, 0))
                    x, y = x + side * math.cos(h), y + side * math.sin(h)
                    h += math.radians(turn)
            pts.append((x, y, 0))
        try:
            p = shape(pts)
            if p.is_valid and p.area > 200000 and min(edges(pts)) > 12 and p.buffer(-70).area > 0 and p.minimum_rotated_rectangle.area < 3.9e6:
                box_ = list(p.minimum_rotated_rectangle.exterior.coords)
                a, b = sorted([math.dist(box_[0], box_[1]), math.dist(box_[1], box_[2])])
                if a < 1300 and b < 2400:
                    return pts
        except Exception:
            continue
    return rect(0, 0, 2000, 600)


def edges(pts):
    return [math.dist(a[:2], b[:2]) for a, b in zip(pts, pts[1:] + pts[:1])]


def outlines(seed):
    out = []
    for k in range(120):
        rng = random.Random(f"o{seed}.{k}")
        pts = random_outline(rng)
        s = Scene()
        straight = all(p[2] == 0 for p in pts)
        if straight and k % 3 == 1:
            s.lines([p[:2] for p in pts], close=True)
        else:
            s.poly(pts)
        angle = rng.choice([0, rng.uniform(0, 360)])
        if k % 4 == 2 and straight:
            for a, b in zip(pts, pts[1:] + pts[:1]):
                if rng.random() < 0.5:
                    s.line(a[:2], b[:2], "FINISHED")
        s, move = s.moved(angle=angle, mirror=rng.random() < 0.5)
        note(s, at=move((0, -9000)))
        if k % 6 == 5:
            s.unit = "in"
        c = Case(f"outline-{k:03d}", s, "honest", Truth([shape(pts)]).moved(move), why=f"{len(pts)} sides")
        c.truth.tolerance = 2.05 if may_round(pts) else 0.12
        c.corners = ([move(p) for p in pts], 0.106)
        out.append(c)
    return out, left_corners


def may_round(pts):
    """Whether a run of three or more chords lies on a circle with a bulge up to 2 mm and turns of up to 25 degrees, so that an arc is allowed."""
    n = len(pts)
    for i in range(n):
        a, b, c, d = (pts[(i + j) % n][:2] for j in range(4))
        for p, q, r in ((a, b, c),):
            t = turn(p, q, r)
            if 0.05 < abs(t) <= 25.5 and max(math.dist(p, q), math.dist(q, r)) / 2 * math.tan(math.radians(abs(t)) / 4) <= 2.1:
                return True
    return False


def turn(a, b, c):
    t = math.degrees(math.atan2(c[1] - b[1], c[0] - b[0]) - math.atan2(b[1] - a[1], b[0] - a[0]))
    return (t + 180) % 360 - 180


def left_corners(cases, outcomes):
    """No drawn corner is left by more than the facet tolerance."""
    out = []
    for c in cases:
        if getattr(c, "corners", None) and outcomes[c.name][1] and len(outcomes[c.name][1]["outlines"]) == 1:
            o = ring(outcomes[c.name][1]["outlines"][0])
            d = max(o.distance(Point(p)) for p in c.corners[0])
            if d > c.corners[1]:
                out.append(f"READY-but-wrong: {c.name}: a drawn corner was left by {d:.3f} mm")
    return out


# -------------------------------------------- p. sound templates, changed

def mutants(seed):
    """A sound kitchen with one change; the truth follows the change."""
    out = []
    for k in range(120):
        rng = random.Random(f"p{seed}.{k}")
        kind = ["moved-sink", "extra-hole", "lost-line", "half-layer", "shifted-line", "extra-line", "sink-out", "scaled-sink", "two-sinks", "piece-in-gap"][k % 10]
        L, d = rng.randint(1900, 2900), rng.randint(600, 680)
        s, t = counter(L, d)
        outline, cuts = t.outlines[0], []
        x, y, w, h = rng.randint(150, L - 800), rng.randint(70, 130), rng.randint(400, 600), rng.randint(300, 380)
        loop = rounded(x, y, x + w, y + h, rng.choice([12, 20, 50]))
        s.poly(loop, "SINK")
        cuts = [shape(loop)]
        expect = "honest"
        if kind == "moved-sink":
            dx, dy = rng.randint(-300, 300), rng.choice([-400, -200, -100, 200, 260, 400])
            s.items[-1][2] = [(p[0] + dx, p[1] + dy, p[2]) for p in s.items[-1][2]]
            c = shape(s.items[-1][2])
            if outline.contains(c):
                cuts = [c]
            else:
                rest = outline.difference(c)
                cuts = []
                outline = rest if isinstance(rest, Polygon) else outline
                expect = "honest" if isinstance(rest, Polygon) and outline.intersects(c) else "stop"
        elif kind == "extra-hole":
            r = rng.choice([1.5, 3, 5, 17.5, 30, 45])
            p = (rng.uniform(-50, L + 50), rng.uniform(-50, d + 50))
            s.circle(p, r, rng.choice(["CUTOUT", "OUTLINE", "HOLES", "TAP"]))
            c = disc(p, r)
            if outline.contains(c) and not cuts[0].intersects(c):
                cuts.append(c)
            elif not outline.intersects(c):
                expect = "stop"
                if s.items[-1][1] == "OUTLINE":
                    expect = "honest"  # a disc of stone apart may be a piece
                    t.extra = c
            elif cuts[0].contains(c):
                expect = "drain"  # told as stray: only the outer line is cut
            elif cuts[0].intersects(c):
                expect = "tell"
            else:
                rest = outline.difference(c)
                outline = rest if isinstance(rest, Polygon) else outline
        elif kind == "lost-line":
            o = s.items.pop(0)
            sides = list(zip(o[2], o[2][1:] + o[2][:1]))
            gone = rng.randrange(4)
            for i, (a, b) in enumerate(sides):
                if i != gone:
                    s.line(a[:2], b[:2])
            expect = "stop"
        elif kind == "half-layer":
            o = s.items.pop(0)
            sides = list(zip(o[2], o[2][1:] + o[2][:1]))
            gone = rng.randrange(4)
            for i, (a, b) in enumerate(sides):
                s.line(a[:2], b[:2], "OUTLINE" if i != gone else rng.choice(["CUTOUT", "XYZ", "COUNTER", "WALL", "FINISHED EDGE"]))
        elif kind == "shifted-line":
            o = s.items.pop(0)
            sides = list(zip(o[2], o[2][1:] + o[2][:1]))
            gone, by = rng.randrange(4), rng.choice([0.2, 1, 2.5, 4, 10, 30])
            u = [(0, by), (-by, 0), (0, -by), (by, 0)][gone]
            for i, (a, b) in enumerate(sides):
                if i == gone:
                    a, b = (a[0] + u[0], a[1] + u[1]), (b[0] + u[0], b[1] + u[1])
                s.line(a[:2], b[:2])
            corners = [(0, 0), (L, 0), (L, d), (0, d)]
            moved = [(p[0] + (u[0] if i in (gone, (gone + 1) % 4) else 0), p[1] + (u[1] if i in (gone, (gone + 1) % 4) else 0)) for i, p in enumerate(corners)]
            outline = Polygon(moved)
            if by > 3:
                expect = "warnhonest"
        elif kind == "extra-line":
            a = (rng.uniform(0, L), rng.uniform(0, d))
            b = (rng.uniform(0, L), rng.uniform(0, d))
            s.line(a, b, rng.choice(["OUTLINE", "CUTOUT", "COUNTER", "TOP"]))
            through = LineString([a, b])
            crosses = s.items[-1][1] == "CUTOUT" and through.intersects(cuts[0])  # the sink's own middle line
            expect = "honest" if crosses or through.difference(cuts[0]).length < 60 or cuts[0].intersects(Point(a)) or cuts[0].intersects(Point(b)) else "stop"
        elif kind == "sink-out":
            s.items[-1][2] = [(p[0], p[1] + 2000, p[2]) for p in s.items[-1][2]]
            expect = "stop"
        elif kind == "scaled-sink":
            f = rng.choice([0.02, 0.05, 0.1, 2.54, 10, 25.4])
            s.items[-1][2] = [(p[0] * f + 5, p[1] * f + 80, p[2]) for p in s.items[-1][2]]
            c = shape(s.items[-1][2])
            if outline.contains(c):
                cuts = [c]
            else:
                expect = "stop" if f > 2 else "honest"
        elif kind == "two-sinks":
            loop2 = [(p[0] + rng.choice([0.3, 5, 50, 200, 650]), p[1], p[2]) for p in loop]
            dx = loop2[0][0] - loop[0][0]
            loop2 = [(p[0] + dx, p[1], p[2]) for p in loop]
            s.poly(loop2, rng.choice(["SINK", "CUTOUT", "COOKTOP"]))
            c = shape(loop2)
            if not c.intersects(cuts[0]) and outline.contains(c):
                cuts.append(c)
            elif not c.intersects(cuts[0]):
                outline = outline.difference(c)
            elif dx > 1:
                expect = "stop"
            else:
                t.tolerance = 0.5
        elif kind == "piece-in-gap":
            s.poly(rect(x + 30, y + 30, x + w - 30, y + h - 30), "COUNTER")
            t.extra = box(x + 30, y + 30, x + w - 30, y + h - 30)  # stone out of the sink's opening, or asked
        truth = None if expect in ("stop", "tell") else Truth([outline] + ([t.extra] if hasattr(t, "extra") else []), cuts, tolerance=max(t.tolerance, 0.12))
        final = {"tell": "stop", "warnhonest": "honest", "drain": "warn"}.get(expect, expect)
        s2, move = s.moved(angle=rng.choice([0, rng.uniform(0, 360)]), mirror=rng.random() < 0.5)
        out.append(Case(f"{kind}-{k:03d}", s2, final, truth.moved(move) if truth else None, rules=["stray-curve", "cutout-ambiguous"] if expect == "drain" else (), why=f"{kind} on {L} x {d}"))
    return out, None


# ------------------------------------------------------------ t. seams

def seams(seed):
    """Tops cut apart by seams of every kind; the truth is the polygonizer's of GEOS."""
    out = []
    for k in range(60):
        rng = random.Random(f"t{seed}.{k}")
        w, d = rng.randint(2600, 5200), rng.choice([600, 640, 900])
        kind = ["straight", "two", "stepped", "u", "l", "arc", "tee", "sink", "loose", "doubled"][k % 10]
        s = note(Scene(), at=(300, -900))
        pts = rect(0, 0, w, d)
        lines, cuts = [], []
        x = rng.randint(900, 1600)
        if kind == "u":
            w, d = 2600, 1250
            pts = [(0, 0, 0), (w, 0, 0), (w, d, 0), (w - 600, d, 0), (w - 600, 625, -QUARTER), (w - 625, 600, 0), (625, 600, -QUARTER), (600, 625, 0), (600, d, 0), (0, d, 0)]
            y = rng.randint(700, 1000)
            lines = [[(-2, y), (602, y)], [(w - 600, y), (w, y)]] if k % 2 else [[(0, y), (600, y)]]
        elif kind == "l":
            w, d = 2600, 2000
            pts = [(0, 0, 0), (w, 0, 0), (w, 640, 0), (655, 640, -QUARTER), (640, 655, 0), (640, d, 0), (0, d, 0)]
            lines = [[(655, 0), (655, 640)]] if k % 20 < 10 else [[(0, 655), (640, 655)]]
        elif kind == "two":
            lines = [[(x, 0), (x, d)], [(x + 1000, -1), (x + 1000, d + 1)]]
        elif kind == "stepped":
            y = rng.randint(200, d - 200)
            lines = [[(x, 0), (x, y), (x + rng.choice([-60, 25, 40, 150]), y), None]]
            lines[0][3] = (lines[0][2][0], d)
        elif kind == "arc":
            lines = [[(x, 0), (x, d)]]
        elif kind == "tee":
            d = 1250
            pts = rect(0, 0, w, d)
            lines = [[(0, 620), (w, 620)], [(x, 620), (x, d)]]
            if w > 2900:
                lines.append([(1700, 0), (1700, 620)])
        elif kind == "sink":
            lines = [[(x, 0), (x, d)]]
            loop = rounded(x + 250, 100, x + 800, d - 120, 20)
            s.poly(loop, "SINK")
            cuts.append(shape(loop))
        elif kind == "loose":
            lines = [[(x, 0), (x, d)]]
            s.line((x + 400, -500), (x + 400, -100), "SEAM")
        elif kind == "doubled":
            lines = [[(x, 0), (x, d)]]
            s.line((x + rng.choice([0, 0.2, 0.4]), d), (x, 0), "SEAM")
        s.poly(pts) if k % 3 else s.lines([(p[0], p[1]) for p in pts], close=True) if not any(p[2] for p in pts) else s.poly(pts)
        for l in lines:
            if kind == "arc":
                s.poly([(l[0][0], l[0][1], rng.choice([-0.1, 0.1])), (l[1][0], l[1][1], 0)], "SEAM", close=False)
                arc = dense(s.items[-1][2], close=False)
                l[:] = arc
            elif k % 2 or len(l) == 2:
                s.lines(l, "SEAM")
            else:
                s.poly(l, "SEAM", close=False)
        whole = shape(pts)
        cut = unary_union([whole.exterior] + [_longer(l) for l in lines])
        parts = [g for g in polygonize(cut) if whole.contains(g.representative_point()) and g.area > 300]
        s2, move = s.moved(angle=rng.choice([0, rng.uniform(0, 360)]), mirror=rng.random() < 0.5)
        out.append(Case(f"{kind}-{k:02d}", s2, "stop" if kind == "loose" else "honest", None if kind == "loose" else Truth(parts, cuts, tolerance=0.5 if kind == "doubled" else 0.12).moved(move),
                        rules=["stray-seam"] if kind == "loose" else (), silent=[] if kind == "loose" else ["stray-seam", "self-crossing", "drawing-not-kept"], why=f"seam {kind}: {len(parts)} pieces"))
    return out, None


def _longer(l):
    """The seam drawn on by a millimetre at both ends, so that rounding does not keep it off the outline."""
    a, b, c, d = l[0], l[1], l[-2], l[-1]
    u, v = math.dist(a, b), math.dist(c, d)
    return LineString([(a[0] - (b[0] - a[0]) / u, a[1] - (b[1] - a[1]) / u)] + list(l[1:-1]) + [(d[0] + (d[0] - c[0]) / v, d[1] + (d[1] - c[1]) / v)])


CATEGORIES = {"seams": seams, "odd": odd, "outlines": outlines, "mutants": mutants}
