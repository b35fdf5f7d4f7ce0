"""The nearest same job in Python, as good as its libraries allow: ezdxf reads,
shapely joins and measures, openpyxl writes, matplotlib draws.

usage: opponent.py [--no-picture] [--processes N] IN OUT

For each drawing in IN: join lines and arcs to outlines, areas, smallest
rectangle, distances from holes and cutouts to the edge, least inside radii, a
workbook with these and a picture. Prints the templates done and the seconds.
"""
import argparse
import math
import multiprocessing
import pathlib
import time

import ezdxf
import openpyxl
from openpyxl.drawing.image import Image
from openpyxl.styles import Font
from shapely.geometry import LineString, Polygon
from shapely.ops import polygonize, unary_union

import matplotlib

matplotlib.use("Agg")
import matplotlib.pyplot as plt  # noqa: E402

SAGITTA = 0.05  # mm a chord may leave its arc


def arc_points(cx, cy, r, start, sweep):
    n = max(2, math.ceil(abs(sweep) / (2 * math.acos(max(-1.0, 1 - SAGITTA / r))))) if r > SAGITTA else 8
    return [(cx + r * math.cos(start + sweep * i / n), cy + r * math.sin(start + sweep * i / n)) for i in range(n + 1)]


def bulge_points(x1, y1, x2, y2, b):
    if b == 0:
        return [(x1, y1), (x2, y2)]
    k = (1 - b * b) / (4 * b)
    cx, cy = (x1 + x2) / 2 - (y2 - y1) * k, (y1 + y2) / 2 + (x2 - x1) * k
    pts = arc_points(cx, cy, math.hypot(x1 - cx, y1 - cy), math.atan2(y1 - cy, x1 - cx), 4 * math.atan(b))
    pts[0], pts[-1] = (x1, y1), (x2, y2)
    return pts


def rounded(pts):
    return [(round(x, 3), round(y, 3)) for x, y in pts]


def curves(doc):
    """Layer to list of coordinate lists, and layer to list of radii."""
    lines, radii = {}, {}
    for e in doc.modelspace():
        kind, layer = e.dxftype(), e.dxf.layer
        add = lines.setdefault(layer, []).append
        if kind == "LINE":
            add([(e.dxf.start.x, e.dxf.start.y), (e.dxf.end.x, e.dxf.end.y)])
        elif kind == "ARC":
            sweep = math.radians((e.dxf.end_angle - e.dxf.start_angle) % 360)
            add(arc_points(e.dxf.center.x, e.dxf.center.y, e.dxf.radius, math.radians(e.dxf.start_angle), sweep))
            radii.setdefault(layer, []).append(e.dxf.radius)
        elif kind == "CIRCLE":
            add(arc_points(e.dxf.center.x, e.dxf.center.y, e.dxf.radius, 0, 2 * math.pi))
            lines[layer][-1][-1] = lines[layer][-1][0]
        elif kind == "LWPOLYLINE":
            v = e.get_points("xyb")
            pts = []
            for (x1, y1, b), (x2, y2, _) in zip(v, v[1:] + v[:1] if e.closed else v[1:]):
                pts += bulge_points(x1, y1, x2, y2, b)[:-1]
                if b:
                    radii.setdefault(layer, []).append(math.hypot(x2 - x1, y2 - y1) * (1 + b * b) / (4 * abs(b)))
            add(pts + pts[:1])
    return lines, radii


def faces(lines):
    return list(polygonize(unary_union([LineString(rounded(p)) for p in lines if len(p) > 1])))


def work(job):
    path, out, picture = job
    doc = ezdxf.readfile(path)
    lines, radii = curves(doc)
    tops = sorted(faces(lines.get("COUNTER", [])), key=lambda p: p.bounds)
    cuts = [(layer, f) for layer in ("SINK", "COOKTOP", "TAP HOLE") for f in faces(lines.get(layer, []))]
    book = openpyxl.Workbook()
    bold = Font(bold=True)
    sheet = book.active
    sheet.title = "Pieces"
    sheet.append(["piece", "length mm", "width mm", "area mm2", "gross mm2", "perimeter mm", "mass kg"])
    flags = book.create_sheet("Flags")
    flags.append(["rule", "piece", "measured mm", "limit mm"])
    for i, top in enumerate(tops):
        inside = [(layer, c) for layer, c in cuts if top.contains(c)]
        stone = top.difference(unary_union([c for _, c in inside])) if inside else top
        ring = list(top.minimum_rotated_rectangle.exterior.coords)
        a, b = sorted((math.dist(ring[0], ring[1]), math.dist(ring[1], ring[2])), reverse=True)
        name = chr(ord("A") + i % 26)
        sheet.append([name, a, b, stone.area, top.area, top.exterior.length, stone.area * 30 * 2700e-9])
        for j, (layer, c) in enumerate(inside):
            gap = c.exterior.distance(top.exterior)
            limit = 25 if layer == "TAP HOLE" else 50
            if gap < limit:
                flags.append(["strip", name, gap, limit])
            for _, other in inside[j + 1:]:
                gap = c.distance(other)
                if gap < limit:
                    flags.append(["between cutouts", name, gap, limit])
    for layer, rs in radii.items():
        if layer != "TAP HOLE" and min(rs) < 9.5:
            flags.append(["radius", layer, min(rs), 9.5])
    for s in (sheet, flags):
        for cell in s[1]:
            cell.font = bold
    if picture:
        fig, ax = plt.subplots(figsize=(8, 5.3), dpi=150)
        for top in tops:
            ax.plot(*top.exterior.xy, "k", lw=1)
        for _, c in cuts:
            ax.plot(*c.exterior.xy, "b", lw=0.7)
        ax.set_aspect("equal")
        png = pathlib.Path(out) / (pathlib.Path(path).stem + ".png")
        fig.savefig(png)
        plt.close(fig)
        sheet.add_image(Image(str(png)), "A%d" % (len(tops) + 4))
    book.save(pathlib.Path(out) / (pathlib.Path(path).stem + ".xlsx"))
    return len(tops)


def main():
    p = argparse.ArgumentParser()
    p.add_argument("--no-picture", action="store_true")
    p.add_argument("--processes", type=int, default=1)
    p.add_argument("source")
    p.add_argument("out")
    a = p.parse_args()
    pathlib.Path(a.out).mkdir(parents=True, exist_ok=True)
    jobs = [(str(f), a.out, not a.no_picture) for f in sorted(pathlib.Path(a.source).glob("*.dxf"))]
    begin = time.perf_counter()
    if a.processes == 1:
        pieces = sum(map(work, jobs))
    else:
        with multiprocessing.Pool(a.processes) as pool:
            pieces = sum(pool.imap_unordered(work, jobs, chunksize=8))
    print(len(jobs), time.perf_counter() - begin, pieces)


if __name__ == "__main__":
    main()
