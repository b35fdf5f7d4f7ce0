"""Truth for what carries the stone: spans and overhangs by closed forms of the drawn rectangles."""
import math
import random

from shapely.affinity import rotate, translate
from shapely.geometry import LineString, Point, Polygon, box
from shapely.ops import unary_union

from truth_base import counter, marks, note
from truth_kit import Case, Scene, Truth, rect, rounded, shape

SPAN, CANTILEVER, GRACE = 914.0, 254.0, 0.5  # 3 cm: Dimension Stone Design Manual 8.0 (2016), ch. 17
RULES = ["unsupported-span", "overhang", "overhang-share"]


def turned(s, t, rng, on=True):
    if not on:
        return s, t
    out, move = s.moved(angle=rng.uniform(0, 360), mirror=rng.random() < 0.5, at=(rng.uniform(-3000, 3000), rng.uniform(-3000, 3000)))
    return out, t.moved(move) if t else None


def measured(rule, want, tolerance=1.0):
    def check(result):
        got = [f["measured"] for f in result["flags"] if f["rule"] == rule]
        return [] if not got or any(abs(g - want) <= tolerance for g in got) else [f"{rule} measured {got}, wanted {want:.1f}"]
    return check


def support(seed):
    rng = random.Random(f"h{seed}")
    out = []

    def add(name, s, t, bad, rules=RULES, figures=None, why="", turn=True, silent=None):
        s, t = turned(s, t, rng, turn)
        out.append(Case(name, s, "stop" if bad else "ready", None if bad else t, rules=rules if bad else (), silent=(RULES if silent is None else silent) if not bad else (), figures=figures, why=why))

    for k, lip in enumerate([20, 38, 120, 180, 205, 220, 240, 253, 256, 300, 400]):
        depth = [640, 900][k % 2]
        s, t = counter(2000, depth, lip=lip)
        bad = lip > CANTILEVER + GRACE or lip / depth > 1 / 3 + 0.001
        add(f"lip-{k:02d}", s, t, bad, figures=measured("overhang", lip), why=f"front overhang of {lip} mm on {depth}")
    for k, gap in enumerate([100, 500, 800, 900, 912, 917, 1000, 1300]):
        s, t = counter(1200 + gap, 640, cabinet=False)
        s.poly(rect(0, 20, 600, 640), "CABINET").poly(rect(600 + gap, 20, 1200 + gap, 640), "CABINET")
        add(f"gap-{k}", s, t, gap > SPAN + GRACE, figures=measured("unsupported-span", gap), why=f"{gap} mm between two cabinets")
    for k, gap in enumerate([450, 600, 610, 900, 950, 1200]):
        s, t = counter(2400, 640, lip=38)
        s.poly(rect(700, 38, 700 + gap, 640), "DISHWASHER")
        add(f"dishwasher-{k}", s, t, gap > SPAN + GRACE, why=f"opening of {gap} mm with a lip of 38")
    for k, (w, d) in enumerate([(700, 700), (900, 700), (950, 950), (800, 600), (1030, 800), (1400, 800), (1800, 900), (1050, 1050), (600, 500), (1000, 400)]):
        leg = 60
        s = note(Scene(), at=(300, -500)).poly(rect(0, 0, w, d))
        for x in (0, w - leg):
            for y in (0, d - leg):
                s.poly(rect(x, y, x + leg, y + leg), "LEG")
        clear = max(w, d) - 2 * leg
        add(f"legs-{k}", s, Truth([box(0, 0, w, d)]), clear > SPAN + GRACE, figures=measured("unsupported-span", clear, 3), why=f"table {w} x {d} on legs of {leg} at its corners, {clear} mm clear")
    for k, (w, d) in enumerate([(1500, 750), (1800, 800), (1900, 900), (1300, 600)]):  # six legs: corners and middles of the long sides
        leg = 60
        s = note(Scene(), at=(300, -500)).poly(rect(0, 0, w, d))
        for x in (0, w / 2 - leg / 2, w - leg):
            for y in (0, d - leg):
                s.poly(rect(x, y, x + leg, y + leg), "LEG")
        add(f"six-{k}", s, Truth([box(0, 0, w, d)]), False, why=f"table {w} x {d} on six legs, {w / 2 - 1.5 * leg:.0f} mm clear")
    for k, (w, d) in enumerate([(1200, 700), (2000, 900), (1800, 1100), (2400, 1300)]):  # rails along the long sides
        s = note(Scene(), at=(300, -500)).poly(rect(0, 0, w, d))
        s.line((0, 40), (w, 40), "SUPPORT").line((0, d - 40), (w, d - 40), "SUPPORT")
        clear = d - 160
        add(f"rails-{k}", s, Truth([box(0, 0, w, d)]), clear > SPAN + GRACE, figures=measured("unsupported-span", clear), why=f"rails 40 mm in from both long sides, {clear} mm clear")
    for k in range(4):  # a frame of rails on legs
        w, d = [(1400, 700), (1700, 800), (800, 1400), (1500, 850)][k]
        s = note(Scene(), at=(300, -500)).poly(rect(0, 0, w, d))
        for a, b in zip(rect(40, 40, w - 40, d - 40), rect(40, 40, w - 40, d - 40)[1:] + rect(40, 40, w - 40, d - 40)[:1]):
            s.line(a[:2], b[:2], "SUPPORT RAIL")
        add(f"frame-{k}", s, Truth([box(0, 0, w, d)]), False, why=f"rails all round {w} x {d}")
    for k in range(4):  # cabinets as lines
        s, t = counter(2400, 640, cabinet=False)
        s.lines([(0, 30), (2400, 30), (2400, 640), (0, 640)], "CABINET", close=True)
        add(f"lines-{k}", s, t, False, why="cabinet as four lines")
    for k in range(4):  # a cabinet as its front line, the wall behind
        s, t = counter([2400, 1800, 3000, 1200][k], 640, cabinet=False)
        s.line((0, 30), ([2400, 1800, 3000, 1200][k], 30), "CABINET")
        add(f"frontline-{k}", s, t, False, why="cabinet drawn as its front line, wall along the back")
    for k in range(6):  # one end hangs
        free = [100, 200, 240, 260, 400, 700][k]
        s, t = counter(2400, 640, cabinet=False)
        s.poly(rect(0, 20, 2400 - free, 640), "CABINET")
        add(f"end-{k}", s, t, free > CANTILEVER + GRACE, figures=measured("overhang", free), why=f"the end hangs free by {free} mm")
    for k in range(5):  # nothing at all under a bar
        s, t = counter(2400, 640)
        s.poly(rect(2600, 0, 4200, 500))
        add(f"bare-{k}", s, None, True, rules=RULES + ["unsupported-top"], why="a second top lies over nothing while the first has cabinets")
    for k in range(12):  # seams over a gap, at many angles
        gap = [150, 300, 90, 40, 600, 200][k % 6]
        lean = [0, 60, -200, 500, 0, 120][k % 6]
        s, t = counter(3000, 640, cabinet=False)
        x = 1500
        s.poly(rect(0, 20, x - gap / 2 - abs(lean) * 0.5, 640), "CABINET").poly(rect(x + gap / 2 + abs(lean) * 0.5, 20, 3000, 640), "CABINET")
        s.line((x - lean / 2, 0), (x + lean / 2, 640), "SEAM")
        out_s, _ = turned(s, None, rng)
        out.append(Case(f"seamgap-{k:02d}", out_s, "stop", None, rules=["seam-unsupported"], why=f"seam leaning {lean} over a gap of {gap + abs(lean)} mm"))
    for k in range(6):  # seams well carried
        s, t = counter(3000, 640, cabinet=False)
        g = [0, 3, 6, 9, 0, 2][k]
        s.poly(rect(0, 20, 1500 - g / 2, 640), "CABINET").poly(rect(1500 + g / 2, 20, 3000, 640), "CABINET")
        x = [1500, 1500, 1502, 1500, 1700, 1300][k]
        s.line((x, 0), (x, 640), "SEAM")
        left, right = box(0, 0, x, 640), box(x, 0, 3000, 640)
        add(f"seamok-{k}", s, Truth([left, right]), False, silent=["seam-unsupported"] + RULES, why=f"seam over cabinets {g} mm apart")
    for k in range(4):  # a mitre in a corner with nothing under it
        s = note(Scene(), at=(900, -600))
        a = [640, 640, 700, 600][k]
        pts = [(0, 0, 0), (2400, 0, 0), (2400, a, 0), (a + 15, a, -math.tan(math.pi / 8)), (a, a + 15, 0), (a, 2200, 0), (0, 2200, 0)]
        s.poly(pts)
        s.poly(rect(a + 20, 0, 2400, a - 30), "CABINET").poly(rect(0, a + 20, a - 30, 2200), "CABINET")
        s.line((0, 0), (a, a), "SEAM")
        out_s, _ = turned(s, None, rng)
        out.append(Case(f"mitre-{k}", out_s, "stop", None, rules=["seam-unsupported"], why=f"mitre of {a * math.sqrt(2):.0f} mm over an empty corner"))
    return out, None



# -------------------------------------------- statics: what must not be READY

def statics(seed):
    """Random supports. Stone that reaches past the convex hull of what carries it by more than the longest overhang hangs;
    a piece whose centre of mass lies outside that hull tips (statics of rigid bodies); a point farther from every support
    than two half spans and an overhang is carried by nothing. Each is a stop, whatever the path."""
    out = []
    for k in range(90):
        rng = random.Random(f"q{seed}.{k}")
        w, d = rng.randint(900, 2800), rng.randint(500, 1250)
        top = box(0, 0, w, d)
        s = note(Scene(), at=(300, -1500))
        pts = rect(0, 0, w, d)
        if k % 4 == 1:
            a, b = rng.randint(300, w - 300), rng.randint(200, d - 200)
            pts = [(0, 0, 0), (w, 0, 0), (w, b, 0), (a + 15, b, -math.tan(math.pi / 8)), (a, b + 15, 0), (a, d, 0), (0, d, 0)]
        top = shape(pts)
        s.poly(pts)
        stone = top
        if k % 3 == 0:
            x, y = rng.randint(100, w - 500), rng.randint(80, max(81, d - 480))
            loop = rounded(x, y, x + 380, y + 380, 20)
            if top.buffer(-60).contains(shape(loop)):
                s.poly(loop, "SINK")
                stone = top.difference(shape(loop))
        bearing = []
        for _ in range(rng.randint(1, 4)):
            kind = rng.choice(["cabinet", "cabinet", "leg", "line"])
            x, y = rng.uniform(-100, w), rng.uniform(-100, d)
            if kind == "cabinet":
                p = rotate(box(x, y, x + rng.uniform(200, 1200), y + rng.uniform(300, 640)), rng.choice([0, 0, 0, 20, 45]), origin=(x, y))
                s.poly(list(p.exterior.coords)[:-1], "CABINET")
            elif kind == "leg":
                p = box(x, y, x + 70, y + 70)
                s.poly(rect(x, y, x + 70, y + 70), "LEG")
            else:
                q = (x + rng.uniform(-800, 800), y + rng.uniform(-800, 800))
                s.line((x, y), q, "BRACKET")
                p = LineString([(x, y), q]).buffer(40.0, cap_style=1)
            bearing.append(p)
        carried = unary_union(bearing).intersection(stone)
        if carried.is_empty or carried.area < 4000:
            continue
        hull = carried.convex_hull
        hangs = max(hull.distance(Point(p)) for p in _sample(stone))
        lost = max(carried.distance(Point(p)) for p in _sample(stone))
        tips = hull.distance(stone.centroid)
        why = f"reaches {hangs:.0f} mm past the hull of its supports, centre {tips:.0f} mm outside it, {lost:.0f} mm from any"
        if hangs > CANTILEVER + 3 or tips > 5 or lost > SPAN + CANTILEVER + 5:
            s, _ = turned(s, None, rng)
            out.append(Case(f"statics-{k:02d}", s, "stop", None, rules=RULES, why=why))
    for k in range(40):  # legs at some of the corners and along the sides
        rng = random.Random(f"s{seed}.{k}")
        w, d, leg = rng.randint(700, 2000), rng.randint(500, 1000), 60
        spots = [(0, 0), (w - leg, 0), (0, d - leg), (w - leg, d - leg), (w / 2 - 30, 0), (w / 2 - 30, d - leg), (w / 2 - 30, d / 2 - 30), (0, d / 2 - 30), (w - leg, d / 2 - 30)]
        legs = [box(x, y, x + leg, y + leg) for x, y in rng.sample(spots, rng.randint(2, 6))]
        s = note(Scene(), at=(300, -1500)).poly(rect(0, 0, w, d))
        for p in legs:
            s.poly([(q[0], q[1], 0) for q in list(p.exterior.coords)[:-1]], "LEG")
        hull = unary_union(legs).convex_hull
        hangs = max(hull.distance(Point(p)) for p in ((0, 0), (w, 0), (w, d), (0, d)))
        tips = hull.distance(Point(w / 2, d / 2))
        clear = min(a.distance(b) for i, a in enumerate(legs) for b in legs[i + 1:])
        if hangs > CANTILEVER + 3 or tips > 5 or clear > SPAN + 3:
            s, _ = turned(s, None, rng)
            out.append(Case(f"legs-{k:02d}", s, "stop", None, rules=RULES, why=f"{len(legs)} legs under {w} x {d}: a corner {hangs:.0f} mm outside, centre {tips:.0f} mm, the nearest two legs {clear:.0f} mm apart"))
    for k in range(60):  # seams over random cabinets
        rng = random.Random(f"r{seed}.{k}")
        w, d = 2800, rng.choice([600, 640, 900])
        s = note(Scene(), at=(300, -1500)).poly(rect(0, 0, w, d))
        lean = rng.choice([0, 0, rng.uniform(-400, 400)])
        x = rng.uniform(1000, 1800)
        seam = LineString([(x - lean / 2, 0), (x + lean / 2, d)])
        s.line(*[tuple(p) for p in seam.coords], "SEAM")
        cuts, at = [], 0.0
        lip = rng.choice([0, 20, 38, 45])
        while at < w:
            width = rng.choice([300, 400, 500, 600, 800])
            cuts.append(box(at, lip, min(w, at + width), d))
            at += width + rng.choice([0, 0, 0, 3, 8, 25, 60, 150, 300, 600])
        opening = None
        for c in cuts:
            s.poly([(p[0], p[1], 0) for p in list(c.exterior.coords)[:-1]], "CABINET")
        carrying = unary_union(cuts).buffer(4.99, join_style=2).buffer(-4.99, join_style=2)  # a joint of less than 10 mm between cabinets carries
        if k % 3 == 0:
            o = rng.uniform(600, 1900)
            opening = box(o, lip, o + 600, d)
            s.poly(rect(o, lip, o + 600, d), "DISHWASHER")
            carrying = carrying.difference(opening)
        bare = seam.difference(carrying.buffer(3.2))
        parts = [g for g in getattr(bare, "geoms", [bare]) if not g.is_empty]
        worst = max([g.length - (50.5 * seam.length / d if min(p[1] for p in g.coords) < 1 and not (opening and opening.buffer(lip + 1).intersects(g)) else 0) for g in parts] or [0])
        s, _ = turned(s, None, rng)
        if worst > 14:
            out.append(Case(f"bareseam-{k:02d}", s, "stop", None, rules=["seam-unsupported"], why=f"seam over nothing for {worst:.0f} mm"))
        elif worst <= 0 and not parts:
            out.append(Case(f"heldseam-{k:02d}", s, "honest", None, silent=["seam-unsupported"], why="seam over cabinets along its whole length"))
    return out, None


def _sample(stone):
    """Corners and a grid of 40 mm: points of stone."""
    x0, y0, x1, y1 = stone.bounds
    pts = [p for p in stone.exterior.coords]
    for i in range(int((x1 - x0) / 40) + 1):
        for j in range(int((y1 - y0) / 40) + 1):
            p = (x0 + 40 * i, y0 + 40 * j)
            if stone.contains(Point(p)):
                pts.append(p)
    return pts


CATEGORIES = {"support": support, "statics": statics}
