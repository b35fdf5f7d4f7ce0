"""Truth for tops of every shape, written in every way, unit and language: areas, counts and both ways between what is drawn and what is cut.

Areas come from closed forms (kit.exact, pi a b of the ellipse) or from GEOS on curves flattened to 1e-4 mm. Every
5 mm of a drawn cutting curve lies within 0.1 mm of a released one, as ezdxf reads it back, and the other way round.
Every piece fits the built-in slab of 3022 x 1346 mm.
"""
import math
import random

from ezdxf.math import BSpline
from shapely.geometry import LineString, Point, Polygon, box

import truth_kit as kit
from truth_kit import QUARTER, Case, Scene, Truth, disc, exact, rect, rounded, shape

FINE = 1e-4  # mm, largest distance between a curve and its chords where areas are compared
AREA = 0.5  # mm2, how far an area may be from the closed form
CURVE = 0.01  # mm, how far the arcs of an ellipse or spline may run from it (README); an area may differ by that along the curve
NEAR = 0.1  # mm, the facet tolerance: what a released curve may be from the drawn one
STEP = 5.0  # mm between the points that are looked at

# outline, sink, cooktop, hole, cabinet, wall, finished edge, seam: the trade's words of each language
LANGUAGES = (
    ("COUNTER", "SINK", "COOKTOP", "TAP HOLE", "CABINET", "WALL", "FINISHED"), ("Arbeitsplatte", "Spüle", "Kochfeld", "Bohrung", "Unterschrank", "Wand", "poliert"),
    ("plan de travail", "évier", "plaque de cuisson", "perçage", "meuble bas", "mur", "poli"), ("encimera", "fregadero", "placa de cocción", "grifo", "mueble bajo", "pared", "pulido"),
    ("piano di lavoro", "lavello", "piano cottura", "foro", "mobile base", "parete", "lucidato"), ("bancada", "cuba", "cooktop", "furo", "armário", "parede", "polido"),
    ("werkblad", "spoelbak", "kookplaat", "kraangat", "onderkast", "muur", "gepolijst"),
)


def flat(points):
    """A closed bulged polyline as a polygon within FINE."""
    out = []
    for p, q in zip(points, points[1:] + points[:1]):
        out.append(p[:2])
        if p[2]:
            center, r, start, sweep = kit.bulge_arc(p, q, p[2])
            n = max(2, math.ceil(abs(sweep) / (2 * math.acos(1 - FINE / max(r, 2 * FINE)))))
            out += [(center[0] + r * math.cos(start + sweep * i / n), center[1] + r * math.sin(start + sweep * i / n)) for i in range(1, n)]
    return Polygon(out)


class Top:
    """A shape: its drawing on the layer of outlines, its polygon, front, walls and where cutouts may lie."""

    def __init__(self, points, front, walls, zone, lip=30, polygon=None, draw=None, area=None, slack=0.0):
        self.points, self.front, self.walls, self.zone, self.lip = points, front, walls, zone, lip
        self.polygon, self.draw = polygon or flat(points), draw
        self.area = area if area is not None else (exact(points)[0] if points else self.polygon.area)
        self.slack = slack  # mm2 by which arcs through chords may differ from the chords


def straight(rng):
    w, d = rng.randint(1700, 2950), rng.choice([600, 620, 640, 655])
    return Top(rect(0, 0, w, d), [(0, 0, 0), (w, 0, 0)], [((0, d), (w, d))], (250, 100, w - 250, d - 100))


def corner(rng):
    w, b, d, r = rng.randint(2000, 2950), rng.randint(1000, 1330), rng.choice([610, 640]), rng.choice([12, 15, 25])
    pts = [(0, 0, 0), (w, 0, 0), (w, d, 0), (d + r, d, -QUARTER), (d, d + r, 0), (d, b, 0), (0, b, 0)]
    return Top(pts, pts[2:6], [((0, 0), (w, 0)), ((0, 0), (0, b))], (d + 150, 100, w - 250, d - 100))


def u_shape(rng):
    w, arm, d, r = rng.randint(2400, 2950), rng.randint(950, 1330), 620, rng.choice([12, 20])
    pts = [(0, 0, 0), (w, 0, 0), (w, arm, 0), (w - d, arm, 0), (w - d, d + r, -QUARTER), (w - d - r, d, 0), (d + r, d, -QUARTER), (d, d + r, 0), (d, arm, 0), (0, arm, 0)]
    return Top(pts, pts[3:9], [((0, 0), (w, 0)), ((0, 0), (0, arm)), ((w, 0), (w, arm))], (d + 150, 100, w - d - 150, d - 100))


def rounded_island(rng):
    w, d, r = rng.randint(1700, 2600), rng.randint(850, 1100), rng.choice([12, 40, 200])
    pts = rounded(0, 0, w, d, r)
    return Top(pts, pts + pts[:1], [], (350, 150, w - 350, d - 150))


def half_round(rng):
    w, d = rng.randint(1700, 2400), rng.randint(700, 900)
    pts = [(0, 0, 0), (w - d / 2, 0, 1), (w - d / 2, d, 0), (0, d, 0)]
    return Top(pts, pts, [((0, 0), (0, d))], (250, 120, w - d / 2 - 100, d - 120))


def ellipse_island(rng):
    a, ratio = rng.uniform(800, 1300), rng.uniform(0.42, 0.48)
    n = 3600  # 0.0005 mm from the ellipse; its area has a closed form
    ring = [(a * math.cos(2 * math.pi * i / n), a * ratio * math.sin(2 * math.pi * i / n)) for i in range(n)]
    draw = lambda s, lay: s.ellipse((0, 0), (a, 0), ratio, lay)
    return Top(None, draw, [], (-450, -a * ratio + 200, 450, a * ratio - 200), polygon=Polygon(ring), draw=draw, area=math.pi * a * a * ratio, slack=CURVE * 2 * math.pi * a)


def spline_front(rng):
    w, d = rng.randint(1800, 2800), 700
    control = [(0, 0), (w * 0.25, rng.uniform(-90, -20)), (w * 0.5, rng.uniform(-60, 60)), (w * 0.75, rng.uniform(-90, -20)), (w, 0)]
    curve = BSpline([(x, y, 0) for x, y in control], order=4)
    pts = [(p.x, p.y) for p in curve.flattening(FINE)]

    def draw(s, lay):
        s.spline(control, lay).lines([(w, 0), (w, d), (0, d), (0, 0)], lay)
    return Top(None, lambda s, lay: s.spline(control, lay), [((0, d), (w, d))], (250, 150, w - 250, d - 100), polygon=Polygon(pts + [(w, d), (0, d)]), draw=draw, lip=100, slack=CURVE * 1.2 * w)


def chorded(rng):
    w, d, r = rng.randint(1800, 2900), 640, rng.randint(40, 150)
    n = math.ceil(math.pi / 4 / math.acos(1 - 0.08 / r))
    turn = [(w - r + r * math.sin(math.pi / 2 * i / n), r - r * math.cos(math.pi / 2 * i / n), 0) for i in range(n + 1)]
    pts = [(0, 0, 0)] + turn + [(w, d, 0), (0, d, 0)]
    return Top(pts, pts[:-1], [((0, d), (w, d))], (250, 120, w - 350, d - 100), slack=math.pi / 2 * r * 0.1)


def bow(rng):
    w, d, h = rng.randint(1800, 2900), 640, rng.randint(30, 120)
    pts = [(0, 0, 2 * h / w), (w, 0, 0), (w, d, 0), (0, d, 0)]
    return Top(pts, pts[:2], [((0, d), (w, d))], (300, 60, w - 300, d - 100))


def bay(rng):
    n, turn, side = rng.randint(3, 5), rng.choice([10, 14, 18]), rng.uniform(330, 500)
    heading, pts = -turn * (n - 1) / 2, [(0.0, 0.0, 0)]
    for _ in range(n):
        pts.append((pts[-1][0] + side * math.cos(math.radians(heading)), pts[-1][1] + side * math.sin(math.radians(heading)), 0))
        heading += turn
    w = pts[-1][0]
    return Top(pts + [(w, 640, 0), (0, 640, 0)], pts, [((0, 640), (w, 640))], (250, 60, w - 250, 540))


SHAPES = (straight, corner, u_shape, rounded_island, half_round, ellipse_island, spline_front, chorded, bow, bay)


# ---------------------------------------------------------------- the oracle

class Kept(Case):
    """A case whose areas, counts and curves are compared too; areas of the pieces are net of their cutouts."""

    def __init__(self, *a, areas=(), told=0, slack=0.0, **k):
        super().__init__(*a, **k)
        self.areas, self.told, self.slack = sorted(areas), told, slack

    def faults(self, result, released):
        out = super().faults(result, released)
        if result is None or result["verdict"] != "ready" or released is None:
            return out
        got = sorted(p["area_mm2"] for p in result["pieces"])
        if len(got) != len(self.areas):
            out.append(f"READY-but-wrong: {len(got)} pieces, {len(self.areas)} drawn")
        elif off := [f"{g:.2f} against {w:.2f} mm2" for g, w in zip(got, self.areas) if abs(g - w) > AREA + self.slack]:
            out.append(f"READY-but-wrong: areas {off}")
        holes = sum(len(p["cutouts"]) for p in result["pieces"])
        if holes != self.told:
            out.append(f"READY-but-wrong: {holes} cutouts told, {self.told} drawn")
        drawn, cut = self.truth.outlines + self.truth.cutouts, released["outlines"] + released["cutouts"]
        for what, a, b in (("drawn", drawn, cut), ("released", cut, drawn)):
            if (far := farthest(a, b)) > NEAR + 1e-6:
                out.append(f"READY-but-wrong: a {what} curve is {far:.3f} mm from every other")
        return out


def farthest(these, others):
    """The largest distance of points every STEP mm of these boundaries from the nearest of the others."""
    parts = []  # short runs with their boxes, so that a point is only measured against what is near
    for g in others:
        c = list(g.exterior.coords)
        parts += [LineString(c[i:i + 33]) for i in range(0, len(c) - 1, 32)]
    if not parts:
        return math.inf if these else 0.0
    boxes = [p.bounds for p in parts]
    points = []
    for g in these:
        n = max(8, math.ceil(g.exterior.length / STEP))
        points += [g.exterior.interpolate(i / n, normalized=True) for i in range(n)]
        if len(g.exterior.coords) < 200:
            points += [Point(c) for c in g.exterior.coords]
    most = 0.0
    for p in points:
        x, y = p.x, p.y
        near = [q.distance(p) for q, b in zip(parts, boxes) if b[0] - NEAR <= x <= b[2] + NEAR and b[1] - NEAR <= y <= b[3] + NEAR]
        most = max(most, min(near) if near and min(near) <= NEAR else min(q.distance(p) for q in parts))
    return most


# ------------------------------------------------------------- ways to write

class Nested(Scene):
    """Everything in a block within a block: drawn at a tenth, placed at 5 and at 2 times, the placing turned and mirrored."""

    def place(self, angle, mirror, at):
        self.placing = (angle, mirror, at)
        return self

    def save(self, path):
        everything, k = self.items, 1.0 / kit.MM[self.unit]
        inner = [i for i in everything if i[0] != "text"]
        angle, mirror, at = self.placing

        def put(doc, space):
            kept, self.unit = self.unit, "cm"  # writes a tenth
            block = doc.blocks.new("INNER")
            for i in inner:
                self._write(doc, block, i, 0.1)
            self.unit = kept
            doc.blocks.new("OUTER").add_blockref("INNER", (0, 0), dxfattribs={"xscale": 5, "yscale": 5, "zscale": 5})
            space.add_blockref("OUTER", (at[0] * k, at[1] * k), dxfattribs={"xscale": -2 * k if mirror else 2 * k, "yscale": 2 * k, "zscale": 2 * k, "rotation": angle})
        self.items, self.raw = [i for i in everything if i[0] == "text"], [put]
        super().save(path)
        self.items, self.raw = everything, []


def written(rng, top, way, lay):
    s = Nested() if way == "blocks" else Scene()
    if top.draw:
        top.draw(s, lay)
    elif way == "loose":
        for p, q in rng.sample(list(zip(top.points, top.points[1:] + top.points[:1])), len(top.points)):
            if p[2]:
                c, r, start, sweep = kit.bulge_arc(p, q, p[2])
                a, b = math.degrees(start), math.degrees(start + sweep)
                s.arc(c, r, *((a, b) if sweep > 0 else (b, a)), lay)
            else:
                s.line(*((p[:2], q[:2]) if rng.random() < 0.5 else (q[:2], p[:2])), lay)
    else:
        s.poly(top.points, lay, old=way == "old")
    return s


def furnished(rng, top, s, words):
    """Cabinets under all of it, the finished front and the walls."""
    whole = top.polygon.simplify(1.0)
    under = whole.buffer(-top.lip, join_style=2)
    for a, b in top.walls:  # up to the wall
        under = under.union(LineString([a, b]).buffer(top.lip + 1, cap_style=2).intersection(whole))
    under = under.buffer(0.01, join_style=2).buffer(-0.01, join_style=2)
    s.poly([(x, y) for x, y in under.simplify(0.5).exterior.coords[:-1]], words[4])
    for a, b in top.walls:
        s.line(a, b, words[5])
    if callable(top.front):
        top.front(s, words[6])
    else:
        s.poly(top.front, words[6], close=False)
    return s


def features(rng, top, s, words, kind):
    """Cutouts of the kind within the zone: polygons and their areas."""
    x0, y0, x1, y1 = top.zone
    cuts, areas = [], []

    def circle(c, r):
        s.circle(c, r, words[3])
        cuts.append(disc(c, r))
        areas.append(math.pi * r * r)

    def loop(lay, pts):
        s.poly(pts, lay)
        cuts.append(shape(pts))
        areas.append(exact(pts)[0])
    w, h = x1 - x0, y1 - y0
    if kind == "holes":
        for i in range(rng.randint(1, 3)):
            circle((x0 + 60 + 180 * i, (y0 + y1) / 2), rng.choice([3, 4, 6, 17.5, 30]))
    elif kind == "sink":
        sw, sh = min(w, rng.randint(420, 620)), min(h, rng.randint(320, 400))
        loop(words[1], rounded(x0, y0, x0 + sw, y0 + sh, rng.choice([12, 30, 60])))
    elif kind == "hob":
        loop(words[2], rounded(x0, y0, x0 + min(w, 560), y0 + min(h, 430), 12))
    elif kind == "basin":
        a, ratio = min(230, w / 2), rng.uniform(0.7, 0.8)
        a = min(a, h / 2 / ratio)
        c = (x0 + a, (y0 + y1) / 2)
        s.ellipse(c, (a, 0), ratio, words[1])
        cuts.append(Polygon([(c[0] + a * math.cos(math.pi * i / 500), c[1] + a * ratio * math.sin(math.pi * i / 500)) for i in range(1000)]))
        areas.append(math.pi * a * a * ratio)
    return cuts, areas


def hunt(seed):
    out = []
    for k in range(240):
        rng = random.Random(f"hunt{seed}.{k}")
        make = SHAPES[k % len(SHAPES)]
        top, words = make(rng), LANGUAGES[rng.randrange(len(LANGUAGES))]
        way = ("poly", "loose", "blocks", "old")[rng.randrange(4)]
        kind = ("none", "holes", "sink", "hob", "basin", "apron", "seam", "mitre", "step", "border", "text")[rng.randrange(11)]
        s = furnished(rng, top, written(rng, top, way, words[0]), words)
        cuts, areas = features(rng, top, s, words, kind)
        label, told = "", len(cuts)
        outlines, net = [top.polygon], [top.area - sum(areas)]
        expect = "ready"
        if kind == "apron" and make is straight:
            mouth = rounded(700, -60, 1400, 460, 15)
            s.poly(mouth, words[1])
            outlines = [top.polygon.difference(flat(mouth))]
            net, told = [outlines[0].area], 1  # the sink is told as one that opens the edge
        elif kind in ("seam", "step", "mitre") and make in (straight, corner):
            cut, expect = seam(rng, top, make, kind, s)
            outlines = [g for g in (top.polygon.intersection(cut), top.polygon.difference(cut))]
            net = [g.area for g in outlines]
        elif kind == "border":
            b = top.polygon.bounds
            s.poly(rect(b[0] - 300, b[1] - 900, b[2] + 300, b[3] + 300), "BORDER")
        elif kind == "text":
            label = rng.choice(["ISLAND", "Nr. 4", "kitchen left"])
        t = Truth(outlines, cuts)
        angle, mirror = rng.choice([0, 90, rng.uniform(0, 360), rng.uniform(0, 360)]), rng.random() < 0.4
        far = rng.random() < 0.2
        at = (rng.uniform(-3e6, 3e6), rng.uniform(-3e6, 3e6)) if far else (rng.uniform(-900, 900), rng.uniform(-900, 900))
        move = kit.Move(angle, mirror, at)
        if way == "blocks":
            s.place(angle, mirror, at)
        else:
            s, move = s.moved(angle, mirror, at)
        s.text("GRANITE 30 MM", move((900, -900)), height=40)  # readable, also beside a mirrored block
        if label:
            s.text(label, move(top.polygon.representative_point().coords[0]), layer="TEXT", height=40)
        s.unit = rng.choice(["mm", "mm", "cm", "m", "in", "ft"])
        out.append(Kept(f"{make.__name__}-{kind}-{k}", s, expect, t.moved(move), areas=net, told=told, slack=top.slack + (CURVE * cuts[0].length if kind == "basin" else 0),
                        why=f"{way}, {s.unit}, {words[0]}, turned {angle:.1f}{', mirrored' if mirror else ''}{', far out' if far else ''}"))
    return out, None


def seam(rng, top, make, kind, s):
    """Draws a seam; what lies on one side of it, and what may come of it."""
    if make is corner and kind == "mitre":
        p, q = top.points[3], top.points[4]
        r = p[0] - q[0]  # the fillet's centre is (p.x, q.y)
        tip = (p[0] - r / math.sqrt(2), q[1] - r / math.sqrt(2))
        s.line((0, 0), tip, "SEAM")
        return Polygon([(0, 0), (5000, 5000), (5000, -100), (-100, -100)]), "honest"  # two sharp points: asked about
    if make is corner:
        x = top.points[3][0] + 1
        s.line((x, 0), (x, top.points[2][1]), "SEAM")
        return box(x, -100, 5000, 5000), "ready"
    w, d = top.points[2][:2]
    x = round(w / 2)
    if kind == "step":
        s.poly([(x, 0), (x, d / 2), (x + 60, d / 2), (x + 60, d)], "SEAM", close=False)
        return Polygon([(-9, -9), (x, -9), (x, d / 2), (x + 60, d / 2), (x + 60, d + 9), (-9, d + 9)]), "honest"  # sharp inside corners
    s.line((x, 0), (x, d), "SEAM")
    return box(-9, -9, x, d + 9), "ready"


CATEGORIES = {"hunt": hunt}
