"""Audits the drawings that trueup wrote, with ezdxf and GDAL as the judges.

usage: drawings_check.py FOLDER   (written by `trueup check --out FOLDER`)

Every clean.dxf and marked.dxf must pass ezdxf's audit without errors or fixes.
The outlines of clean.dxf, measured on the vertices and bulges that ezdxf reads, must have the
gross areas that result.json gives. GDAL must see closed rings.
"""
import json
import math
import pathlib
import subprocess
import sys

import ezdxf

MM = {1: 25.4, 2: 304.8, 4: 1.0, 5: 10.0, 6: 1000.0}

passed = failed = 0


def report(ok, what):
    global passed, failed
    if ok:
        passed += 1
    else:
        failed += 1
        print("FAILED", what)


def audit(file):
    doc = ezdxf.readfile(file)
    auditor = doc.audit()
    report(not auditor.errors and not auditor.fixes,
           f"{file}: {[e.message for e in auditor.errors + auditor.fixes]}")
    return doc


def area(entity):
    """Polygon through the vertices plus the circular segments of the bulges:
    R^2 (t - sin t) / 2 with bulge = tan(t / 4) (DXF Reference, group 42)."""
    points = entity.get_points("xyb")
    total = 0.0
    for (x1, y1, b), (x2, y2, _) in zip(points, points[1:] + points[:1]):
        total += (x1 * y2 - x2 * y1) / 2
        if b:
            t = 4 * math.atan(b)
            r = math.hypot(x2 - x1, y2 - y1) * (1 + b * b) / (4 * b)
            total += r * r * (t - math.sin(t)) / 2
    return abs(total)


def close(a, b, tolerance):
    return abs(a - b) <= tolerance


def check_clean(folder):
    doc = audit(folder / "clean.dxf")
    result = json.loads((folder / "result.json").read_text())
    unit = doc.header.get("$INSUNITS", 0)
    report(unit in MM, f"{folder}: $INSUNITS is {unit}")
    k = MM.get(unit, 1.0)
    outlines = [e for e in doc.modelspace().query("LWPOLYLINE") if e.dxf.layer in ("OUTLINE", "SPLASH")]
    report(all(e.closed for e in outlines), f"{folder}: an outline is open")
    ours = sorted(p["gross_area_mm2"] for p in result["pieces"])
    theirs = sorted(area(e) * k * k for e in outlines)
    report(len(ours) == len(theirs), f"{folder}: {len(ours)} pieces, {len(theirs)} outlines")
    for a, b in zip(ours, theirs):
        report(close(a, b, 1e-5 * a + 1), f"{folder}: outline {b} mm2, piece {a} mm2")
    cut = sum(area(e) for e in doc.modelspace().query("LWPOLYLINE") if e.dxf.layer.startswith("CUTOUT")) * k * k
    net = sum(p["gross_area_mm2"] - p["area_mm2"] for p in result["pieces"])
    report(close(cut, net, 1e-5 * max(cut, 1) + 1), f"{folder}: cutouts {cut} mm2, gross less net {net} mm2")
    rings = subprocess.run(["ogrinfo", "-al", "-q", str(folder / "clean.dxf")], capture_output=True, text=True)
    report(rings.returncode == 0 and rings.stdout.count("LINESTRING") + rings.stdout.count("POLYGON") >= len(outlines),
           f"{folder}: GDAL sees {rings.stdout.count('LINESTRING')} rings: {rings.stderr}")


root = pathlib.Path(sys.argv[1])
for clean in sorted(root.rglob("clean.dxf")):
    check_clean(clean.parent)
for marked in sorted(root.rglob("marked.dxf")):
    audit(marked)
if passed == 0:
    print("nothing was compared in", root)
    failed += 1
print(f"drawings: {passed} passed, {failed} failed")
sys.exit(1 if failed else 0)
