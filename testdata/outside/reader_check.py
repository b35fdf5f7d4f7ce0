#!/usr/bin/env python3
"""Compares what trueup reads with what ezdxf reads.

Usage: reader_check.py TRUEUP [--keep DIR | --samples DIR]

Drawings of every entity type, DXF version and encoding are made with ezdxf
(Debian package python3-ezdxf), read back with ezdxf, and the length of the
curves of each layer, seen from above, is summed along a fine flattening.
"trueup layers --json" must give the same length to 0.01 %, the same layer
names, and name what it does not use. Exits 1 on any disagreement, and when
nothing was compared. --keep DIR leaves the drawings there; --samples DIR writes
the few that the Go tests read, with the lengths ezdxf gives, and checks nothing.
"""

import json
import math
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile

import ezdxf
from ezdxf.math import Vec3

TOLERANCE = 1e-4  # of the length
FLAT = 1e-4  # greatest distance of a chord from its curve, drawing units
SEED = 20250421
VERSIONS = ["R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018"]
AREAS = {"SOLID", "TRACE", "3DFACE", "HATCH"}
SAMPLES = {"flat-R12-asc", "blocks-R12-bin", "tilted-R12-bin", "others-R12-asc", "new-R2000-bin", "hatches-R2000-bin",
           "named-R12-asc-cp932", "named-R2004-asc-cp1251", "areas-R2018-bin"}
NOT_GEOMETRY = {"DIMENSION", "LEADER", "MLINE", "XLINE", "RAY", "IMAGE", "VIEWPORT", "TEXT", "MTEXT", "ATTRIB", "ATTDEF", "POINT"}


# ---------------------------------------------------------------- reference


def chain_length(points):
    flat = [Vec3(p.x, p.y) for p in points]
    return sum(a.distance(b) for a, b in zip(flat, flat[1:]))


def entity_length(e):
    kind = e.dxftype()
    if kind in ("SPLINE", "ELLIPSE"):
        return chain_length(list(e.flattening(FLAT, segments=64)))
    if kind in ("ARC", "CIRCLE"):
        return chain_length(list(e.flattening(FLAT)))
    if kind in ("SOLID", "TRACE", "3DFACE"):
        corners = list(e.wcs_vertices())
        return chain_length(corners + corners[:1])
    if kind == "HATCH":
        return sum(hatch_path_length(p) for p in e.paths)
    if kind == "POLYLINE" and e.dxf.flags & 6:
        # A fitted polyline: the vertices that are not its frame.
        used = [v for v in e.vertices if not v.dxf.flags & 16]
        copy = ezdxf.entities.Polyline.new(dxfattribs={"flags": e.dxf.flags & 9})
        copy.append_formatted_vertices([(*v.dxf.location.xyz, v.dxf.bulge) for v in used], "xyzb")
        return sum(entity_length(part) for part in copy.virtual_entities())
    if kind in ("LWPOLYLINE", "POLYLINE"):
        return sum(entity_length(part) for part in e.virtual_entities())
    if kind == "LINE":
        return chain_length([e.dxf.start, e.dxf.end])
    raise ValueError(f"no reference for {kind}")


def hatch_path_length(p):
    """Of a path in the plane of the drawing."""
    if hasattr(p, "vertices"):
        copy = ezdxf.entities.LWPolyline.new(dxfattribs={"flags": int(p.is_closed)})
        copy.set_points(p.vertices, format="xyb")
        return entity_length(copy)
    total = 0.0
    for e in p.edges:
        name = type(e).__name__
        if name == "LineEdge":
            total += e.start.distance(e.end)
        elif name == "ArcEdge":
            span = (e.end_angle - e.start_angle) % 360 or 360
            total += e.radius * math.radians(span)
        else:
            total += chain_length(list(e.construction_tool().flattening(FLAT, 64)))
    return total


def explode(entities, layer):
    """Yields entities with block references expanded; layer 0 is inherited."""
    for e in entities:
        own = e.dxf.layer if layer is None or e.dxf.layer != "0" else layer
        if e.dxftype() == "INSERT":
            for one in e.multi_insert() if e.mcount > 1 else [e]:
                yield from explode(one.virtual_entities(), own)
        else:
            yield own, e


def plain_name(name):
    """Layer names as people read them: ezdxf leaves \\U+XXXX as it is."""
    return re.sub(r"\\U\+([0-9A-Fa-f]{4})", lambda m: chr(int(m[1], 16)), name).lower()


def reference(doc):
    hidden = {l.dxf.name.lower() for l in doc.layers if l.is_off() or l.is_frozen()}
    lengths = {}
    for layer, e in explode(doc.modelspace(), None):
        lengths.setdefault(plain_name(layer), 0.0)
        if e.dxftype() in NOT_GEOMETRY or e.dxf.get("invisible", 0) or layer.lower() in hidden:
            continue
        if e.dxftype() in AREAS and not layer.startswith("COUNTER"):
            continue  # filled areas count where their layer cuts stone
        lengths[plain_name(layer)] += entity_length(e)
    return lengths


# ----------------------------------------------------------------- drawings


def flat_curves(msp, rng):
    msp.add_line((0, 0), (2400.125, 640.5), {"layer": "COUNTER LINE"})
    msp.add_line((10, 10, 900), (500, 10, 900), {"layer": "COUNTER LINE"})
    msp.add_circle((1200, 60), 17.5, {"layer": "COUNTER CIRCLE"})
    for start, end in [(0, 90), (350, 20), (90, 30), (-45, 400), (0, 360), (123.4, 321.9)]:
        msp.add_arc((rng.uniform(-1e3, 1e3), 0), rng.uniform(1, 900), start, end, dxfattribs={"layer": "COUNTER ARC"})
    corners = [(0, 0, 0), (600, 0, 0.41421356), (700, 100, -0.2), (700, 400, 3.5), (0, 400, 0)]
    msp.add_polyline2d(corners, format="xyb", dxfattribs={"layer": "COUNTER POLYLINE"}).close()
    msp.add_polyline2d(corners, format="xyb", dxfattribs={"layer": "COUNTER POLYLINE OPEN"})
    msp.add_polyline3d([(0, 0, 0), (100, 0, 5), (100, 100, -5)], dxfattribs={"layer": "COUNTER POLYLINE 3D"}).close()


def new_curves(msp, rng):
    corners = [(0, 0, 0), (600, 0, 0.41421356), (700, 100, -0.2), (700, 400, 2.5), (0, 400, 0)]
    msp.add_lwpolyline(corners, format="xyb", dxfattribs={"layer": "COUNTER LWPOLYLINE"}, close=True)
    msp.add_lwpolyline(corners, format="xyb", dxfattribs={"layer": "COUNTER LWPOLYLINE OPEN", "elevation": 30})
    for i in range(8):
        msp.add_ellipse((i * 300, 0), (rng.uniform(50, 400), rng.uniform(-200, 200)), rng.uniform(0.05, 1),
                        rng.uniform(0, 6), rng.uniform(0, 6), {"layer": "COUNTER ELLIPSE"})
    msp.add_ellipse((0, 0), (300, 100), 0.4, dxfattribs={"layer": "COUNTER ELLIPSE FULL"})
    msp.add_ellipse((0, 0), (300, 100), 1.0, dxfattribs={"layer": "COUNTER ELLIPSE ROUND"})
    for degree in (1, 2, 3, 4, 5, 7):
        points = [(x * 100, rng.uniform(0, 300), 0) for x in range(degree + 6)]
        msp.add_open_spline(points, degree, dxfattribs={"layer": f"COUNTER SPLINE {degree}"})
        weights = [rng.uniform(0.3, 3) for _ in points]
        msp.add_rational_spline(points, weights, degree, dxfattribs={"layer": f"COUNTER RATIONAL {degree}"})
        if degree > 1:
            msp.add_spline(dxfattribs={"layer": f"COUNTER CLOSED {degree}"}).set_closed(points, degree)
            msp.add_spline(dxfattribs={"layer": f"COUNTER CLOSED RATIONAL {degree}"}).set_closed_rational(points, weights, degree)
            msp.add_spline(dxfattribs={"layer": f"COUNTER UNIFORM {degree}"}).set_uniform(points, degree)
    fit = msp.add_spline([(0, 0), (100, 80), (250, -40), (400, 0)], dxfattribs={"layer": "COUNTER FIT"})
    fit.dxf.start_tangent = (1, 2, 0)
    fit.dxf.end_tangent = (1, -1, 0)


def areas(msp, rng):
    msp.add_solid([(0, 0), (100, 0), (0, 50), (100, 50)], {"layer": "COUNTER SOLID"})
    msp.add_solid([(0, 0), (100, 0), (0, 50)], {"layer": "COUNTER SOLID 3"})
    msp.add_trace([(0, 0), (100, 10), (0, 50), (100, 60)], {"layer": "COUNTER TRACE"})
    msp.add_3dface([(0, 0, 0), (100, 0, 0), (100, 50, 20), (0, 50, 20)], {"layer": "COUNTER FACE"})


def hatches(msp, rng):
    h = msp.add_hatch(dxfattribs={"layer": "COUNTER HATCH POLYLINE"})
    h.paths.add_polyline_path([(0, 0, 0), (100, 0, 0.5), (100, 60, 0), (0, 60, -0.3)], is_closed=True)
    h = msp.add_hatch(dxfattribs={"layer": "COUNTER HATCH EDGES"})
    edges = h.paths.add_edge_path()
    edges.add_line((0, 0), (100, 0))
    edges.add_arc((100, 50), 50, -90, 90, ccw=True)
    edges.add_line((100, 100), (0, 100))
    edges.add_arc((0, 50), 50, 270, 90, ccw=False)
    h = msp.add_hatch(dxfattribs={"layer": "COUNTER HATCH ELLIPSE"})
    edges = h.paths.add_edge_path()
    edges.add_ellipse((0, 0), (200, 50), 0.4, 20, 250, ccw=True)
    edges.add_ellipse((500, 0), (200, 50), 0.4, 20, 250, ccw=False)
    h = msp.add_hatch(dxfattribs={"layer": "COUNTER HATCH SPLINE"})
    edges = h.paths.add_edge_path()
    edges.add_spline(control_points=[(0, 0), (50, 80), (100, -20), (150, 0)], degree=3, knot_values=[0, 0, 0, 0, 1, 1, 1, 1])
    edges.add_line((150, 0), (0, 0))
    plain = msp.add_hatch(dxfattribs={"layer": "NOTES"})
    plain.paths.add_polyline_path([(0, 0), (100, 0), (100, 60)])


def tilted(msp, rng):
    for i in range(12):
        n = Vec3(rng.gauss(0, 1), rng.gauss(0, 1), rng.gauss(0, 1)).normalize()
        if i == 0:
            n = Vec3(0, 0, -1)
        at = {"layer": f"COUNTER TILTED {i}", "extrusion": n}
        msp.add_circle((100, 50, 20), rng.uniform(10, 300), at)
        msp.add_arc((10, 5, 2), rng.uniform(10, 300), rng.uniform(0, 360), rng.uniform(0, 360), dxfattribs=at)
        msp.add_polyline2d([(0, 0, 0.3), (100, 0, -1.4), (150, 90, 0)], format="xyb", dxfattribs=at)
        if msp.doc.dxfversion > "AC1009":
            msp.add_lwpolyline([(0, 0, 0.3), (100, 0, -1.4), (150, 90, 0)], format="xyb", dxfattribs=at)
            msp.add_solid([(0, 0), (100, 0), (0, 50), (100, 50)], at)


def blocks(msp, rng):
    doc = msp.doc
    inner = doc.blocks.new("SINK BOWL", base_point=(10, 20))
    inner.add_circle((10, 20), 50)
    inner.add_line((0, 0), (100, 0))
    inner.add_line((0, 0), (0, 70), {"layer": "COUNTER OWN"})
    inner.add_polyline2d([(0, 0, 0.5), (80, 0, 0), (80, 60, -0.7)], format="xyb").close()
    if doc.dxfversion > "AC1009":
        inner.add_ellipse((0, 0), (60, 10), 0.5)
        inner.add_open_spline([(0, 0), (30, 50), (60, -50), (90, 0)], 3)
    outer = doc.blocks.new("PAIR", base_point=(-5, 3))
    outer.add_blockref("SINK BOWL", (0, 0), {"rotation": 30})
    outer.add_blockref("SINK BOWL", (300, 0), {"xscale": -1, "rotation": 15})
    outer.add_blockref("SINK BOWL", (0, 400), {"layer": "COUNTER NESTED"})
    for name in ("SINK BOWL", "PAIR"):
        tag = name.split()[0]
        msp.add_blockref(name, (500, 500), {"layer": f"COUNTER {tag} PLAIN"})
        msp.add_blockref(name, (0, 0), {"layer": f"COUNTER {tag} TURNED", "rotation": 37, "xscale": 2, "yscale": 2, "zscale": 2})
        msp.add_blockref(name, (0, 0), {"layer": f"COUNTER {tag} MIRRORED", "xscale": -1.5, "yscale": 1.5, "zscale": 1.5})
        msp.add_blockref(name, (0, 0), {"layer": f"COUNTER {tag} UPSIDE DOWN", "extrusion": (0, 0, -1), "rotation": 20})
    array = {"layer": "COUNTER ARRAY", "rotation": 25, "row_count": 3, "column_count": 4, "row_spacing": 200, "column_spacing": 150}
    msp.add_blockref("SINK BOWL", (0, 0), array)
    stretched = doc.blocks.new("STRETCHED")
    stretched.add_circle((10, 20), 50)
    stretched.add_arc((0, 0), 40, 30, 200)
    stretched.add_line((0, 0), (100, 20))
    if doc.dxfversion > "AC1009":
        stretched.add_ellipse((0, 0), (60, 10), 0.5, 0.3, 4)
        stretched.add_open_spline([(0, 0), (30, 50), (60, -50), (90, 0)], 3)
    msp.add_blockref("STRETCHED", (0, 0), {"layer": "COUNTER STRETCHED", "xscale": 2, "yscale": 0.7, "rotation": 33})


def others(msp, rng):
    doc = msp.doc
    msp.add_text("KITCHEN", dxfattribs={"layer": "NOTES", "height": 20})
    msp.add_point((10, 10), {"layer": "TAP HOLE"})
    msp.add_linear_dim(base=(0, -100), p1=(0, 0), p2=(500, 0), dxfattribs={"layer": "DIMS"}).render()
    doc.layers.new("FROZEN", {"flags": 1})
    doc.layers.new("OFF").off()
    doc.layers.new("EMPTY")
    msp.add_line((0, 0), (10, 0), {"layer": "FROZEN"})
    msp.add_line((0, 0), (10, 0), {"layer": "OFF"})
    msp.add_line((0, 0), (7, 0), {"layer": "COUNTER"})
    if doc.dxfversion > "AC1009":
        msp.add_xline((0, 0), (1, 0), {"layer": "GUIDES"})
        msp.add_ray((0, 0), (1, 0), {"layer": "GUIDES"})
        msp.add_line((0, 0), (9, 0), {"layer": "COUNTER", "invisible": 1})
    doc.layout("Layout1").add_line((0, 0), (50, 0), {"layer": "COUNTER"})


# "others": what must be reported as not used (type, layer, count)
UNREAD = [("LINE", "FROZEN", 1), ("LINE", "OFF", 1), ("DIMENSION", "DIMS", 1), ("LINE", "COUNTER", 1)]
UNREAD_NEW = [("XLINE", "GUIDES", 1), ("RAY", "GUIDES", 1)]


def drawings():
    """Yields name, version, format, encoding and builder of each drawing."""
    for version in VERSIONS:
        new = version != "R12"
        for fmt in ("asc", "bin") if version in ("R12", "R2000", "R2018") else ("asc",):
            yield "flat", version, fmt, None, flat_curves
            yield "blocks", version, fmt, None, blocks
            yield "tilted", version, fmt, None, tilted
            yield "areas", version, fmt, None, areas
            yield "others", version, fmt, None, others
            if new:
                yield "new", version, fmt, None, new_curves
                yield "hatches", version, fmt, None, hatches
    scripts = {"cp1250": "Žulový stůl", "cp1251": "Столешница", "cp1252": "Küche Öl ½", "cp1253": "Πάγκος", "cp1254": "Tezgâh ığş",
               "cp1255": "משטח", "cp1256": "سطح", "cp1257": "Stalviršis ž", "cp1258": "Mặt", "cp874": "โต๊ะ",
               "cp932": "天板表示", "gbk": "台面", "cp949": "상판", "big5": "檯面功"}
    for encoding, name in scripts.items():
        for version in ("R12", "R2000", "R2004", "R2018"):
            yield "named", version, "asc", encoding, lambda msp, rng, name=name: msp.add_line((0, 0), (123, 0), {"layer": name})
    for ending in ("cr", "crlf", "mixed", "crcrlf", "bom", "lower", "blanks", "comments", "noeof"):
        for version in ("R12", "R2018"):
            yield ending, version, "asc", None, flat_curves


def mangle(data, how):
    lines = data.replace(b"\r\n", b"\n").split(b"\n")
    if how == "cr":
        return b"\r".join(lines)
    if how == "crlf":
        return b"\r\n".join(lines)
    if how == "crcrlf":
        return b"\r\r\n".join(lines)
    if how == "mixed":
        ends = [b"\n", b"\r\n", b"\r"]
        # an empty line that ends by LF behind a CR would be no line at all
        return b"".join(l + (ends[i % 3] if l else b"\r\n") for i, l in enumerate(lines))
    if how == "bom":
        return b"\xef\xbb\xbf" + data
    if how == "lower":
        return b"\n".join(l.lower() if i % 2 and l.isupper() and b"$" not in l and not l.startswith(b"AC") else l for i, l in enumerate(lines))
    if how == "blanks":
        return b"\n".join(b"   " + l + b"  " for l in lines)
    if how == "comments":
        return b"\n".join(b"999\nby hand\n" + l if i % 2 == 0 and l else l for i, l in enumerate(lines))
    if how == "noeof":
        return b"\n".join(lines[:-3]) + b"\n"
    return data


# ------------------------------------------------------------------- compare


def check(trueup, file, expected, must_unread):
    run = subprocess.run([trueup, "layers", "--json", file], capture_output=True, text=True)
    if run.returncode != 0:
        return 0, [f"trueup failed: {run.stderr.strip()}"]
    doc = json.loads(run.stdout)
    got = {l["name"].lower(): l["curve_length"] for l in doc["layers"]}
    faults, compared = [], 0
    for layer, length in expected.items():
        compared += 1
        if layer not in got:
            faults.append(f"layer {layer!r} is missing, have {sorted(got)}")
        elif abs(got[layer] - length) > TOLERANCE * length + 1e-9:
            faults.append(f"layer {layer}: trueup {got[layer]:.6f}, ezdxf {length:.6f}")
    for layer, length in got.items():
        if layer not in expected and length > 0:
            faults.append(f"layer {layer}: trueup has {length}, ezdxf nothing")
    unread = {}
    for u in doc["unread"] or []:
        unread[u["type"], u["layer"]] = unread.get((u["type"], u["layer"]), 0) + u["count"]
    for kind, layer, count in must_unread:
        compared += 1
        if unread.get((kind, layer), 0) < count:
            faults.append(f"{kind} on {layer} is not among the unread: {unread}")
    return compared, faults


def write(folder, name, version, fmt, encoding, build):
    """Writes one drawing and returns its label and file."""
    doc = ezdxf.new(version)
    doc.header["$INSUNITS"] = 4
    build(doc.modelspace(), random.Random(SEED))
    label = "-".join(x for x in (name, version, fmt, encoding) if x)
    file = os.path.join(folder, label + ".dxf")
    if encoding:
        doc.encoding = encoding
    doc.saveas(file, encoding=encoding if encoding and version in ("R12", "R2000", "R2004") else None, fmt=fmt)
    return label, file


def write_samples(folder):
    lengths = {}
    for drawing in drawings():
        if "-".join(x for x in drawing[:4] if x) in SAMPLES:
            label, file = write(folder, *drawing)
            lengths[label + ".dxf"] = reference(ezdxf.readfile(file))
    with open(os.path.join(folder, "lengths.json"), "w", encoding="utf-8") as f:
        json.dump(lengths, f, indent=1, ensure_ascii=False, sort_keys=True)


def main():
    if len(sys.argv) not in (2, 4):
        sys.exit(__doc__)
    trueup = sys.argv[1]
    option, folder = sys.argv[2:] if len(sys.argv) == 4 else ("", tempfile.mkdtemp())
    os.makedirs(folder, exist_ok=True)
    if option == "--samples":
        write_samples(folder)
        return
    print(f"reader: seed {SEED}, ezdxf {ezdxf.__version__}")
    passed = failed = 0
    for drawing in drawings():
        name, version, fmt = drawing[:3]
        label, file = write(folder, *drawing)
        expected = reference(ezdxf.readfile(file))
        if fmt == "asc":
            with open(file, "rb") as f:
                data = f.read()
            with open(file, "wb") as f:
                f.write(mangle(data, name))
        must = {"others": UNREAD + (UNREAD_NEW if version != "R12" else []), "hatches": [("HATCH", "NOTES", 1)]}.get(name, [])
        compared, faults = check(trueup, file, expected, must)
        if compared == 0 and not faults:
            faults = ["nothing was compared"]
        failed += len(faults)
        passed += max(0, compared - len(faults))
        for fault in faults:
            print(f"FAIL {label}: {fault}")
    if option != "--keep":
        shutil.rmtree(folder)
    print(f"reader: {passed} passed, {failed} failed")
    sys.exit(1 if failed or not passed else 0)


if __name__ == "__main__":
    main()
