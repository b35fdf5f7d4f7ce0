"""Scenes, their truth and the judgement for the truth harness.

A scene is a list of plain primitives in millimetres. The truth of a case is
worked out here: exact areas of bulged polylines from closed forms (polygon
formula plus circular segments, trade figures of any handbook), distances and
overlaps with shapely (GEOS) on curves cut into chords 0.004 mm from the arc.
Nothing is taken from the program under test but its result documents and the
clean drawing it releases, read back with ezdxf.
"""
import copy
import json
import math
import pathlib
import random
import shutil
import subprocess

import ezdxf
from shapely.geometry import LineString, Polygon

CHORD = 0.004  # mm, largest distance between an arc and its chords as GEOS sees them
KEPT = 0.12  # mm, a released outline may differ from the drawn one by this: facet tolerance 0.1 and rounding
QUARTER = math.tan(math.pi / 8)  # bulge of a quarter circle (DXF reference)
UNITS = {"in": 1, "ft": 2, "mm": 4, "cm": 5, "m": 6, None: 0}  # $INSUNITS (DXF reference)
MM = {"in": 25.4, "ft": 304.8, "mm": 1.0, "cm": 10.0, "m": 1000.0, None: 1.0}

CODE_MM = {0: 1.0, 1: 25.4, 2: 304.8, 4: 1.0, 5: 10.0, 6: 1000.0, 9: 0.0254, 10: 914.4, 13: 0.001, 14: 100.0, 15: 1e4, 21: 1200000 / 3937}


# ---------------------------------------------------------------- primitives

class Scene:
    """Primitives in millimetres; unit and header say how they are written."""

    def __init__(self, unit="mm", header="same"):
        self.items = []
        self.unit, self.header = unit, header
        self.off, self.frozen = set(), set()
        self.raw = []
        self.version, self.format = "R2010", "asc"

    def poly(self, points, layer="OUTLINE", close=True, **extra):
        self.items.append(["poly", layer, [tuple(p) + (0,) * (3 - len(p)) for p in points], close, extra])
        return self

    def line(self, a, b, layer="OUTLINE"):
        self.items.append(["line", layer, tuple(a), tuple(b)])
        return self

    def lines(self, points, layer="OUTLINE", close=False):
        pts = list(points) + ([points[0]] if close else [])
        for a, b in zip(pts, pts[1:]):
            self.line(a, b, layer)
        return self

    def circle(self, center, radius, layer="CUTOUT"):
        self.items.append(["circle", layer, tuple(center), radius])
        return self

    def arc(self, center, radius, start, end, layer="OUTLINE"):
        """Counter-clockwise from start to end, degrees."""
        self.items.append(["arc", layer, tuple(center), radius, start, end])
        return self

    def ellipse(self, center, major, ratio, layer="OUTLINE", start=0.0, end=2 * math.pi):
        self.items.append(["ellipse", layer, tuple(center), tuple(major), ratio, start, end])
        return self

    def spline(self, control, layer="OUTLINE", degree=3, closed=False):
        self.items.append(["spline", layer, [tuple(p) for p in control], degree, closed])
        return self

    def text(self, value, at, layer="NOTES", height=30, angle=0.0, mirrored=False):
        self.items.append(["text", layer, value, tuple(at), height, angle, mirrored])
        return self

    def point(self, at, layer="CUTOUT"):
        self.items.append(["point", layer, tuple(at)])
        return self

    def dim(self, a, b, text="<>", offset=150, layer="DIM"):
        self.items.append(["dim", layer, tuple(a), tuple(b), text, offset])
        return self

    def extend(self, other):
        self.items += copy.deepcopy(other.items)
        self.off |= other.off
        self.frozen |= other.frozen
        return self

    # ------------------------------------------------------------ moved views
    def moved(self, angle=0.0, mirror=False, at=(0.0, 0.0), about=(0.0, 0.0)):
        move = Move(angle, mirror, at, about)
        out = copy.copy(self)
        out.items = [move.item(i) for i in self.items]
        return out, move

    def shuffled(self, seed):
        out = copy.copy(self)
        out.items = list(self.items)
        random.Random(seed).shuffle(out.items)
        return out

    def reversed(self):
        out = copy.copy(self)
        out.items = []
        for i in self.items:
            if i[0] == "line":
                i = ["line", i[1], i[3], i[2]]
            elif i[0] == "poly":
                pts, close = i[2], i[3]
                back = pts[::-1]
                bulges = [-p[2] for p in pts]
                bulges = bulges[::-1]
                # segment k of the reversed polyline runs between old points n-1-k and n-2-k
                bulges = bulges[1:] + bulges[:1]
                i = ["poly", i[1], [(p[0], p[1], b) for p, b in zip(back, bulges)], close, i[4]]
            elif i[0] == "spline" and not i[4]:
                i = ["spline", i[1], i[2][::-1], i[3], i[4]]
            out.items.append(i)
        return out

    def in_unit(self, unit):
        out = copy.copy(self)
        out.unit = unit
        return out

    # -------------------------------------------------------------- as a file
    def save(self, path):
        k = 1.0 / MM[self.unit]
        doc = ezdxf.new(self.version)
        doc.header["$INSUNITS"] = UNITS[self.unit if self.header == "same" else self.header]
        space = doc.modelspace()
        for i in self.items:
            self._write(doc, space, i, k)
        for fn in self.raw:
            fn(doc, space)
        for name in self.off:
            layer(doc, name).off()
        for name in self.frozen:
            layer(doc, name).freeze()
        doc.saveas(path, fmt=self.format)

    def _write(self, doc, space, i, k):
        kind, attribs = i[0], {"layer": i[1]}
        layer(doc, i[1])
        s = lambda p: (p[0] * k, p[1] * k) + tuple(c * k for c in p[2:3])
        if kind == "poly":
            extra = dict(i[4])
            old = extra.pop("old", False)
            pts = [(p[0] * k, p[1] * k, p[2]) for p in i[2]]
            if old or self.version == "R12":
                space.add_polyline2d(pts, format="xyb", close=i[3], dxfattribs=attribs)
            else:
                space.add_lwpolyline(pts, format="xyb", close=i[3], dxfattribs={**attribs, **extra})
        elif kind == "line":
            space.add_line(s(i[2]), s(i[3]), dxfattribs=attribs)
        elif kind == "circle":
            space.add_circle(s(i[2]), i[3] * k, dxfattribs=attribs)
        elif kind == "arc":
            space.add_arc(s(i[2]), i[3] * k, i[4], i[5], dxfattribs=attribs)
        elif kind == "ellipse":
            space.add_ellipse(s(i[2]), s(i[3]), i[4], i[5], i[6], dxfattribs=attribs)
        elif kind == "spline":
            pts = [s(p)[:2] + (0.0,) for p in i[2]]
            if i[4]:
                space.add_spline(degree=i[3], dxfattribs=attribs).set_closed(pts, degree=i[3])
            else:
                space.add_open_spline(pts, degree=i[3], dxfattribs=attribs)
        elif kind == "text":
            t = space.add_text(i[2], height=i[4] * k, rotation=i[5], dxfattribs=attribs)
            t.set_placement(s(i[3]), align=ezdxf.enums.TextEntityAlignment.MIDDLE_CENTER)
            if i[6]:
                t.dxf.text_generation_flag = 2
        elif kind == "point":
            space.add_point(s(i[2]), dxfattribs=attribs)
        elif kind == "dim":
            d = space.add_aligned_dim(s(i[2]), s(i[3]), distance=i[5] * k, text=i[4], dxfattribs=attribs,
                                      override={"dimtxt": 30 * k, "dimexe": 5 * k, "dimasz": 10 * k})
            d.render()


def layer(doc, name):
    return doc.layers.get(name) if name in doc.layers else doc.layers.add(name)


class Move:
    """Mirror at the y axis through about, turn about it, then shift."""

    def __init__(self, angle=0.0, mirror=False, at=(0.0, 0.0), about=(0.0, 0.0)):
        self.a, self.m, self.at, self.o = math.radians(angle), mirror, at, about

    def __call__(self, p):
        x, y = p[0] - self.o[0], p[1] - self.o[1]
        x, y = self.vector((x, y))
        return (x + self.o[0] + self.at[0], y + self.o[1] + self.at[1])

    def vector(self, v):
        x, y = v[0], v[1]
        if self.m:
            x = -x
        c, s = math.cos(self.a), math.sin(self.a)
        return (x * c - y * s, x * s + y * c)

    def angle(self, deg):
        v = self.vector((math.cos(math.radians(deg)), math.sin(math.radians(deg))))
        return math.degrees(math.atan2(v[1], v[0]))

    def item(self, i):
        kind = i[0]
        sign = -1 if self.m else 1
        if kind == "poly":
            return [kind, i[1], [self(p) + (sign * p[2],) for p in i[2]], i[3], i[4]]
        if kind == "line":
            return [kind, i[1], self(i[2]), self(i[3])]
        if kind == "circle":
            return [kind, i[1], self(i[2]), i[3]]
        if kind == "arc":
            a, b = self.angle(i[4]), self.angle(i[5])
            return [kind, i[1], self(i[2]), i[3]] + ([b, a] if self.m else [a, b])
        if kind == "ellipse":
            t = (-i[6], -i[5]) if self.m else (i[5], i[6])
            return [kind, i[1], self(i[2]), self.vector(i[3]), i[4], t[0], t[1]]
        if kind == "spline":
            return [kind, i[1], [self(p) for p in i[2]], i[3], i[4]]
        if kind == "text":
            # a text stays readable: it is turned, never mirrored
            return [kind, i[1], i[2], self(i[3]), i[4], i[5] + math.degrees(self.a), i[6]]
        if kind == "point":
            return [kind, i[1], self(i[2])]
        if kind == "dim":
            return [kind, i[1], self(i[2]), self(i[3]), i[4], sign * i[5]]
        raise ValueError(kind)


# -------------------------------------------------------------------- shapes

def rect(x0, y0, x1, y1):
    return [(x0, y0, 0), (x1, y0, 0), (x1, y1, 0), (x0, y1, 0)]


def rounded(x0, y0, x1, y1, r):
    q = QUARTER
    return [(x0 + r, y0, 0), (x1 - r, y0, q), (x1, y0 + r, 0), (x1, y1 - r, q),
            (x1 - r, y1, 0), (x0 + r, y1, q), (x0, y1 - r, 0), (x0, y0 + r, q)]


def bulge_arc(p, q, b):
    """Centre, radius, start angle, sweep (signed) of the arc p to q with bulge b."""
    cx, cy = (p[0] + q[0]) / 2, (p[1] + q[1]) / 2
    dx, dy = q[0] - p[0], q[1] - p[1]
    h = (1 - b * b) / (4 * b)
    x, y = cx - dy * h, cy + dx * h
    r = math.hypot(p[0] - x, p[1] - y)
    return (x, y), r, math.atan2(p[1] - y, p[0] - x), 4 * math.atan(b)


def sweep_points(center, r, start, sweep):
    n = max(2, math.ceil(abs(sweep) / (2 * math.acos(max(-1.0, 1 - CHORD / max(r, 2 * CHORD))))))
    return [(center[0] + r * math.cos(start + sweep * k / n), center[1] + r * math.sin(start + sweep * k / n))
            for k in range(n + 1)]


def dense(points, close=True):
    """A bulged polyline as chords."""
    pts = [tuple(p) + (0,) * (3 - len(p)) for p in points]
    out = []
    n = len(pts)
    for k in range(n if close else n - 1):
        p, q = pts[k], pts[(k + 1) % n]
        out.append((p[0], p[1]))
        if p[2]:
            out += sweep_points(*bulge_arc(p, q, p[2]))[1:-1]
    if not close:
        out.append((pts[-1][0], pts[-1][1]))
    return out


def shape(points):
    return Polygon(dense(points))


def disc(center, r):
    return Polygon(sweep_points(center, r, 0, 2 * math.pi)[:-1])


def exact(points):
    """Area and perimeter of a closed bulged polyline by closed forms."""
    pts = [tuple(p) + (0,) * (3 - len(p)) for p in points]
    area = length = 0.0
    ox, oy = pts[0][0], pts[0][1]
    for k, p in enumerate(pts):
        q = pts[(k + 1) % len(pts)]
        area += ((p[0] - ox) * (q[1] - oy) - (q[0] - ox) * (p[1] - oy)) / 2
        if p[2]:
            _, r, _, t = bulge_arc(p, q, p[2])
            area += r * r * (t - math.sin(t)) / 2
            length += r * abs(t)
        else:
            length += math.hypot(q[0] - p[0], q[1] - p[1])
    return abs(area), length


# ---------------------------------------------------------------------- case

class Truth:
    """What a shop would cut: outlines and, apart, cutouts, as shapely polygons."""

    def __init__(self, outlines, cutouts=(), tolerance=KEPT):
        self.outlines = [self._polygon(o) for o in outlines]
        self.cutouts = [self._polygon(c) for c in cutouts]
        self.tolerance = tolerance

    @staticmethod
    def _polygon(s):
        return s if isinstance(s, Polygon) else shape(s)

    def moved(self, move):
        f = lambda g: Polygon([move(p) for p in g.exterior.coords])
        return Truth([f(g) for g in self.outlines], [f(g) for g in self.cutouts], self.tolerance)


class Case:
    """One template and what may come of it.

    expect: "ready"  a sound template, it has to be READY and cut as drawn;
            "stop"   it must not be READY; with rules, one of them has to be among the stops;
            "warn"   one of the rules has to speak, at any severity; READY only if cut as drawn;
            "honest" READY only if what is released is what was drawn.
    """

    def __init__(self, name, scene, expect, truth=None, rules=(), silent=(), figures=None, why=""):
        assert expect in ("ready", "stop", "warn", "honest"), expect
        self.name, self.scene, self.expect, self.truth = name, scene, expect, truth
        self.rules, self.silent, self.figures, self.why = set(rules), set(silent), figures, why
        self.result = None

    def faults(self, result, released):
        """What is wrong with the outcome; each fault begins with its class."""
        self.result = result
        out = []
        if result is None:
            return ["crash: no result document"]
        verdict = result["verdict"]
        flags = result.get("flags") or []
        stops = sorted({f["rule"] for f in flags if f["severity"] == "stop"})
        spoken = {f["rule"] for f in flags}
        if verdict == "ready" and self.truth is not None:
            out += ["READY-but-wrong: " + d for d in kept(self.truth, released)]
        if self.expect == "ready" and verdict != "ready":
            out.append(f"false-stop: {verdict} by {stops or result.get('error')}")
        if self.expect == "stop" and verdict == "ready":
            out.append(f"READY-but-wrong: ready, flags {sorted(spoken)}")
        elif self.expect == "stop" and self.rules and verdict != "failed" and not self.rules & set(stops):
            out.append(f"wrong-rule: stops {stops}, wanted one of {sorted(self.rules)}")
        if self.expect == "warn" and self.rules and not self.rules & spoken:
            out.append(f"silent: flags {sorted(spoken)}, wanted one of {sorted(self.rules)}")
        bad = sorted(self.silent & spoken)
        if bad:
            out.append(f"false-flag: {bad}")
        if self.figures and verdict != "failed":
            out += ["figure: " + d for d in self.figures(result)]
        return out


def kept(truth, released):
    """Differences between the truth and the released drawing."""
    if released is None:
        return ["no clean.dxf was written"]
    out = _same("outline", truth.outlines, released["outlines"], truth.tolerance)
    return out + _same("cutout", truth.cutouts, released["cutouts"], truth.tolerance)


def _same(what, wanted, got, tolerance):
    out = []
    if len(wanted) != len(got):
        out.append(f"{len(got)} {what}s released, {len(wanted)} drawn")
    left = list(got)
    for w in wanted:
        if not left:
            break
        d, g = min(((apart(w, g), g) for g in left), key=lambda t: t[0])
        left.remove(g)
        if d > tolerance:
            c = w.centroid
            out.append(f"{what} at {c.x:.0f},{c.y:.0f} moved by {d:.3f} mm (tolerance {tolerance:g})")
    return out


def apart(a, b):
    """Hausdorff distance of two boundaries, looked at every 25 mm and at every vertex."""
    return ring(a).hausdorff_distance(ring(b))


def ring(p):
    pts = list(p.exterior.coords)
    out = []
    for a, b in zip(pts, pts[1:]):
        n = max(1, math.ceil(math.hypot(b[0] - a[0], b[1] - a[1]) / 25.0))
        out += [(a[0] + (b[0] - a[0]) * k / n, a[1] + (b[1] - a[1]) * k / n) for k in range(n)]
    return LineString(out + [pts[-1]])


def read_clean(path):
    """Outlines and cutouts of a released drawing, in mm."""
    doc = ezdxf.readfile(path)
    k = CODE_MM[doc.header.get("$INSUNITS", 4)]
    out = {"outlines": [], "cutouts": [], "open": 0, "layers": {}}
    for e in doc.modelspace():
        name = e.dxf.layer.upper()
        out["layers"][name] = out["layers"].get(name, 0) + 1
        key = "cutouts" if name.startswith("CUTOUT") else "outlines" if name.startswith(("OUTLINE", "SPLASH")) else None
        if key is None:
            continue
        if e.dxftype() == "LWPOLYLINE":
            if not e.closed:
                out["open"] += 1
                continue
            out[key].append(shape([(x * k, y * k, b) for x, y, b in e.get_points("xyb")]))
        elif e.dxftype() == "CIRCLE":
            c = e.dxf.center
            out[key].append(disc((c.x * k, c.y * k), e.dxf.radius * k))
        elif e.dxftype() in ("LINE", "ARC", "SPLINE"):
            out["open"] += 1
    return out


# ----------------------------------------------------------------------- run

def run(program, folder, cases, jobs=2, settings=None):
    """Writes the cases, runs one check over all of them, and gives name -> (result, released)."""
    folder = pathlib.Path(folder)
    shutil.rmtree(folder, ignore_errors=True)
    (folder / "in").mkdir(parents=True)
    for c in cases:
        c.scene.save(folder / "in" / f"{c.name}.dxf")
    command = [program, "check", "--json", "--jobs", str(jobs), "--out", str(folder / "out")]
    if settings:
        (folder / "trueup.toml").write_text(settings)
        command += ["--settings", str(folder / "trueup.toml")]
    done = subprocess.run(command + [str(folder / "in")], capture_output=True, text=True)
    assert done.returncode in (0, 1, 3), done.stderr
    results = {}
    for row in done.stdout.splitlines():
        r = json.loads(row)
        results[pathlib.Path(r["source"]["file"]).stem] = r
    out = {}
    for c in cases:
        r = results.get(c.name)
        clean = folder / "out" / c.name / "clean.dxf"
        released = read_clean(clean) if r and r["verdict"] == "ready" and clean.exists() else None
        out[c.name] = (r, released)
    return out
