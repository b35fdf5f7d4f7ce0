"""Tops that hang and tops that do not, told by brute force.

usage: support_check.py TRUEUP DIR [TOPS] [SEED]

Draws random tops (runs with gaps of 1 to 900 mm, L and U, islands, bowed fronts, round
tables, legs, rails, dishwashers, corbels, cleats), and looks at a grid of points of
each in hundreds of directions, by the letter of the support rule and with nothing of
the program's: shapes are flattened, shapely unites what carries, numpy sends the rays.

A chord carried at both ends is a span, at one end a cantilever, at neither no help; the
best direction counts. The straight line between corners of two supports (tangent points
of round ones) through free stone, that passes them on one side, or one and ends head-on
at the other, carries cantilevers; one that passes both on the same side carries spans
too. Lines count as spans themselves. Limits: 914 and 254 mm at 3 cm, Dimension Stone
Design Manual 8.0 (2016), ch. 17, with half a mm of grace.

Fails where the program says nothing and some point is past a limit by more than 1 mm, or
where it stops and no point is past one.
"""
import json
import math
import pathlib
import random
import subprocess
import sys

import numpy as np
from shapely.geometry import LineString, Point, Polygon
from shapely.ops import unary_union

SPAN, CANTILEVER, GRACE, BEARING = 914.0, 254.0, 0.5, 80.0
SAGITTA = 0.004  # mm, of the chords that stand for arcs
STEP = 40.0      # mm between the points of the grid
WAYS = 360       # directions in half a turn, before the best of them are looked at closer
HAIR = 1e-5      # mm
NUDGE = 1e-3     # mm beside a line, to see what lies there


def flat(points):
    """The corners of a closed line with bulges (DXF: tangent of a quarter of the angle)."""
    out = []
    for (x0, y0, b), (x1, y1, _) in zip(points, points[1:] + points[:1]):
        out.append((x0, y0))
        if b:
            angle = 4 * math.atan(b)
            chord = math.hypot(x1 - x0, y1 - y0)
            radius = chord / 2 / math.sin(abs(angle) / 2)
            n = max(2, math.ceil(abs(angle) / (2 * math.acos(1 - SAGITTA / radius))))
            h = chord / 2 / math.tan(angle / 2)
            cx, cy = (x0 + x1) / 2 - (y1 - y0) / chord * h, (y0 + y1) / 2 + (x1 - x0) / chord * h
            a0 = math.atan2(y0 - cy, x0 - cx)
            out += [(cx + radius * math.cos(a0 + angle * k / n), cy + radius * math.sin(a0 + angle * k / n)) for k in range(1, n)]
    return out


class Top:
    def __init__(self):
        self.outline, self.cutouts, self.areas, self.lines, self.openings = [], [], [], [], []

    def moved(self, angle, x, y):
        c, s = math.cos(angle), math.sin(angle)

        def move(points):
            return [(c * p[0] - s * p[1] + x, s * p[0] + c * p[1] + y) + tuple(p[2:]) for p in points]
        t = Top()
        t.outline = move(self.outline)
        for name in ("cutouts", "areas", "lines", "openings"):
            setattr(t, name, [move(p) for p in getattr(self, name)])
        return t

    def dxf(self, path):
        rows = ["0", "SECTION", "2", "HEADER", "9", "$ACADVER", "1", "AC1015", "9", "$INSUNITS", "70", "4", "0", "ENDSEC", "0", "SECTION", "2", "ENTITIES"]

        def poly(layer, points, closed):
            rows.extend(["0", "LWPOLYLINE", "8", layer, "90", str(len(points)), "70", str(int(closed))])
            for p in points:
                rows.extend(["10", repr(p[0]), "20", repr(p[1])] + (["42", repr(p[2])] if len(p) > 2 and p[2] else []))
        poly("OUTLINE", self.outline, True)
        for layer, shapes, closed in (("SINK", self.cutouts, True), ("CABINET", self.areas, True), ("CLEAT", self.lines, False), ("OPENING", self.openings, True)):
            for points in shapes:
                poly(layer, points, closed)
        rows.extend(["0", "ENDSEC", "0", "EOF", ""])
        path.write_text("\n".join(rows))


def box(x0, y0, x1, y1):
    return [(x0, y0, 0), (x1, y0, 0), (x1, y1, 0), (x0, y1, 0)]


def circle(x, y, r):
    return [(x - r, y, 1), (x + r, y, 1)]


def rounded(x0, y0, x1, y1, r):
    q = math.tan(math.pi / 8)
    return [(x0 + r, y0, 0), (x1 - r, y0, q), (x1, y0 + r, 0), (x1, y1 - r, q), (x1 - r, y1, 0), (x0 + r, y1, q), (x0, y1 - r, 0), (x0, y0 + r, q)]


def poly(*points):
    return [(x, y, 0) for x, y in points]


def random_top(r):
    u, t = r.uniform, Top()
    kind = r.choice(["run", "ell", "you", "island", "bow", "round", "legs", "legs", "rails", "dishwasher", "corbels", "cleats"])
    if kind in ("run", "bow", "dishwasher"):
        long, depth = u(1500, 2800), u(580, 660)
        t.outline = box(0, 0, long, depth)
        if kind == "bow":
            t.outline[2] = (long, depth, u(0.02, 0.12))
        lip = u(15, 60)
        if kind == "dishwasher":
            x = u(100, long - 900)
            t.areas = [box(0, 0, long, depth - lip)]
            t.openings = [box(x, u(-20, 40), x + u(450, 1000), depth - lip + u(-1, 1) * 20)]
            if r.random() < 0.5:
                t.lines = [[(x - 10, 0), (x + 900, 0)]]
        else:
            x = 0.0
            while x < long - 150:
                w = min(u(300, 900), long - x)
                t.areas.append(box(x, 0, x + w, depth - lip))
                x += w + r.choice([0, u(1, 60), u(60, 900)])
        if r.random() < 0.5:
            x = u(150, long - 750)
            t.cutouts = [rounded(x, 100, x + u(300, 600), depth - 120, u(10, 60))]
    elif kind in ("ell", "you"):
        a, b, d = u(1700, 2600), u(1500, 2400), u(580, 650)
        front = d - u(20, 50)
        blind = r.choice([0, u(50, 300), u(300, 700)])
        t.areas = [box(blind, 0, a, front), box(0, max(front, blind), front, b)]
        if kind == "ell":
            t.outline = poly((0, 0), (a, 0), (a, d), (d, d), (d, b), (0, b))
        else:
            t.outline = poly((0, 0), (a, 0), (a, b), (a - d, b), (a - d, d), (d, d), (d, b), (0, b))
            t.areas.append(box(a - front, front + r.choice([0, u(50, 500)]), a, b))
    elif kind == "island":
        a, b = u(1500, 2600), u(800, 1250)
        t.outline = rounded(0, 0, a, b, u(5, 150))
        t.areas = [box(u(10, 60), u(10, 60), a - u(10, 290), b - u(100, 320))]
    elif kind == "round":
        radius = u(350, 700)
        t.outline = circle(0, 0, radius)
        n = r.choice([1, 3, 4, 5])
        if n == 1:
            t.areas = [circle(u(-40, 40), 0, u(0.5, 0.85) * radius)]
        for k in range(n if n > 1 else 0):
            at, angle = u(0.6, 0.85) * radius, 2 * math.pi * k / n
            x, y, h = at * math.cos(angle), at * math.sin(angle), u(30, 50)
            t.areas.append(circle(x, y, h) if r.random() < 0.5 else box(x - h, y - h, x + h, y + h))
    elif kind == "legs":
        n = r.choice([2, 2, 3])
        a, b, leg, inset = u(700, 1300) * (n - 1) * 0.85, u(500, 1100), u(50, 90), u(0, 200)
        t.outline = box(0, 0, a, b)
        for k in range(n):
            for y in (inset, b - inset - leg):
                x = inset + (a - 2 * inset - leg) * k / (n - 1) + u(-8, 8) * (0 < k < n - 1)
                t.areas.append(circle(x + leg / 2, y + leg / 2, leg / 2) if r.random() < 0.25 else box(x, y, x + leg, y + leg))
    elif kind == "rails":
        a, b = u(700, 1500), u(500, 900)
        t.outline = box(0, 0, a, b)
        inset = u(0, 250)
        t.lines = [[(x, u(0, 60)), (x, b - u(0, 60))] for x in (inset, a - inset)]
        if r.random() < 0.5:
            t.lines.append([(0, inset), (a, inset)])
    elif kind == "corbels":
        a, b, depth = u(1500, 2400), u(800, 1050), u(450, 620)
        t.outline = box(0, 0, a, b)
        t.areas = [box(0, 0, a, depth)]
        n = r.randint(2, 4)
        for k in range(n):
            x = a * (k + u(0.2, 0.8)) / n
            t.lines.append([(x, depth - 20), (x, min(b, depth + u(120, 350)))])
    else:
        a, b = u(700, 1500), u(450, 650)
        t.outline = box(0, 0, a, b)
        t.lines = [[(0, b - u(0, 100)), (0, 0), (a, 0), (a, b - u(0, 100))]]
        if r.random() < 0.6:
            w = u(250, 400)
            x = u(100, a - 100 - w)
            t.cutouts = [rounded(x, 120, x + w, b - 110, u(20, 90))]
    return kind, t.moved(u(0, 2 * math.pi), u(-3000, 3000), u(-3000, 3000))


class Brute:
    """The free stone of a top: its boundary as segments, what carries and the lines between supports."""

    def __init__(self, top):
        stone = Polygon(flat(top.outline)).difference(unary_union([Polygon(flat(c)) for c in top.cutouts]))
        openings = [Polygon(flat(o)) for o in top.openings]
        bearers = []
        for a in top.areas:
            shape = Polygon(flat(a))
            cut = [o for o in openings if not (o.contains(shape) and shape.area < o.area / 2)]
            bearers.append(shape.difference(unary_union(cut)))
        for l in top.lines:
            shape = LineString([p[:2] for p in l])
            cut = [o for o in openings if not o.contains(shape)]
            bearers.append(shape.buffer(BEARING / 2, cap_style=2, join_style=2).difference(unary_union(cut)))
        # A hair wider, so that what ends along the edge of the stone leaves no sliver there.
        carry = unary_union(bearers).buffer(HAIR, join_style=2)
        self.free = stone.difference(carry)
        segments, carries = [], []
        near = carry.buffer(NUDGE / 2)
        for ring in self.rings(self.free):
            c = list(ring.coords)
            for p, q in zip(c, c[1:]):
                segments.append(p + q)
                mid = Point((p[0] + q[0]) / 2, (p[1] + q[1]) / 2)
                carries.append(near.contains(mid))
        self.segments, self.carries = np.array(segments).reshape(-1, 4), np.array(carries, bool)
        self.lines = self.find_lines()

    @staticmethod
    def rings(shape):
        for g in getattr(shape, "geoms", [shape]):
            if isinstance(g, Polygon) and g.area > 1:
                yield g.exterior
                yield from g.interiors

    def find_lines(self):
        """Between ends of carrying segments: [ax, ay, bx, by, tangent]."""
        ends = {}
        for (ax, ay, bx, by), carries in zip(self.segments, self.carries):
            if carries:
                ends.setdefault((round(ax, 6), round(ay, 6)), []).append((bx - ax, by - ay))
                ends.setdefault((round(bx, 6), round(by, 6)), []).append((ax - bx, ay - by))
        corners = []
        for p, ways in ends.items():
            if len(ways) == 2:
                (a, b), (c, d) = ways
                n = math.hypot(a, b) * math.hypot(c, d)
                if abs(a * d - b * c) < 1e-6 * n and a * c + b * d < 0:
                    continue  # runs on
            corners.append((p, np.array(ways) / np.hypot(*np.array(ways).T)[:, None]))
        out = []
        for i, (p, pways) in enumerate(corners):
            for q, qways in corners[:i]:
                w = np.array(p) - np.array(q)
                length = math.hypot(*w)
                if length < 1:
                    continue
                w /= length

                def side(ways):
                    s = w[0] * ways[:, 1] - w[1] * ways[:, 0]
                    left, right = bool((s > 1e-6).any()), bool((s < -1e-6).any())
                    return left - right
                a, b = side(pways), side(qways)
                if a + b == 0:
                    continue
                between = LineString([(q[0] + w[0] * 0.1, q[1] + w[1] * 0.1), (p[0] - w[0] * 0.1, p[1] - w[1] * 0.1)])
                # Free stone on both sides of it, all the way.
                if self.free.buffer(1e-4).contains(between) and all(
                        self.free.contains(Point(q[0] + w[0] * length / 2 - s * w[1] * NUDGE, q[1] + w[1] * length / 2 + s * w[0] * NUDGE)) for s in (1, -1)):
                    out.append([*q, *p, float(a == b)])
        return np.array(out).reshape(-1, 5)

    def scores(self, p, angles):
        """The least score along each direction."""
        d = np.stack([np.cos(angles), np.sin(angles)], 1)
        t = self.meets(self.segments, p, d)
        ahead = np.where(t > 0, t, np.inf)
        behind = np.where(t <= 0, -t, np.inf)  # never met: infinite ahead
        k, j = ahead.argmin(1), behind.argmin(1)
        to, back = ahead.min(1), behind.min(1)
        good = np.isfinite(to) & np.isfinite(back)
        ca, cb = self.carries[k], self.carries[j]
        length = to + back
        best = np.where(ca & cb, length / SPAN, np.where(ca | cb, length / CANTILEVER, np.inf))
        if len(self.lines):
            u = self.meets(self.lines[:, :4], p, d)
            long = np.hypot(self.lines[:, 2] - self.lines[:, 0], self.lines[:, 3] - self.lines[:, 1]) / SPAN
            f = np.where((u > 0) & (u <= to[:, None]), u, np.inf)
            b = np.where((u <= 0) & (-u <= back[:, None]), -u, np.inf)
            for far, near_edge, near_carries, end, end_carries in ((f, back, cb, to, ca), (b, to, ca, back, cb)):
                hang = np.where(near_carries[:, None], np.inf, np.maximum(long, (near_edge[:, None] + far) / CANTILEVER))
                best = np.minimum(best, hang.min(1))
            tangent = self.lines[:, 4] > 0
            fs, bs, ls = f[:, tangent], b[:, tangent], long[tangent]
            fs = np.concatenate([fs, np.where(ca, to, np.inf)[:, None]], 1)
            bs = np.concatenate([bs, np.where(cb, back, np.inf)[:, None]], 1)
            ls = np.append(ls, 0)
            for m in range(bs.shape[1]):
                some = np.isfinite(bs[:, m])
                if some.any():
                    s = np.maximum(np.maximum(ls, ls[m]), (fs[some] + bs[some, m][:, None]) / SPAN)
                    best[some] = np.minimum(best[some], s.min(1))
        return np.where(good, best, np.inf)

    @staticmethod
    def meets(segments, p, d):
        a, w = segments[:, :2] - p, segments[:, 2:4] - segments[:, :2]
        sa = d[:, :1] * a[:, 1] - d[:, 1:] * a[:, 0]
        sb = d[:, :1] * (a + w)[:, 1] - d[:, 1:] * (a + w)[:, 0]
        with np.errstate(divide="ignore", invalid="ignore"):
            t = (a[:, 0] * w[:, 1] - a[:, 1] * w[:, 0]) / (d[:, :1] * w[:, 1] - d[:, 1:] * w[:, 0])
        return np.where((sa > 0) != (sb > 0), t, np.inf)

    def past(self, p, level):
        """Whether no direction scores less than the level; the score otherwise does not matter."""
        p = np.array(p)
        angles = (np.arange(WAYS) + 0.5) * math.pi / WAYS
        s = self.scores(p, angles)
        if s.min() <= level:
            return False
        v = np.concatenate([self.segments[:, :2], self.lines[:, :2], self.lines[:, 2:4]]) - p
        at = np.arctan2(v[:, 1], v[:, 0])
        critical = np.concatenate([at - 1e-6, at + 1e-6])
        if len(critical) > 3000:
            critical = critical[:: len(critical) // 3000 + 1]
        if self.scores(p, critical).min() <= level:
            return False
        for k in np.argsort(s)[:24]:
            if not np.isfinite(s[k]):
                break
            if self.scores(p, angles[k] + np.linspace(-1, 1, 121) * math.pi / WAYS).min() <= level:
                return False
        return True

    def points(self):
        x0, y0, x1, y1 = self.free.bounds
        for x in np.arange(x0 + STEP / 3, x1, STEP):
            for y in np.arange(y0 + STEP / 3, y1, STEP):
                if self.free.contains(Point(x, y)):
                    yield x, y
        inner = self.free.buffer(-0.3)
        for ring in self.rings(inner):
            c = list(ring.coords)
            yield from (p for k, p in enumerate(c) if len(c) < 60 or k % (len(c) // 40) == 0)

    def violation(self, millimetres):
        """A point that no chord carries within the limits and so much more."""
        level = min((SPAN + millimetres) / SPAN, (CANTILEVER + millimetres) / CANTILEVER)
        worst = max((SPAN + millimetres) / SPAN, (CANTILEVER + millimetres) / CANTILEVER)
        for p in self.points():
            if self.past(p, level if millimetres < 0 else worst):
                return p
        return None


def check(trueup, path):
    run = subprocess.run([trueup, "check", "--json", str(path)], capture_output=True, text=True, timeout=120)
    return json.loads(run.stdout)


def main():
    trueup, folder = sys.argv[1], pathlib.Path(sys.argv[2])
    tops = int(sys.argv[3]) if len(sys.argv) > 3 else 60
    seed = int(sys.argv[4]) if len(sys.argv) > 4 else 1
    folder.mkdir(parents=True, exist_ok=True)
    wrong, hanging, passed, unsure = 0, 0, 0, 0
    for n in range(tops):
        kind, top = random_top(random.Random(f"{seed} {n}"))
        path = folder / f"{n:04d}-{kind}.dxf"
        top.dxf(path)
        result = check(trueup, path)
        rules = ("unsupported-span", "overhang")
        flags = [f for f in result["flags"] if f["rule"] in rules]
        if len(result["pieces"]) != 1 or any(u["rule"] in rules for u in result["unchecked"]):
            unsure += 1
            print(f"{path.name}: {len(result['pieces'])} pieces, {result['unchecked']}")
            continue
        brute = Brute(top)
        if flags:
            hanging += 1
            # Past the limit at all: what is measured past the grace is past the limit.
            if not any(brute.past(f["at_mm"], 1) for f in flags) and brute.violation(-1) is None:
                wrong += 1
                print(f"{path.name}: a stop, and no point is past a limit: {[(f['rule'], f['measured'], f['at_mm']) for f in flags]}")
        else:
            passed += 1
            p = brute.violation(GRACE + 1)
            if p is not None:
                wrong += 1
                print(f"{path.name}: nothing said, and ({p[0]:.1f}, {p[1]:.1f}) is past every limit")
    print(f"support by brute force, seed {seed}: {tops} tops, {hanging} hang, {passed} do not, {unsure} not looked at, {wrong} told wrongly")
    if wrong or unsure > tops // 20 or min(hanging, passed) < tops // 8:
        sys.exit(1)


if __name__ == "__main__":
    main()
