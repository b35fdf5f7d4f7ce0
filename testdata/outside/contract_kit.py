"""Drawings, runs and comparisons for contract_check.py.

A case is a drawing made with ezdxf and a function that compares the result
document with figures worked out here, from closed forms or with shapely.
"""
import json
import math
import pathlib
import subprocess

import ezdxf

ROUND = math.tan(math.pi / 8)  # bulge of a quarter turn (DXF Reference: tan of a quarter of the angle)
KERF = math.sqrt(200**2 - 168**2) - math.sqrt(200**2 - 198**2)  # c(t+e) - c(e): blade 400, t 30, e 2
QUIET = ("saw-short",)  # what speaks on nearly every piece, compared by cases of their own


def new(units=4):
    drawing = ezdxf.new("R2000")
    drawing.header["$INSUNITS"] = units
    return drawing


def top(length=2400, width=640, units=4):
    drawing = new(units)
    poly(drawing, rect(0, 0, length, width))
    return drawing


def poly(drawing, points, layer="OUTLINE", close=True):
    drawing.modelspace().add_lwpolyline(
        [tuple(p) + (0,) * (3 - len(p)) for p in points], format="xyb", close=close, dxfattribs={"layer": layer})


def line(drawing, a, b, layer="OUTLINE"):
    drawing.modelspace().add_line(a, b, dxfattribs={"layer": layer})


def circle(drawing, center, radius, layer="CUTOUT"):
    drawing.modelspace().add_circle(center, radius, dxfattribs={"layer": layer})


def text(drawing, value, at, layer="OUTLINE"):
    drawing.modelspace().add_text(value, height=30, dxfattribs={"layer": layer, "insert": at})


def rect(x0, y0, x1, y1):
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def rounded(x0, y0, x1, y1, r):
    return [(x0 + r, y0, 0), (x1 - r, y0, ROUND), (x1, y0 + r, 0), (x1, y1 - r, ROUND),
            (x1 - r, y1, 0), (x0 + r, y1, ROUND), (x0, y1 - r, 0), (x0, y0 + r, ROUND)]


def corner_chords(x, y, r, n):
    """The lower right corner of a top, radius r, as an exporter writes it: n chords."""
    return [(x - r + r * math.sin(math.pi / 2 * i / n), y + r - r * math.cos(math.pi / 2 * i / n)) for i in range(n + 1)]


class Cases:
    def __init__(self, program, folder, settings=None):
        self.program, self.folder = program, pathlib.Path(folder)
        self.folder.mkdir(parents=True, exist_ok=True)
        self.options = []
        if settings:
            file = self.folder / "shop.toml"
            file.write_text(settings)
            self.options = ["--settings", str(file)]
        self.checks, self.passed, self.failed, self.name = {}, 0, 0, ""

    def add(self, name, drawing, check):
        assert name not in self.checks, name
        drawing.saveas(self.folder / f"{name}.dxf")
        self.checks[name] = check

    def equal(self, got, want, what):
        self._report(got == want, what, got, want)

    def near(self, got, want, tolerance, what):
        self._report(got is not None and abs(got - want) <= tolerance, what, got, want)

    def _report(self, ok, what, got, want):
        if ok:
            self.passed += 1
        else:
            self.failed += 1
            print(f"FAILED {self.name}: {what} is {got}, expected {want}")

    def run(self):
        done = subprocess.run([self.program, "check", "--json", *self.options, str(self.folder)], capture_output=True, text=True)
        documents = [json.loads(row) for row in done.stdout.splitlines()]
        files = [d["source"]["file"] for d in documents]
        self.name = "JSON Lines"
        self.equal(files, sorted(f"{name}.dxf" for name in self.checks), "the order of the documents")
        verdicts = {d["verdict"] for d in documents}
        self.equal(done.returncode, 3 if "failed" in verdicts else 1 if "review" in verdicts else 0, "the exit code")
        for document in documents:
            self.name = document["source"]["file"].removesuffix(".dxf")
            try:
                self.checks[self.name](document)
            except (IndexError, KeyError) as missing:
                self._report(False, "a part of the document", repr(missing), "there")


def flags(document, rule=None):
    return [f for f in document["flags"] if (f["rule"] == rule if rule else f["rule"] not in QUIET)]


def rules(document):
    return sorted((f["severity"], f["rule"]) for f in flags(document))
