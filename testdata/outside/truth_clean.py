"""Sound kitchens, islands and vanities: READY, cut as drawn, hardly a warning."""
import math
import random

from shapely.geometry import box

from truth_base import counter, island, marks, note, vanity
from truth_kit import QUARTER, Case, Scene, Truth, disc, rect, rounded, shape


def l_kitchen(rng):
    a, b, d = rng.randint(1900, 2900), rng.randint(1600, 2500), rng.choice([610, 640, 650])
    r = rng.choice([12, 15, 20])
    s = note(Scene(), at=(900, -600))
    pts = [(0, 0, 0), (a, 0, 0), (a, d, 0), (d + r, d, -QUARTER), (d, d + r, 0), (d, b, 0), (0, b, 0)]
    s.poly(pts)
    f = 30
    s.poly([(0, 0), (a, 0), (a, d - f), (d - f, d - f), (d - f, b), (0, b)], "BASE CABINETS")
    marks(s, front=[((a, d), (d + r, d)), ((d, d + r), (d, b)), ((a, 0), (a, d))], wall=[((0, 0), (a, 0)), ((0, 0), (0, b)), ((0, b), (d, b))])
    s.arc((d + r, d + r), r, 180, 270, "FINISHED")
    x = rng.randint(d + 500, a - 700)
    sink = rounded(x, 110, x + 560, d - 90, 20)
    s.poly(sink, "SINK").circle((x + 280, 60), 17.5, "TAP HOLE")
    s.line((d + r, d), (d + r, 0), "SEAM")
    whole = shape(pts)
    t = Truth([whole], [shape(sink), disc((x + 280, 60), 17.5)])
    right = box(d + r, 0, a, d)  # the seam stands at the end of the fillet, which stays whole
    t.outlines = [whole.difference(right), right]
    return s, t


def two_runs(rng):
    L = rng.randint(3200, 4800)
    d = rng.choice([600, 620, 640])
    x = rng.choice([1500, 1600]) if L < 4200 else 2000
    s = note(Scene(), at=(900, -600))
    s.poly(rect(0, 0, L, d)).line((x, 0), (x, d), "SEAM").poly(rect(0, 25, L, d), "CABINETS")
    marks(s, front=[((0, 0), (L, 0))], wall=[((0, d), (L, d)), ((0, 0), (0, d))])
    hob = rounded(x + 600, 70, x + 1160, d - 70, 12)
    s.poly(hob, "COOKTOP")
    return s, Truth([box(0, 0, x, d), box(x, 0, L, d)], [shape(hob)])


def dishwasher(rng):
    s, t = counter(2700, 640, sink=(300, 100, 860, 500, 25), taps=[((580, 560), 17.5)], lip=38)
    x = rng.randint(1000, 1300)
    s.poly(rect(x, 38, x + 600, 640), "DISHWASHER")
    return s, t


def peninsula(rng):
    w, d = rng.randint(1600, 2500), rng.randint(760, 920)
    r = rng.choice([30, 50, 80])
    s = note(Scene(), at=(500, -600))
    pts = [(0, 0, 0), (w - r, 0, QUARTER), (w, r, 0), (w, d - r, QUARTER), (w - r, d, 0), (0, d, 0)]
    s.poly(pts).poly(rect(0, 30, w - 30, d - 200), "CABINET")
    s.poly([p for p in pts], "FINISHED", close=False)
    s.line((0, 0), (0, d), "WALL")
    return s, Truth([shape(pts)])


def splash_kitchen(rng):
    L = rng.randint(1500, 2700)
    s, t = counter(L, 640)
    s.poly(rect(0, 1000, L, 1100), "BACKSPLASH")
    s.line((0, 1100), (L, 1100), "FINISHED")
    return s, Truth(t.outlines + [box(0, 1000, L, 1100)])


def facet_kitchen(rng):
    r = rng.randint(30, 120)
    n = math.ceil(math.pi / 4 / math.acos(1 - 0.1 / r))
    s, t = counter(2300, 640, sink=(500, 100, 1060, 500, 30))
    pts = [(0, 0)] + [(2300 - r + r * math.sin(math.pi / 2 * i / n), r - r * math.cos(math.pi / 2 * i / n)) for i in range(n + 1)] + [(2300, 640), (0, 640)]
    s.items[0] = ["poly", "OUTLINE", [(p[0], p[1], 0) for p in pts], True, {}]
    s.items = [i for i in s.items if i[1] not in ("FINISHED", "CABINET")]
    s.poly(rect(0, 30, 2240, 640), "CABINET")
    s.poly(pts[:-1], "FINISHED", close=False)
    arc = [(0, 0, 0), (2300 - r, 0, QUARTER), (2300, r, 0), (2300, 640, 0), (0, 640, 0)]
    return s, Truth([shape(arc)], t.cutouts)


def lines_kitchen(rng):
    s, t = counter(rng.randint(1800, 2900), 640, sink=(500, 100, 1060, 500, 30), taps=[((780, 565), 17.5)])
    o = s.items.pop(0)
    p = [(q[0], q[1]) for q in o[2]]
    e = lambda: rng.uniform(-0.15, 0.15)
    for a, b in zip(p, p[1:] + p[:1]):
        s.line((a[0] + e(), a[1] + e()), (b[0] + e(), b[1] + e()))
    t.tolerance = 0.5
    return s, t


def vanity_double(rng):
    L = rng.randint(1500, 1900)
    s, t = counter(L, 570, lip=20)
    cuts = []
    for x in (L * 0.25, L * 0.75):
        s.ellipse((x, 270), (210, 0), 0.78, "BASIN")
        cuts.append(shape([(x + 210 * math.cos(a), 270 + 210 * 0.78 * math.sin(a)) for a in [2 * math.pi * i / 900 for i in range(900)]]))
        s.circle((x, 500), 17.5, "FAUCET")
        cuts.append(disc((x, 500), 17.5))
    return s, Truth(t.outlines, cuts, tolerance=0.12)


def island_sink(rng):
    s, t = island(rng.randint(1900, 2800), rng.randint(850, 1000), radius=rng.choice([10, 25, 60]))
    loop = rounded(700, 180, 1160, 560, 25)
    s.poly(loop, "PREP SINK")
    return s, Truth(t.outlines, [shape(loop)])


def u_kitchen(rng):
    w, d, arm = rng.randint(2300, 2900), 620, rng.randint(900, 1250)
    s = note(Scene(), at=(900, -600))
    q, r = -QUARTER, 15
    pts = [(0, 0, 0), (w, 0, 0), (w, arm, 0), (w - d, arm, 0), (w - d, d + r, q), (w - d - r, d, 0), (d + r, d, q), (d, d + r, 0), (d, arm, 0), (0, arm, 0)]
    s.poly(pts)
    f = 30
    s.poly([(0, 0), (w, 0), (w, arm), (w - d + f, arm), (w - d + f, d - f), (d - f, d - f), (d - f, arm), (0, arm)], "BASE")
    marks(s, front=[((w - d, arm), (w - d, d + r)), ((w - d - r, d), (d + r, d)), ((d, d + r), (d, arm))], wall=[((0, 0), (w, 0)), ((0, 0), (0, arm)), ((w, 0), (w, arm))])
    s.arc((w - d - r, d + r), r, 270, 360, "FINISHED").arc((d + r, d + r), r, 180, 270, "FINISHED")
    return s, Truth([shape(pts)])


MAKERS = [l_kitchen, two_runs, dishwasher, peninsula, splash_kitchen, facet_kitchen, lines_kitchen, vanity_double, island_sink, u_kitchen,
          lambda rng: vanity(rng.randint(800, 1500), rng.randint(545, 590)), lambda rng: counter(rng.randint(1200, 2900), rng.choice([600, 635, 650]), hob=(400, 70, 960, 530, 12))]


def clean(seed):
    out = []
    for k in range(36):
        rng = random.Random(f"l{seed}.{k}")
        make = MAKERS[k % len(MAKERS)]
        s, t = make(rng)
        if k >= 12:
            s, move = s.moved(angle=rng.choice([0, 90, 13.7, rng.uniform(0, 360)]), mirror=rng.random() < 0.5, at=(rng.uniform(-9000, 9000), rng.uniform(-9000, 9000)))
            t = t.moved(move)
        if k % 5 == 3:
            s.unit = "in"
        out.append(Case(f"{getattr(make, '__name__', 'made').strip('<>')}-{k}", s, "ready", t))
    return out, warnings


def warnings(cases, outcomes):
    got = [f["rule"] for c in cases for f in outcomes[c.name][0]["flags"] if f["severity"] == "warn"]
    if len(got) > len(cases):
        tops = sorted({r: got.count(r) for r in got}.items(), key=lambda t: -t[1])[:4]
        return [f"{len(got)} warnings on {len(cases)} clean templates: {tops}"]
    return []


CATEGORIES = {"clean": clean}
